package serve

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema/text"
)

// everything is an editor that can do all that the server makes use of.
func everything(t testing.TB) *session {
	s := newSession(io.Discard, rules.All())
	s.count, s.stage = utf16Units, initialized
	if err := json.Unmarshal([]byte(`{"textDocument": {"hover": {"contentFormat": ["markdown"]}, "codeAction": {"codeActionLiteralSupport": {}},
		"documentSymbol": {"hierarchicalDocumentSymbolSupport": true}, "publishDiagnostics": {"relatedInformation": true}}}`), &s.editor); err != nil {
		t.Fatal(err)
	}
	return s
}

// The seeds are parts of the demo engines, cut where somebody might be writing.
func FuzzDocument(f *testing.F) {
	files, err := filepath.Glob("../engines/*/*.yaml")
	if err != nil || len(files) == 0 {
		f.Fatalf("there are no demo engines: %v", err)
	}
	for i, file := range files {
		b, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		for part := 1; part <= 4; part++ {
			cut := strings.ToValidUTF8(string(b[:len(b)*part/4]), "")
			f.Add(cut, uint32(strings.Count(cut, "\n")), uint32(i), uint8(0))
			f.Add(cut, uint32(strings.Count(cut, "\n")/2), uint32(10), uint8(0))
		}
	}
	f.Add("title: x\ngrade: |\n", uint32(1), uint32(7), uint8(1))
	f.Add("a/b: {to: c/d, because: x}\n", uint32(0), uint32(9), uint8(2))
	f.Add(`{"engine": "a/b", "title": "B", "size": {"bore": "3 in", "`, uint32(0), uint32(60), uint8(0))
	f.Add("engine: a/b\ntitle: B\nsize: {bore: [{'x\": 😀, #", uint32(2), uint32(20), uint8(0))
	f.Fuzz(func(t *testing.T, content string, line, character uint32, kind uint8) {
		if len(content) > 1<<14 {
			return // a long text says nothing that a short one does not
		}
		s := everything(t)
		content = strings.ToValidUTF8(content, "?") // as JSON has it
		d := (&document{uri: "file:///a/b.yaml", name: "/a/b.yaml", place: store.Location{Kind: lint.InputKind(kind % 3), ID: "a/b"}}).
			with(1, []byte(content), utf16Units)
		s.documents[d.uri] = d
		at := position{line, character}
		answerAll(t, s, d, at)
	})
}

// answerAll asks everything of a document, and holds the answers to what the
// protocol wants of them.
func answerAll(t *testing.T, s *session, d *document, at position) {
	ctx := context.Background()
	p := positionParams{documentParams{identifier{d.uri}}, at}
	offset := d.offset(at)
	must := func(result any, err error) any {
		if err != nil {
			t.Fatalf("%q: %v", d.text, err)
		}
		if _, err := json.Marshal(result); err != nil {
			t.Fatalf("%q: the answer cannot be written: %v", d.text, err)
		}
		return result
	}
	must(s.hover(ctx, d, p))
	must(s.definition(ctx, d, p))
	must(s.symbols(ctx, d, p.documentParams))
	must(s.diagnostics(ctx, d))
	for _, it := range must(s.completion(ctx, d, p)).([]completionItem) {
		r := it.TextEdit.Range
		if r.Start.Line != r.End.Line || d.offset(r.Start) > offset || d.offset(r.End) < offset {
			t.Fatalf("%q: the offer %q is not where the cursor is, %v", d.text, it.Label, r)
		}
	}
	all := span{position{}, d.position(len(d.text))}
	for _, a := range must(s.codeActions(ctx, d, codeActionParams{documentParams: p.documentParams, Range: all})).([]codeAction) {
		d.mustStayReadable(t, a.Title, a.Edit.Changes[d.uri])
	}
	if edits, err := s.format(ctx, d, p.documentParams); err == nil && edits != nil {
		d.mustStayReadable(t, "formatting", edits.([]textEdit))
	}
}

// mustStayReadable makes edits, and requires a text that can be read as well as
// the one before.
func (d *document) mustStayReadable(t *testing.T, what string, edits []textEdit) {
	changed := d.text
	for i := len(edits) - 1; i >= 0; i-- {
		start, end := d.offset(edits[i].Range.Start), d.offset(edits[i].Range.End)
		if start > end || end > len(changed) {
			t.Fatalf("%q: %s is out of order or overlaps", d.text, what)
		}
		changed = bytes.Join([][]byte{changed[:start], []byte(edits[i].NewText), changed[end:]}, nil)
	}
	before, after := d.file().Doc.Problems, text.Parse(changed, text.DefaultLimits()).Problems
	if len(after) > len(before) {
		t.Fatalf("%q: after %s there is more that cannot be read: %+v\n%q", d.text, what, after, changed)
	}
}

// The rules that the server knows by name are in the rule book.
func TestRulesKnownByName(t *testing.T) {
	known := map[string]bool{}
	for _, r := range rules.All() {
		known[r.Name] = true
	}
	for _, name := range []string{unknownSource, canonical} {
		if !known[name] {
			t.Errorf("there is no rule %s", name)
		}
	}
}
