package rules_test

import (
	"context"
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
)

// What became of a slip: what the oracle says of it, what the linter said.

// outcome is one slip's.
type outcome struct {
	slip  slip
	bench *benched
	// oracle is whether the prints contradict one another now; modelled whether
	// the oracle has relations for the figure at all.
	oracle   answer
	modelled bool
	// raised are the rules of the findings above a note, noted those of notes that
	// the clean file does not have.
	raised, noted []string
	// first and three: the slipped figure is the first suspect of a finding, or
	// among its first three, and what it must be holds the right value.
	first, three bool
	// only is set when no other figure could alone restore everything;
	// undecided when the oracle could not tell.
	only, undecided bool
	// suspects are those of the first finding, for a reader.
	suspects []string
}

func (o outcome) revealed() bool { return len(o.raised) > 0 }

// benched is an engine of the benchmark.
type benched struct {
	sheet *sheet
	id    string
	// group says where the engine comes from and whether it was kept out of tuning.
	group string
	// applied is the most relations that apply in one layer.
	applied int
	// noted are the rules of the notes on the clean file.
	noted map[string]bool
}

// richness is how much a print tells of itself: by the relations that apply.
func (b *benched) richness() string {
	switch {
	case b.applied >= 10:
		return "rich"
	case b.applied <= 4:
		return "sparse"
	}
	return "middling"
}

// bench lints one file at a time against a register of sources read once.
type bench struct {
	register []lint.Input
	rules    []*lint.Rule
}

func (b *bench) lint(name, id, text string) ([]*lint.Finding, error) {
	own := lint.Input{Name: name, ID: id, Read: func() ([]byte, error) { return []byte(text), nil }}
	res, err := run.Lint(context.Background(), append(slices.Clone(b.register), own), run.Options{Rules: b.rules, Workers: 1})
	if err != nil {
		return nil, err
	}
	return res.Findings, nil
}

func newBench(register []lint.Input) *bench { return &bench{register: register, rules: rules.All()} }

// try makes a slip and looks what comes of it.
func (b *bench) try(o *oracle, of *benched, s slip) (outcome, error) {
	out := outcome{slip: s, bench: of, modelled: true}
	text, err := s.slipped()
	if err != nil {
		return out, err
	}
	after, err := readSheet(s.sheet.name, text)
	if err != nil {
		return out, fmt.Errorf("%s: the slip broke the file: %w", s, err)
	}
	for _, p := range s.places {
		if p.figure.of == nil {
			out.modelled = false
		}
	}
	var culprits map[string]bool
	out.oracle, culprits = o.judge(after, "")
	if out.oracle == contradicts && s.kind != swapped {
		restoring, known := o.restoring(after, culprits)
		out.undecided = !known
		out.only = known && len(restoring) == 1 && restoring[0] == s.places[0].figure.pointer
	}
	found, err := b.lint(s.sheet.name, of.id, text)
	if err != nil {
		return out, err
	}
	for _, f := range found {
		switch {
		case f.Level > lint.Note:
			out.raised = append(out.raised, f.Rule)
			out.look(f)
		case !of.noted[f.Rule]:
			out.noted = append(out.noted, f.Rule)
		}
	}
	return out, nil
}

// look takes in what one finding says of the figures that slipped.
func (out *outcome) look(f *lint.Finding) {
	for i, s := range f.Suspects {
		if i < 3 && out.isRight(s) {
			out.three = true
			out.first = out.first || i == 0
		}
		if len(out.suspects) < 4 {
			out.suspects = append(out.suspects, fmt.Sprintf("%s %s [%s]", s.Pointer, bounds(s.MustBe), s.Slip))
		}
	}
}

func bounds(m lint.MustBe) string {
	end := func(x *float64) string {
		if x == nil {
			return "…"
		}
		return fmt.Sprintf("%.6g", *x)
	}
	return end(m.Low) + " to " + end(m.High) + " " + m.Unit
}

// isRight reports whether a suspect is a figure that slipped, and what it must
// be meets what it was before.
func (out *outcome) isRight(s lint.Suspect) bool {
	for _, p := range out.slip.places {
		if s.Pointer != p.figure.pointer && !strings.HasPrefix(s.Pointer, p.figure.pointer+"/") {
			continue // the figure, or one claim of it
		}
		if p.figure.of == nil || p.figure.of == listQ || s.MustBe.Low == nil && s.MustBe.High == nil {
			return true // nothing is said of what it must be, or known
		}
		for _, text := range p.figure.standing() {
			readings, err := readPrint(*p.figure.of, text)
			if err != nil {
				return false
			}
			for _, r := range readings {
				if meets(r, s.MustBe) {
					return true
				}
			}
		}
	}
	return false
}

// meets reports whether what a reading stands for meets an interval in a unit,
// which may end with a dead centre.
func meets(r reading, m lint.MustBe) bool {
	name, datum := m.Unit, ""
	for _, d := range []string{"BTDC", "ATDC", "BBDC", "ABDC", "TDC", "BDC"} {
		if after, ok := strings.CutSuffix(name, d); ok {
			name, datum = strings.TrimSpace(after), strings.ToLower(d)
			break
		}
	}
	lo, hi := r.lo, r.hi
	switch u, known := units[strings.ToLower(name)]; {
	case known && (u.base == r.unit || u.base == "mm" && (r.unit == "piston" || r.unit == "rim")):
		lo, hi = new(big.Rat).Quo(lo, u.is), new(big.Rat).Quo(hi, u.is)
	case name == "" && (r.unit == "1" || r.unit == "teeth"):
	default:
		return false
	}
	if r.unit == "°" && r.datum != "" {
		switch datum {
		case "", "tdc", "bdc":
			return false
		}
		lo, hi = recount(lo, hi, r.datum, datum)
	} else if datum != "" && r.datum != "" && datum[0] != r.datum[0] { // a distance on the other side
		lo, hi = new(big.Rat).Neg(hi), new(big.Rat).Neg(lo)
	}
	a, b := float64Of(lo), float64Of(hi)
	slack := 1e-6 * math.Max(1, math.Abs(b))
	return (m.Low == nil || *m.Low <= b+slack) && (m.High == nil || *m.High >= a-slack)
}

// tally counts outcomes.
type tally struct {
	injected, revealed int
	// By what the oracle says. Slips of figures that it has no relation for and
	// slips that leave all relations holding may be revealed all the same.
	unmodelled, unmodelledRevealed int
	harmless, harmlessRevealed     int
	unreadable, unreadableRevealed int
	unknown                        int
	revealable, both               int
	// Of the slips of one figure that are revealable and revealed.
	told, first, three int
	only, onlyFirst    int
}

func (t *tally) add(o outcome) {
	count := func(n *int, when bool) {
		if when {
			*n++
		}
	}
	t.injected++
	count(&t.revealed, o.revealed())
	switch {
	case o.oracle == unknown:
		t.unknown++
	case o.oracle == unreadable:
		t.unreadable++
		count(&t.unreadableRevealed, o.revealed())
	case o.oracle == holds && !o.modelled:
		t.unmodelled++
		count(&t.unmodelledRevealed, o.revealed())
	case o.oracle == holds:
		t.harmless++
		count(&t.harmlessRevealed, o.revealed())
	default:
		t.revealable++
		count(&t.both, o.revealed())
		if o.only {
			t.only++
			count(&t.onlyFirst, o.first)
		}
		if o.revealed() {
			t.told++
			count(&t.first, o.first)
			count(&t.three, o.three)
		}
	}
}

// wilson is the 95 % interval of a share (E. B. Wilson, Probable inference, the
// law of succession, and statistical inference, JASA 22, 1927).
func wilson(k, n int) (lo, hi float64) {
	if n == 0 {
		return 0, 1
	}
	const z = 1.959964
	p, m := float64(k)/float64(n), float64(n)
	middle := p + z*z/(2*m)
	half := z * math.Sqrt(p*(1-p)/m+z*z/(4*m*m))
	return (middle - half) / (1 + z*z/m), (middle + half) / (1 + z*z/m)
}

// share prints k of n as a percentage with its interval.
func share(k, n int) string {
	if n == 0 {
		return "–"
	}
	lo, hi := wilson(k, n)
	return fmt.Sprintf("%.1f (%.1f–%.1f)", 100*float64(k)/float64(n), 100*lo, 100*hi)
}
