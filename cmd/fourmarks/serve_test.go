package main

import (
	"bufio"
	"fmt"
	"io"
	"net/textproto"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The program as an editor starts it: built, and spoken to over pipes. Killed in
// the middle of an edit it leaves the files as they were.
func TestServeOverPipes(t *testing.T) {
	binary := filepath.Join(t.TempDir(), "fourmarks.exe")
	out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput()
	require.NoError(t, err, string(out))
	root := t.TempDir()
	file := filepath.Join(root, "engines", "a", "b.yaml")
	require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
	const saved = "format: 1\nengine: a/b\ntitle: B\n"
	require.NoError(t, os.WriteFile(file, []byte(saved), 0o644))

	server := exec.Command(binary, "serve", "--stdio")
	in, err := server.StdinPipe()
	require.NoError(t, err)
	stdout, err := server.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, server.Start())
	t.Cleanup(func() { _ = server.Process.Kill() })
	answers := textproto.NewReader(bufio.NewReader(stdout))

	send := func(message string) {
		_, err := fmt.Fprintf(in, "Content-Length: %d\r\n\r\n%s", len(message), message)
		require.NoError(t, err)
	}
	receive := func() string {
		header, err := answers.ReadMIMEHeader()
		require.NoError(t, err)
		n, err := strconv.Atoi(header.Get("Content-Length"))
		require.NoError(t, err)
		content := make([]byte, n)
		_, err = io.ReadFull(answers.R, content)
		require.NoError(t, err)
		return string(content)
	}
	send(`{"jsonrpc":"2.0","id":1,"method":"initialize","params":{"processId":null,"rootUri":null,"capabilities":{}}}`)
	assert.Contains(t, receive(), `"positionEncoding":"utf-16"`)
	send(`{"jsonrpc":"2.0","method":"initialized","params":{}}`)
	uri := "file://" + filepath.ToSlash(file)
	send(fmt.Sprintf(`{"jsonrpc":"2.0","method":"textDocument/didOpen","params":{"textDocument":{"uri":%q,"languageId":"yaml","version":1,"text":%q}}}`,
		uri, saved+"size: {boar: 3 in}\n"))
	found := receive()
	assert.Contains(t, found, "textDocument/publishDiagnostics")
	assert.Contains(t, found, "form/unknown-key")
	send(fmt.Sprintf(`{"jsonrpc":"2.0","id":2,"method":"textDocument/formatting","params":{"textDocument":{"uri":%q},"options":{}}}`, uri))
	require.NoError(t, server.Process.Kill())
	require.Error(t, server.Wait())

	now, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, saved, string(now))
	var names []string
	require.NoError(t, filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			names = append(names, strings.TrimPrefix(path, root))
		}
		return err
	}))
	assert.Len(t, names, 1, "nothing is left beside it: %v", names)
}
