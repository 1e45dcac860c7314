package figure

import (
	"math/big"
	"strings"
	"unicode/utf8"
)

// number is a printed number: n/d with the denominator of its last printed
// place, not in lowest terms, so that half its last place is 1/2d.
type number struct {
	n, d int64
	form Form
	Span
	// thousands says that one comma and three figures were taken for thousands.
	thousands bool
	// pure says that it is one fraction of two whole numbers: 22/23.
	pure bool
}

// largest bounds numerator and denominator: nine figures are more than any
// print has, and products of two such numbers fit into 64 bits.
const largest = 1_000_000_000

func (n number) rat() *big.Rat { return rational(n.n, n.d) }

var one = big.NewRat(1, 1)

// rational returns n/d, the denominator being positive. It is in lowest terms
// before it becomes big, so that big need not look for them.
func rational(n, d int64) *big.Rat {
	a, b := max(n, -n), d
	for b != 0 {
		a, b = b, a%b
	}
	var of struct { // in one piece: there are three to a figure
		is          big.Rat
		top, bottom [1]big.Word
	}
	of.is = *one // so that it has a denominator, which the bits below replace
	r := &of.is
	of.top[0], of.bottom[0] = big.Word(max(n, -n)/a), big.Word(d/a)
	r.Num().SetBits(of.top[:])
	r.Denom().SetBits(of.bottom[:])
	if n < 0 {
		r.Num().Neg(r.Num())
	}
	return r
}

// isOne reports whether the print is a plain 1.
func (n number) isOne() bool { return n.form == Whole && n.n == 1 }

// scan reads the number at r.pos. There is one: see startsNumber.
func (r *reader) scan() (number, *Error) {
	start := r.pos
	if top, bottom, size := vulgar(r.text[r.pos:]); size > 0 {
		r.pos += size
		return number{n: top, d: bottom, form: Fraction, pure: true, Span: Span{start, r.pos}}, nil
	}
	n, err := r.decimal()
	if err != nil || n.form == Decimal {
		return n, err
	}
	return r.fraction(n)
}

// startsNumber reports whether a number begins at i: a figure, a vulgar
// fraction, or a point before a figure.
func (r *reader) startsNumber(i int) bool {
	switch {
	case i >= len(r.text):
		return false
	case isDigit(r.text[i]):
		return true
	case r.text[i] == '.':
		return r.digitAt(i + 1)
	case r.text[i] >= utf8.RuneSelf:
		if size := pointSize(r.text[i:]); size > 0 {
			return r.digitAt(i + size)
		}
		_, _, size := vulgar(r.text[i:])
		return size > 0
	}
	return false
}

// decimal reads figures with thousands and decimals.
func (r *reader) decimal() (number, *Error) {
	n := number{d: 1, Span: Span{Start: r.pos}}
	groups := 0
	figures := r.figures(&n)
	for figures <= 3 && r.spec.grouped {
		size := thousandsMark(r.text[r.pos:])
		if size == 0 || groups == 0 && n.n == 0 {
			break
		}
		n.thousands = groups == 0 && r.text[r.pos] == ','
		groups++
		r.pos += size
		figures = r.figures(&n)
	}
	if size := pointSize(r.text[r.pos:]); size > 0 && r.digitAt(r.pos+size) && !(r.text[r.pos] == ',' && groups > 0) {
		comma := r.text[r.pos] == ','
		r.pos += size
		places := r.figures(&n)
		n.form, n.thousands = Decimal, false
		for range min(places, 10) {
			n.d *= 10
		}
		if comma && places == 3 && figures <= 3 && n.n >= 1000 {
			return n, r.fail(n.Start, r.pos, "the comma may mark thousands or decimals").
				advise("write %s%s or %[1]s.%[2]s", r.text[n.Start:r.pos-4], r.text[r.pos-3:r.pos])
		}
	}
	n.End = r.pos
	if n.n > largest || n.d > largest {
		return n, r.fail(n.Start, n.End, "the number has more figures than a print has")
	}
	return n, nil
}

// pointSize returns the size of what parts whole figures from decimals at the
// start of s: a point, the raised point of older British print, or a comma.
func pointSize(s string) int {
	switch {
	case s == "":
		return 0
	case s[0] == '.' || s[0] == ',':
		return 1
	case strings.HasPrefix(s, "·"):
		return len("·")
	}
	return 0
}

// figures reads a run of figures into n and returns how many there are.
func (r *reader) figures(n *number) (count int) {
	for ; r.pos < len(r.text) && isDigit(r.text[r.pos]); r.pos++ {
		count++
		if n.n <= largest {
			n.n = n.n*10 + int64(r.text[r.pos]-'0')
		}
	}
	return count
}

// thousandsMark returns the size of a comma or space before a full group of
// three figures that is not the top of a fraction.
func thousandsMark(s string) int {
	size := 1
	if s == "" || s[0] != ',' {
		if size = spaceSize(s); size == 0 {
			return 0
		}
	}
	for i := range 3 {
		if size+i >= len(s) || !isDigit(s[size+i]) {
			return 0
		}
	}
	rest := s[size+3:]
	if rest != "" && (isDigit(rest[0]) || strokeSize(rest) > 0) {
		return 0
	}
	return size
}

// fraction goes on from whole figures to a fraction or a mixed number.
func (r *reader) fraction(n number) (number, *Error) {
	if size := strokeSize(r.text[r.pos:]); size > 0 && r.digitAt(r.pos+size) {
		r.pos += size
		m, err := r.over(number{d: 1, Span: Span{n.Start, n.Start}}, n.n)
		m.pure = true
		return m, err
	}
	at := r.pos
	for at < len(r.text) && spaceSize(r.text[at:]) > 0 {
		at += spaceSize(r.text[at:])
	}
	if at == r.pos && at < len(r.text) && r.text[at] == '-' {
		at++
	}
	if top, bottom, size := vulgar(r.text[at:]); size > 0 {
		r.pos = at + size
		return r.mixed(n, top, bottom)
	}
	if at == r.pos || !r.digitAt(at) {
		return n, nil
	}
	back := r.pos
	r.pos = at
	var top number
	r.figures(&top)
	size := strokeSize(r.text[r.pos:])
	if size == 0 || !r.digitAt(r.pos+size) {
		r.pos = back
		return n, nil
	}
	r.pos += size
	return r.over(n, top.n)
}

// over reads the figures below the stroke.
func (r *reader) over(whole number, top int64) (number, *Error) {
	var below number
	r.figures(&below)
	for _, ending := range [...]string{"ths", "th", "nds", "nd", "rds", "rd"} {
		if after := r.pos + len(ending); after <= len(r.text) && r.text[r.pos:after] == ending && (after == len(r.text) || !isLetter(r.text[after])) {
			r.pos = after
			break
		}
	}
	switch {
	case below.n == 0:
		return whole, r.fail(whole.Start, r.pos, "a fraction cannot have 0 below its stroke")
	case whole.End > whole.Start && top >= below.n:
		return whole, r.fail(whole.Start, r.pos, "the fraction after a whole number must be less than one").advise("for a range write `to`")
	}
	return r.mixed(whole, top, below.n)
}

func (r *reader) mixed(whole number, top, bottom int64) (number, *Error) {
	m := number{d: bottom, form: Fraction, Span: Span{whole.Start, r.pos}}
	if whole.n > largest || top > largest || bottom > largest || whole.n*bottom > largest-top {
		return m, r.fail(m.Start, m.End, "the number has more figures than a print has")
	}
	m.n = whole.n*bottom + top
	return m, nil
}

// vulgar reads a fraction that is one character.
func vulgar(s string) (top, bottom int64, size int) {
	if s == "" || s[0] < utf8.RuneSelf {
		return 0, 0, 0
	}
	r, size := utf8.DecodeRuneInString(s)
	switch r {
	case '½':
		return 1, 2, size
	case '¼':
		return 1, 4, size
	case '¾':
		return 3, 4, size
	case '⅐':
		return 1, 7, size
	case '⅑':
		return 1, 9, size
	case '⅒':
		return 1, 10, size
	case '⅓':
		return 1, 3, size
	case '⅔':
		return 2, 3, size
	}
	switch {
	case '⅕' <= r && r <= '⅘':
		return int64(r-'⅕') + 1, 5, size
	case '⅙' <= r && r <= '⅚':
		return int64(r-'⅙')*4 + 1, 6, size
	case '⅛' <= r && r <= '⅞':
		return int64(r-'⅛')*2 + 1, 8, size
	}
	return 0, 0, 0
}

// strokeSize returns the size of the stroke of a fraction at the start of s.
func strokeSize(s string) int {
	switch {
	case s == "":
		return 0
	case s[0] == '/':
		return 1
	case len(s) >= 3 && s[:3] == "⁄": // fraction slash
		return 3
	}
	return 0
}

// spaceSize returns the size of a space at the start of s: plain, no-break,
// thin or narrow no-break.
func spaceSize(s string) int {
	switch {
	case s == "":
		return 0
	case s[0] == ' ':
		return 1
	case s[0] < utf8.RuneSelf:
		return 0
	}
	switch r, size := utf8.DecodeRuneInString(s); r {
	case '\u00a0', '\u2009', '\u202f':
		return size
	}
	return 0
}

func (r *reader) digitAt(i int) bool { return i < len(r.text) && isDigit(r.text[i]) }

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func isLetter(c byte) bool { return 'a' <= c|0x20 && c|0x20 <= 'z' }
