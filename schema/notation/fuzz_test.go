package notation

import (
	"strings"
	"testing"
)

// Whatever is typed, a conversion ends with results in order or with an error
// that says something.
func FuzzConvert(f *testing.F) {
	for _, seed := range [][4]string{
		{"52 ABDC", "all", "4 1/2 in", "1/4 in"}, {"7/16 in (0.4375) BTDC piston", "degrees", "94 mm", ""}, {"1 3/8 in before TDC mark", "rim", "320 mm", "0 mm"},
		{"8 teeth ATDC", "piston,thou", "102 mm", "3 mm"}, {"12.86", "wheel teeth", "1 in", ""}, {"at most 38 BTDC", "firing,32nds", "100", "x"}, {"48°30' BBDC", "minutes", "5 in", "unknown"},
		{"-13½", "turns", "", ""}, {"TDC", "BBDC", "80 to 81 mm", "1 mm"}, {"60 °F", "K", "", ""}, {"10 DP", "module", "", ""}, {"4 thou", "fraction", "", ""},
	} {
		f.Add(seed[0], seed[1], seed[2], seed[3])
	}
	f.Fuzz(func(t *testing.T, print, to, size, offset string) {
		figure, err := Read(print)
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Fatal("an error without words")
			}
			return
		}
		dims := Dimensions{}
		for name, print := range map[Name]string{Stroke: size, RimDiameter: size, Rod: offset, Offset: offset, RingTeeth: "115", WheelTeeth: "28", DeadCentre: crankshaft, Event: "inlet_closes"} {
			if d, err := ReadDimension(name, print, "fuzz"); err == nil {
				dims[name] = d
			}
		}
		wanted, err := figure.Wanted(strings.Split(to, ",")...)
		if err != nil {
			return
		}
		c, err := figure.Convert(wanted, dims)
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Fatal("an error without words")
			}
			return
		}
		for _, r := range c.Results {
			if r.Printed == "" || strings.Contains(r.Printed, "NaN") || strings.Contains(r.Printed, "Inf") {
				t.Fatalf("%q is no print", r.Printed)
			}
			if r.Low != nil && r.High != nil && r.Low.Cmp(r.High) > 0 {
				t.Fatalf("%s: %v is more than %v", r.Printed, r.Low, r.High)
			}
			for _, s := range r.Working {
				if s.String() == "" || strings.Contains(s.String(), "NaN") || strings.Contains(s.String(), "Inf") {
					t.Fatalf("%s: %q is no step", r.Printed, s)
				}
			}
		}
	})
}
