package publish

import (
	"cmp"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"fourmarks.example/data/changes"
	"fourmarks.example/data/release"
)

// Earlier is what the figures of a release are compared with.
type Earlier interface {
	// Name is what the changes call it; empty for a release without a name.
	Name() string
	// IDs are the ids of its engines.
	IDs() ([]string, error)
	// Engine returns one of them. It is called by several goroutines at once.
	Engine(id string) (*release.Engine, error)
}

const (
	changesFile    = "changes.json"
	changesPage    = "CHANGES.md"
	changesMeaning = "Figures added, gone, and changed. A figure that is derived is not listed: it follows from others."
)

// changesForm writes which figures changed since an earlier state, for programs
// and for people.
type changesForm struct {
	earlier    Earlier
	origins    map[string]string
	before     map[string]bool // the ids of the earlier state
	list, page *File
	wrote      int
	under      string // the engine under which the page stands
}

// newChanges makes the form. Origins are the earlier ids of engines that were
// renamed, by the id they have now.
func newChanges(earlier Earlier, origins map[string]string) NewForm {
	return func(f *Folder) (Form, error) {
		ids, err := earlier.IDs()
		if err != nil {
			return nil, err
		}
		c := &changesForm{earlier: earlier, origins: origins, before: map[string]bool{}}
		for _, id := range ids {
			c.before[id] = true
		}
		if c.list, err = f.Create(changesFile); err != nil {
			return nil, err
		}
		if c.page, err = f.Create(changesPage); err != nil {
			return nil, err
		}
		since, err := encode(earlier.Name())
		if err != nil {
			return nil, err
		}
		if _, err := fmt.Fprintf(c.list, `{"published_format":%q,"since":%s,"changes":[`, release.Version, strings.TrimSpace(string(since))); err != nil {
			return nil, err
		}
		_, err = fmt.Fprintf(c.page, "# Figures changed since %s\n\n%s\n", cmp.Or(changes.Code(earlier.Name()), "the release before"), changesMeaning)
		return c, err
	}
}

// compared is one engine beside what it was; was is nil for one that is new.
type compared struct {
	is, was *release.Engine
}

func (c *changesForm) Prepare(p *Prepared) (any, error) {
	for _, id := range []string{p.Entry.ID, c.origins[p.Entry.ID]} {
		if c.before[id] {
			was, err := c.earlier.Engine(id)
			return compared{p.Published, was}, err
		}
	}
	return compared{is: p.Published}, nil
}

func (c *changesForm) Add(prepared any) error { return c.write(prepared.(compared)) }

func (c *changesForm) write(of compared) error {
	for _, change := range changesOf(of.was, of.is) {
		b, err := encode(change)
		if err != nil {
			return err
		}
		separator := ",\n"
		if c.wrote == 0 {
			separator = "\n"
		}
		c.wrote++
		if _, err := c.list.WriteString(separator + strings.TrimSpace(string(b))); err != nil {
			return err
		}
		if _, err := c.page.WriteString(c.line(change)); err != nil {
			return err
		}
	}
	return nil
}

// line is a change as a line of the page, under the heading of its engine.
func (c *changesForm) line(change release.Change) string {
	var b strings.Builder
	heading := strings.TrimSpace(change.Engine + " " + change.Variant)
	if heading != c.under {
		fmt.Fprintf(&b, "\n## %s\n\n", changes.Code(heading))
		c.under = heading
	}
	fmt.Fprintf(&b, "- %s: ", changes.Code(change.Path))
	switch {
	case change.Before == nil:
		fmt.Fprintf(&b, "new, %s\n", stated(change.After))
	case change.After == nil:
		fmt.Fprintf(&b, "gone; it was %s\n", stated(change.Before))
	case change.What == "claims":
		fmt.Fprintf(&b, "%s; what is said for or against it changed\n", stated(change.After))
	default:
		fmt.Fprintf(&b, "%s; it was %s\n", stated(change.After), stated(change.Before))
	}
	return b.String()
}

// stated is a figure in words.
func stated(s *release.State) string {
	is := "without a value"
	if s.Printed != "" {
		is = changes.Code(s.Printed)
	}
	is += ", " + s.Standing
	if s.From != "" {
		is += ", from " + changes.Code(strings.TrimSpace(s.From+" "+s.Locator))
	}
	return is
}

func (c *changesForm) End(w *Whole) error {
	for _, id := range slices.Sorted(maps.Keys(c.before)) {
		if w.holds(id) {
			continue
		}
		was, err := c.earlier.Engine(id)
		if err != nil {
			return err
		}
		if err := c.write(compared{was: was}); err != nil {
			return err
		}
	}
	if c.wrote == 0 {
		if _, err := c.page.WriteString("\nNone.\n"); err != nil {
			return err
		}
	}
	if _, err := c.list.WriteString("\n]}\n"); err != nil {
		return err
	}
	if err := c.list.Close(); err != nil {
		return err
	}
	return c.page.Close()
}

func (c *changesForm) Close() error { return nil }

// changesOf lists what changed in the figures of one engine, variant by variant,
// by path. Either may be nil.
func changesOf(was, is *release.Engine) []release.Change {
	before, after := figuresOf(was), figuresOf(is)
	var all []release.Change
	for _, at := range slices.SortedFunc(maps.Keys(joined(before, after)), compareSpots) {
		if what := difference(before[at], after[at]); what != "" {
			all = append(all, release.Change{Engine: cmp.Or(is, was).ID, Variant: at.variant, Path: at.path, What: what,
				Before: state(before[at]), After: state(after[at])})
		}
	}
	return all
}

// spot names a figure of an engine.
type spot struct{ variant, path string }

func compareSpots(a, b spot) int {
	return cmp.Or(cmp.Compare(a.variant, b.variant), cmp.Compare(a.path, b.path))
}

// wholeFigure is a figure with every claim of it.
type wholeFigure struct {
	is              *release.Figure
	disputed, aside []release.Claim
}

// figuresOf are the figures of an engine that somebody prints. Those that a
// variant has from the base are left to the base.
func figuresOf(e *release.Engine) map[spot]*wholeFigure {
	all := map[spot]*wholeFigure{}
	if e == nil {
		return all
	}
	collect := func(variant string, s *release.Series) {
		for i := range s.Figures {
			if f := &s.Figures[i]; f.Standing != release.Derived && !f.Inherited {
				all[spot{variant, f.Path}] = &wholeFigure{is: f}
			}
		}
		for _, c := range s.Disputed {
			if f := all[spot{variant, c.Path}]; f != nil {
				f.disputed = c.Claims
			}
		}
		for _, c := range s.SetAside {
			if f := all[spot{variant, c.Path}]; f != nil {
				f.aside = c.Claims
			}
		}
	}
	collect("", &e.Series)
	for i := range e.Variants {
		collect(e.Variants[i].Name, &e.Variants[i].Series)
	}
	return all
}

func joined(a, b map[spot]*wholeFigure) map[spot]*wholeFigure {
	all := maps.Clone(a)
	maps.Copy(all, b)
	return all
}

// difference says what changed of a figure, the gravest first; "" for nothing.
func difference(was, is *wholeFigure) string {
	switch {
	case was == nil:
		return "added"
	case is == nil:
		return "gone"
	case !reflect.DeepEqual(was.is.Print, is.is.Print):
		return "value"
	case was.is.Standing != is.is.Standing:
		return "standing"
	case !reflect.DeepEqual([]any{was.is.Claims, was.disputed, was.aside}, []any{is.is.Claims, is.disputed, is.aside}):
		return "claims"
	}
	return ""
}

func state(f *wholeFigure) *release.State {
	if f == nil {
		return nil
	}
	s := &release.State{Printed: f.is.Printed, Standing: f.is.Standing, From: f.is.From, Locator: f.is.Locator}
	if f.is.SI != nil {
		s.Value, s.Unit = f.is.SI.Value, f.is.SI.Unit
	}
	return s
}
