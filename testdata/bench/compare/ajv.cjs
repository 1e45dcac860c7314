// Reads every engine file below a folder with js-yaml and validates it against
// the project's JSON Schema with ajv, and nothing more.
//
//   node ajv.cjs SCHEMA-FOLDER DATASET-FOLDER
const fs = require("fs");
const path = require("path");
const yaml = require("js-yaml");
const Ajv = require("ajv/dist/2020").default;

const [schemas, dataset] = process.argv.slice(2);
const read = (name) => JSON.parse(fs.readFileSync(path.join(schemas, name), "utf8"));
const ajv = new Ajv({strict: false, allErrors: true});
ajv.addSchema(read("source.schema.json"));
const engine = ajv.compile(read("engine.schema.json"));

let files = 0, invalid = 0;
const walk = (folder) => {
  for (const e of fs.readdirSync(folder, {withFileTypes: true})) {
    const name = path.join(folder, e.name);
    if (e.isDirectory()) walk(name);
    else if (e.name.endsWith(".yaml")) {
      files++;
      if (!engine(yaml.load(fs.readFileSync(name, "utf8"), {schema: yaml.CORE_SCHEMA}))) {
        invalid++;
        if (invalid < 4) console.error(name, engine.errors.slice(0, 2));
      }
    }
  }
};
walk(path.join(dataset, "engines"));
console.log(`${files} files, ${invalid} invalid`);
process.exit(invalid ? 1 : 0);
