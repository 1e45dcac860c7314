package notation

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/convert/interval"
)

// redo works out the numbers of a step as a person would, from the text alone.
// Every number stands for all that rounds to it, so that the result is the
// interval in which a person's result may lie.
type redo struct {
	text string
	err  error
}

func redone(text string) (interval.Interval, error) {
	r := &redo{text: text}
	is := r.sum()
	if r.skip(); r.err == nil && r.text != "" {
		r.fail("%q is left over", r.text)
	}
	return is, r.err
}

func (r *redo) fail(format string, args ...any) {
	if r.err == nil {
		r.err = fmt.Errorf(format, args...)
	}
}

func (r *redo) skip() { r.text = strings.TrimLeft(r.text, " ") }

func (r *redo) accept(sign string) bool {
	r.skip()
	rest, ok := strings.CutPrefix(r.text, sign)
	if ok {
		r.text = rest
	}
	return ok
}

func (r *redo) sum() interval.Interval {
	is := r.product()
	for r.err == nil {
		switch {
		case r.accept("+"):
			is = is.Add(r.product())
		case r.accept("−"):
			is = is.Sub(r.product())
		default:
			return is
		}
	}
	return is
}

func (r *redo) product() interval.Interval {
	is := r.power()
	for r.err == nil {
		switch {
		case r.accept("×"):
			is = is.Mul(r.power())
		case r.accept("÷"):
			is = is.Div(r.power())
		default:
			return is
		}
	}
	return is
}

func (r *redo) power() interval.Interval {
	is := r.factor()
	r.accept("°")
	if r.accept("²") {
		is = is.Sqr()
	}
	return is
}

// functions are those of a table of sines.
var functions = []struct {
	name string
	of   func(interval.Interval) interval.Interval
}{
	{"arcsin", interval.Interval.AsinDeg},
	{"arccos", interval.Interval.AcosDeg},
	{"arctan", func(a interval.Interval) interval.Interval {
		of := func(x float64) float64 { return math.Atan(x) * 180 / math.Pi }
		return interval.Of(of(a.Lo), of(a.Hi)).Grow(1e-9)
	}},
	{"sin²", func(a interval.Interval) interval.Interval { return a.SinDeg().Sqr() }},
	{"sin", interval.Interval.SinDeg},
	{"cos", interval.Interval.CosDeg},
	{"√", interval.Interval.Sqrt},
	{"", func(a interval.Interval) interval.Interval { return a }},
}

func (r *redo) factor() interval.Interval {
	for _, f := range functions {
		if !r.accept(f.name + "(") {
			continue
		}
		is := r.sum()
		if !r.accept(")") {
			r.fail("a bracket is not closed before %q", r.text)
		}
		return f.of(is)
	}
	if r.accept("−") {
		return r.factor().Neg()
	}
	n := 0
	for n < len(r.text) && strings.IndexByte("0123456789.", r.text[n]) >= 0 {
		n++
	}
	is, err := shown(r.text[:n])
	if err != nil {
		r.fail("%q is not a number", r.text)
	}
	r.text = r.text[n:]
	return is
}

// shown is all that rounds to a number of a working: trailing zeros are not
// shown, so a short one may have been rounded too.
func shown(digits string) (interval.Interval, error) {
	x, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return interval.Empty(), err
	}
	return interval.Point(x).Grow(math.Abs(x) * 0.5000001 * math.Pow10(1-workingDigits)), nil
}

// requireRedone fails unless the numbers of every step come to what it says.
func requireRedone(t require.TestingT, steps []Step) {
	for _, s := range steps {
		if len(s) < 2 {
			continue
		}
		result := s[len(s)-1]
		sign := 1.0
		if rest, negative := strings.CutPrefix(result, "−"); negative {
			result, sign = rest, -1
		}
		end := strings.IndexFunc(result, func(c rune) bool { return c != '.' && (c < '0' || c > '9') })
		if end < 0 {
			end = len(result)
		}
		said, err := shown(result[:end])
		require.NoError(t, err, "%v", s)
		if sign < 0 {
			said = said.Neg()
		}
		numbers := s[len(s)-2]
		is, err := redone(numbers)
		require.NoError(t, err, "%v", s)
		require.True(t, is.Meets(said), "%v: %s comes to %v", s, numbers, is)
		// A pencil must get the same: no step may lose its figures.
		require.Less(t, is.Width(), 2e-3*math.Max(1, math.Abs(is.Mid())), "%v: %s is too rough to be repeated: %v", s, numbers, is)
	}
}

func TestRedoIsSound(t *testing.T) {
	for text, want := range map[string]float64{
		"2 × 3 + 4 ÷ 8":               6.5,
		"√(9² − (−3)² ÷ 9) × 2":       2 * math.Sqrt(80),
		"2 × 2.25 × sin²(60° ÷ 2)":    1.125,
		"arcsin(0.5) + arccos(0.5)":   90,
		"180 − arctan(1)":             135,
		"(60 − 32) × 5 ÷ 9":           140. / 9,
		"4 × cos(60°) − −1":           3,
		"10 − 2 − 3":                  5,
		"100 ÷ 10 ÷ 2":                5,
		"3.141593 × 16.25 × 52 ÷ 360": math.Pi * 16.25 * 52 / 360,
	} {
		is, err := redone(text)
		require.NoError(t, err, text)
		require.True(t, is.Grow(1e-9).Contains(want), "%s: %v", text, is)
	}
	for _, text := range []string{"", "2 +", "(1", "1 2", "sin 30"} {
		_, err := redone(text)
		require.Error(t, err, text)
	}
}
