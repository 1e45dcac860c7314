package serve

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"fourmarks.example/lint"
)

// A mistake in a rule is told where the findings would be, and the editor keeps
// its server.
func TestAMistakeInARule(t *testing.T) {
	book := []*lint.Rule{{Name: "form/wrong", File: func(*lint.Pass) { panic("no such thing") }}}
	var in strings.Builder
	for _, m := range []string{
		`{"jsonrpc":"2.0","id":1,"method":"initialize","params":{"capabilities":{"textDocument":{"codeAction":{"codeActionLiteralSupport":{}}}}}}`,
		`{"jsonrpc":"2.0","method":"textDocument/didOpen","params":{"textDocument":{"uri":"untitled:a","version":1,"text":"engine: a/b\ntitle: B\n"}}}`,
		`{"jsonrpc":"2.0","id":2,"method":"textDocument/codeAction","params":{"textDocument":{"uri":"untitled:a"},"range":{},"context":{}}}`,
		`{"jsonrpc":"2.0","id":3,"method":"textDocument/documentSymbol","params":{"textDocument":{"uri":"untitled:a"}}}`,
		`{"jsonrpc":"2.0","id":4,"method":"shutdown"}`,
		`{"jsonrpc":"2.0","method":"exit"}`,
	} {
		fmt.Fprintf(&in, "Content-Length: %d\r\n\r\n%s", len(m), m)
	}
	var out bytes.Buffer
	assert.NoError(t, newSession(&out, book).serve(context.Background(), strings.NewReader(in.String())))
	assert.Contains(t, out.String(), `"id":2,"error":{"code":-32603,"message":"a mistake in this program: checking untitled:a: no such thing"}`)
	assert.Contains(t, out.String(), `"id":3,"result":[`)
	assert.NotContains(t, out.String(), "goroutine", "where it happened is not for the editor")
}
