package release

import _ "embed"

// Schema is the JSON Schema (2020-12) of every document of a release.
//
//go:embed release.schema.json
var Schema []byte
