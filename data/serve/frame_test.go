package serve

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFrames(t *testing.T) {
	cases := []struct {
		name, input string
		want        []string // the contents read
		err         string   // what ends it
	}{
		{"none", "", nil, "EOF"},
		{"two", "Content-Length: 2\r\n\r\n{}Content-Length: 4\r\n\r\nnull", []string{"{}", "null"}, "EOF"},
		{"empty", "Content-Length: 0\r\n\r\n", []string{""}, "EOF"},
		{"type named", "Content-Type: application/vscode-jsonrpc; charset=utf-8\r\nContent-Length: 2\r\n\r\n{}", []string{"{}"}, "EOF"},
		{"type of older clients", "content-length:2\r\ncontent-type: application/vscode-jsonrpc; charset=utf8\r\n\r\n{}", []string{"{}"}, "EOF"},
		{"unknown field", "X-Y: z\r\nContent-Length: 2\r\n\r\n{}", []string{"{}"}, "EOF"},
		{"line feeds alone", "Content-Length: 2\n\n{}", []string{"{}"}, "EOF"},
		{"another encoding", "Content-Length: 2\r\nContent-Type: text/plain; charset=latin1\r\n\r\n{}", nil, "only UTF-8 is read"},
		{"no length", "Content-Type: x\r\n\r\n{}", nil, "no Content-Length"},
		{"no header", "\r\n{}", nil, "no Content-Length"},
		{"negative", "Content-Length: -2\r\n\r\n{}", nil, `"-2" is no Content-Length`},
		{"not a number", "Content-Length: two\r\n\r\n{}", nil, `"two" is no Content-Length`},
		{"signed", "Content-Length: +2\r\n\r\n{}", nil, `"+2" is no Content-Length`},
		{"beyond all numbers", "Content-Length: 99999999999999999999\r\n\r\n{}", nil, "is no Content-Length"},
		{"given twice", "Content-Length: 2\r\nContent-Length: 2\r\n\r\n{}", nil, "two Content-Lengths"},
		{"garbage", "\x00\xff\x1b[31m\r\n\r\n", nil, "is no line of a header"},
		{"JSON without a header", `{"jsonrpc":"2.0"}` + "\r\n\r\n", nil, "no Content-Length"},
		{"line without end", strings.Repeat("x", 3*mostHeader), nil, "longer than 4096 bytes"},
		{"header without end", strings.Repeat("X-Y: z\r\n", mostHeader), nil, "longer than 4096 bytes"},
		{"cut off in the header", "Content-Le", nil, "unexpected EOF"},
		{"cut off behind the header", "Content-Length: 2\r\n\r\n", nil, "unexpected EOF"},
		{"cut off in the content", "Content-Length: 5\r\n\r\n{}", nil, "unexpected EOF"},
		{"a length that nothing has", "Content-Length: 9223372036854775807\r\n\r\n{}", nil, "unexpected EOF"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := bufio.NewReaderSize(strings.NewReader(c.input), mostHeader)
			for _, want := range c.want {
				content, err := readFrame(r)
				require.NoError(t, err)
				assert.Equal(t, want, string(content))
			}
			_, err := readFrame(r)
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.err)
		})
	}
}

// A message that is too long is passed over, and the next is read.
func TestAFrameThatIsTooLong(t *testing.T) {
	input := io.MultiReader(
		strings.NewReader(fmt.Sprintf("Content-Length: %d\r\n\r\n", mostContent+1)), bytes.NewReader(make([]byte, mostContent+1)),
		strings.NewReader("Content-Length: 2\r\n\r\n{}"))
	r := bufio.NewReaderSize(input, mostHeader)
	_, err := readFrame(r)
	var long tooLong
	require.ErrorAs(t, err, &long)
	assert.EqualValues(t, mostContent+1, long)
	content, err := readFrame(r)
	require.NoError(t, err)
	assert.Equal(t, "{}", string(content))
}

func FuzzFrame(f *testing.F) {
	for _, seed := range []string{"", "Content-Length: 2\r\n\r\n{}", "Content-Length: 3\n\n{}", "Content-Length: -1\r\n\r\n", "x: y\r\ncontent-length: 0\r\n\r\nContent-Length: 1\r\n\r\n1"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, input []byte) {
		r := bufio.NewReaderSize(bytes.NewReader(input), mostHeader)
		read := 0
		for {
			content, err := readFrame(r)
			if errors.As(err, new(tooLong)) {
				continue // no input here is as long as it claims, so the next read ends it
			}
			if err != nil {
				break
			}
			read += len(content)
			if read > len(input) {
				t.Fatalf("%d bytes read of %d", read, len(input))
			}
			var again bytes.Buffer
			if err := writeFrame(&again, content); err != nil {
				t.Fatal(err)
			}
			same, err := readFrame(bufio.NewReaderSize(&again, mostHeader))
			if err != nil || !bytes.Equal(content, same) {
				t.Fatalf("%q is read back as %q, %v", content, same, err)
			}
		}
	})
}
