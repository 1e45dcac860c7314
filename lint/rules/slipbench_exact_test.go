package rules_test

import (
	"math/big"
	"slices"
)

// Whether linear forms can all lie within their bounds at once, decided exactly
// in rationals: the simplex method for bounds on forms of B. Dutertre and L. de
// Moura, A fast linear-arithmetic solver for DPLL(T), CAV 2006, with the least
// index taken first (Bland), so that it ends.

// form is a sum of unknowns, each times a number, that lies between two bounds.
// A nil bound is open. from names the figures whose prints say so.
type form struct {
	of     map[string]int64
	lo, hi *big.Rat
	from   []string
}

// within returns the form of one unknown between two bounds.
func within(unknown string, lo, hi *big.Rat, from ...string) form {
	return form{of: map[string]int64{unknown: 1}, lo: lo, hi: hi, from: from}
}

// bound is an end of a range, and the figures it comes from.
type bound struct {
	at   *big.Rat
	from []string
}

func (b *bound) tighten(at *big.Rat, from []string, sign int) {
	if at != nil && (b.at == nil || at.Cmp(b.at) == sign) {
		b.at, b.from = at, from
	}
}

// tableau is the state of the method: forms that are basic, each as a sum of
// those that are not, and a value for every one.
type tableau struct {
	lo, hi []bound
	value  []*big.Rat
	basic  []int
	free   []int
	rows   [][]*big.Rat // rows[i][j] is how often free[j] goes into basic[i]
}

// satisfiable reports whether all forms can lie within their bounds at once.
// When they cannot, culprits are the figures of one set of bounds that exclude
// one another.
func satisfiable(forms []form) (ok bool, culprits []string) {
	index := map[string]int{}
	var names []string
	for _, f := range forms {
		for name := range f.of {
			if _, known := index[name]; !known {
				index[name] = 0
				names = append(names, name)
			}
		}
	}
	slices.Sort(names)
	for i, name := range names {
		index[name] = i
	}
	t := newTableau(len(names))
	for _, f := range forms {
		t.add(f, index)
	}
	return t.solve()
}

func newTableau(unknowns int) *tableau {
	t := &tableau{lo: make([]bound, unknowns), hi: make([]bound, unknowns)}
	for i := range unknowns {
		t.value = append(t.value, new(big.Rat))
		t.free = append(t.free, i)
	}
	return t
}

// add takes in a form: as bounds of its unknown when it has only one, else as a
// row of its own.
func (t *tableau) add(f form, index map[string]int) {
	if len(f.of) == 1 {
		for name, times := range f.of {
			lo, hi := f.lo, f.hi
			if times != 1 {
				lo, hi = scaled(lo, 1, times), scaled(hi, 1, times)
			}
			if times < 0 {
				lo, hi = hi, lo
			}
			t.lo[index[name]].tighten(lo, f.from, 1)
			t.hi[index[name]].tighten(hi, f.from, -1)
		}
		return
	}
	row := make([]*big.Rat, len(t.free))
	for j := range row {
		row[j] = new(big.Rat)
	}
	for name, times := range f.of {
		row[index[name]].SetInt64(times)
	}
	t.basic = append(t.basic, len(t.value))
	t.value = append(t.value, new(big.Rat))
	t.rows = append(t.rows, row)
	t.lo = append(t.lo, bound{f.lo, f.from})
	t.hi = append(t.hi, bound{f.hi, f.from})
}

// scaled returns x·num/den, nil for nil.
func scaled(x *big.Rat, num, den int64) *big.Rat {
	if x == nil {
		return nil
	}
	return new(big.Rat).Mul(x, big.NewRat(num, den))
}

func (t *tableau) below(i int) bool { return t.lo[i].at != nil && t.value[i].Cmp(t.lo[i].at) < 0 }
func (t *tableau) above(i int) bool { return t.hi[i].at != nil && t.value[i].Cmp(t.hi[i].at) > 0 }

func (t *tableau) solve() (bool, []string) {
	for i := range t.lo {
		if t.lo[i].at != nil && t.hi[i].at != nil && t.lo[i].at.Cmp(t.hi[i].at) > 0 {
			return false, slices.Concat(t.lo[i].from, t.hi[i].from)
		}
	}
	for _, j := range t.free {
		switch {
		case t.below(j):
			t.move(j, t.lo[j].at)
		case t.above(j):
			t.move(j, t.hi[j].at)
		}
	}
	for {
		row := -1
		for i, b := range t.basic {
			if (t.below(b) || t.above(b)) && (row < 0 || b < t.basic[row]) {
				row = i
			}
		}
		if row < 0 {
			return true, nil
		}
		b := t.basic[row]
		target, sign := t.lo[b].at, 1
		if t.above(b) {
			target, sign = t.hi[b].at, -1
		}
		column := t.entering(row, sign)
		if column < 0 {
			return false, t.excluded(row, sign)
		}
		t.pivot(row, column, target)
	}
}

// move sets a free one to a value and what depends on it.
func (t *tableau) move(j int, to *big.Rat) {
	by := new(big.Rat).Sub(to, t.value[j])
	column := slices.Index(t.free, j)
	for i, b := range t.basic {
		t.value[b] = new(big.Rat).Add(t.value[b], new(big.Rat).Mul(t.rows[i][column], by))
	}
	t.value[j] = new(big.Rat).Set(to)
}

// entering returns the column of the free one of least index that can move the
// row's value up (sign 1) or down; -1 when all stand at their bounds.
func (t *tableau) entering(row, sign int) int {
	column := -1
	for j, f := range t.free {
		way := t.rows[row][j].Sign() * sign
		can := way > 0 && (t.hi[f].at == nil || t.value[f].Cmp(t.hi[f].at) < 0) ||
			way < 0 && (t.lo[f].at == nil || t.value[f].Cmp(t.lo[f].at) > 0)
		if can && (column < 0 || f < t.free[column]) {
			column = j
		}
	}
	return column
}

// excluded gathers the figures of the bounds at which a row's terms stand.
func (t *tableau) excluded(row, sign int) []string {
	b := t.basic[row]
	from := t.lo[b].from
	if sign < 0 {
		from = t.hi[b].from
	}
	from = slices.Clone(from)
	for j, f := range t.free {
		switch t.rows[row][j].Sign() * sign {
		case 1:
			from = append(from, t.hi[f].from...)
		case -1:
			from = append(from, t.lo[f].from...)
		}
	}
	return from
}

// pivot exchanges the basic one of a row with the free one of a column, so that
// the first takes the value wanted.
func (t *tableau) pivot(row, column int, target *big.Rat) {
	b, f := t.basic[row], t.free[column]
	by := new(big.Rat).Quo(new(big.Rat).Sub(target, t.value[b]), t.rows[row][column])
	t.value[b] = target
	t.value[f] = new(big.Rat).Add(t.value[f], by)
	for i, other := range t.basic {
		if i != row && t.rows[i][column].Sign() != 0 {
			t.value[other] = new(big.Rat).Add(t.value[other], new(big.Rat).Mul(t.rows[i][column], by))
		}
	}
	inverse := new(big.Rat).Inv(t.rows[row][column])
	for j := range t.rows[row] {
		if j == column {
			t.rows[row][j] = inverse
		} else if t.rows[row][j].Sign() != 0 {
			x := new(big.Rat).Mul(t.rows[row][j], inverse)
			t.rows[row][j] = x.Neg(x)
		}
	}
	for i := range t.rows {
		times := t.rows[i][column]
		if i == row || times.Sign() == 0 {
			continue
		}
		for j, x := range t.rows[row] {
			switch {
			case j == column:
				t.rows[i][j] = new(big.Rat).Mul(times, inverse)
			case x.Sign() != 0:
				t.rows[i][j] = new(big.Rat).Add(t.rows[i][j], new(big.Rat).Mul(times, x))
			}
		}
	}
	t.basic[row], t.free[column] = f, b
}
