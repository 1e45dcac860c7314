// Package data embeds the demo dataset: invented engines of invented makers
// that use every section of the format. The data is dedicated to the public
// domain (CC0-1.0, see README.md beside this file).
package data

import "embed"

// Files holds engines/, sources/ and moved.yaml.
//
//go:embed engines sources moved.yaml
var Files embed.FS
