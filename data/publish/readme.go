package publish

// readmeText says to whoever opens a release what is in it.
const readmeText = `# Setting figures of old engines

A release of a dataset: valve timing, clearances, gears and ignition of old
engines, each figure as its source prints it. ` + "`release.json`" + ` says how many there
are, how far they are established, and what was left out.

| file | holds |
| --- | --- |
| index.html, pages/ | the same as web pages: open index.html in a browser, from this folder or from any server |
| engines/MAKER/MODEL.json | one engine: every figure with its best value, the claims behind it, the sources |
| engines.json | every engine: name, years, numbers, file |
| lines/engines-*.jsonl | every engine, one a line (JSON Lines) |
| index.json, index/ | to find an engine by words or number without reading them all |
| fourmarks.sqlite | every table, with a full-text search: ` + "`SELECT * FROM search('light six')`" + ` |
| figures.parquet | every figure, one a row |
| csv/, datapackage.json | every table as CSV, and what each column is (Data Package) |
| sources.json, sources.csl.json, sources.bib | the sources, also as CSL JSON and BibTeX |
| redirects.json | where ids lead that are no longer used |
| units.json | the units, with their UCUM codes |
| changes.json, CHANGES.md | the figures that changed since an earlier release, where one was named |
| release.schema.json, release.d.ts | the JSON Schema of all JSON files, and the same as TypeScript |
| SHA256SUMS | to check that all files are as they were published: ` + "`sha256sum -c SHA256SUMS`" + ` |

## What to rely on

- An engine's id never changes meaning. One that is no longer used still has its
  file, which says where it leads.
- The value of a figure is that of its best claim: of the claims that stand and
  agree, the one from the strongest source (works, maker, stamp, measured, press,
  later, recall), then the one with the closest interval, then the first.
- A figure whose sources contradict one another has no value. Their claims stand
  under ` + "`disputed`" + `; what was set aside stands under ` + "`set_aside`" + `, with the reason.
- A figure of the standing ` + "`derived`" + ` is printed nowhere: it follows from others
  by the relation it names.
- ` + "`value`, `low` and `high`" + ` are what the print says, in its own unit; ` + "`si`" + ` is the same
  in the working unit (mm, cm³, kPa, kW, °, °C, 1/min). Where 15 digits do not
  suffice, value is rounded to nearest, low down and high up.
`
