package serve

import (
	"bytes"
	"encoding/json"
	"regexp"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/schema/text"
)

// insertion returns the edit that puts a value at a path, with the maps on the
// way that are not there yet. Nothing that stands in the file is touched. It is
// false where something stands at the path already, or in the way.
func (d *document) insertion(path text.Path, value string) (lint.Edit, bool) {
	root := d.file().Doc.Root
	if root == nil || root.Kind != text.Map || len(d.file().Doc.Problems) > 0 {
		return lint.Edit{}, false
	}
	within, depth := root, 0
	for depth < len(path) {
		next := within.Get(path[depth])
		if next == nil {
			break
		}
		if next.Kind != text.Map || len(next.Entries) == 0 {
			return lint.Edit{}, false
		}
		within = next
		depth++
	}
	switch {
	case depth == len(path):
		return lint.Edit{}, false
	case within.Flow:
		return d.intoFlow(within, path[depth:], value, root.Flow), true
	}
	return d.intoBlock(within, path[depth:], value), true
}

// intoFlow puts an entry behind the last of a map in braces.
func (d *document) intoFlow(within *text.Node, path text.Path, value string, isJSON bool) lint.Edit {
	at := within.Entries[len(within.Entries)-1].Value.Span.End
	entry := value
	if isJSON {
		entry = jsonOf(value)
	}
	for i := len(path) - 1; i >= 0; i-- {
		entry = keyText(path[i], isJSON) + ": " + entry
		if i > 0 {
			entry = "{" + entry + "}"
		}
	}
	return lint.Edit{Start: at, End: at, Text: ", " + entry}
}

// jsonOf is a value of this package in JSON: its keys are in quotes there.
func jsonOf(value string) string {
	return regexp.MustCompile(`([{ ])([a-z]+):`).ReplaceAllString(value, `$1"$2":`)
}

// intoBlock puts lines behind the last entry of a map, and what belongs to it.
func (d *document) intoBlock(within *text.Node, path text.Path, value string) lint.Edit {
	last := &within.Entries[len(within.Entries)-1]
	at := d.file().Doc.Extent(last).End
	indent := d.indentOf(last.Key)
	var b strings.Builder
	if at == 0 || d.text[at-1] != '\n' && d.text[at-1] != '\r' {
		b.WriteString(d.lineEnd())
	}
	for i, key := range path {
		b.WriteString(strings.Repeat(" ", indent+2*i) + keyText(key, false) + ":")
		if i == len(path)-1 {
			b.WriteString(" " + value)
		}
		b.WriteString(d.lineEnd())
	}
	return lint.Edit{Start: at, End: at, Text: b.String()}
}

// indentOf is how far a key is indented.
func (d *document) indentOf(key *text.Node) int {
	start, _ := d.line(int(d.position(key.Span.Start).Line))
	return bytes.Count(d.text[start:key.Span.Start], []byte(" "))
}

// lineEnd is the line end of the document's first line.
func (d *document) lineEnd() string {
	if len(d.starts) > 1 {
		_, end := d.line(0)
		return string(d.text[end:d.starts[1]])
	}
	return "\n"
}

var plainKey = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9 ._+/-]*$`)

// keyText writes a key, in quotes where it needs them.
func keyText(key string, isJSON bool) string {
	if !isJSON && plainKey.MatchString(key) && strings.TrimSpace(key) == key {
		return key
	}
	quoted, err := json.Marshal(key)
	if err != nil {
		return key
	}
	return string(quoted)
}
