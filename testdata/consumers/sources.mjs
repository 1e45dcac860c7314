// The sources of a release as Citation.js reads them, from CSL JSON and from
// BibTeX.
//   node sources.mjs RELEASE
import { Cite } from "@citation-js/core";
import "@citation-js/plugin-bibtex";
import { readFileSync } from "node:fs";
import { join } from "node:path";

const read = (name) => readFileSync(join(process.argv[2], name), "utf8");
const shown = (items) => items.map(({ id, type, title, issued }) => ({ id, type, title, issued }));
console.log(JSON.stringify({
  csl: shown(new Cite(JSON.parse(read("sources.csl.json"))).data),
  bibtex: shown(new Cite(read("sources.bib"), { forceType: "@bibtex/text" }).data),
}));
