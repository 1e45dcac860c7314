package schema

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// NumberRange is a range of engine numbers that share their letters: LS1001 to
// LS4750. An open end is unbounded.
type NumberRange struct {
	// Letters is what stands before the figures, in capitals without spaces or
	// hyphens.
	Letters          string
	First, Last      int64
	OpenLow, OpenTop bool
}

// Given reports whether the range says anything.
func (r NumberRange) Given() bool { return r != NumberRange{} }

// Contains reports whether a number lies in the range.
func (r NumberRange) Contains(number string) bool {
	letters, n, ok := splitNumber(number)
	return ok && r.Given() && letters == r.Letters && (r.OpenLow || r.First <= n) && (r.OpenTop || n <= r.Last)
}

// Overlaps reports whether two ranges share a number.
func (r NumberRange) Overlaps(o NumberRange) bool {
	if !r.Given() || !o.Given() || r.Letters != o.Letters {
		return false
	}
	below := func(a, b NumberRange) bool { return !a.OpenTop && !b.OpenLow && a.Last < b.First }
	return !below(r, o) && !below(o, r)
}

// Gap returns how many numbers lie between the end of r and the start of a
// later range o; zero when they touch, overlap or cannot be compared.
func (r NumberRange) Gap(o NumberRange) int64 {
	if !r.Given() || !o.Given() || r.Letters != o.Letters || r.OpenTop || o.OpenLow || o.First <= r.Last {
		return 0
	}
	return o.First - r.Last - 1
}

// Range reads the numbers as a range. A word for absence leaves an end open.
func (n *Numbers) Range() (NumberRange, error) {
	if n == nil || !n.From.Given() && !n.To.Given() {
		return NumberRange{}, nil
	}
	var r NumberRange
	open := func(w Word) bool {
		return !w.Given() || w.Text == "unknown" || w.Text == "not given" || w.Text == "none"
	}
	r.OpenLow, r.OpenTop = open(n.From), open(n.To)
	if r.OpenLow && r.OpenTop {
		return NumberRange{}, nil
	}
	var last string
	for _, end := range []struct {
		word Word
		open bool
		into *int64
	}{{n.From, r.OpenLow, &r.First}, {n.To, r.OpenTop, &r.Last}} {
		if end.open {
			continue
		}
		letters, v, ok := splitNumber(end.word.Text)
		if !ok {
			return NumberRange{}, fmt.Errorf("the number %q does not end in figures that can be counted", end.word.Text)
		}
		if last != "" && letters != r.Letters {
			return NumberRange{}, fmt.Errorf("the numbers %q and %q do not share their letters, so nothing can be said of what lies between", last, end.word.Text)
		}
		r.Letters, last = letters, end.word.Text
		*end.into = v
	}
	if !r.OpenLow && !r.OpenTop && r.First > r.Last {
		return NumberRange{}, fmt.Errorf("the first number %s comes after the last, %s", n.From.Text, n.To.Text)
	}
	return r, nil
}

// splitNumber splits LS1001 into LS and 1001.
func splitNumber(s string) (letters string, number int64, ok bool) {
	s = strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == '-' || r == '.' || r == '/' {
			return -1
		}
		return unicode.ToUpper(r)
	}, s)
	i := len(s)
	for i > 0 && '0' <= s[i-1] && s[i-1] <= '9' {
		i--
	}
	number, err := strconv.ParseInt(s[i:], 10, 64)
	return s[:i], number, err == nil
}

// OpenYear stands for the last year where it is open.
const OpenYear = 9999

// Years reads "1926-1931" or "1926" as first and last year; an open end
// ("1926-") is OpenYear.
func Years(made string) (first, last int, ok bool) {
	a, b, isRange := strings.Cut(strings.ReplaceAll(strings.TrimSpace(made), "–", "-"), "-")
	first, err := strconv.Atoi(strings.TrimSpace(a))
	if err != nil || first < 1800 || first > 2100 {
		return 0, 0, false
	}
	switch b = strings.TrimSpace(b); {
	case !isRange:
		return first, first, true
	case b == "":
		return first, OpenYear, true
	}
	last, err = strconv.Atoi(b)
	if err != nil {
		return 0, 0, false
	}
	if last < 100 && len(b) == 2 { // 1926-31
		last += first / 100 * 100
	}
	return first, last, last >= first
}
