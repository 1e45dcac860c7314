// Command branches times comparing, walking and merging against git, in a
// repository made for it, and prints the ratios:
//
//	go run ./testdata/bench/branches -engines 10000 -commits 2000 -changed 1000
//
// Two branches are merged: one that changed so many files which main left alone,
// and one that changed another figure in each of so many files than main did,
// which git merges by lines.
package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"sync"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/merge/branch"
	"fourmarks.example/testdata/bench/ratio"
	"fourmarks.example/testdata/bench/synthetic"
)

func main() {
	engines := flag.Int("engines", 10000, "number of engines")
	commits := flag.Int("commits", 2000, "number of commits")
	changed := flag.Int("changed", 1000, "number of files that a branch changes")
	runs := flag.Int("runs", 7, "times that each is timed")
	merged := flag.String("merged", "apart,same", "which of the two branches are merged")
	flag.Parse()
	if err := run(*engines, *commits, *changed, *runs, strings.Split(*merged, ",")); err != nil {
		log.Fatal(err)
	}
}

func run(engines, commits, changed, runs int, merged []string) error {
	dir, err := os.MkdirTemp("", "fourmarks-branches-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	b := bench{dir: filepath.Join(dir, "repository"), runs: runs, merged: merged}
	if err := synthetic.Repository(b.dir, engines, commits); err != nil {
		return err
	}
	if err := b.branches(changed); err != nil {
		return err
	}
	fmt.Printf("%d engines, %d commits; median times, and of the ratios to git\n", engines, commits)
	for _, timed := range []func() error{b.diff, b.walk, b.merges} {
		if err := timed(); err != nil {
			return err
		}
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	fmt.Printf("memory asked of the system in all: %d MiB\n", m.Sys>>20)
	return nil
}

type bench struct {
	dir    string
	runs   int
	merged []string
}

var (
	title = regexp.MustCompile(`(?m)^title: .*$`)
	bore  = regexp.MustCompile(`(?m)^  bore: [^\n]+$`)
)

// branches adds to main a change of the title of each of so many engines, and two
// branches: one that changed the bore of as many other engines, and one that
// changed it of the same.
func (b bench) branches(changed int) error {
	files, texts, from, err := b.sizes(2 * changed)
	if err != nil {
		return err
	}
	if len(files) < 2*changed {
		return errors.New("there are too few engines for so many changes")
	}
	var in bytes.Buffer
	commit := func(ref, from string, names []string, edit func(string) string) {
		fmt.Fprintf(&in, "commit refs/heads/%s\ncommitter Keeper <keeper@fourmarks.example> 1900000000 +0000\ndata 1\nc\nfrom %s\n", ref, from)
		for _, name := range names {
			text := edit(texts[name])
			fmt.Fprintf(&in, "M 100644 inline %s\ndata %d\n%s\n", name, len(text), text)
		}
	}
	sized := func(text string) string { return bore.ReplaceAllString(text, "  bore: 77.5 mm") }
	commit("main", from, files[:changed], func(text string) string { return title.ReplaceAllString(text, "$0, second print") })
	commit("apart", from, files[changed:], sized)
	commit("same", from, files[:changed], sized)
	load := exec.Command("git", "-C", b.dir, "fast-import", "--quiet")
	load.Stdin = &in
	if out, err := load.CombinedOutput(); err != nil {
		return fmt.Errorf("git fast-import: %w: %s", err, out)
	}
	for _, args := range [][]string{{"repack", "-q", "-a", "-d"}, {"reset", "-q", "--hard"}, {"config", "user.name", "Keeper"}, {"config", "user.email", "keeper@fourmarks.example"}} {
		if err := ratio.Command(b.dir, append([]string{"git"}, args...)...); err != nil {
			return err
		}
	}
	return nil
}

// sizes returns so many engines of main that have a bore, with their texts, and
// the commit.
func (b bench) sizes(n int) (files []string, texts map[string]string, main string, err error) {
	texts = map[string]string{}
	err = b.with(func(r *commits.Repository) error {
		h, err := r.Resolve("main")
		if err != nil {
			return err
		}
		main = h.String()
		c, err := r.Commit(h)
		if err != nil {
			return err
		}
		all, err := r.DiffAt(commits.None, c.Tree, "data/engines")
		if err != nil {
			return err
		}
		for _, f := range all {
			if len(files) == n {
				break
			}
			text, err := r.Blob(f.Is.Hash, 1<<20)
			if err != nil {
				return err
			}
			if bore.Match(text) {
				files, texts[f.Path] = append(files, f.Path), string(text)
			}
		}
		return nil
	})
	return files, texts, main, err
}

// with opens the repository anew, so that nothing is known of it yet.
func (b bench) with(do func(*commits.Repository) error) error {
	r, err := commits.Open(b.dir)
	if err != nil {
		return err
	}
	return errors.Join(do(r), r.Close())
}

func (b bench) diff() error {
	const far = "main~1000"
	fmt.Println("what differs between the trees of main and of " + far)
	return ratio.Compare(b.runs, []ratio.Contender{
		{Name: "git diff-tree -r", Timed: func() error { return ratio.Command(b.dir, "git", "diff-tree", "-r", far, "main") }},
		{Name: "in process", Timed: func() error {
			return b.with(func(r *commits.Repository) error {
				var trees [2]commits.Hash
				for i, rev := range []string{far, "main"} {
					h, err := r.Resolve(rev)
					if err != nil {
						return err
					}
					c, err := r.Commit(h)
					if err != nil {
						return err
					}
					trees[i] = c.Tree
				}
				_, err := r.Diff(trees[0], trees[1], "")
				return err
			})
		}},
	})
}

func (b bench) walk() error {
	fmt.Println("the whole history, with what each commit changed from each parent")
	return ratio.Compare(b.runs, []ratio.Contender{
		{Name: "git log --raw -m", Timed: func() error {
			return ratio.Command(b.dir, "git", "log", "--raw", "-m", "--no-renames", "--no-abbrev", "main")
		}},
		{Name: "in process, one core", Timed: func() error { return b.with(func(r *commits.Repository) error { return walk(r, 1) }) }},
		{Name: "in process, all cores", Timed: func() error {
			return b.with(func(r *commits.Repository) error { return walk(r, runtime.GOMAXPROCS(0)) })
		}},
	})
}

// walk goes through the history of main, so many commits in a row on each core.
func walk(r *commits.Repository, cores int) error {
	h, err := r.Resolve("main")
	if err != nil {
		return err
	}
	var all []commits.Commit
	for c, err := range r.Walk([]commits.Hash{h}) {
		if err != nil {
			return err
		}
		all = append(all, c)
	}
	errs := make([]error, cores)
	var wait sync.WaitGroup
	for core := range cores {
		wait.Go(func() { errs[core] = changes(r, all[core*len(all)/cores:(core+1)*len(all)/cores]) })
	}
	wait.Wait()
	return errors.Join(errs...)
}

func changes(r *commits.Repository, all []commits.Commit) error {
	r, err := r.Again()
	if err != nil {
		return err
	}
	for _, c := range all {
		if _, err := r.Changes(c, ""); err != nil {
			return err
		}
	}
	return r.Close()
}

func (b bench) merges() error {
	for _, rev := range b.merged {
		fmt.Printf("main and the branch %s merged into a commit\n", rev)
		if err := b.merge(rev); err != nil {
			return err
		}
	}
	return nil
}

func (b bench) merge(rev string) error {
	at, err := exec.Command("git", "-C", b.dir, "rev-parse", "main").Output()
	if err != nil {
		return err
	}
	before := strings.TrimSpace(string(at))
	back := func() error { return ratio.Command(b.dir, "git", "reset", "-q", "--hard", before) }
	store := func(publish bool) func() error {
		return func() error {
			return b.with(func(r *commits.Repository) error {
				t, err := branch.Find(r, "")
				if err != nil {
					return err
				}
				m, err := branch.Plan(context.Background(), r, t, rev)
				if err != nil {
					return err
				}
				h, err := m.Store("Merge " + rev + "\n")
				if err != nil || !publish {
					return err
				}
				return branch.Publish(context.Background(), r, t, h, "merge "+rev)
			})
		}
	}
	prune := func() error { return errors.Join(back(), ratio.Command(b.dir, "git", "prune", "--expire=now")) }
	return errors.Join(ratio.Compare(b.runs, []ratio.Contender{
		{Name: "git merge", Before: prune, Timed: func() error { return ratio.Command(b.dir, "git", "merge", "-q", "--no-edit", rev) }},
		{Name: "in process, the commit stored", Before: prune, Timed: store(false)},
		{Name: "in process, and git moves the branch", Before: prune, Timed: store(true)},
	}), back())
}
