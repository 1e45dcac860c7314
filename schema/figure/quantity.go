package figure

import (
	"math/big"
	"strings"

	"fourmarks.example/convert"
)

// measured is a reading while it is being read: what the print says, before
// what follows from it.
type measured struct {
	first    number
	hasFirst bool
	negative bool

	last    number // of a range; of a ratio, what the first is held against
	join    join
	up      number // of a tolerance
	down    number
	tolUnit convert.Unit

	limit    limit
	compared bool // the limit is put as a comparison: less than, above
	approx   bool

	unit     convert.Unit
	hasUnit  bool
	measure  Measure
	straight bool
	datum    Datum
	mark     bool
	at       Place

	span Span
}

// join says how a second number belongs to the first.
type join uint8

const (
	alone   join = iota
	upTo         // a range
	against      // a ratio
	within       // a tolerance
)

type limit uint8

const (
	noLimit limit = iota
	atLeast
	atMost
)

// quantity reads one figure in one or more units.
func (r *reader) quantity() ([]Reading, *Error) {
	var shared measured // what is said once for all readings, after a bracket
	for {
		m, err := r.measured()
		if err != nil {
			return nil, err
		}
		if !m.hasFirst && r.count > 0 {
			shared = m
		} else if err := r.keep(m); err != nil {
			return nil, err
		}
		more, err := r.separator()
		if err != nil {
			return nil, err
		}
		if !more {
			break
		}
	}
	return r.readings(&shared)
}

// keep stores a reading that is complete in itself.
func (r *reader) keep(m measured) *Error {
	if !m.hasFirst {
		return r.noNumber()
	}
	if r.count == mostReadings {
		return r.fail(m.span.Start, m.span.End, "it has more readings than a figure is printed in units")
	}
	r.found[r.count] = m
	r.count++
	return nil
}

func (r *reader) noNumber() *Error {
	start, end := 0, len(r.text)
	if meant := absenceMeant(r.whole); meant != "" {
		return r.fail(start, end, "for a figure that is not there, write %s", meant)
	}
	return r.fail(start, end, "there is no number in it")
}

// separator moves past what stands between two readings, and reports whether
// there is anything after it.
func (r *reader) separator() (bool, *Error) {
	r.space()
	if r.pos >= len(r.text) {
		return false, nil
	}
	switch c := r.text[r.pos]; c {
	case '(', '[':
		return true, r.bracketed()
	case '=', '/', ';', ',':
		r.pos++
		return true, nil
	}
	if r.accept(wordOr) {
		return true, nil
	}
	return false, r.unexpected()
}

// bracketed reads the reading in brackets, and leaves pos behind them.
func (r *reader) bracketed() *Error {
	start := r.pos
	closing := byte(')')
	if r.text[start] == '[' {
		closing = ']'
	}
	end := strings.IndexByte(r.text[start:], closing)
	if end < 0 {
		return r.fail(start, len(r.text), "a bracket is opened and not closed")
	}
	end += start
	rest := r.text
	r.text, r.pos = r.text[:end], start+1
	m, err := r.measured()
	if err == nil {
		r.space()
		if r.pos < len(r.text) {
			err = r.unexpected()
		}
	}
	if err == nil {
		err = r.keep(m)
	}
	r.text, r.pos = rest, end+1
	return err
}

// measured reads items in the order in which the print has them, up to the end
// or to a separator.
func (r *reader) measured() (measured, *Error) {
	r.space()
	m := measured{span: Span{Start: r.pos}}
	for {
		r.space()
		if r.pos >= len(r.text) || r.atSeparator(&m) {
			return m, nil
		}
		if err := r.item(&m); err != nil {
			return m, err
		}
		m.span.End = r.pos
	}
}

func (r *reader) atSeparator(m *measured) bool {
	switch r.text[r.pos] {
	case '(', '[', '=', '/', ';':
		return true
	case ',':
		return m.hasFirst || r.count > 0
	case 'o', 'O':
		return m.hasFirst && r.otherwise()
	}
	return false
}

// otherwise reports whether "or" stands at pos between two readings, and not in
// "or more".
func (r *reader) otherwise() bool {
	back := r.pos
	or := r.next() == wordOr && !r.accept(wordMore, wordOver, wordLess, wordUnder)
	r.pos = back
	return or
}

// item reads one item: a number with its unit, a sign or a phrase.
func (r *reader) item(m *measured) *Error {
	c := r.text[r.pos]
	switch {
	case r.startsNumber(r.pos):
		if c == '.' && r.pos > 0 && isLetter(r.text[r.pos-1]) {
			return r.fail(r.pos, r.pos+1, "the point may end the word or begin the number; put a space between them")
		}
		return r.number(m)
	case isLetter(c):
		return r.phrase(m)
	}
	if size := toleranceSize(r.text[r.pos:]); size > 0 {
		return r.tolerance(m, size)
	}
	if size := minusSize(r.text[r.pos:]); size > 0 || c == '+' {
		return r.sign(m, max(size, 1))
	}
	for _, s := range [...]struct {
		print string
		limit limit
	}{{"<=", atMost}, {">=", atLeast}, {"≤", atMost}, {"≥", atLeast}, {"<", atMost}, {">", atLeast}, {"~", noLimit}, {"≈", noLimit}} {
		if !strings.HasPrefix(r.text[r.pos:], s.print) {
			continue
		}
		r.pos += len(s.print)
		if s.limit == noLimit {
			m.approx = true
			return nil
		}
		m.limit, m.compared = s.limit, true
		return nil
	}
	return r.unexpected()
}

// sign reads a plus or minus before the number.
func (r *reader) sign(m *measured, size int) *Error {
	minus := r.text[r.pos] != '+'
	start := r.pos
	r.pos += size
	r.space()
	switch {
	case m.hasFirst && minus && r.startsNumber(r.pos):
		return r.fail(start, r.pos, "a second number follows a minus; for a range write `to`")
	case m.hasFirst || !r.startsNumber(r.pos):
		return r.fail(start, start+size, "a sign stands without a number")
	case r.spec.event:
		return r.fail(start, start+size, "a position has no sign; say BTDC or ATDC, BBDC or ABDC")
	case !r.spec.signed:
		return r.fail(start, start+size, "%s has no sign", r.kind)
	}
	m.negative = minus
	return nil
}

// number reads the first number of a reading with its unit and all that
// belongs to the number: minutes, a tolerance, the end of a range.
func (r *reader) number(m *measured) *Error {
	if m.hasFirst {
		return r.fail(r.pos, len(r.text), "a second number follows; put a figure in another unit in brackets, and a range with `to`")
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
	if m.first.thousands && m.unit == convert.Litre {
		return r.fail(m.first.Start, m.first.End, "the comma may mark thousands or decimals; write it with a point, or without thousands")
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
	if r.spec.of[len(r.spec.of)-1] == convert.Angle {
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
		power, digits := r.power()
		if digits == 0 || power > 9 {
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

// power reads plain or raised figures.
func (r *reader) power() (value, digits int) {
	const raised = "⁰¹²³⁴⁵⁶⁷⁸⁹"
	for r.pos < len(r.text) && digits < 3 {
		if isDigit(r.text[r.pos]) {
			value, digits = value*10+int(r.text[r.pos]-'0'), digits+1
			r.pos++
			continue
		}
		found := false
		at := 0
		for _, c := range raised {
			if s := string(c); strings.HasPrefix(r.text[r.pos:], s) {
				value, digits, found = value*10+at, digits+1, true
				r.pos += len(s)
				break
			}
			at++
		}
		if !found {
			break
		}
	}
	return value, digits
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
			r.pos = back
			return nil
		}
		if sixtieths.n >= 60*sixtieths.d {
			return r.fail(sixtieths.Start, r.pos, "a degree has 60 minutes and a minute 60 seconds")
		}
		d := 60 * n.d * sixtieths.d
		if d > largest || n.n > largest/(60*sixtieths.d) {
			return r.fail(n.Start, r.pos, "the number has more figures than a print has")
		}
		n.n = n.n*60*sixtieths.d + sixtieths.n*n.d
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

// joined reads a tolerance, the end of a range or the other side of a ratio.
func (r *reader) joined(m *measured) *Error {
	back := r.pos
	r.space()
	if size := toleranceSize(r.text[r.pos:]); size > 0 {
		return r.tolerance(m, size)
	}
	if r.kind == Ratio {
		if r.pos < len(r.text) && r.text[r.pos] == ':' {
			r.pos++
			return r.against(m)
		}
		if r.accept(wordTo) {
			return r.against(m)
		}
	}
	if r.signedTolerance() {
		return r.unequal(m)
	}
	limited := r.accept(wordMinimum)
	if limited {
		r.space()
	}
	if r.dash() {
		return r.rangeEnd(m)
	}
	r.pos = back
	return nil
}

// dash moves past what joins the ends of a range, if a number follows it.
func (r *reader) dash() bool {
	back := r.pos
	switch size := dashSize(r.text[r.pos:]); {
	case size > 0:
		r.pos += size
	case !r.accept(wordTo, wordAnd):
		return false
	}
	r.space()
	if !r.startsNumber(r.pos) {
		r.pos = back
		return false
	}
	return true
}

func (r *reader) rangeEnd(m *measured) *Error {
	n, err := r.scan()
	if err != nil {
		return err
	}
	first := m.unit
	had := m.hasUnit
	m.hasUnit = false
	if !r.unit(m) {
		m.unit, m.hasUnit = first, had
	} else if had && m.unit != first {
		return r.fail(m.first.Start, r.pos, "the ends of the range are in two units")
	}
	if err := r.minutes(m, &n); err != nil {
		return err
	}
	if r.accept(wordMaximum) && !m.hasUnit {
		r.unit(m)
	}
	if m.first.n*n.d > n.n*m.first.d {
		return r.fail(m.first.Start, r.pos, "the range runs backwards")
	}
	m.last, m.join = n, upTo
	return nil
}

// against reads the second number of a ratio.
func (r *reader) against(m *measured) *Error {
	r.space()
	if !r.startsNumber(r.pos) {
		return r.fail(m.first.Start, r.pos, "the second number of the ratio is missing")
	}
	n, err := r.scan()
	if err != nil {
		return err
	}
	if n.n == 0 {
		return r.fail(m.first.Start, r.pos, "a ratio to 0 has no value")
	}
	m.last, m.join = n, against
	return nil
}

// tolerance reads what follows ± and belongs to the number before.
func (r *reader) tolerance(m *measured, size int) *Error {
	start := r.pos
	r.pos += size
	r.space()
	switch {
	case !m.hasFirst:
		return r.fail(start, r.pos, "a tolerance stands before its figure")
	case m.join != alone:
		return r.fail(start, r.pos, "a tolerance stands beside a range or another tolerance")
	case !r.startsNumber(r.pos):
		return r.fail(start, r.pos, "the tolerance has no number")
	}
	n, err := r.toleranceNumber(m)
	if err != nil {
		return err
	}
	m.up, m.down, m.join = n, n, within
	return nil
}

// toleranceNumber reads a number whose unit, if it has one, may be another
// of the same quantity.
func (r *reader) toleranceNumber(m *measured) (number, *Error) {
	n, err := r.scan()
	if err != nil {
		return n, err
	}
	main := *m
	m.hasUnit = false
	m.tolUnit = main.unit
	if r.unit(m) {
		m.tolUnit = m.unit
	}
	if main.hasUnit {
		m.unit, m.hasUnit = main.unit, true
	}
	if m.unit.Dimension() != m.tolUnit.Dimension() && main.hasUnit {
		return n, r.fail(n.Start, r.pos, "the tolerance is %s and the figure is not", m.tolUnit.Dimension())
	}
	return n, nil
}

// signedTolerance reports whether a tolerance with its two sides apart follows:
// +a −b or −b +a.
func (r *reader) signedTolerance() bool {
	s := r.text[r.pos:]
	if s == "" {
		return false
	}
	if s[0] == '+' {
		return true
	}
	size := minusSize(s)
	return size > 0 && r.pos > 0 && r.text[r.pos-1] == ' ' && size < len(s) && s[size] != ' ' && strings.IndexByte(s, '+') > 0
}

// unequal reads a tolerance with its two sides apart.
func (r *reader) unequal(m *measured) *Error {
	start := r.pos
	var sides [2]number
	for i := range sides {
		r.space()
		size := minusSize(r.text[r.pos:])
		plus := size == 0 && r.pos < len(r.text) && r.text[r.pos] == '+'
		if plus {
			size = 1
		}
		r.pos += size
		r.space()
		if size == 0 || !r.startsNumber(r.pos) || i == 1 && plus == (m.up.d != 0) {
			return r.fail(start, r.pos, "a tolerance with two sides has a plus and a minus, each with its number")
		}
		n, err := r.toleranceNumber(m)
		if err != nil {
			return err
		}
		if plus {
			m.up = n
		} else {
			m.down = n
		}
		if r.pos < len(r.text) && (r.text[r.pos] == ',' || r.text[r.pos] == '/') && i == 0 {
			r.pos++
		}
	}
	m.join = within
	return nil
}

// unexpected says what cannot be read at pos: a unit of another quantity, or
// something else.
func (r *reader) unexpected() *Error {
	if meant := absenceMeant(r.whole); meant != "" {
		return r.noNumber()
	}
	start := r.pos
	end := start
	for end < len(r.text) && r.text[end] != ' ' {
		end++
	}
	rest := r.text[start:]
	if u, size := convert.MatchUnit(rest); size >= end-start {
		e := r.fail(start, start+size, "%s is %s", rest[:size], u.Dimension())
		e.WrongUnit = true
		return e
	}
	return r.fail(start, end, "%q is not understood there", r.text[start:end])
}

func toleranceSize(s string) int {
	for _, t := range [...]string{"±", "+/-", "+/−", "+-"} {
		if strings.HasPrefix(s, t) {
			return len(t)
		}
	}
	return 0
}

// minusSize returns the size of a hyphen or minus sign at the start of s.
func minusSize(s string) int {
	switch {
	case strings.HasPrefix(s, "-"):
		return 1
	case strings.HasPrefix(s, "−"):
		return len("−")
	}
	return 0
}

// dashSize returns the size of a hyphen, dash or ellipsis at the start of s.
func dashSize(s string) int {
	if size := minusSize(s); size > 0 {
		return size
	}
	for _, d := range [...]string{"–", "—", "...", "…"} {
		if strings.HasPrefix(s, d) {
			return len(d)
		}
	}
	return 0
}

// readings turns what was read into readings.
func (r *reader) readings(shared *measured) ([]Reading, *Error) {
	found := r.found[:r.count]
	for i := range found {
		if err := r.settleUnit(&found[i], i); err != nil {
			return nil, err
		}
	}
	share(found, shared)
	out := make([]Reading, r.count)
	for i := range out {
		m := &found[i]
		if err := r.settle(m); err != nil {
			return nil, err
		}
		out[i] = Reading{
			Unit: m.unit, Measure: m.measure, Datum: m.datum, Mark: m.mark, Straight: m.straight, At: m.at,
			Approximate: m.approx, Stated: m.join == upTo || m.join == within || m.limit != noLimit,
			Form: m.first.form, Denominator: m.first.d, Span: m.span, Number: m.first.Span,
		}
		if err := r.value(m, &out[i], i > 0); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// value works out the value of a reading and what the print justifies.
func (r *reader) value(m *measured, to *Reading, twin bool) *Error {
	if m.negative && r.kind == Vacuum && m.compared { // "< −60 kPa" is more than 60 kPa below the atmosphere
		m.limit = m.limit.turned()
	}
	switch m.join {
	case upTo:
		to.Lo, to.Hi = m.first.rat(), m.last.rat()
		to.Value = new(big.Rat).Add(to.Lo, to.Hi)
		to.Value.Quo(to.Value, big.NewRat(2, 1))
	case against:
		return r.ratio(m, to)
	case within:
		to.Value = m.first.rat()
		up, down := m.up.rat(), m.down.rat()
		for _, side := range [...]*big.Rat{up, down} {
			if m.tolUnit != m.unit {
				side.Mul(side, new(big.Rat).Quo(m.tolUnit.Factor(), m.unit.Factor()))
			}
		}
		to.Lo, to.Hi = down.Sub(to.Value, down), up.Add(to.Value, up)
	default:
		to.Value = m.first.rat()
		to.Lo, to.Hi = m.first.bounds(r.classOf(m), m.unit, twin, m.approx)
	}
	if m.limit == noLimit {
		return nil
	}
	if m.join != alone {
		return r.fail(m.span.Start, m.span.End, "a limit and a range or tolerance stand together")
	}
	if !m.approx {
		to.Lo, to.Hi = to.Value, to.Value
	}
	if m.limit == atLeast {
		to.Hi = nil
	} else {
		to.Lo = nil
	}
	return nil
}

// classOf is the class of the kind, but for a ratio of two whole numbers
// printed as a fraction, which is exact.
func (r *reader) classOf(m *measured) class {
	if r.kind == Ratio && m.first.form == Fraction && m.first.pure {
		return counted
	}
	return r.spec.class
}

// turned exchanges at least and at most.
func (l limit) turned() limit {
	return [...]limit{noLimit, atMost, atLeast}[l]
}

// ratio works out a : b. It is exact when both are whole numbers and the second
// is not 1. Otherwise a side printed as 1 is exact and the other is known to
// half its last place.
func (r *reader) ratio(m *measured, to *Reading) *Error {
	a, b := m.first, m.last
	exact := a.form == Whole && b.form == Whole && b.n != 1
	sides := [2]struct{ value, lo, hi *big.Rat }{}
	for i, n := range [...]number{a, b} {
		c := read
		if exact || i == 1 && n.isOne() || i == 0 && n.isOne() && !b.isOne() {
			c = counted
		}
		sides[i].value = n.rat()
		sides[i].lo, sides[i].hi = n.bounds(c, convert.One, false, m.approx)
	}
	if sides[1].lo.Sign() <= 0 {
		return r.fail(b.Start, b.End, "the second number of a ratio cannot be as small as 0")
	}
	to.Value = sides[0].value.Quo(sides[0].value, sides[1].value)
	to.Lo = sides[0].lo.Quo(sides[0].lo, sides[1].hi)
	to.Hi = sides[0].hi.Quo(sides[0].hi, sides[1].lo)
	if m.limit != noLimit {
		return r.fail(m.span.Start, m.span.End, "a ratio has no limit")
	}
	return nil
}
