package serve

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/run"
	"fourmarks.example/schema"
)

// check has a document linted and its findings shown, in place of those of an
// older version. The caller holds s.mu.
func (s *session) check(ctx context.Context, d *document) {
	s.stopCheck(d.uri)
	ctx, cancel := context.WithCancel(ctx)
	s.checks[d.uri] = cancel
	s.checking.Go(func() {
		defer cancel()
		select {
		case s.linting <- struct{}{}:
			defer func() { <-s.linting }()
			s.publish(ctx, d)
		case <-ctx.Done():
		}
	})
}

// stopCheck ends the check of a document. The caller holds s.mu.
func (s *session) stopCheck(uri string) {
	if cancel := s.checks[uri]; cancel != nil {
		cancel()
		delete(s.checks, uri)
	}
}

// publish shows the findings of a document, unless there is a newer version.
func (s *session) publish(ctx context.Context, d *document) {
	shown, err := guarded(func() (any, error) { return s.diagnostics(ctx, d) })
	if err != nil {
		shown = []diagnostic{{Severity: severityError, Source: program, Message: err.Error()}}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if ctx.Err() == nil && s.documents[d.uri] == d {
		s.notify("textDocument/publishDiagnostics",
			publishDiagnosticsParams{URI: d.uri, Version: &d.version, Diagnostics: shown.([]diagnostic)})
	}
}

// diagnostics lints a document and words its findings for the editor.
func (s *session) diagnostics(ctx context.Context, d *document) ([]diagnostic, error) {
	if d.lost != "" && d.place.Root != "" {
		return []diagnostic{{Severity: severityError, Source: program,
			Message: "this file is not checked any more, because " + d.lost + "; close it and open it again"}}, nil
	}
	found, err := s.findings(ctx, d)
	if err != nil {
		return nil, err
	}
	shown := []diagnostic{}
	for _, f := range found {
		shown = append(shown, s.diagnostic(d, f))
	}
	return shown, nil
}

// findings lints a document as it stands, against the sources of its dataset.
// Accepted findings are not among them.
func (s *session) findings(ctx context.Context, d *document) ([]*lint.Finding, error) {
	if d.lost != "" || !d.isOurs() {
		return nil, nil
	}
	inputs := append(s.sources(d), lint.Input{Kind: d.place.Kind, Name: d.name, ID: d.place.ID, Read: func() ([]byte, error) { return d.text, nil }})
	if d.place.Kind == lint.MovedFile {
		engines, err := store.Engines(d.place.Root)
		if err != nil {
			return nil, err
		}
		inputs = append(inputs, engines...)
	}
	res, err := run.Lint(ctx, inputs, run.Options{Rules: s.book})
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(res.Findings, func(f *lint.Finding) bool { return f.File != d.name }), nil
}

var severities = [...]severity{lint.Note: severityInformation, lint.Warning: severityWarning, lint.Error: severityError}

func (s *session) diagnostic(d *document, f *lint.Finding) diagnostic {
	out := diagnostic{Range: d.rangeOf(f), Severity: severities[f.Level], Code: f.Rule, Source: program, Message: worded(f)}
	if s.editor.TextDocument.PublishDiagnostics.RelatedInformation {
		for _, r := range f.Related {
			out.RelatedInformation = append(out.RelatedInformation, related{Location: s.placeOf(d, r), Message: report.Inert(r.Message)})
		}
	}
	return out
}

// rangeOf is what a finding underlines. What is nothing wide is drawn to the
// end of its line, so that it can be seen.
func (d *document) rangeOf(f *lint.Finding) span {
	doc := d.file().Doc
	start, end := doc.Offset(f.Line, f.Column), doc.Offset(f.EndLine, f.EndCol)
	if end <= start {
		_, end = d.line(int(d.position(start).Line))
	}
	return d.span(start, max(start, end))
}

// worded is a finding in plain words: the message, and which figures can be the
// slip.
func worded(f *lint.Finding) string {
	var b strings.Builder
	if f.Variant != "" {
		fmt.Fprintf(&b, "in variant %s: ", f.Variant)
	}
	b.WriteString(f.Message)
	heading, suspicion := report.Suspicion(f)
	if heading != "" {
		b.WriteString("\n" + heading)
	}
	for _, s := range suspicion {
		b.WriteString("\n" + s)
	}
	lines := strings.Split(b.String(), "\n")
	for i := range lines {
		lines[i] = report.Inert(lines[i])
	}
	return strings.Join(lines, "\n")
}

// placeOf is where a related place is, in the document or in a file of the
// register.
func (s *session) placeOf(d *document, r lint.Related) location {
	if r.File == d.name {
		at := d.position(d.file().Doc.Offset(r.Line, r.Column))
		return location{URI: d.uri, Range: span{at, at}}
	}
	for _, in := range s.sources(d) {
		if in.Name != r.File {
			continue
		}
		if source := in.Record(); source != nil && source.At.File != nil {
			doc := source.At.File.Doc
			at := indexText(doc.Source, s.count).position(doc.Offset(r.Line, r.Column))
			return location{URI: s.uriOf(in.Name), Range: span{at, at}}
		}
	}
	return location{URI: s.uriOf(r.File)}
}

// uriOf returns the URI of a file, as the editor calls it where it is open.
func (s *session) uriOf(name string) string {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, d := range s.documents {
		if d.name == absolute(name) {
			return d.uri
		}
	}
	return uriOf(name)
}

// atPlace is the location of a place in a file, and of an end of it.
func (s *session) atPlace(at schema.Place) location {
	x := indexText(at.File.Doc.Source, s.count)
	return location{URI: s.uriOf(at.File.Name), Range: x.span(at.Node.Span.Start, at.Node.Span.End)}
}
