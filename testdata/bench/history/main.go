// Command history times the history of one figure against git log of its file in
// the same run, in a repository made for it, and prints the ratios.
//
//	go run ./testdata/bench/history -engines 10000 -commits 2000
package main

import (
	"context"
	"flag"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"time"

	"fourmarks.example/data/history"
	"fourmarks.example/testdata/bench/synthetic"
)

func main() {
	engines := flag.Int("engines", 10000, "number of engines")
	commits := flag.Int("commits", 2000, "number of commits")
	runs := flag.Int("runs", 7, "times that each is timed; the median counts")
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
	repository, program := filepath.Join(dir, "repository"), filepath.Join(dir, "fourmarks")
	if err := synthetic.Repository(repository, engines, commits); err != nil {
		return err
	}
	if err := command("", "go", "build", "-o", program, "./cmd/fourmarks"); err != nil {
		return err
	}
	first, err := synthetic.Engines(1)
	if err != nil {
		return err
	}
	file := "data/" + first[0].Name
	id := file[len("data/engines/") : len(file)-len(".yaml")]
	forget := func() error { return os.RemoveAll(filepath.Join(repository, ".git", "fourmarks")) }
	nothing := func() error { return nil }
	asProgram := func() error { return command(repository, program, "history", id, "inlet_opens", "--data", "data") }
	here := func() error { return inProcess(filepath.Join(repository, "data"), id) }

	git, err := median(runs, nothing, func() error { return command(repository, "git", "log", "--raw", "--", file) })
	if err != nil {
		return err
	}
	fmt.Printf("%d engines, %d commits; history of one figure of %s\n", engines, commits, id)
	fmt.Printf("%-34s %8.1f ms\n", "git log --raw -- FILE", ms(git))
	for _, c := range []struct {
		name          string
		before, timed func() error
	}{
		{"in process, nothing kept", forget, here},
		{"in process, kept", nothing, here},
		{"fourmarks history, nothing kept", forget, asProgram},
		{"fourmarks history, kept", nothing, asProgram},
	} {
		took, err := median(runs, c.before, c.timed)
		if err != nil {
			return err
		}
		fmt.Printf("%-34s %8.1f ms  %6.2f of git\n", c.name, ms(took), float64(took)/float64(git))
	}
	return nil
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }

// median times something so often, and returns the time in the middle. What
// comes before it is not timed.
func median(runs int, before, timed func() error) (time.Duration, error) {
	var all []time.Duration
	for range runs {
		if err := before(); err != nil {
			return 0, err
		}
		started := time.Now()
		if err := timed(); err != nil {
			return 0, err
		}
		all = append(all, time.Since(started))
	}
	slices.Sort(all)
	return all[len(all)/2], nil
}

func command(dir string, args ...string) error {
	cmd := exec.Command(args[0], args[1:]...)
	cmd.Dir = dir
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("%v: %w: %s", args, err, out)
	}
	return nil
}

func inProcess(folder, id string) error {
	d, err := history.Open(folder)
	if err != nil {
		return err
	}
	defer d.Close()
	h, err := d.Of(context.Background(), id, "")
	if err != nil {
		return err
	}
	return h.Only("inlet_opens", "")
}
