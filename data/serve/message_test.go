package serve

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMessages(t *testing.T) {
	cases := []struct {
		content string
		id      string // to answer under; "" where there is none
		code    int    // of the error; 0 for none
	}{
		{`{"jsonrpc":"2.0","id":1,"method":"a"}`, "1", 0},
		{`{"jsonrpc":"2.0","id":"x","method":"a","params":[]}`, `"x"`, 0},
		{`{"jsonrpc":"2.0","method":"a"}`, "", 0},
		{`{"jsonrpc":"2.0","id":1,"result":null}`, "1", 0},
		{`{"jsonrpc":"2.0","id":null,"error":{"code":1,"message":""}}`, "null", 0},
		{`{"jsonrpc":"2.0","id":null,"method":"a"}`, "null", invalidRequest},
		{`{"jsonrpc":"2.0","id":1.5,"method":"a"}`, "null", invalidRequest},
		{`{"jsonrpc":"2.0","id":{},"method":"a"}`, "null", invalidRequest},
		{`{"jsonrpc":"2.0","id":true,"method":"a"}`, "null", invalidRequest},
		{`{"jsonrpc":"2.0","id":1}`, "1", invalidRequest},
		{`{"jsonrpc":"1.0","id":1,"method":"a"}`, "1", invalidRequest},
		{`{"id":1,"method":"a"}`, "1", invalidRequest},
		{`{"jsonrpc":"2.0","id":1,"method":5}`, "1", invalidRequest},
		{`{"jsonrpc":2,"method":"a"}`, "null", invalidRequest},
		{`{}`, "null", invalidRequest},
		{`[{"jsonrpc":"2.0","id":1,"method":"a"}]`, "null", invalidRequest},
		{`null`, "null", invalidRequest},
		{`7`, "null", invalidRequest},
		{``, "null", parseError},
		{`{"jsonrpc":"2.0","id":1,"method":"a"`, "null", parseError},
		{`{"jsonrpc":"2.0","id":1,"method":"a"}}`, "null", parseError},
		{"{\"jsonrpc\":\"2.0\",\"id\":1,\"method\":\"\xff\"}", "null", parseError},
	}
	for _, c := range cases {
		m, failure := readMessage([]byte(c.content))
		assert.Equal(t, c.id, string(m.ID), c.content)
		if c.code == 0 {
			assert.Nil(t, failure, c.content)
			continue
		}
		require.NotNil(t, failure, c.content)
		assert.Equal(t, c.code, failure.Code, c.content)
	}
}

func TestAnswers(t *testing.T) {
	for want, a := range map[string]answer{
		`{"jsonrpc":"2.0","id":1,"result":null}`:                                    {id: json.RawMessage("1")},
		`{"jsonrpc":"2.0","id":"a","result":[]}`:                                    {id: json.RawMessage(`"a"`), result: []string{}},
		`{"jsonrpc":"2.0","id":null,"error":{"code":-32700,"message":"no JSON 5"}}`: {id: noID, err: failed(parseError, "no JSON %d", 5)},
	} {
		b, err := json.Marshal(a)
		require.NoError(t, err)
		assert.Equal(t, want, string(b))
	}
}

func FuzzMessage(f *testing.F) {
	f.Add([]byte(`{"jsonrpc":"2.0","id":1,"method":"a","params":{}}`))
	f.Add([]byte(`{"jsonrpc":"2.0","id":"\u0061","result":null}`))
	f.Add([]byte(`[]`))
	f.Fuzz(func(t *testing.T, content []byte) {
		m, failure := readMessage(content)
		if failure != nil && m.ID == nil {
			t.Fatal("an error without an id to answer under")
		}
		if _, err := json.Marshal(answer{id: m.ID, err: failure}); m.ID != nil && err != nil {
			t.Fatalf("the answer cannot be written: %v", err)
		}
	})
}
