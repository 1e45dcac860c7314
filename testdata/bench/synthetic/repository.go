package synthetic

import (
	"bufio"
	"fmt"
	"io"
	"math/rand/v2"
	"os/exec"
	"regexp"
	"strings"
)

// Repository makes a git repository in a folder, without a work tree checked out:
// a dataset of so many engines in data/, and so many commits on main, some of
// them on side branches that were merged. The first engine is changed most often.
// The same numbers give the same commits.
func Repository(dir string, engines, commits int) error {
	if out, err := exec.Command("git", "init", "-q", "-b", "main", dir).CombinedOutput(); err != nil {
		return fmt.Errorf("git init: %w: %s", err, out)
	}
	load := exec.Command("git", "-C", dir, "fast-import", "--quiet")
	in, err := load.StdinPipe()
	if err != nil {
		return err
	}
	if err := load.Start(); err != nil {
		return err
	}
	err = stream(in, engines, commits)
	if closing := in.Close(); err == nil {
		err = closing
	}
	if done := load.Wait(); err == nil {
		err = done
	}
	if err != nil {
		return err
	}
	if out, err := exec.Command("git", "-C", dir, "repack", "-q", "-a", "-d").CombinedOutput(); err != nil {
		return fmt.Errorf("git repack: %w: %s", err, out)
	}
	return nil
}

// writer writes a stream for git fast-import.
type writer struct {
	out     *bufio.Writer
	pick    *rand.Rand
	engines []File
	last    int // mark of the last commit
}

// stream writes the repository as git fast-import reads it.
func stream(out io.Writer, engines, commits int) error {
	all, err := Engines(engines)
	if err != nil {
		return err
	}
	sources, err := Sources()
	if err != nil {
		return err
	}
	w := &writer{out: bufio.NewWriter(out), pick: rand.New(rand.NewPCG(1, 2)), engines: all}
	w.commit("refs/heads/main", 0)
	for _, f := range append(sources, all...) {
		w.file(f)
	}
	for w.last < commits {
		if w.pick.IntN(20) == 0 && w.last+3 < commits {
			w.branch()
			continue
		}
		w.commit("refs/heads/main", w.last)
		w.change(w.some())
	}
	return w.out.Flush()
}

// commit starts a commit on one or two others.
func (w *writer) commit(branch string, parents ...int) {
	w.last++
	fmt.Fprintf(w.out, "commit %s\nmark :%d\nauthor Keeper %d <keeper-%[3]d@fourmarks.example> %[4]d +0000\ncommitter A maintainer <maintainer@fourmarks.example> %[4]d +0000\ndata 9\na change\n\n",
		branch, w.last, w.last%40, 1_500_000_000+3600*w.last)
	for i, p := range parents {
		if p > 0 {
			fmt.Fprintf(w.out, "%s :%d\n", []string{"from", "merge"}[i], p)
		}
	}
}

// branch makes a commit on a side branch, one on main, and one that joins them.
func (w *writer) branch() {
	base := w.last
	w.commit("refs/heads/side", base)
	one := w.some()
	w.change(one)
	side := w.last
	w.commit("refs/heads/main", base)
	other := w.some()
	for other == one {
		other = w.some()
	}
	w.change(other)
	w.commit("refs/heads/main", w.last, side)
	w.file(w.engines[one])
}

// some picks an engine: the first one time in forty.
func (w *writer) some() int {
	if w.pick.IntN(40) == 0 {
		return 0
	}
	return w.pick.IntN(len(w.engines))
}

func (w *writer) file(f File) {
	fmt.Fprintf(w.out, "M 100644 inline data/%s\ndata %d\n%s\n", f.Name, len(f.Text), f.Text)
}

var events = regexp.MustCompile(`(?m)^( +(?:inlet|exhaust)_(?:opens|closes)): [^{\n].*$`)

// change gives one event of an engine another figure.
func (w *writer) change(i int) {
	f := &w.engines[i]
	all := events.FindAllStringIndex(f.Text, -1)
	if len(all) > 0 {
		at := all[w.pick.IntN(len(all))]
		key, _, _ := strings.Cut(f.Text[at[0]:at[1]], ":")
		f.Text = f.Text[:at[0]] + fmt.Sprintf("%s: %d.%d ATDC", key, 1+w.pick.IntN(80), w.pick.IntN(10)) + f.Text[at[1]:]
	} else {
		f.Text += fmt.Sprintf("# seen %d\n", w.pick.IntN(1_000_000))
	}
	w.file(*f)
}
