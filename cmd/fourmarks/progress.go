package main

import (
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"

	"fourmarks.example/lint"
)

// patience is how long work lasts before its progress is shown.
const patience = time.Second

// progress shows on a terminal how many files have been read.
type progress struct {
	program *program
	started time.Time
	total   int

	mu   sync.Mutex
	done int
	bar  *progressbar.ProgressBar
}

// watched returns the inputs such that reading them is shown; end takes the
// display away again.
func (p *program) watched(inputs []lint.Input) (watched []lint.Input, end func()) {
	return p.watchedTimes(1, inputs)
}

// watchedTimes is watched for work that reads every file so many times.
func (p *program) watchedTimes(times int, inputs []lint.Input) (watched []lint.Input, end func()) {
	if !isTerminal(p.Err) {
		return inputs, func() {}
	}
	shown := &progress{program: p, started: time.Now(), total: times * len(inputs)}
	watched = make([]lint.Input, len(inputs))
	for i, in := range inputs {
		read := in.Read
		in.Read = func() ([]byte, error) {
			defer shown.step()
			return read()
		}
		watched[i] = in
	}
	return watched, shown.end
}

func (s *progress) step() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.done++
	if s.bar == nil {
		if time.Since(s.started) < patience {
			return
		}
		s.bar = progressbar.NewOptions(s.total, progressbar.OptionSetWriter(s.program.Err), progressbar.OptionSetDescription("reading"),
			progressbar.OptionShowCount(), progressbar.OptionClearOnFinish(), progressbar.OptionSetWidth(30))
	}
	_ = s.bar.Set(s.done) // a display that cannot be written is no reason to stop
}

func (s *progress) end() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.bar != nil {
		_ = s.bar.Clear()
	}
}
