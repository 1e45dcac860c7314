package run

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/text"
)

// Fixed is a file with its safe fixes made.
type Fixed struct {
	Name          string
	Before, After []byte
	// Titles say what was done, in order.
	Titles []string
}

// mostRounds bounds how often a file is linted to fix what fixing it brought up.
const mostRounds = 50

// Fix makes the fixes that findings carry until none is left, and returns the
// files that change. It writes nothing. No fix touches a figure: every print
// with its source, every other value and every comment of the file is in the
// result as well, acceptances that are taken out and units that were misspelled
// aside. It is an error, and
// nothing is returned, when a fix would do more or when fixing a file comes to
// no end. Context inputs are left alone.
func Fix(ctx context.Context, inputs []lint.Input, o Options) ([]Fixed, error) {
	res, err := Lint(ctx, inputs, o)
	if err != nil {
		return nil, err
	}
	fixable := map[string]bool{}
	for _, f := range res.Findings {
		fixable[f.File] = fixable[f.File] || f.Fix != nil
	}
	w := &fixer{options: o, files: map[string]*Fixed{}}
	for _, in := range inputs {
		if !in.Context && fixable[in.Name] {
			if in, err = w.take(in); err != nil {
				return nil, err
			}
		} else {
			in.Context = true
		}
		w.inputs = append(w.inputs, in)
	}
	if err := w.untilStable(ctx); err != nil {
		return nil, err
	}
	return w.changed(), nil
}

type fixer struct {
	options Options
	inputs  []lint.Input // files that have fixes are read from memory, all others are context
	files   map[string]*Fixed
}

// take reads a file once and for all.
func (w *fixer) take(in lint.Input) (lint.Input, error) {
	b, err := in.Read()
	if err != nil {
		return in, fmt.Errorf("%s: %w", in.Name, err)
	}
	f := &Fixed{Name: in.Name, Before: b, After: b}
	w.files[in.Name] = f
	in.Read = func() ([]byte, error) { return f.After, nil }
	return in, nil
}

// untilStable lints and fixes in turn; what is stable is not looked at again.
func (w *fixer) untilStable(ctx context.Context) error {
	for range mostRounds {
		res, err := Lint(ctx, w.inputs, w.options)
		if err != nil {
			return err
		}
		fixes := nextFixes(res.Findings)
		if len(fixes) == 0 {
			return nil
		}
		for i := range w.inputs {
			in := &w.inputs[i]
			if in.Context = in.Context || fixes[in.Name] == nil; in.Context {
				continue
			}
			if err := w.files[in.Name].apply(*in, fixes[in.Name]); err != nil {
				return fmt.Errorf("%s: nothing is fixed: %w", in.Name, err)
			}
		}
	}
	var names []string
	for _, in := range w.inputs {
		if !in.Context {
			names = append(names, in.Name)
		}
	}
	return fmt.Errorf("nothing is fixed: after %d rounds there is still something to fix in %s", mostRounds, strings.Join(names, ", "))
}

func (w *fixer) changed() []Fixed {
	var all []Fixed
	for _, f := range w.files {
		if !bytes.Equal(f.Before, f.After) {
			all = append(all, *f)
		}
	}
	slices.SortFunc(all, func(a, b Fixed) int { return cmp.Compare(a.Name, b.Name) })
	return all
}

// nextFixes picks for each file what to fix first: all that one rule offers, the
// gravest first, so that the layout of the whole text comes when all else is
// done. Rules do not know what others offer, those of one rule go together.
func nextFixes(findings []*lint.Finding) map[string][]*lint.Fix {
	first := map[string]*lint.Finding{}
	fixes := map[string][]*lint.Fix{}
	for _, f := range findings {
		if f.Fix == nil {
			continue
		}
		if is := first[f.File]; is == nil || f.Level > is.Level || f.Level == is.Level && f.Rule < is.Rule {
			first[f.File], fixes[f.File] = f, nil
		}
		if f.Rule == first[f.File].Rule {
			fixes[f.File] = append(fixes[f.File], f.Fix)
		}
	}
	return fixes
}

// apply makes those of the fixes that do not touch one another. Where they are
// not sound together it makes the first; the others have their turn when the
// file has been linted again.
func (f *Fixed) apply(in lint.Input, fixes []*lint.Fix) error {
	chosen := apart(fixes)
	after, err := soundly(in, f.After, chosen)
	if err != nil && len(fixes) > 1 {
		chosen = fixes[:1]
		after, err = soundly(in, f.After, chosen)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", fixes[0].Title, err)
	}
	for _, fix := range chosen {
		f.Titles = append(f.Titles, fix.Title)
	}
	f.After = after
	return nil
}

// apart leaves out what touches one before it, and with that what several
// findings offer alike.
func apart(fixes []*lint.Fix) []*lint.Fix {
	chosen, edits := fixes[:1], fixes[0].Edits
	for _, fix := range fixes[1:] {
		if all, ok := merged(slices.Concat(edits, fix.Edits)); ok {
			chosen, edits = append(chosen[:len(chosen):len(chosen)], fix), all
		}
	}
	return chosen
}

// soundly makes fixes in a text, or says why that would do harm.
func soundly(in lint.Input, before []byte, fixes []*lint.Fix) ([]byte, error) {
	after, err := Apply(before, fixes...)
	if err != nil {
		return nil, err
	}
	return after, sound(in, before, after)
}

// merged sorts edits, and reports whether they leave one another alone.
func merged(edits []lint.Edit) ([]lint.Edit, bool) {
	slices.SortStableFunc(edits, func(a, b lint.Edit) int { return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.End, b.End)) })
	for i := range len(edits) - 1 {
		if a, b := edits[i], edits[i+1]; b.Start < a.End || a.Start == b.Start && a.End == b.End {
			return nil, false
		}
	}
	return edits, true
}

// Apply makes fixes in a text, each whole: it is an error when one reaches
// beyond the text, cuts a character, or touches what another touches, and then
// none is made.
func Apply(source []byte, fixes ...*lint.Fix) ([]byte, error) {
	var edits []lint.Edit
	for _, fix := range fixes {
		edits = append(edits, fix.Edits...)
	}
	edits, ok := merged(edits)
	if !ok {
		return nil, errors.New("two changes touch the same part of the file")
	}
	var out bytes.Buffer
	at := 0
	for _, e := range edits {
		if e.Start < at || e.End < e.Start || e.End > len(source) || cutsCharacter(source, e.Start) || cutsCharacter(source, e.End) {
			return nil, fmt.Errorf("a change of the bytes %d to %d does not fit the file", e.Start, e.End)
		}
		out.Write(source[at:e.Start])
		out.WriteString(e.Text)
		at = e.End
	}
	out.Write(source[at:])
	return out.Bytes(), nil
}

// cutsCharacter reports whether an offset is in the middle of a character.
func cutsCharacter(source []byte, at int) bool {
	return at < len(source) && source[at]&0xC0 == 0x80
}

// sound returns an error unless a text has every figure, every value and every
// comment that it had, and reads no worse.
func sound(in lint.Input, before, after []byte) error {
	was, is := schema.ReadFile(in.Name, before), schema.ReadFile(in.Name, after)
	if n := len(is.Doc.Problems); n > len(was.Doc.Problems) {
		return fmt.Errorf("the file could not be read any more: %s", is.Doc.Problems[n-1].Message)
	}
	held, holds := contents(was.Doc), contents(is.Doc)
	var e *schema.Engine
	var problems []schema.Problem
	if in.Kind == lint.EngineFile {
		e, problems = schema.DecodeEngine(was)
		respelled(held, holds, problems)
	}
	if lost := difference(held, holds); lost != "" {
		return fmt.Errorf("%s would be lost or changed", lost)
	}
	if added := difference(holds, held); added != "" {
		return fmt.Errorf("%s would come from nowhere", added)
	}
	if e == nil {
		return nil
	}
	fixed, left := schema.DecodeEngine(is)
	if len(left) > len(problems) {
		return fmt.Errorf("the file would be less in order than before: %s", left[len(left)-1].Message)
	}
	if lost := difference(figures(e), figures(fixed)); lost != "" {
		return fmt.Errorf("the figure %s would be lost or changed", lost)
	}
	return nil
}

// contents counts the keys, values and comments of a text, what is accepted aside.
func contents(d *text.Doc) map[string]int {
	count := map[string]int{}
	d.Walk(func(path text.Path, n *text.Node) bool {
		if len(path) == 1 && path[0] == "accepted" {
			return false
		}
		if len(path) > 0 {
			count["the key "+path[len(path)-1]]++
		}
		if n.Kind == text.Scalar && !n.Absent {
			count[valueKey(n.Text, n.Style)]++
		}
		return true
	})
	for _, c := range d.Comments {
		count["the comment "+strings.TrimRight(string(d.Source[c.Span.Start:c.Span.End]), " \t")]++
	}
	return count
}

func valueKey(s string, style text.Style) string {
	return fmt.Sprintf("the value %q, written in style %d,", s, style)
}

// respelled counts as one the prints that could not be read for a misspelled
// unit, and the same prints with the unit spelled.
func respelled(held, holds map[string]int, problems []schema.Problem) {
	for _, p := range problems {
		if p.Figure == nil || p.At.Node.Kind != text.Scalar {
			continue
		}
		n := p.At.Node
		unit, ok := figure.Respell(p.Figure.Kind, n.Text)
		if !ok {
			continue
		}
		wrong, right := valueKey(n.Text, n.Style), valueKey(n.Text[:unit.Wrong.Start]+unit.Right+n.Text[unit.Wrong.End:], n.Style)
		if held[wrong] > holds[wrong] && held[right] < holds[right] {
			held[wrong]--
			held[right]++
		}
	}
}

// figures counts the prints of an engine and its variants, each with its place
// and its source.
func figures(e *schema.Engine) map[string]int {
	count := map[string]int{}
	for _, one := range e.All() {
		for _, f := range one.Figures() {
			for _, c := range f.Claims {
				place := strings.Join(strings.Fields(one.Variant+" "+f.Path+" "+c.Key), " ")
				count[fmt.Sprintf("%s: %s [%s]", place, c.Printed.Text, c.From)]++
			}
		}
	}
	return count
}

// difference names something that the first count has more of, or "".
func difference(a, b map[string]int) string {
	least := ""
	for key, n := range a {
		if n > b[key] && (least == "" || key < least) {
			least = key
		}
	}
	return least
}
