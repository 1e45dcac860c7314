package text

import (
	"bytes"
	"encoding/json"
	"strings"
)

// Spell writes a text as a value: plain where it then reads as that text and as
// nothing else, otherwise in double quotes. In braces or brackets (flow) more
// needs quotes. A text of several lines, or with characters that the format
// refuses, comes out in quotes and is for the reader to report.
func Spell(s string, flow bool) string {
	if !strings.ContainsAny(s, "\r\n") && readsAs(s, s, flow) {
		return s
	}
	return Quote(s)
}

// Quote writes a text in double quotes, as JSON does.
func Quote(s string) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	_ = e.Encode(s) // a text can always be encoded, and a Buffer takes it
	return strings.TrimSuffix(b.String(), "\n")
}

// readsAs reports whether a value so written is the text, and no number, empty
// value or word with a meaning of its own.
func readsAs(written, s string, flow bool) bool {
	source := "k: " + written + "\n"
	if flow {
		source = "{k: " + written + ", l: m}\n"
	}
	d := Parse([]byte(source), DefaultLimits())
	if len(d.Problems)+len(d.Comments) > 0 || d.Root == nil {
		return false
	}
	v := d.Root.Get("k")
	return v != nil && v.Kind == Scalar && v.Text == s && v.Resolved() == String &&
		(!flow || len(d.Root.Entries) == 2 && d.Root.Get("l") != nil)
}
