// Package published holds computed values against printed ones, in tests only.
//
// A printed value's last digit says how closely it claims to be known: a
// computed value agrees when it lies within half a unit of that digit. Each
// source gets one row in the test log: how many of its values were checked and
// how far the worst of them lay off.
package published

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"
	"text/tabwriter"
)

// Source is one publication and the values taken from it.
type Source struct {
	Name   string // title and page or address, or the mark "from memory" or "common practice, no source"
	Values []Value
}

// Value is one printed figure and what this project computes for it.
type Value struct {
	What    string
	Got     float64
	Printed string // as printed, without its unit: "549.78", "9.5461E4", "3 11/16"
	Wrong   string // why the print itself is wrong; then Got must differ from it
}

// slack is what binary arithmetic may add to half a unit of the last printed
// digit, in such units: 24.025 is held as a hair less and is printed 24.03.
const slack = 1e-9

// Table checks every value of every source and logs one row a source.
func Table(t *testing.T, sources []Source) {
	t.Helper()
	var log strings.Builder
	w := tabwriter.NewWriter(&log, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "values\twrong prints\tworst, last digits\tsource")
	for _, s := range sources {
		worst, wrong := 0.0, 0
		if len(s.Values) == 0 {
			t.Errorf("%s: no values", s.Name)
		}
		for _, v := range s.Values {
			units, err := v.check()
			if err != nil {
				t.Errorf("%s: %v", s.Name, err)
			}
			if v.Wrong != "" {
				wrong++
				continue
			}
			worst = math.Max(worst, units)
		}
		fmt.Fprintf(w, "%d\t%d\t%.3f\t%s\n", len(s.Values), wrong, worst, s.Name)
	}
	if err := w.Flush(); err != nil {
		t.Error(err)
	}
	t.Log("\n" + log.String())
}

// check returns the distance between what was computed and what was printed,
// in units of the last printed digit, and an error when the two disagree (or,
// for a print known to be wrong, when they do not).
func (v Value) check() (float64, error) {
	printed, unit, err := read(v.Printed)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", v.What, err)
	}
	units := math.Abs(v.Got-printed) / unit
	agrees := units <= 0.5+slack
	if v.Wrong != "" && agrees {
		return units, fmt.Errorf("%s: printed %s agrees with %.10g, yet is called wrong: %s", v.What, v.Printed, v.Got, v.Wrong)
	}
	if v.Wrong == "" && !agrees {
		return units, fmt.Errorf("%s: printed %s, computed %.10g: %.3f units of the last digit apart", v.What, v.Printed, v.Got, units)
	}
	return units, nil
}

// read returns a printed number and the size of its last digit or fraction.
func read(print string) (value, unit float64, err error) {
	fields := strings.Fields(print)
	if len(fields) == 0 || len(fields) > 2 || len(fields) == 2 && !strings.Contains(fields[1], "/") {
		return 0, 0, fmt.Errorf("%q is not a printed number", print)
	}
	sum, last := new(big.Rat), new(big.Rat)
	for i, f := range fields {
		part, ok := new(big.Rat).SetString(f)
		if !ok {
			return 0, 0, fmt.Errorf("%q is not a printed number", print)
		}
		if i == 1 && strings.HasPrefix(print, "-") {
			part.Neg(part)
		}
		sum.Add(sum, part)
		last.SetString(step(f))
	}
	value, _ = sum.Float64()
	unit, _ = last.Float64()
	return value, unit, nil
}

// step returns the printed number one unit of whose last digit or fraction f
// is: "0.01" for "549.78", "0.0001E4" for "9.5461E4", "1/16" for "11/16".
func step(f string) string {
	f = strings.TrimLeft(f, "+-")
	if num, den, ok := strings.Cut(f, "/"); ok && num != "" {
		return "1/" + den
	}
	mantissa, exponent, _ := strings.Cut(strings.ToUpper(f), "E")
	if exponent != "" {
		exponent = "E" + exponent
	}
	_, decimals, ok := strings.Cut(mantissa, ".")
	if !ok || decimals == "" {
		return "1" + exponent
	}
	return "0." + strings.Repeat("0", len(decimals)-1) + "1" + exponent
}
