// Every JSON document of a release against the published schema, by ajv.
//   node json.mjs RELEASE
import Ajv2020 from "ajv/dist/2020.js";
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";

const folder = process.argv[2];
const read = (name) => JSON.parse(readFileSync(join(folder, name), "utf8"));
const ajv = new Ajv2020({ strict: true, strictRequired: false, allowUnionTypes: true });
ajv.addSchema(read("release.schema.json"), "release");

const documents = [
  [/^engines\/[^/]+\/[^/]+\.json$/, (value) => ("moved_to" in value ? "Redirect" : "Engine")],
  [/^index\/entries-/, () => "Entries"],
  [/^index\/words-/, () => "WordIndex"],
  [/^index\/numbers-/, () => "Ranges"],
  [/^(release|engines|index|sources|redirects|units|changes)\.json$/, (_, name) => name[0].toUpperCase() + name.slice(1, -".json".length)],
];
const counts = {};
for (const name of readdirSync(folder, { recursive: true })) {
  const document = documents.find(([pattern]) => pattern.test(name));
  if (!document) continue;
  const value = read(name);
  const definition = document[1](value, name);
  if (!ajv.validate(`release#/$defs/${definition}`, value)) throw new Error(`${name}: ${ajv.errorsText()}`);
  counts[definition] = (counts[definition] ?? 0) + 1;
}
for (const file of readdirSync(join(folder, "lines"))) {
  for (const line of readFileSync(join(folder, "lines", file), "utf8").trimEnd().split("\n")) {
    if (!ajv.validate("release#/$defs/Engine", JSON.parse(line))) throw new Error(`${file}: ${ajv.errorsText()}`);
    counts.lines = (counts.lines ?? 0) + 1;
  }
}
console.log(JSON.stringify(counts));
