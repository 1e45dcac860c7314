package publish

import (
	"encoding/json"

	"fourmarks.example/lint/report"
)

// encode is a value as JSON on one line that means nothing to a browser, a
// terminal or an editor: < > & and what would reorder or hide text are escaped.
func encode(value any) ([]byte, error) {
	b, err := json.Marshal(value)
	if err != nil {
		return nil, err
	}
	return append(report.InertJSON(b), '\n'), nil
}

// putJSON makes a file of a value.
func putJSON(f *Folder, name string, value any) error {
	b, err := encode(value)
	if err != nil {
		return err
	}
	return f.Put(name, b)
}
