package figure

import (
	"strings"

	"fourmarks.example/convert"
)

// number reads the first number of a reading with its unit and all that
// belongs to the number: minutes, a tolerance, the end of a range.
func (r *reader) number(m *measured) *Error {
	if m.hasFirst {
		return r.fail(r.pos, len(r.text), "a second number follows").advise("put a figure in another unit in brackets, and a range with `to`")
	}
	n, err := r.scan()
	if err != nil {
		return err
	}
	if n, err = r.exponent(n); err != nil {
		return err
	}
	m.first, m.hasFirst = n, true
	r.unit(m)
	if err := r.minutes(m, &m.first); err != nil {
		return err
	}
	if m.negative && r.kind != Vacuum {
		m.first.n = -m.first.n
	}
	if err := r.joined(m); err != nil {
		return err
	}
	if (m.first.thousands || m.last.thousands) && m.unit == convert.Litre {
		return r.fail(m.first.Start, m.first.End, "the comma may mark thousands or decimals").advise("write it with a point, or without thousands")
	}
	return nil
}

// unit reads the unit after a number, or before it for a pitch.
func (r *reader) unit(m *measured) bool {
	if m.hasUnit && r.kind != Pitch {
		return false
	}
	at := r.pos
	r.space()
	if r.spec.ofAngle() {
		r.accept(wordCrank)
		r.space()
	}
	u, size := r.matchUnit()
	if size == 0 {
		r.pos = at
		return false
	}
	m.unit, m.hasUnit = u, true
	r.pos += size
	return true
}

// matchUnit returns the unit of the kind whose spelling is longest at pos.
func (r *reader) matchUnit() (unit convert.Unit, size int) {
	if r.pos >= len(r.text) || r.spec.of[0] == convert.Number {
		return convert.One, 0
	}
	if unit, size = convert.MatchUnit(r.text[r.pos:], r.spec.of...); size > 0 || r.kind != Vacuum {
		return unit, size
	}
	if unit, size = convert.MatchUnit(r.text[r.pos:], convert.Length); unit != convert.Inch {
		return convert.One, 0
	}
	return convert.InchOfMercury, size // gauges are marked in inches, of mercury
}

// exponent reads a power of ten after the number of a coefficient.
func (r *reader) exponent(n number) (number, *Error) {
	if r.kind != Expansion {
		return n, nil
	}
	s := r.text[r.pos:]
	for _, mark := range [...]string{"e-", "E-", "x10^-", "x10-", "x10⁻", "×10^-", "×10-", "×10⁻"} {
		size := prefixSpaced(s, mark)
		if size == 0 {
			continue
		}
		r.pos += size
		power, found := r.power()
		if !found {
			return n, r.fail(n.Start, r.pos, "the power of ten is missing, or beyond any coefficient")
		}
		for range power {
			if n.d *= 10; n.d > largest {
				return n, r.fail(n.Start, r.pos, "the number has more figures than a print has")
			}
		}
		n.End = r.pos
		return n, nil
	}
	return n, nil
}

// powers are the figures of a power of ten, raised.
var powers = [...]string{"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"}

// power reads one figure, plain or raised.
func (r *reader) power() (value int, found bool) {
	if r.digitAt(r.pos) && !r.digitAt(r.pos+1) {
		r.pos++
		return int(r.text[r.pos-1] - '0'), true
	}
	for value, p := range powers {
		if strings.HasPrefix(r.text[r.pos:], p) {
			r.pos += len(p)
			return value, true
		}
	}
	return 0, false
}

// prefixSpaced returns how much of s spells mark, with spaces anywhere in it.
func prefixSpaced(s, mark string) int {
	i := 0
	for j := 0; j < len(mark); {
		if i < len(s) && s[i] == ' ' {
			i++
			continue
		}
		if i >= len(s) || s[i] != mark[j] {
			return 0
		}
		i, j = i+1, j+1
	}
	return i
}

// minutes reads minutes and seconds of arc after whole degrees.
func (r *reader) minutes(m *measured, n *number) *Error {
	if !m.hasUnit || m.unit != convert.Degree || n.form != Whole {
		return nil
	}
	for _, part := range [...]struct {
		unit  convert.Unit
		short string
	}{{convert.ArcMinute, "min"}, {convert.ArcSecond, "sec"}} {
		back := r.pos
		r.space()
		if !r.startsNumber(r.pos) {
			r.pos = back
			return nil
		}
		sixtieths, err := r.scan()
		if err != nil {
			return err
		}
		if !r.arc(part.unit, part.short) {
			return r.fail(sixtieths.Start, sixtieths.End, "a number without a sign follows the degrees").advise("write minutes as 52°30', and a figure in another unit in brackets")
		}
		if sixtieths.n >= 60*sixtieths.d {
			return r.fail(sixtieths.Start, r.pos, "a degree has 60 minutes and a minute 60 seconds")
		}
		d := 60 * n.d * sixtieths.d
		if d > largest || n.n > largest/(60*sixtieths.d) {
			return r.fail(n.Start, r.pos, "the number has more figures than a print has")
		}
		n.n = n.n*60*sixtieths.d + sixtieths.n
		n.d, n.form, n.End = d, Minutes, r.pos
		if sixtieths.form != Whole {
			return nil
		}
	}
	return nil
}

// arc moves past the sign or word for minutes or seconds.
func (r *reader) arc(u convert.Unit, short string) bool {
	r.space()
	if found, size := convert.MatchUnit(r.text[r.pos:], convert.Angle); size > 0 && found == u {
		r.pos += size
		return true
	}
	for _, s := range [...]string{short + "s", short} {
		after := r.pos + len(s)
		if after > len(r.text) || r.text[r.pos:after] != s || after < len(r.text) && isLetter(r.text[after]) {
			continue
		}
		r.pos = after
		if r.pos < len(r.text) && r.text[r.pos] == '.' {
			r.pos++
		}
		return true
	}
	return false
}
