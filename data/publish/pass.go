package publish

import (
	"context"
	"runtime"
	"sync"

	"fourmarks.example/data/release"
)

// window is how many engines are in memory at once for each core.
const window = 4

// pass sends every engine through the forms: prepared on all cores, and added to
// each form in order, each form on a goroutine of its own.
type pass struct {
	forms   []Form
	prepare func(i int) (*turn, error)
	// done is told of each engine in order.
	done func(*turn)
}

// turn is what came of preparing one engine.
type turn struct {
	is    *Prepared // nil where it is withheld
	parts []any     // for each form

	withheld *release.Withheld
	leftOut  release.Standings
}

// slot is the place of one engine in the order.
type slot struct {
	i     int
	turn  *turn
	ready chan struct{}
}

// run sends the engines through. The first error of any form ends it, and so
// does the context.
func (p *pass) run(ctx context.Context, engines int) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	order := p.prepareAll(ctx, stop, engines)
	lanes, wait := p.writers(ctx, stop)
	for s := range order {
		<-s.ready
		if s.turn == nil || ctx.Err() != nil {
			continue
		}
		p.done(s.turn)
		for i := range s.turn.parts {
			lanes[i] <- s.turn.parts[i]
		}
	}
	wait()
	return context.Cause(ctx)
}

// prepareAll prepares engines on all cores and returns their places in order,
// each ready sooner or later. No more than a window of them wait at a time.
func (p *pass) prepareAll(ctx context.Context, stop context.CancelCauseFunc, engines int) <-chan *slot {
	cores := runtime.GOMAXPROCS(0)
	todo := make(chan *slot)
	order := make(chan *slot, window*cores)
	for range cores {
		go func() {
			for s := range todo {
				var err error
				if s.turn, err = p.one(s.i); err != nil {
					stop(err)
				}
				close(s.ready)
			}
		}()
	}
	go func() {
		defer close(order)
		defer close(todo)
		for i := range engines {
			s := &slot{i: i, ready: make(chan struct{})}
			select {
			case order <- s:
			case <-ctx.Done():
				return
			}
			todo <- s
		}
	}()
	return order
}

// writers starts a goroutine for each form, which adds what comes along its lane;
// wait ends them.
func (p *pass) writers(ctx context.Context, stop context.CancelCauseFunc) (lanes []chan any, wait func()) {
	var running sync.WaitGroup
	for _, form := range p.forms {
		lane := make(chan any, window)
		lanes = append(lanes, lane)
		running.Go(func() {
			for part := range lane {
				if ctx.Err() != nil {
					continue // drained, so that nobody waits
				}
				if err := form.Add(part); err != nil {
					stop(err)
				}
			}
		})
	}
	return lanes, func() {
		for _, lane := range lanes {
			close(lane)
		}
		running.Wait()
	}
}

// one prepares one engine for every form.
func (p *pass) one(i int) (*turn, error) {
	t, err := p.prepare(i)
	if err != nil || t.is == nil {
		return t, err
	}
	t.parts = make([]any, len(p.forms))
	for k, form := range p.forms {
		if t.parts[k], err = form.Prepare(t.is); err != nil {
			return nil, err
		}
	}
	t.is.Engine, t.is.JSON, t.is.rows = nil, nil, nil // the forms have what they need
	return t, nil
}
