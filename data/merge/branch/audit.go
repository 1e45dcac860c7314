//go:build !js

package branch

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"fourmarks.example/data/claims"
	"fourmarks.example/data/commits"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// FaultKind says how a merge differs from what it joined.
type FaultKind string

const (
	// Lost: a side brought or kept it, nobody took it out, and it is not there.
	Lost FaultKind = "lost"
	// Mixed: it is there otherwise than either side has it, such as the figure of
	// one side with the source of the other.
	Mixed FaultKind = "mixed"
	// Passed: a side changed it, the other left it alone, and the merge has it as
	// it was before.
	Passed FaultKind = "passed over"
	// Back: a side took it out, the other left it alone, and it is there.
	Back FaultKind = "back again"
	// Invented: it is there, and neither side has it.
	Invented FaultKind = "from neither side"
)

// Fault is a claim or value that a merge, by whatever means it was made, does
// not have as it follows from what it joined. Want is what follows, and Is what
// the merge has; nil for nothing.
type Fault struct {
	What     FaultKind
	File     string
	Want, Is *claims.Claim
}

// Claim is the claim as it is, or else as it should be.
func (f Fault) Claim() *claims.Claim {
	if f.Is != nil {
		return f.Is
	}
	return f.Want
}

// Said tells what the merge should have and what it has, a line each.
func (f Fault) Said() []string {
	var all []string
	for _, s := range []struct {
		what  string
		claim *claims.Claim
	}{{"should be", f.Want}, {"is", f.Is}} {
		text := "nothing"
		if s.claim != nil {
			text = words([]claims.Claim{*s.claim})
		}
		all = append(all, s.what+" "+text)
	}
	return all
}

// MarshalJSON writes the kind, the file, the figure, and what should be and is.
func (f Fault) MarshalJSON() ([]byte, error) {
	said := func(c *claims.Claim) any {
		if c == nil {
			return nil
		}
		return map[string]string{"printed": c.Printed, "from": c.Citation()}
	}
	c := f.Claim()
	return json.Marshal(map[string]any{"what": f.What, "file": f.File, "variant": c.Variant, "path": c.Path, "should_be": said(f.Want), "is": said(f.Is)})
}

// Audit looks for figures that a merge commit lost, mixed up or brought back,
// which a merge by lines can do without saying so. Where both sides changed a
// claim, either is accepted, for somebody settled it; so is a claim about which
// several common states disagree.
func Audit(ctx context.Context, r *commits.Repository, merge commits.Hash) ([]Fault, error) {
	c, err := r.Commit(merge)
	if err != nil {
		return nil, err
	}
	if len(c.Parents) != 2 {
		return nil, fmt.Errorf("%s joins %d histories, and what can be looked into are merges of two", commits.Short(merge), len(c.Parents))
	}
	m := &merger{ctx: ctx, repository: r, fresh: map[commits.Hash][]byte{}}
	base, _, err := m.base(c.Parents[:1], c.Parents[1])
	if err != nil {
		return nil, err
	}
	a := audit{merger: m, base: base}
	for i, h := range []commits.Hash{c.Parents[0], c.Parents[1], merge} {
		if a.trees[i], err = m.tree(h); err != nil {
			return nil, err
		}
	}
	return a.faults()
}

type audit struct {
	*merger
	base  view
	trees [3]commits.Hash // ours, theirs, and the merge
}

// stated is what the states say of one claim, nil where they say nothing. The
// base may say several things.
type stated struct {
	file string
	base *claims.Claim
	open bool // common states disagree about the file
	here [3]*claims.Claim
}

// faults compares claim by claim, of every file that is not the same in all.
func (a *audit) faults() ([]Fault, error) {
	paths := joined(a.base.over)
	for _, tree := range a.trees {
		changes, err := a.repository.Diff(a.base.tree, tree, "")
		if err != nil {
			return nil, err
		}
		for _, c := range changes {
			paths[c.Path] = true
		}
	}
	renamed, err := a.renamed(a.records(paths))
	if err != nil {
		return nil, err
	}
	said := map[string]*stated{}
	for _, p := range slices.Sorted(maps.Keys(paths)) {
		if kind, _, known := place(p); known {
			if err := a.file(kind, p, renamed, said); err != nil {
				return nil, err
			}
		}
	}
	var faults []Fault
	for _, key := range slices.Sorted(maps.Keys(said)) {
		if f, found := said[key].fault(); found {
			faults = append(faults, f)
		}
	}
	return faults, nil
}

// records are the records of moved ids among the paths, as the merge has them.
func (a *audit) records(paths map[string]bool) map[string][]commits.Entry {
	found := map[string][]commits.Entry{}
	for p := range paths {
		if kind, _, known := place(p); !known || kind != lint.MovedFile {
			continue
		}
		if e, err := a.repository.At(a.trees[2], p); err == nil {
			found[p] = []commits.Entry{e}
		}
	}
	return found
}

// file notes what each state says in the file at a path, under the id of what it
// is about: a file that was moved is the same file.
func (a *audit) file(kind lint.InputKind, p string, renamed map[string]string, said map[string]*stated) error {
	if err := a.ctx.Err(); err != nil {
		return err
	}
	forms, open := a.base.over[p]
	if !open {
		e, err := a.repository.At(a.base.tree, p)
		if err != nil {
			return err
		}
		forms = []commits.Entry{e}
	}
	note := func(e commits.Entry, put func(*stated, *claims.Claim)) error {
		if !e.IsFile() {
			return nil
		}
		b, err := a.read(e)
		if err != nil {
			return err
		}
		about, all := taken(kind, p, b)
		if now, moved := renamed[about]; moved {
			about = now
		}
		for i := range all {
			key := about + "\x00" + all[i].Pointer + "\x00" + all[i].Key
			if said[key] == nil {
				said[key] = &stated{file: p}
			}
			put(said[key], &all[i])
		}
		return nil
	}
	for _, e := range forms {
		if err := note(e, func(s *stated, c *claims.Claim) { s.base, s.open = c, len(forms) > 1 }); err != nil {
			return err
		}
	}
	for i, tree := range a.trees {
		e, err := a.repository.At(tree, p)
		if err != nil {
			return err
		}
		if err := note(e, func(s *stated, c *claims.Claim) { s.here[i] = c; s.file = p }); err != nil {
			return err
		}
	}
	return nil
}

// taken takes a file apart and says what it is about.
func taken(kind lint.InputKind, p string, b []byte) (about string, all []claims.Claim) {
	f := schema.ReadFile(p, b)
	about = p
	if kind == lint.EngineFile {
		if e, _ := schema.DecodeEngine(f); e.ID.Given() {
			about = e.ID.Text
		}
	}
	return strings.ReplaceAll(about, "\x00", ""), claims.Of(kind, f)
}

func same(a, b *claims.Claim) bool {
	return a == nil && b == nil || a != nil && b != nil && claims.Same(a, b)
}

// fault holds the merge to what follows from the sides.
func (s *stated) fault() (Fault, bool) {
	ours, theirs, is := s.here[0], s.here[1], s.here[2]
	f := Fault{File: s.file, Is: is}
	base, one := s.base, !s.open
	switch {
	case same(ours, theirs):
		f.Want = ours
	case one && same(base, ours):
		f.Want = theirs
	case one && same(base, theirs):
		f.Want = ours
	case same(is, ours), same(is, theirs):
		return f, false
	default:
		f.Want = ours
		if ours == nil {
			f.Want = theirs
		}
	}
	if same(f.Want, is) {
		return f, false
	}
	switch {
	case f.Want == nil && base != nil && same(is, base):
		f.What = Back
	case f.Want == nil:
		f.What = Invented
	case is == nil:
		f.What = Lost
	case one && same(is, base):
		f.What = Passed
	default:
		f.What = Mixed
	}
	return f, true
}
