package serve

import (
	"context"

	"fourmarks.example/lint"
)

// notification deals with what needs no answer. Unknown ones are of no account,
// as are those about documents that are not open.
func (s *session) notification(ctx context.Context, m message) {
	switch m.Method {
	case "initialized":
		s.watch()
	case "textDocument/didOpen":
		s.didOpen(ctx, m)
	case "textDocument/didChange":
		s.didChange(ctx, m)
	case "textDocument/didClose":
		s.didClose(ctx, m)
	case "textDocument/didSave", "workspace/didChangeWatchedFiles":
		s.filesChanged(ctx)
	case "$/cancelRequest":
		s.cancelRequest(m)
	}
}

func (s *session) cancelRequest(m message) {
	var p cancelParams
	if decode(m.Params, &p) != nil {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if cancel := s.pending[string(p.ID)]; cancel != nil {
		cancel()
	}
}

func (s *session) didOpen(ctx context.Context, m message) {
	var p didOpenParams
	if decode(m.Params, &p) != nil || p.TextDocument.URI == "" {
		return
	}
	t := p.TextDocument
	s.refresh()
	s.put(ctx, openDocument(t.URI, t.Version, t.Text, s.count, s.folder))
}

func (s *session) didChange(ctx context.Context, m message) {
	var p didChangeParams
	err := decode(m.Params, &p)
	d := s.document(p.TextDocument.URI)
	switch {
	case d == nil:
	case err != nil:
		s.put(ctx, d.losing(p.TextDocument.Version, "an edit could not be read"))
	default:
		s.put(ctx, d.edited(p.TextDocument.Version, p.ContentChanges))
	}
}

func (s *session) didClose(ctx context.Context, m message) {
	var p documentParams
	if decode(m.Params, &p) != nil {
		return
	}
	d := s.document(p.uri())
	if d == nil {
		return
	}
	s.mu.Lock()
	delete(s.documents, d.uri)
	s.stopCheck(d.uri)
	s.notify("textDocument/publishDiagnostics", publishDiagnosticsParams{URI: d.uri, Diagnostics: []diagnostic{}})
	s.mu.Unlock()
	s.filesChanged(ctx)
}

// filesChanged looks at the files on disk anew and checks every open document
// against them.
func (s *session) filesChanged(ctx context.Context) {
	s.refresh()
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, d := range s.documents {
		s.check(ctx, d)
	}
}

func (s *session) document(uri string) *document {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.documents[uri]
}

// put makes a document the one that is open under its URI, and has it checked,
// with the engines that may cite it when it is a source record.
func (s *session) put(ctx context.Context, d *document) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.documents[d.uri] = d
	s.check(ctx, d)
	if d.place.Kind != lint.SourceFile {
		return
	}
	for _, other := range s.documents {
		if other != d && other.place.Root == d.place.Root {
			s.check(ctx, other)
		}
	}
}

// loseAll notes that no open document is known to be the editor's any more.
func (s *session) loseAll(ctx context.Context, why string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for uri, d := range s.documents {
		s.documents[uri] = d.losing(d.version, why)
		s.check(ctx, s.documents[uri])
	}
}
