package rules_test

import (
	"fmt"
	"maps"
	"math/big"
	"slices"
	"strings"
)

// The oracle says whether the prints of a file really contradict one another:
// whether there are no values within what the prints stand for that satisfy all
// relations. It restates the relations as formulas of its own and decides the
// linear ones exactly; lengths that turn into angles (rim, piston travel) are
// decided by cutting up the ranges of the few dimensions that they go through,
// and products by their logarithms, with margins on the safe side.
//
// It knows nothing of cam profiles, of bands and proportions that are custom
// (piston, rod, gaps), of helical wheels and chains, of throws and stamps' order,
// nor of expansion and cranking pressure.

// answer is what the oracle makes of a file.
type answer int

const (
	holds answer = iota
	contradicts
	unreadable // a figure is no print of its kind, so there is nothing to compare
	unknown
)

// oracle remembers the prints it has read.
type oracle struct{ prints map[printKey]parsed }

type printKey struct {
	of   *quantity
	text string
}

type parsed struct {
	readings []reading
	err      error
}

func newOracle() *oracle {
	return &oracle{prints: map[printKey]parsed{}}
}

func (o *oracle) read(of *quantity, text string) ([]reading, error) {
	key := printKey{of, text}
	p, ok := o.prints[key]
	if !ok {
		p.readings, p.err = readPrint(*of, text)
		o.prints[key] = p
	}
	return p.readings, p.err
}

// judge decides a file, with the print of one figure ignored (none when freed is
// empty). culprits are figures one of which must be wrong.
func (o *oracle) judge(s *sheet, freed string) (answer, map[string]bool) {
	culprits := map[string]bool{}
	result := holds
	for _, l := range s.layers {
		w := o.world(l, freed)
		switch a := w.decide(); a {
		case contradicts:
			result = contradicts
			maps.Copy(culprits, w.culprits)
		case unreadable, unknown:
			if result != contradicts {
				result = a
			}
		}
	}
	return result, culprits
}

// restoring returns the figures each of which alone, its print ignored, lets all
// relations hold; known is false when that could not be decided for one of them.
func (o *oracle) restoring(s *sheet, culprits map[string]bool) (figures []string, known bool) {
	known = true
	for _, pointer := range slices.Sorted(maps.Keys(culprits)) {
		switch a, _ := o.judge(s, pointer); a {
		case holds:
			figures = append(figures, pointer)
		case unknown, unreadable:
			known = false
		}
	}
	return figures, known
}

// world is the relations of one layer.
type world struct {
	o        *oracle
	l        *layer
	freed    string
	culprits map[string]bool
	unread   error // a print that cannot be read
	offset   bool  // the cylinders are offset, and dead centres shift: not followed

	forms   []form
	logs    []form
	pivots  []pivot
	choices []choice
	broken  [][]string // exact relations that fail
	applied int        // relations all of whose figures are printed
}

// pivot is a dimension that turns lengths into angles.
type pivot struct {
	name   string
	lo, hi float64
	whole  bool
}

// box is a range for each pivot.
type box map[string][2]float64

// choice is one of several ways in which prints may be meant. Each way gives
// forms for a box; wide ones, when set, hold whichever it is.
type choice struct {
	ways []func(box, float64) []form
	wide func(box, float64) []form
}

// span is what the prints of a figure allow; from is its pointer.
type span struct {
	lo, hi *big.Rat
	from   string
	// first is the first standing reading.
	first reading
}

// figure returns the figure at a path unless it is freed.
func (w *world) figure(path string) *printedFigure {
	f := w.l.figures[path]
	if f == nil || f.pointer == w.freed {
		return nil
	}
	return f
}

// prints returns, for each standing claim, the readings of a figure.
func (w *world) prints(path string) (f *printedFigure, claims [][]reading) {
	f = w.figure(path)
	if f == nil {
		return nil, nil
	}
	if f.of == nil || f.of == listQ {
		return nil, nil
	}
	for _, text := range f.standing() {
		rs, err := w.o.read(f.of, text)
		if err != nil {
			w.unread = fmt.Errorf("%s: %w", path, err)
			return nil, nil
		}
		if len(rs) > 0 {
			claims = append(claims, rs)
		}
	}
	return f, claims
}

// allowed is what the standing claims allow for readings in a unit, counted
// from a datum where there is one: all claims together, readings of one claim
// where they meet.
func (w *world) allowed(path, unit, datum string) (span, bool) {
	f, claims := w.prints(path)
	s := span{}
	for _, rs := range claims {
		var lo, hi *big.Rat
		spoke := false
		for _, r := range rs {
			if r.unit != unit {
				continue
			}
			a, b := r.lo, r.hi
			if datum != "" {
				a, b = recount(a, b, r.datum, datum)
			}
			switch {
			case !spoke:
				lo, hi = a, b
				if s.from == "" {
					s.first = r
				}
			case a.Cmp(hi) > 0 || b.Cmp(lo) < 0:
				lo, hi = least(lo, a), most(hi, b)
			default:
				lo, hi = most(lo, a), least(hi, b)
			}
			spoke = true
		}
		if !spoke {
			continue
		}
		if s.from == "" {
			s.from, s.lo, s.hi = f.pointer, lo, hi
			continue
		}
		s.lo, s.hi = least(s.lo, lo), most(s.hi, hi)
	}
	return s, s.from != ""
}

func least(a, b *big.Rat) *big.Rat {
	if a.Cmp(b) < 0 {
		return a
	}
	return b
}

func most(a, b *big.Rat) *big.Rat {
	if a.Cmp(b) > 0 {
		return a
	}
	return b
}

// recount counts an angle from another dead centre: after it for ATDC and ABDC,
// before it for the others; the turn is that which lies nearest.
func recount(lo, hi *big.Rat, from, to string) (*big.Rat, *big.Rat) {
	after := func(x *big.Rat, d string) *big.Rat {
		y := new(big.Rat).Set(x)
		if d[0] == 'b' {
			y.Neg(y)
		}
		if strings.HasSuffix(d, "bdc") {
			y.Add(y, big.NewRat(180, 1))
		}
		return y
	}
	a, b := after(lo, from), after(hi, from)
	if from[0] == 'b' {
		a, b = b, a
	}
	if strings.HasSuffix(to, "bdc") {
		a.Sub(a, big.NewRat(180, 1))
		b.Sub(b, big.NewRat(180, 1))
	}
	if to[0] == 'b' {
		a, b = b.Neg(b), a.Neg(a)
	}
	turn := big.NewRat(360, 1)
	for {
		middle := scaled(new(big.Rat).Add(a, b), 1, 2)
		switch {
		case middle.Cmp(big.NewRat(180, 1)) > 0:
			a.Sub(a, turn)
			b.Sub(b, turn)
		case middle.Cmp(big.NewRat(-180, 1)) <= 0:
			a.Add(a, turn)
			b.Add(b, turn)
		default:
			return a, b
		}
	}
}

// count returns a counted figure on which the claims agree.
func (w *world) count(path string) (int64, string, bool) {
	s, ok := w.allowed(path, "1", "")
	if !ok || s.lo.Cmp(s.hi) != 0 || !s.lo.IsInt() {
		return 0, "", false
	}
	return s.lo.Num().Int64(), s.from, true
}

// relation counts a relation that applies: all its figures are printed.
func (w *world) relation(paths ...string) {
	for _, p := range paths {
		if _, claims := w.prints(p); len(claims) == 0 {
			return
		}
	}
	w.applied++
}

func rat(n int64) *big.Rat { return big.NewRat(n, 1) }

// world builds the relations of a layer.
func (o *oracle) world(l *layer, freed string) *world {
	w := &world{o: o, l: l, freed: freed, culprits: map[string]bool{}}
	if _, ok := l.figures["/size/cylinder_offset"]; ok {
		w.offset = true
	}
	w.layout()
	w.drives()
	if len(w.broken) > 0 {
		return w // that settles it
	}
	w.twins()
	w.events()
	w.clearances()
	w.ignition()
	w.stamps()
	w.steps()
	w.size()
	return w
}

// twins are prints in two units, which must agree but for a last place cut off.
func (w *world) twins() {
	for _, path := range slices.Sorted(maps.Keys(w.l.figures)) {
		f, claims := w.prints(path)
		for _, rs := range claims {
			for i, a := range rs {
				for _, b := range rs[i+1:] {
					if a.unit == b.unit && a.datum == b.datum && a.straight == b.straight && !agree(a, b) {
						w.broken = append(w.broken, []string{f.pointer})
					}
				}
			}
		}
	}
}

func agree(a, b reading) bool {
	meet := func(lo, hi, lo2, hi2 *big.Rat) bool { return lo.Cmp(hi2) <= 0 && lo2.Cmp(hi) <= 0 }
	la, ha := a.cutOff()
	lb, hb := b.cutOff()
	return meet(a.lo, a.hi, b.lo, b.hi) || meet(la, ha, b.lo, b.hi) || meet(a.lo, a.hi, lb, hb)
}
