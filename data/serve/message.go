package serve

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"unicode/utf8"
)

// Error codes of JSON-RPC 2.0, section 5.1, and of the Language Server Protocol
// 3.17, "Response Message".
const (
	parseError           = -32700
	invalidRequest       = -32600
	methodNotFound       = -32601
	invalidParams        = -32602
	internalError        = -32603
	serverNotInitialized = -32002
	requestFailed        = -32803
	serverCancelled      = -32802
	requestCancelled     = -32800
)

// failure is the error that an answer carries.
type failure struct {
	Code    int    `json:"code"`
	Message string `json:"message"`
}

func (f *failure) Error() string { return f.Message }

func failed(code int, format string, args ...any) *failure {
	return &failure{Code: code, Message: fmt.Sprintf(format, args...)}
}

// message is what an editor sends: a request, a notification, which has no ID,
// or an answer to a request of ours, which has no method.
type message struct {
	JSONRPC string          `json:"jsonrpc"`
	ID      json.RawMessage `json:"id"`
	Method  string          `json:"method"`
	Params  json.RawMessage `json:"params"`
	Result  json.RawMessage `json:"result"`
	Error   json.RawMessage `json:"error"`
}

// noID is the id of an answer to what has none that can be read.
var noID = json.RawMessage("null")

// readMessage reads the content of a message. Beside an error the message holds
// the id to answer under, and nothing else that counts.
func readMessage(content []byte) (message, *failure) {
	var m message
	if !utf8.Valid(content) {
		return message{ID: noID}, failed(parseError, "the message is not UTF-8")
	}
	err := json.Unmarshal(content, &m)
	var wrongType *json.UnmarshalTypeError
	switch {
	case err != nil && !errors.As(err, &wrongType):
		return message{ID: noID}, failed(parseError, "the message is not JSON: %v", err)
	case m.ID != nil && !isID(m.ID, m.Method):
		return message{ID: noID}, failed(invalidRequest, "an id is a string or a whole number")
	case err == nil && m.JSONRPC == "2.0" && (m.Method != "" || m.Result != nil || m.Error != nil):
		return m, nil
	case m.ID == nil:
		m.ID = noID
	}
	return m, failed(invalidRequest, `the message is no request of JSON-RPC 2.0: it needs "jsonrpc": "2.0" and a "method"`)
}

// isAnswer reports whether the message answers a request of ours.
func (m message) isAnswer() bool { return m.Method == "" }

// isID reports whether a JSON value can be an id. A fraction cannot, and null
// only that of an answer.
func isID(v json.RawMessage, method string) bool {
	switch v[0] {
	case '"':
		return true
	case '-', '0', '1', '2', '3', '4', '5', '6', '7', '8', '9':
		return !bytes.ContainsAny(v, ".eE")
	}
	return method == "" && bytes.Equal(v, noID)
}

// answer is what a request is answered with: a result, which may be null, or an
// error.
type answer struct {
	id     json.RawMessage
	result any
	err    *failure
}

// MarshalJSON writes the one of result and error that there is.
func (a answer) MarshalJSON() ([]byte, error) {
	if a.err != nil {
		return json.Marshal(struct {
			JSONRPC string          `json:"jsonrpc"`
			ID      json.RawMessage `json:"id"`
			Error   *failure        `json:"error"`
		}{"2.0", a.id, a.err})
	}
	return json.Marshal(struct {
		JSONRPC string          `json:"jsonrpc"`
		ID      json.RawMessage `json:"id"`
		Result  any             `json:"result"`
	}{"2.0", a.id, a.result})
}

// call is a notification to the editor or, with an ID, a request.
type call struct {
	JSONRPC string `json:"jsonrpc"`
	ID      string `json:"id,omitempty"`
	Method  string `json:"method"`
	Params  any    `json:"params"`
}
