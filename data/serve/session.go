package serve

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"

	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
)

// ErrNoShutdown says that the editor left without asking for a shutdown first.
var ErrNoShutdown = errors.New("the editor left without a shutdown")

// Serve answers an editor until it says exit, the input ends or the context is
// cancelled. It returns nil after an orderly shutdown, [ErrNoShutdown] without
// one, the context's error when that was cancelled, and otherwise why the streams
// cannot be used. When it returns nothing runs any more, but for a read of the
// input that a cancelled context leaves waiting until the input ends.
func Serve(ctx context.Context, in io.Reader, out io.Writer) error {
	return newSession(out, rules.All()).serve(ctx, in)
}

func newSession(out io.Writer, book []*lint.Rule) *session {
	return &session{
		book: book, out: out, slots: make(chan struct{}, mostAtOnce), linting: make(chan struct{}, 1),
		documents: map[string]*document{}, checks: map[string]context.CancelFunc{}, pending: map[string]context.CancelFunc{},
		registers: map[string]*register{},
	}
}

func (s *session) serve(ctx context.Context, in io.Reader) error {
	ctx, s.cancel = context.WithCancel(ctx)
	err := s.run(ctx, in)
	s.cancel()
	s.answering.Wait()
	s.checking.Wait()
	return err
}

const (
	// mostAtOnce is how many requests are worked on at once.
	mostAtOnce = 4
	// mostPending is how many requests may wait for their answer.
	mostPending = 256
)

// session is one editor's. Its messages are taken in order by one goroutine,
// which alone opens, changes and closes documents; requests are then answered
// by others, from the documents as they stood when the request came.
type session struct {
	book []*lint.Rule

	cancel    context.CancelFunc // ends the session
	answering sync.WaitGroup     // the requests that are worked on, or wait to be
	checking  sync.WaitGroup     // likewise the checks of documents
	slots     chan struct{}      // taken by the requests being worked on
	linting   chan struct{}      // taken by the lint that is running

	stage  stage
	editor clientAbilities
	count  encoding
	folder string // of the workspace; "" where the editor names none

	writing  sync.Mutex
	out      io.Writer
	writeErr error

	mu        sync.Mutex
	documents map[string]*document          // by URI
	checks    map[string]context.CancelFunc // of the lint of each document
	pending   map[string]context.CancelFunc // by id
	registers map[string]*register          // by root of the dataset
}

// stage is how far the editor has come.
type stage int

const (
	started stage = iota
	initialized
	shutDown
)

// incoming is what was read of the input.
type incoming struct {
	content []byte
	err     error
}

func (s *session) run(ctx context.Context, in io.Reader) error {
	messages := make(chan incoming)
	go func() {
		r := bufio.NewReaderSize(in, mostHeader)
		for {
			content, err := readFrame(r)
			select {
			case messages <- incoming{content, err}:
			case <-ctx.Done():
				return
			}
			if err != nil && !errors.As(err, new(tooLong)) {
				return
			}
		}
	}()
	for {
		select {
		case <-ctx.Done():
			return s.ended(ctx.Err())
		case m := <-messages:
			if done, err := s.take(ctx, m); done {
				return s.ended(err)
			}
		}
	}
}

// ended returns why the session ended: when the output failed, that.
func (s *session) ended(err error) error {
	s.writing.Lock()
	defer s.writing.Unlock()
	if s.writeErr != nil {
		return fmt.Errorf("the editor takes no more answers: %w", s.writeErr)
	}
	return err
}

// take deals with what was read; done is set when nothing more is to be read.
func (s *session) take(ctx context.Context, m incoming) (done bool, err error) {
	var long tooLong
	var header badHeader
	switch {
	case errors.As(m.err, &header):
		s.send(answer{id: noID, err: failed(parseError, "%s", header)})
		return true, header
	case errors.Is(m.err, io.ErrUnexpectedEOF):
		return true, errors.New("the input ends within a message")
	case errors.As(m.err, &long):
		s.send(answer{id: noID, err: failed(invalidRequest, "%s", long)})
		s.loseAll(ctx, "a message was too long to be read")
		return false, nil
	case errors.Is(m.err, io.EOF):
		return true, s.exit()
	case m.err != nil:
		return true, m.err
	}
	msg, failure := readMessage(m.content)
	switch {
	case failure != nil:
		s.send(answer{id: msg.ID, err: failure})
	case msg.isAnswer():
	case msg.ID != nil:
		s.request(ctx, msg)
	case msg.Method == "exit":
		return true, s.exit()
	case s.stage == initialized:
		s.notification(ctx, msg)
	}
	return false, nil
}

func (s *session) exit() error {
	if s.stage != shutDown {
		return ErrNoShutdown
	}
	return nil
}

// request answers a request, or sees to it that it will be.
func (s *session) request(ctx context.Context, m message) {
	do, known := requests[m.Method]
	var err *failure
	switch {
	case m.Method == "initialize" && s.stage == started:
		s.initialize(m)
		return
	case s.stage == started:
		err = failed(serverNotInitialized, "%s came before initialize", m.Method)
	case s.stage == shutDown:
		err = failed(invalidRequest, "%s came after shutdown", m.Method)
	case m.Method == "initialize":
		err = failed(invalidRequest, "initialize came a second time")
	case m.Method == "shutdown":
		s.stage = shutDown
		s.answering.Wait() // what was asked before is answered before
		s.send(answer{id: m.ID})
		return
	case !known:
		err = failed(methodNotFound, "there is no method %q", m.Method)
	default:
		var w work
		if w, err = do(s, m.Params); err == nil {
			err = s.start(ctx, m.ID, w)
		}
	}
	if err != nil {
		s.send(answer{id: m.ID, err: err})
	}
}

// work is what is left to do for a request once what it is about is known.
type work func(context.Context) (any, error)

// start has a request answered by another goroutine.
func (s *session) start(ctx context.Context, id json.RawMessage, w work) *failure {
	key := string(id)
	s.mu.Lock()
	defer s.mu.Unlock()
	switch {
	case s.pending[key] != nil:
		return failed(invalidRequest, "the request %s has not been answered yet, and its id cannot be used again", cut(key))
	case len(s.pending) >= mostPending:
		return failed(serverCancelled, "%d requests wait to be answered; ask again later", len(s.pending))
	}
	ctx, cancel := context.WithCancel(ctx)
	s.pending[key] = cancel
	s.answering.Go(func() {
		defer cancel()
		result, err := s.inTurn(ctx, w)
		s.mu.Lock()
		delete(s.pending, key)
		s.mu.Unlock()
		s.send(answered(id, result, err))
	})
	return nil
}

// inTurn does the work when a slot is free.
func (s *session) inTurn(ctx context.Context, w work) (any, error) {
	select {
	case s.slots <- struct{}{}:
		defer func() { <-s.slots }()
	case <-ctx.Done():
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return guarded(func() (any, error) { return w(ctx) })
}

// guarded turns a panic into an error. A mistake in a rule must not cost an
// editor its server, and with it what it knows of every open file.
func guarded(do func() (any, error)) (result any, err error) {
	defer func() {
		if p := recover(); p != nil {
			what, _, _ := strings.Cut(fmt.Sprint(p), "\n") // the stack follows
			err = failed(internalError, "a mistake in this program: %s", what)
		}
	}()
	return do()
}

func answered(id json.RawMessage, result any, err error) answer {
	var f *failure
	switch {
	case err == nil:
		return answer{id: id, result: result}
	case errors.As(err, &f):
		return answer{id: id, err: f}
	case errors.Is(err, context.Canceled):
		return answer{id: id, err: failed(requestCancelled, "the request was cancelled")}
	}
	return answer{id: id, err: failed(requestFailed, "%s", err)}
}

// send writes a message. When the output fails the session ends.
func (s *session) send(value any) {
	content, err := json.Marshal(value)
	s.writing.Lock()
	defer s.writing.Unlock()
	if s.writeErr != nil {
		return
	}
	if err == nil {
		err = writeFrame(s.out, content)
	}
	if err != nil {
		s.writeErr = err
		s.cancel()
	}
}

func (s *session) notify(method string, params any) {
	s.send(call{JSONRPC: "2.0", Method: method, Params: params})
}

// decode reads the parameters of a method.
func decode(params json.RawMessage, into any) *failure {
	if params == nil {
		params = json.RawMessage("{}")
	}
	if err := json.Unmarshal(params, into); err != nil {
		return failed(invalidParams, "the parameters cannot be read: %v", err)
	}
	return nil
}
