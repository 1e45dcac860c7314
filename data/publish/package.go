package publish

import (
	"encoding/hex"
	"encoding/json"

	"fourmarks.example/lint/report"
)

const packageFile = "datapackage.json"

// dataPackage writes datapackage.json, which describes the CSV files and each of
// their columns as the Data Package standard does (profile tabular-data-package,
// https://specs.frictionlessdata.io/tabular-data-package/). It comes last, for it
// says how long the files are.
type dataPackage struct{ folder *Folder }

func newPackage(f *Folder) (Form, error) { return dataPackage{f}, nil }

func (d dataPackage) Prepare(*Prepared) (any, error) { return nil, nil }
func (d dataPackage) Add(any) error                  { return nil }
func (d dataPackage) Close() error                   { return nil }

type packageJSON struct {
	Profile     string         `json:"profile"`
	Name        string         `json:"name"`
	Title       string         `json:"title"`
	Description string         `json:"description"`
	Version     string         `json:"version,omitempty"`
	Resources   []resourceJSON `json:"resources"`
}

type resourceJSON struct {
	Profile     string      `json:"profile"`
	Name        string      `json:"name"`
	Path        string      `json:"path"`
	Description string      `json:"description"`
	Format      string      `json:"format"`
	MediaType   string      `json:"mediatype"`
	Encoding    string      `json:"encoding"`
	Bytes       int64       `json:"bytes"`
	Hash        string      `json:"hash"`
	Dialect     dialectJSON `json:"dialect"`
	Schema      schemaJSON  `json:"schema"`
}

type dialectJSON struct {
	LineTerminator string `json:"lineTerminator"`
}

type schemaJSON struct {
	Fields        []fieldJSON     `json:"fields"`
	MissingValues []string        `json:"missingValues"`
	PrimaryKey    []string        `json:"primaryKey"`
	ForeignKeys   []referenceJSON `json:"foreignKeys,omitempty"`
}

type fieldJSON struct {
	Name        string           `json:"name"`
	Type        kind             `json:"type"`
	Description string           `json:"description"`
	Constraints *constraintsJSON `json:"constraints,omitempty"`
}

type constraintsJSON struct {
	Required bool `json:"required"`
}

type referenceJSON struct {
	Fields    []string `json:"fields"`
	Reference struct {
		Resource string   `json:"resource"`
		Fields   []string `json:"fields"`
	} `json:"reference"`
}

const packageDescription = "Setting figures of old engines: every figure as its source prints it, with what that says in the unit of the print and in the working unit. " +
	"A text that a spreadsheet would take for a formula has an apostrophe before it; take one off the front to have the text. " +
	"Line ends and control characters in texts are written as \\u{A}."

func (d dataPackage) End(w *Whole) error {
	filed := map[string]filed{}
	for _, f := range d.folder.files() {
		filed[f.name] = f
	}
	out := packageJSON{Profile: "tabular-data-package", Name: "fourmarks", Title: "Setting figures of old engines",
		Description: packageDescription, Version: w.Release.Name}
	for _, t := range tables() {
		file := filed[csvFile(t)]
		out.Resources = append(out.Resources, resourceJSON{Profile: "tabular-data-resource", Name: t.name, Path: file.name, Description: t.about,
			Format: "csv", MediaType: "text/csv", Encoding: "utf-8", Bytes: file.size, Hash: "sha256:" + hex.EncodeToString(file.sha256[:]),
			Dialect: dialectJSON{"\r\n"}, Schema: tableSchema(t)})
	}
	b, err := json.MarshalIndent(out, "", "  ")
	if err != nil {
		return err
	}
	if err := d.folder.Put(packageFile, append(report.InertJSON(b), '\n')); err != nil {
		return err
	}
	return d.folder.Put("README.md", []byte(readmeText))
}

func tableSchema(t table) schemaJSON {
	s := schemaJSON{MissingValues: []string{""}, PrimaryKey: t.key}
	for _, c := range t.columns {
		f := fieldJSON{Name: c.name, Type: c.kind, Description: c.about}
		if c.always {
			f.Constraints = &constraintsJSON{Required: true}
		}
		s.Fields = append(s.Fields, f)
	}
	for _, r := range t.references {
		of := referenceJSON{Fields: r.columns}
		of.Reference.Resource, of.Reference.Fields = r.table, r.there
		if r.table == t.name {
			of.Reference.Resource = "" // the table itself
		}
		s.ForeignKeys = append(s.ForeignKeys, of)
	}
	return s
}
