package lint

import (
	"path"
	"strings"

	"fourmarks.example/schema"
)

// InputKind says what a file of a dataset is.
type InputKind int

const (
	EngineFile InputKind = iota
	SourceFile
	MovedFile
)

// KindOf says what a file is from its path within its dataset, and the id that
// the path gives it: engines/<maker>/<model>.yaml, sources/<id>.yaml, moved.yaml.
// Elsewhere a file is taken for an engine's, of no particular id.
func KindOf(within string) (kind InputKind, id string) {
	stem := strings.TrimSuffix(within, path.Ext(within))
	switch first, rest, _ := strings.Cut(stem, "/"); {
	case stem == "moved":
		return MovedFile, ""
	case first == "sources":
		return SourceFile, rest
	case first == "engines":
		return EngineFile, rest
	}
	return EngineFile, ""
}

// Input is one file to lint, read only when its turn comes.
type Input struct {
	Kind InputKind
	// Name is the path shown in findings, with forward slashes.
	Name string
	// ID is what the path says the engine's or source's id is; empty when the
	// file does not lie where ids follow from paths.
	ID string
	// Read returns the bytes. An error is a finding: its text is shown.
	Read func() ([]byte, error)
	// Context is set for a file that is there for what it says of others and is
	// not itself to be checked: a source record is read, of an engine only the id
	// is known.
	Context bool
	// Record returns the record of a source file that is context and was read
	// before, nil when it cannot be read: so that files can be linted time and
	// again against one register without reading it anew. Without it, Read serves.
	Record func() *schema.Source
}
