// Command history times the history of one figure against git log of its file, in
// a repository made for it, and prints the ratios: of an engine that hardly any
// commit changed, and of one that very many did.
//
//	go run ./testdata/bench/history -engines 10000 -commits 2000
//
// All are timed in turn, run by run, so that whatever else the machine does bears
// on all alike; the median of a column is the figure to go by.
package main

import (
	"context"
	"flag"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"strings"

	"fourmarks.example/data/history"
	"fourmarks.example/testdata/bench/ratio"
	"fourmarks.example/testdata/bench/synthetic"
)

func main() {
	engines := flag.Int("engines", 10000, "number of engines")
	commits := flag.Int("commits", 2000, "number of commits")
	runs := flag.Int("runs", 11, "times that each is timed")
	flag.Parse()
	if err := run(*engines, *commits, *runs); err != nil {
		log.Fatal(err)
	}
}

func run(engines, commits, runs int) error {
	dir, err := os.MkdirTemp("", "fourmarks-history-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	b := bench{repository: filepath.Join(dir, "repository"), program: filepath.Join(dir, "fourmarks")}
	if err := synthetic.Repository(b.repository, engines, commits); err != nil {
		return err
	}
	if err := ratio.Command("", "go", "build", "-o", b.program, "./cmd/fourmarks"); err != nil {
		return err
	}
	all, err := synthetic.Engines(engines)
	if err != nil {
		return err
	}
	fmt.Printf("%d engines, %d commits; median times, and of the ratios to git log\n", engines, commits)
	for _, i := range []int{len(all) / 2, 0} {
		if err := b.figure("data/"+all[i].Name, runs); err != nil {
			return err
		}
	}
	return nil
}

type bench struct{ repository, program string }

// figure times the history of a figure in a file.
func (b bench) figure(file string, runs int) error {
	id := strings.TrimSuffix(strings.TrimPrefix(file, "data/engines/"), ".yaml")
	steps, err := history.Open(filepath.Join(b.repository, "data"))
	if err != nil {
		return err
	}
	h, err := steps.Of(context.Background(), id, "")
	if err != nil {
		return err
	}
	if err := steps.Close(); err != nil {
		return err
	}
	fmt.Printf("%s, set in %d commits\n", id, len(h.Steps))
	forget := func() error { return os.RemoveAll(filepath.Join(b.repository, ".git", "fourmarks")) }
	program := func() error { return ratio.Command(b.repository, b.program, "history", id, "events", "--data", "data") }
	here := func() error { return inProcess(filepath.Join(b.repository, "data"), id) }
	return ratio.Compare(runs, []ratio.Contender{
		{Name: "git log --raw -- FILE", Timed: func() error { return ratio.Command(b.repository, "git", "log", "--raw", "--", file) }},
		{Name: "in process, nothing kept", Before: forget, Timed: here},
		{Name: "in process, kept", Timed: here},
		{Name: "fourmarks history, nothing kept", Before: forget, Timed: program},
		{Name: "fourmarks history, kept", Timed: program},
	})
}

func inProcess(folder, id string) error {
	d, err := history.Open(folder)
	if err != nil {
		return err
	}
	h, err := d.Of(context.Background(), id, "")
	if err == nil {
		err = h.Only("events", "")
	}
	if closing := d.Close(); err == nil {
		err = closing
	}
	return err
}
