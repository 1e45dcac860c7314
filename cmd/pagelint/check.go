package main

import (
	"encoding/json"
	"fmt"

	"fourmarks.example/lint"
)

// file is one file of a dataset, as a page hands it over.
type file struct {
	// Name is the path in findings; what the file is follows from it, as in a
	// dataset: engines/<maker>/<model>.yaml, sources/<id>.yaml.
	Name string `json:"name"`
	Text string `json:"text"`
	// Context is set for a file that is there for what it says of others.
	Context bool `json:"context"`
}

// check lints files: a JSON list of [file] in, the JSON of `fourmarks lint
// --json` out, byte for byte.
func check(files []byte) ([]byte, error) {
	var list []file
	if err := json.Unmarshal(files, &list); err != nil {
		return nil, fmt.Errorf("the list of files cannot be read: %w", err)
	}
	return written(linted(list))
}

func (f file) input() lint.Input {
	in := lint.Input{Name: f.Name, Context: f.Context, Read: func() ([]byte, error) { return []byte(f.Text), nil }}
	in.Kind, in.ID = lint.KindOf(f.Name)
	return in
}
