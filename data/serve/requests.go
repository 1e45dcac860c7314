package serve

import (
	"context"
	"encoding/json"
)

// method finds out what a request is about, and returns what is left to do.
type method func(s *session, params json.RawMessage) (work, *failure)

// requests are the methods that are answered once the editor has initialized.
var requests = map[string]method{
	"textDocument/hover":          about((*session).hover),
	"textDocument/completion":     about((*session).completion),
	"textDocument/definition":     about((*session).definition),
	"textDocument/codeAction":     about((*session).codeActions),
	"textDocument/documentSymbol": about((*session).symbols),
	"textDocument/formatting":     about((*session).format),
}

// about makes a method of what is to be done for a document that is open.
func about[P interface{ uri() string }](do func(*session, context.Context, *document, P) (any, error)) method {
	return func(s *session, params json.RawMessage) (work, *failure) {
		var p P
		if err := decode(params, &p); err != nil {
			return nil, err
		}
		d := s.document(p.uri())
		if d == nil {
			return nil, failed(invalidParams, "the document %q is not open", cut(p.uri()))
		}
		return func(ctx context.Context) (any, error) { return do(s, ctx, d, p) }, nil
	}
}
