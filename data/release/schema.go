package release

import _ "embed"

// Schema is the JSON Schema (2020-12) of every document of a release. Its file has
// no name that would be taken for a file of the dataset it lies in.
//
//go:embed release.jsonschema
var Schema []byte
