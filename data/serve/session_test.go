package serve_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/serve"
)

const (
	initialize = `{"jsonrpc":"2.0","id":0,"method":"initialize","params":{"capabilities":{}}}`
	ready      = `{"jsonrpc":"2.0","method":"initialized","params":{}}`
	shutdown   = `{"jsonrpc":"2.0","id":9,"method":"shutdown"}`
	exit       = `{"jsonrpc":"2.0","method":"exit"}`
	hoverAt    = `{"jsonrpc":"2.0","id":%s,"method":"textDocument/hover","params":{"textDocument":{"uri":"file:///a.yaml"},"position":{"line":0,"character":0}}}`
	openA      = `{"jsonrpc":"2.0","method":"textDocument/didOpen","params":{"textDocument":{"uri":"file:///a.yaml","version":1,"text":"x: y\n"}}}`
)

// Each script is what an editor sends, all at once, and how each message is
// answered: by id, with a result or the code of an error. What is sent without
// being asked for is left out.
func TestScripts(t *testing.T) {
	cases := []struct {
		name string
		send []string
		want []string
		end  string // why the server ended; "" for in order
	}{
		{"an orderly life", []string{initialize, ready, shutdown, exit}, []string{"0 result", "9 result"}, ""},
		{"gone without a word", nil, nil, "without a shutdown"},
		{"gone after shutdown", []string{initialize, shutdown}, []string{"0 result", "9 result"}, ""},
		{"exit at once", []string{exit}, nil, "without a shutdown"},
		{"exit without shutdown", []string{initialize, exit}, []string{"0 result"}, "without a shutdown"},
		{"a request before initialize", []string{fmt.Sprintf(hoverAt, "1"), shutdown, initialize, shutdown, exit},
			[]string{"1 -32002", "9 -32002", "0 result", "9 result"}, ""},
		{"a notification before initialize", []string{openA, initialize, fmt.Sprintf(hoverAt, "1"), shutdown, exit},
			[]string{"0 result", "1 -32602", "9 result"}, ""},
		{"initialize twice", []string{initialize, initialize, shutdown, exit}, []string{"0 result", "0 -32600", "9 result"}, ""},
		{"initialize with nonsense", []string{`{"jsonrpc":"2.0","id":0,"method":"initialize","params":[]}`, initialize, shutdown, exit},
			[]string{"0 -32602", "0 result", "9 result"}, ""},
		{"initialize without parameters", []string{`{"jsonrpc":"2.0","id":0,"method":"initialize"}`, shutdown, exit}, []string{"0 result", "9 result"}, ""},
		{"a request after shutdown", []string{initialize, shutdown, fmt.Sprintf(hoverAt, "1"), initialize, shutdown, openA, exit},
			[]string{"0 result", "9 result", "1 -32600", "0 -32600", "9 -32600"}, ""},
		{"an unknown method", []string{initialize, `{"jsonrpc":"2.0","id":1,"method":"textDocument/rename"}`, `{"jsonrpc":"2.0","id":2,"method":"$/odd"}`, shutdown, exit},
			[]string{"0 result", "1 -32601", "2 -32601", "9 result"}, ""},
		{"an unknown notification", []string{initialize, `{"jsonrpc":"2.0","method":"$/odd"}`, `{"jsonrpc":"2.0","method":"odd","params":7}`, shutdown, exit},
			[]string{"0 result", "9 result"}, ""},
		{"an answer to nothing", []string{initialize, `{"jsonrpc":"2.0","id":77,"result":null}`, `{"jsonrpc":"2.0","id":77,"error":{"code":1,"message":"no"}}`, shutdown, exit},
			[]string{"0 result", "9 result"}, ""},
		{"not JSON", []string{initialize, "{", "", "hello", shutdown, exit}, []string{"0 result", "null -32700", "null -32700", "null -32700", "9 result"}, ""},
		{"no request", []string{initialize, "[]", "7", `{"jsonrpc":"2.0","id":4}`, shutdown, exit},
			[]string{"0 result", "null -32600", "null -32600", "4 -32600", "9 result"}, ""},
		{"ids of all kinds", []string{initialize, openA, fmt.Sprintf(hoverAt, `"a"`), fmt.Sprintf(hoverAt, "-1"), fmt.Sprintf(hoverAt, "null"), fmt.Sprintf(hoverAt, "1.5"), shutdown, exit},
			[]string{"0 result", `"a" result`, "-1 result", "null -32600", "null -32600", "9 result"}, ""},
		{"a document that is not open", []string{initialize, fmt.Sprintf(hoverAt, "1"), shutdown, exit}, []string{"0 result", "1 -32602", "9 result"}, ""},
		{"parameters of another kind", []string{initialize, openA, `{"jsonrpc":"2.0","id":1,"method":"textDocument/hover","params":{"textDocument":{"uri":"file:///a.yaml"},"position":{"line":-1}}}`,
			`{"jsonrpc":"2.0","id":2,"method":"textDocument/completion","params":"x"}`, shutdown, exit}, []string{"0 result", "1 -32602", "2 -32602", "9 result"}, ""},
		{"nothing to cancel", []string{initialize, `{"jsonrpc":"2.0","method":"$/cancelRequest","params":{"id":5}}`, `{"jsonrpc":"2.0","method":"$/cancelRequest","params":{}}`,
			`{"jsonrpc":"2.0","method":"$/cancelRequest"}`, `{"jsonrpc":"2.0","method":"$/cancelRequest","params":7}`, shutdown, exit}, []string{"0 result", "9 result"}, ""},
		{"documents that are none", []string{initialize, `{"jsonrpc":"2.0","method":"textDocument/didOpen"}`, `{"jsonrpc":"2.0","method":"textDocument/didOpen","params":{}}`,
			`{"jsonrpc":"2.0","method":"textDocument/didChange","params":{"textDocument":{"uri":"file:///b.yaml","version":1},"contentChanges":[{"text":""}]}}`,
			`{"jsonrpc":"2.0","method":"textDocument/didClose","params":{"textDocument":{"uri":"file:///b.yaml"}}}`, `{"jsonrpc":"2.0","method":"textDocument/didSave"}`, shutdown, exit},
			[]string{"0 result", "9 result"}, ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var in strings.Builder
			for _, m := range c.send {
				fmt.Fprintf(&in, "Content-Length: %d\r\n\r\n%s", len(m), m)
			}
			got, err := speak(t, strings.NewReader(in.String()))
			assert.ElementsMatch(t, c.want, got)
			if c.end == "" {
				assert.NoError(t, err)
			} else {
				assert.ErrorContains(t, err, c.end)
			}
		})
	}
}

// What cannot be split into messages is answered once, and ends the session.
func TestBrokenFraming(t *testing.T) {
	framed := fmt.Sprintf("Content-Length: %d\r\n\r\n%s", len(initialize), initialize)
	for _, c := range []struct {
		name, input string
		want        []string
		end         string
	}{
		{"garbage", framed + "\x00\x01garbage\r\n\r\n", []string{"0 result", "null -32700"}, "no line of a header"},
		{"no length", framed + "X: y\r\n\r\n{}", []string{"0 result", "null -32700"}, "no Content-Length"},
		{"negative", "Content-Length: -5\r\n\r\n{}", []string{"null -32700"}, "no Content-Length"},
		{"longer than everything", framed + "Content-Length: 9000000000000000000\r\n\r\n{}", []string{"0 result"}, "ends within a message"},
		{"cut off", framed + "Content-Length: 100\r\n\r\n{", []string{"0 result"}, "ends within a message"},
		{"a header without end", strings.Repeat("x", 1<<16), []string{"null -32700"}, "longer than"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := speak(t, strings.NewReader(c.input))
			assert.ElementsMatch(t, c.want, got)
			assert.ErrorContains(t, err, c.end)
		})
	}
}

// speak has a server read an input, and returns what it answered: ids with
// results or codes of errors.
func speak(t *testing.T, in io.Reader) (answers []string, err error) {
	var out bytes.Buffer
	err = serve.Serve(context.Background(), in, &out)
	for out.Len() > 0 {
		header, rest, found := strings.Cut(out.String(), "\r\n\r\n")
		require.True(t, found, "%q", out.String())
		n, err := strconv.Atoi(strings.TrimPrefix(header, "Content-Length: "))
		require.NoError(t, err)
		var m sent
		require.NoError(t, json.Unmarshal([]byte(rest[:n]), &m))
		out.Next(len(header) + 4 + n)
		switch {
		case m.Method != "":
		case m.Error != nil:
			answers = append(answers, fmt.Sprintf("%s %d", m.ID, m.Error.Code))
		default:
			answers = append(answers, fmt.Sprintf("%s result", m.ID))
		}
	}
	return answers, err
}

func TestEncodingIsNegotiated(t *testing.T) {
	for want, offered := range map[string][]string{"utf-16": nil, "utf-8": {"utf-16", "utf-8"}, " utf-16": {"utf-32", "utf-16"}} {
		c := connect(t)
		var result struct {
			Capabilities struct{ PositionEncoding string }
		}
		r := c.initialize(object{"general": object{"positionEncodings": offered}})
		require.NoError(t, json.Unmarshal(r.Result, &result))
		assert.Equal(t, strings.TrimSpace(want), result.Capabilities.PositionEncoding, offered)
	}
}

func TestWatchedFilesAreRegisteredWhereThatCanBe(t *testing.T) {
	c := connect(t)
	c.initialize(object{"workspace": object{"didChangeWatchedFiles": object{"dynamicRegistration": true}}})
	call := received(t, c.calls)
	assert.Equal(t, "client/registerCapability", call.Method)
	assert.NotNil(t, call.ID)
	assert.Contains(t, string(call.Params), "workspace/didChangeWatchedFiles")
	c.send(fmt.Sprintf(`{"jsonrpc":"2.0","id":%s,"result":null}`, call.ID))
	assert.Nil(t, c.call("shutdown", nil).Error)
}

// Requests that are cancelled are answered all the same, once each.
func TestCancelledRequestsAreAnswered(t *testing.T) {
	c := connect(t)
	c.initialize(able)
	uri := "file:///a/b.yaml"
	c.open(uri, engineA)
	var answers []<-chan reply
	for i := range 100 {
		answers = append(answers, c.ask("textDocument/codeAction", object{"textDocument": object{"uri": uri}, "range": extent{}, "context": object{}}))
		c.notify("$/cancelRequest", object{"id": i + 2}) // initialize was 1
	}
	for _, a := range answers {
		if r := received(t, a); r.Error != nil {
			assert.Contains(t, []int{-32800, -32802}, r.Error.Code)
		}
	}
	assert.Nil(t, c.call("shutdown", nil).Error)
}

// An id may be used again once it has been answered, and not before: of two
// requests with one id, one is answered and the other refused or answered after.
func TestAnIDInUse(t *testing.T) {
	c := connect(t)
	c.initialize(able)
	c.open("file:///a/b.yaml", engineA)
	for range 50 {
		c.send(`{"jsonrpc":"2.0","id":"same","method":"textDocument/codeAction","params":{"textDocument":{"uri":"file:///a/b.yaml"},"range":{"start":{"line":0,"character":0},"end":{"line":9,"character":0}},"context":{}}}`)
	}
	var refused int
	for range 50 {
		r := received(t, c.calls)
		assert.Equal(t, `"same"`, string(r.ID))
		if r.Error != nil {
			assert.Equal(t, -32600, r.Error.Code)
			refused++
		}
	}
	assert.Less(t, refused, 50)
	c.send(`{"jsonrpc":"2.0","id":"same","method":"shutdown"}`)
	assert.Nil(t, received(t, c.calls).Error)
}

func TestTooManyRequestsAtOnce(t *testing.T) {
	c := connect(t)
	c.initialize(able)
	c.open("file:///a/b.yaml", engineA)
	var answers []<-chan reply
	for range 600 {
		answers = append(answers, c.ask("textDocument/codeAction", object{"textDocument": object{"uri": "file:///a/b.yaml"}, "range": extent{}, "context": object{}}))
	}
	for _, a := range answers {
		if r := received(t, a); r.Error != nil {
			assert.Equal(t, -32802, r.Error.Code)
		}
	}
}

const engineA = "format: 1\nengine: a/b\ntitle: B\nsize:\n  from: book p. 6\n  bore: 3 in\nsources:\n  book: {title: Book, grade: maker}\n"

// Requests and edits that come in a throng are each answered, from the document
// as it stood.
func TestAThrong(t *testing.T) {
	c := connect(t)
	c.initialize(able)
	uri := "file:///a/b.yaml"
	c.open(uri, engineA)
	var answers []<-chan reply
	for i := range 50 {
		c.notify("textDocument/didChange", object{"textDocument": object{"uri": uri, "version": i + 2},
			"contentChanges": []object{{"range": extent{position{2, 7}, position{2, 7}}, "text": "x"}}})
		answers = append(answers, c.ask("textDocument/documentSymbol", object{"textDocument": object{"uri": uri}}))
	}
	for i, a := range answers {
		var symbols []struct{ Name, Detail string }
		require.NoError(t, json.Unmarshal(received(t, a).Result, &symbols))
		assert.Equal(t, strings.Repeat("x", i+1)+"B", symbols[2].Detail)
	}
	assert.Empty(t, c.findings(uri, 51).Diagnostics)
}

// deaf is an output that takes nothing.
type deaf struct{}

func (deaf) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

func TestAnEditorThatDoesNotListen(t *testing.T) {
	in, write := io.Pipe()
	defer write.Close()
	ended := make(chan error, 1)
	go func() { ended <- serve.Serve(context.Background(), in, deaf{}) }()
	fmt.Fprintf(write, "Content-Length: %d\r\n\r\n%s", len(initialize), initialize)
	assert.ErrorContains(t, received(t, ended), "takes no more answers")
}

func TestAContextThatIsCancelled(t *testing.T) {
	in, write := io.Pipe()
	defer write.Close()
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- serve.Serve(ctx, in, io.Discard) }()
	cancel()
	assert.ErrorIs(t, received(t, ended), context.Canceled)
}

// When a session ends, in whatever way, nothing of it runs any more.
func TestNothingIsLeftRunning(t *testing.T) {
	before := runtime.NumGoroutine()
	for i := range 20 {
		in, write := io.Pipe()
		ended := make(chan error, 1)
		go func() { ended <- serve.Serve(context.Background(), in, io.Discard) }()
		messages := []string{initialize, ready, openA}
		for id := range 20 {
			messages = append(messages, fmt.Sprintf(hoverAt, strconv.Itoa(id)), strings.Replace(openA, "x: y", engineA[:5]+strconv.Itoa(id), 1))
		}
		if i%2 == 0 {
			messages = append(messages, shutdown, exit)
		}
		for _, m := range messages {
			fmt.Fprintf(write, "Content-Length: %d\r\n\r\n%s", len(m), m)
		}
		write.Close()
		received(t, ended)
	}
	deadline := time.Now().Add(patience)
	for runtime.NumGoroutine() > before && time.Now().Before(deadline) {
		time.Sleep(time.Millisecond)
	}
	assert.LessOrEqual(t, runtime.NumGoroutine(), before)
}

// An editor that dies in the middle of an edit leaves the files as they were.
func TestNothingIsWritten(t *testing.T) {
	uris := dataset(t, map[string]string{"engines/a/b.yaml": engineA, "sources/s.yaml": "title: S\ngrade: maker\n"})
	path := strings.TrimPrefix(uris["engines/a/b.yaml"], "file://")
	root := filepath.Dir(filepath.Dir(filepath.Dir(path)))
	before := listing(t, root)
	c := connect(t)
	c.initialize(able)
	c.open(uris["engines/a/b.yaml"], engineA)
	c.change(uris["engines/a/b.yaml"], 2, "format: 1\nengine: a/b\n")
	c.call("textDocument/formatting", object{"textDocument": object{"uri": uris["engines/a/b.yaml"]}, "options": object{}})
	c.write("Content-Length: 500\r\n\r\n{")
	require.NoError(t, c.in.Close())
	require.Error(t, c.wait())
	assert.Equal(t, before, listing(t, root))
}

// listing is every file below a folder with its text.
func listing(t *testing.T, root string) []string {
	var all []string
	require.NoError(t, filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return errors.Join(err)
		}
		b, err := os.ReadFile(path)
		all = append(all, path+"\n"+string(b))
		return err
	}))
	slices.Sort(all)
	return all
}
