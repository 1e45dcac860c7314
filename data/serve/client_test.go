package serve_test

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/textproto"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data/serve"
)

// patience bounds how long a test waits for what must come. It decides nothing:
// a test that reaches it has failed.
const patience = time.Minute

// client is an editor in a test.
type client struct {
	t  testing.TB
	in io.WriteCloser

	mu      sync.Mutex
	answers map[string]chan reply // by id
	lastID  int
	shown   chan shown
	calls   chan sent // everything else that the server sends
	ended   chan error
}

// reply is what a request was answered with.
type reply struct {
	ID     json.RawMessage `json:"id"`
	Result json.RawMessage `json:"result"`
	Error  *struct {
		Code    int    `json:"code"`
		Message string `json:"message"`
	} `json:"error"`
}

// sent is anything that the server sends.
type sent struct {
	reply
	Method string          `json:"method"`
	Params json.RawMessage `json:"params"`
}

// shown is the findings of a document, as the editor shows them.
type shown struct {
	URI         string       `json:"uri"`
	Version     *int         `json:"version"`
	Diagnostics []diagnostic `json:"diagnostics"`
}

type position struct {
	Line      int `json:"line"`
	Character int `json:"character"`
}

type extent struct {
	Start position `json:"start"`
	End   position `json:"end"`
}

type diagnostic struct {
	Range              extent `json:"range"`
	Severity           int    `json:"severity"`
	Code               string `json:"code"`
	Source             string `json:"source"`
	Message            string `json:"message"`
	RelatedInformation []struct {
		Location struct {
			URI   string `json:"uri"`
			Range extent `json:"range"`
		} `json:"location"`
		Message string `json:"message"`
	} `json:"relatedInformation"`
}

// object spells out JSON in a test.
type object = map[string]any

// connect starts a server in this process. It is stopped at the end of the test,
// which fails if it does not end.
func connect(t testing.TB) *client {
	toServer, in := io.Pipe()
	out, fromServer := io.Pipe()
	c := newClient(t, in, out)
	go func() {
		err := serve.Serve(context.Background(), toServer, fromServer)
		fromServer.Close()
		toServer.Close()
		c.ended <- err
	}()
	t.Cleanup(func() {
		in.Close()
		c.wait()
	})
	return c
}

// newClient reads what a server writes until it writes no more.
func newClient(t testing.TB, in io.WriteCloser, out io.Reader) *client {
	c := &client{t: t, in: in, answers: map[string]chan reply{}, shown: make(chan shown, 1000), calls: make(chan sent, 1000), ended: make(chan error, 2)}
	go c.read(out)
	return c
}

func (c *client) read(out io.Reader) {
	r := textproto.NewReader(bufio.NewReader(out))
	for {
		header, err := r.ReadMIMEHeader()
		if err != nil {
			return
		}
		n, err := strconv.Atoi(header.Get("Content-Length"))
		if err != nil {
			panic(fmt.Sprintf("the server wrote the header %v", header))
		}
		content := make([]byte, n)
		if _, err := io.ReadFull(r.R, content); err != nil {
			return
		}
		c.received(content)
	}
}

func (c *client) received(content []byte) {
	var m sent
	if err := json.Unmarshal(content, &m); err != nil {
		panic(fmt.Sprintf("the server wrote %q: %v", content, err))
	}
	c.mu.Lock()
	answer := c.answers[string(m.ID)]
	delete(c.answers, string(m.ID))
	c.mu.Unlock()
	switch {
	case m.Method == "textDocument/publishDiagnostics":
		var s shown
		if err := json.Unmarshal(m.Params, &s); err != nil {
			panic(err)
		}
		c.shown <- s
	case m.Method == "" && answer != nil:
		answer <- m.reply
	default:
		c.calls <- m
	}
}

// wait waits for the server to end and returns why it did.
func (c *client) wait() error {
	select {
	case err := <-c.ended:
		c.ended <- err // whoever asks again
		return err
	case <-time.After(patience):
		require.Fail(c.t, "the server does not end")
		return nil
	}
}

// write writes bytes as they are.
func (c *client) write(s string) {
	c.t.Helper()
	_, err := io.WriteString(c.in, s)
	require.NoError(c.t, err)
}

// send writes a message.
func (c *client) send(content string) {
	c.t.Helper()
	c.write(fmt.Sprintf("Content-Length: %d\r\n\r\n%s", len(content), content))
}

func (c *client) sendJSON(message object) {
	c.t.Helper()
	message["jsonrpc"] = "2.0"
	b, err := json.Marshal(message)
	require.NoError(c.t, err)
	c.send(string(b))
}

func (c *client) notify(method string, params any) {
	c.t.Helper()
	c.sendJSON(object{"method": method, "params": params})
}

// ask sends a request; the answer comes on the channel.
func (c *client) ask(method string, params any) <-chan reply {
	c.t.Helper()
	c.mu.Lock()
	c.lastID++
	id := c.lastID
	answer := make(chan reply, 1)
	c.answers[strconv.Itoa(id)] = answer
	c.mu.Unlock()
	c.sendJSON(object{"id": id, "method": method, "params": params})
	return answer
}

// call sends a request and waits for its answer.
func (c *client) call(method string, params any) reply {
	c.t.Helper()
	return received(c.t, c.ask(method, params))
}

// result calls and reads the result, which must not be an error.
func (c *client) result(method string, params, into any) {
	c.t.Helper()
	r := c.call(method, params)
	require.Nil(c.t, r.Error, method)
	require.NoError(c.t, json.Unmarshal(r.Result, into))
}

func received[T any](t testing.TB, from <-chan T) T {
	t.Helper()
	select {
	case v := <-from:
		return v
	case <-time.After(patience):
		require.Fail(t, "nothing came")
		panic("unreachable")
	}
}

// initialize says what the editor can do, and that it is ready.
func (c *client) initialize(capabilities object) reply {
	c.t.Helper()
	r := c.call("initialize", object{"processId": nil, "capabilities": capabilities})
	c.notify("initialized", object{})
	return r
}

// able is an editor that can do all that the server makes use of, and counts
// characters as UTF-16.
var able = object{
	"workspace": object{"workspaceEdit": object{"documentChanges": true}},
	"textDocument": object{
		"hover":              object{"contentFormat": []string{"markdown", "plaintext"}},
		"completion":         object{"completionItem": object{"documentationFormat": []string{"markdown"}}},
		"codeAction":         object{"codeActionLiteralSupport": object{"codeActionKind": object{"valueSet": []string{"quickfix"}}}},
		"documentSymbol":     object{"hierarchicalDocumentSymbolSupport": true},
		"publishDiagnostics": object{"relatedInformation": true},
	},
}

// open opens a document and returns its findings.
func (c *client) open(uri, text string) shown {
	c.t.Helper()
	c.notify("textDocument/didOpen", object{"textDocument": object{"uri": uri, "languageId": "yaml", "version": 1, "text": text}})
	return c.findings(uri, 1)
}

// change replaces the whole text, and returns the findings.
func (c *client) change(uri string, version int, text string) shown {
	c.t.Helper()
	c.notify("textDocument/didChange", object{"textDocument": object{"uri": uri, "version": version}, "contentChanges": []object{{"text": text}}})
	return c.findings(uri, version)
}

// findings waits for those of one version of a document.
func (c *client) findings(uri string, version int) shown {
	c.t.Helper()
	for {
		s := received(c.t, c.shown)
		if s.URI == uri && s.Version != nil && *s.Version == version {
			return s
		}
	}
}

// dataset writes files into a new folder, and returns the URI of each.
func dataset(t testing.TB, files map[string]string) map[string]string {
	root := t.TempDir()
	uris := map[string]string{}
	for name, text := range files {
		file := filepath.Join(root, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
		uris[name] = uriOf(file)
	}
	return uris
}

func uriOf(file string) string {
	return (&url.URL{Scheme: "file", Path: filepath.ToSlash(file)}).String()
}

// marked takes the marks out of a text: a bar stands where the cursor is.
func marked(t testing.TB, text string) (clean string, at position) {
	before, after, found := strings.Cut(text, "|")
	require.True(t, found, "no cursor in %q", text)
	return before + after, position{Line: strings.Count(before, "\n"), Character: utf16Length(before[strings.LastIndexByte(before, '\n')+1:])}
}

func utf16Length(s string) int {
	n := 0
	for _, r := range s {
		n++
		if r > 0xFFFF {
			n++
		}
	}
	return n
}

func at(uri string, p position) object {
	return object{"textDocument": object{"uri": uri}, "position": p}
}
