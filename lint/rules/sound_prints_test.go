package rules

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// printer prints true values as a sheet would, each time to other places and in
// another notation. What it prints stands for the value: the nearest of the
// places it prints, to half the last of them.
type printer struct{ *rand.Rand }

func (p printer) chance(percent int) bool { return p.IntN(100) < percent }

func (p printer) between(lo, hi float64) float64 { return lo + (hi-lo)*p.Float64() }

func pick[T any](p printer, from ...T) T { return from[p.IntN(len(from))] }

// degrees prints an angle: in whole, half or tenth degrees, or in minutes.
func (p printer) degrees(x float64) string {
	sign := ""
	if x < 0 {
		sign, x = "-", -x
	}
	if x > 2 && sign == "" && p.chance(4) {
		near := math.Round(x + p.between(-0.9, 0.9))
		return pick(p, fmt.Sprintf("%.0f ± 1½", near), fmt.Sprintf("%.0f to %.0f", near-2, near+2))
	}
	switch p.IntN(6) {
	case 0, 1, 2:
		return signed(sign, fmt.Sprintf("%.0f", x))
	case 3:
		halves := mixed(int(math.Round(2*x)), 2)
		return signed(sign, pick(p, halves, strings.Replace(halves, " 1/2", "½", 1)))
	case 4:
		return signed(sign, fmt.Sprintf("%.1f", x))
	}
	minutes := int(math.Round(60 * x))
	return signed(sign, fmt.Sprintf("%d° %d'", minutes/60, minutes%60))
}

// signed keeps a sheet from printing minus nought.
func signed(sign, digits string) string {
	if strings.Trim(digits, "0.°' ") == "" {
		return digits
	}
	return sign + digits
}

// mixed prints n parts of a whole, such as sixteenths, reduced: 2 15/16.
func mixed(n, parts int) string {
	whole, rest := n/parts, n%parts
	for rest != 0 && rest%2 == 0 && parts%2 == 0 {
		rest, parts = rest/2, parts/2
	}
	switch {
	case rest == 0:
		return fmt.Sprint(whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d", rest, parts)
	}
	return fmt.Sprintf("%d %d/%d", whole, rest, parts)
}

const millimetresInInch = 25.4

// length prints millimetres that were read or worked out: inches in fractions or
// decimals, millimetres, or both.
func (p printer) length(mm float64) string {
	inches := mm / millimetresInInch
	switch p.IntN(6) {
	case 0:
		parts := pick(p, 16, 32, 64)
		return mixed(int(math.Round(inches*float64(parts))), parts) + " in"
	case 1:
		return fmt.Sprintf("%.2f in", inches)
	case 2:
		return fmt.Sprintf("%.3f in", inches)
	case 3:
		return fmt.Sprintf("%.1f mm", mm)
	case 4:
		return fmt.Sprintf("%.0f mm", mm)
	}
	return fmt.Sprintf("%.2f mm", mm)
}

// gap prints the millimetres of a clearance or gap.
func (p printer) gap(mm float64) string {
	thou := mm / millimetresInInch * 1000
	switch p.IntN(6) {
	case 5:
		return fmt.Sprintf("%.3f to %.3f in", math.Floor(thou)/1000, math.Ceil(thou+0.5)/1000)
	case 0:
		return fmt.Sprintf("%.0f thou", thou)
	case 1:
		return strings.TrimPrefix(fmt.Sprintf("%.3f", thou/1000), "0") + " in"
	case 2:
		return fmt.Sprintf("%.3f in (%.2f mm)", thou/1000, mm)
	}
	return fmt.Sprintf("%.2f mm", mm)
}

// nominal prints a dimension near the millimetres asked for and returns what it
// truly is: within half a thou or a hundredth of the print, and within half a
// tenth of whole millimetres.
func (p printer) nominal(near float64) (print string, mm float64) {
	off := p.between(-1, 1)
	switch p.IntN(4) {
	case 0:
		n := math.Round(near / millimetresInInch * 16)
		return mixed(int(n), 16) + " in", (n/16 + 0.00049*off) * millimetresInInch
	case 1:
		n := math.Round(near / millimetresInInch * 1000)
		return fmt.Sprintf("%.3f in", n/1000), (n/1000 + 0.00049*off) * millimetresInInch
	case 2:
		n := math.Round(near)
		return fmt.Sprintf("%.0f mm", n), n + 0.049*off
	}
	n := math.Round(near * 10)
	return fmt.Sprintf("%.1f mm", n/10), n/10 + 0.0049*off
}

// The dead centres an angle may be counted from: crank degrees after top dead
// centre, and which way it counts.
var datums = []struct {
	name string
	at   float64
	way  float64
}{{"BTDC", 0, -1}, {"ATDC", 0, 1}, {"BBDC", 180, -1}, {"ABDC", 180, 1}}

// countedFrom returns crank degrees after top dead centre as a sheet counts
// them, from the nearer dead centre, and now and then from another one.
func (p printer) countedFrom(after float64) (degrees float64, datum string) {
	best := 1e9
	for _, d := range datums {
		from := math.Mod((after-d.at)*d.way+1080, 360)
		if from < best || from < 270 && from > 90 && p.chance(5) {
			best, datum = from, d.name
		}
	}
	return best, datum
}

// position prints crank degrees after top dead centre.
func (p printer) position(after float64) string {
	degrees, datum := p.countedFrom(after)
	return p.degrees(degrees) + " " + datum
}

// twice prints one value for two sources, or for one.
func (p printer) twice(print func() string) string {
	if p.chance(85) {
		return quoted(print())
	}
	return fmt.Sprintf("{claims: {handbook: {is: %s, from: handbook p. 5}, sheet: {is: %s, from: sheet line 7}}}", quoted(print()), quoted(print()))
}

// quoted is a print as a YAML scalar.
func quoted(print string) string {
	return `"` + strings.ReplaceAll(print, `"`, `\"`) + `"`
}
