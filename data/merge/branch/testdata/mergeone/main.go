// Command mergeone merges a revision into what is checked out in a folder, or
// lays its conflicts out. Built with the tag kill, it ends where it is told to.
package main

import (
	"context"
	"fmt"
	"os"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/merge/branch"
)

func main() {
	if err := merge(context.Background(), os.Args[1], os.Args[2]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func merge(ctx context.Context, dir, rev string) error {
	r, err := commits.Open(dir)
	if err != nil {
		return err
	}
	target, err := branch.Find(r, "")
	if err != nil {
		return err
	}
	m, err := branch.Plan(ctx, r, target, rev)
	if err != nil || m.Done {
		return err
	}
	if len(m.Conflicts()) > 0 {
		return m.Leave(ctx, "Merge "+rev+"\n")
	}
	h, err := m.Store("Merge " + rev + "\n")
	if err != nil {
		return err
	}
	return branch.Publish(ctx, r, target, h, "merge "+rev)
}
