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

func (p *pass) run(ctx context.Context, engines int) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	cores := runtime.GOMAXPROCS(0)
	todo := make(chan *slot)
	order := make(chan *slot, window*cores)
	var workers, writers sync.WaitGroup
	for range cores {
		workers.Go(func() {
			for s := range todo {
				var err error
				if s.turn, err = p.one(s.i); err != nil {
					stop(err)
				}
				close(s.ready)
			}
		})
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
	lanes := make([]chan any, len(p.forms))
	for i, form := range p.forms {
		lanes[i] = make(chan any, window)
		writers.Go(func() {
			for part := range lanes[i] {
				if ctx.Err() != nil {
					continue // drained, so that nobody waits
				}
				if err := form.Add(part); err != nil {
					stop(err)
				}
			}
		})
	}
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
	for _, lane := range lanes {
		close(lane)
	}
	workers.Wait()
	writers.Wait()
	return context.Cause(ctx)
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
