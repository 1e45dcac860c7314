package serve

import (
	"bytes"
	"fmt"
	"net/url"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// document is an open file at one version. It never changes: an edit makes
// another, so that whoever works on one is not disturbed.
type document struct {
	uri     string
	version int
	// name is the path of the file, or its URI where it has none.
	name  string
	place store.Location
	textIndex
	// lost says why the text is not the editor's any more; empty while it is.
	lost string

	file   func() *schema.File
	engine func() *schema.Engine
	source func() *schema.Source
}

// mostText bounds the text of a document that is kept.
const mostText = mostContent

// openDocument returns the document that an editor opened.
func openDocument(uri string, version int, content string, count encoding, folder string) *document {
	d := &document{uri: uri, name: uri}
	if path, ok := pathOf(uri); ok {
		d.name = path
		d.place = store.Locate(path)
	} else if folder != "" { // not saved yet: it may cite what the workspace has a record of
		d.place.Root = store.Locate(filepath.Join(folder, "data", "new.yaml")).Root
	}
	return d.with(version, []byte(content), count)
}

// with returns the document with another text.
func (d *document) with(version int, content []byte, count encoding) *document {
	n := &document{uri: d.uri, version: version, name: d.name, place: d.place, textIndex: indexText(content, count)}
	n.file = sync.OnceValue(func() *schema.File { return schema.ReadFile(n.name, n.text) })
	n.engine = sync.OnceValue(func() *schema.Engine {
		e, _ := schema.DecodeEngine(n.file())
		return e
	})
	n.source = sync.OnceValue(func() *schema.Source {
		s, _ := schema.DecodeSource(n.file())
		return s
	})
	return n
}

// losing returns the document without its text, which is not known any more.
func (d *document) losing(version int, why string) *document {
	n := d.with(version, nil, d.count)
	n.lost = why
	return n
}

// edited returns the document after changes that were made one after another.
func (d *document) edited(version int, changes []contentChange) *document {
	content, lost := d.text, d.lost
	for _, c := range changes {
		switch x := indexText(content, d.count); {
		case c.Range == nil:
			content, lost = []byte(c.Text), ""
		case lost != "":
		default:
			start, end := x.offset(c.Range.Start), x.offset(c.Range.End)
			if start > end {
				lost = "an edit ended before it began"
				continue
			}
			content = bytes.Join([][]byte{content[:start], []byte(c.Text), content[end:]}, nil)
		}
		if len(content) > mostText {
			content, lost = nil, fmt.Sprintf("the text is longer than %d bytes", mostText)
		}
	}
	if lost != "" {
		return d.losing(version, lost)
	}
	return d.with(version, content, d.count)
}

// isOurs reports whether the document is a file of a dataset, or one that says
// itself that it is an engine's.
func (d *document) isOurs() bool {
	root := d.file().Doc.Root
	return d.place.Kind != lint.EngineFile || d.place.ID != "" || root.Get("engine") != nil && root.Get("title") != nil
}

// slot returns what the format lets stand at a path of the document.
func (d *document) slot(path text.Path) (schema.Slot, bool) {
	switch d.place.Kind {
	case lint.EngineFile:
		return schema.EngineSlot(path)
	case lint.SourceFile:
		return schema.SourceSlot(path)
	}
	return schema.Slot{}, false
}

// spanOf returns the range of a node.
func (d *document) spanOf(n *text.Node) span { return d.span(n.Span.Start, n.Span.End) }

// pathOf returns the path of a file URI.
func pathOf(uri string) (string, bool) {
	u, err := url.Parse(uri)
	if err != nil || u.Scheme != "file" || u.Path == "" || u.Host != "" && u.Host != "localhost" {
		return "", false
	}
	path := u.Path
	if runtime.GOOS == "windows" {
		path = strings.TrimPrefix(path, "/") // /c:/data
	}
	return filepath.Clean(filepath.FromSlash(path)), true
}

// uriOf returns the URI of a file.
func uriOf(name string) string {
	path := filepath.ToSlash(absolute(name))
	if !strings.HasPrefix(path, "/") {
		path = "/" + path
	}
	return (&url.URL{Scheme: "file", Path: path}).String()
}

func absolute(name string) string {
	if abs, err := filepath.Abs(filepath.FromSlash(name)); err == nil {
		return abs
	}
	return name
}
