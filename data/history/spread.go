package history

import (
	"context"
	"errors"
	"runtime"
	"sync"

	"fourmarks.example/data/commits"
)

// The least numbers of things worth another core: opening the repository once
// more takes as long as finding a file in so many commits, or reading and taking
// apart so many versions of one.
const (
	worthCommits  = 400
	worthVersions = 16
)

// spread does something with the numbers below n on all cores, each with a
// repository of its own and a part of the numbers that hangs together, as what
// follows on one another in a repository is stored alike. A part has at least so
// many numbers as make it worth while. begin returns what is done with each
// number of a part.
func spread(ctx context.Context, r *commits.Repository, n, worth int, begin func(*commits.Repository) func(int) error) error {
	parts := max(1, min(runtime.GOMAXPROCS(0), n/worth))
	errs := make([]error, parts)
	var all sync.WaitGroup
	for part := range parts {
		all.Go(func() { errs[part] = onePart(ctx, r, part, parts, n, begin) })
	}
	all.Wait()
	return errors.Join(errs...)
}

func onePart(ctx context.Context, r *commits.Repository, part, parts, n int, begin func(*commits.Repository) func(int) error) (err error) {
	if part > 0 {
		if r, err = r.Again(); err != nil {
			return err
		}
		defer func() { err = errors.Join(err, r.Close()) }()
	}
	work := begin(r)
	for i := part * n / parts; i < (part+1)*n/parts; i++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := work(i); err != nil {
			return err
		}
	}
	return nil
}
