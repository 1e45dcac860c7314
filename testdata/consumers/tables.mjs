// The tables of a data package as JSON Lines, by the library of the standard's
// authors: the descriptor against the standard's profile, every cell cast to the
// type of its column, every key and reference checked.
//   node tables.mjs RELEASE
import { createRequire } from "node:module";
import { join } from "node:path";

const { Package } = createRequire(import.meta.url)("datapackage");
const load = await Package.load(join(process.argv[2], "datapackage.json"));
if (!load.valid) throw new Error(load.errors.map(String).join("\n"));
for (const resource of load.resources) {
  if (!resource.tabular) throw new Error(`${resource.name} is no table`);
  await resource.checkRelations();
  const keys = new Set();
  for (const row of await resource.read({ keyed: true })) {
    const key = JSON.stringify(resource.schema.primaryKey.map((name) => row[name]));
    if (keys.has(key)) throw new Error(`${resource.name}: ${key} stands twice`);
    keys.add(key);
    console.log(JSON.stringify({ table: resource.name, row }));
  }
}
