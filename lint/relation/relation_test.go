package relation

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert/interval"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// engine decodes the figures of one event set.
func engine(t require.TestingT, figures ...string) *schema.Engine {
	var b strings.Builder
	b.WriteString("format: 1\nengine: a/b\ntitle: X\nevents:\n  set:\n")
	for _, f := range figures {
		b.WriteString("    " + f + "\n")
	}
	e, problems := schema.DecodeEngine(schema.ReadFile("a/b.yaml", []byte(b.String())))
	require.Empty(t, problems)
	return e
}

// timing adds the sums that tie the events of the set together.
func timing(e *schema.Engine) *Network {
	n := NewNetwork(e)
	p := "events.set"
	opens := n.Angle(p+".inlet_opens", "inlet opens", figure.BTDC)
	closes := n.Angle(p+".inlet_closes", "inlet closes", figure.ABDC)
	exhaust := n.Angle(p+".exhaust_closes", "exhaust closes", figure.ATDC)
	n.For("events/inlet-duration")
	n.Equal(p, n.Quantity(p+".inlet_duration", "inlet duration", figure.Angle), Sum(Number(180), opens, closes))
	n.For("events/overlap")
	n.Equal(p, n.Quantity(p+".overlap", "overlap", figure.Angle), Sum(opens, exhaust))
	return n
}

// The sums of a published worked example: 6 + 180 + 42 = 228 and 6 + 12 = 18
// (forabodiesonly.com, post 1970493881).
var published = []string{"inlet_opens: 6 BTDC", "inlet_closes: 42 ABDC", "exhaust_closes: 12 ATDC", "inlet_duration: 228", "overlap: 18"}

func TestPrintsThatAgreeRaiseNothing(t *testing.T) {
	assert.Empty(t, timing(engine(t, published...)).Check())
}

// One slip that breaks two relations is one conflict, and the figure in both is
// first although either relation alone would admit others.
func TestOneSlipIsOneConflict(t *testing.T) {
	e := engine(t, "inlet_opens: 9 BTDC", "inlet_closes: 42 ABDC", "exhaust_closes: 12 ATDC", "inlet_duration: 228", "overlap: 18")
	got := timing(e).Check()
	require.Len(t, got, 1)
	assert.Len(t, got[0].Broken, 2)
	require.Len(t, got[0].Suspects, 1, "only the opening can explain both")
	s := got[0].Suspects[0]
	assert.Equal(t, "events.set.inlet_opens", s.Variable.Path)
	is, unit := s.Shown()
	assert.Equal(t, "° BTDC", unit)
	assert.True(t, is.Contains(6) && !is.Contains(9), "must be %v", is)
}

// Two slips in figures that no relation shares are two conflicts.
func TestTwoSlipsAreTwoConflicts(t *testing.T) {
	e := engine(t, "inlet_opens: 6 BTDC", "inlet_closes: 24 ABDC", "exhaust_closes: 12 ATDC", "inlet_duration: 228", "overlap: 81")
	got := timing(e).Check()
	require.Len(t, got, 2)
	for _, c := range got {
		assert.NotEmpty(t, c.Suspects)
	}
	assert.Equal(t, "42 ABDC", likelyOf(got, "events.set.inlet_closes"))
	assert.Equal(t, "18", likelyOf(got, "events.set.overlap"))
}

func likelyOf(conflicts []Conflict, path string) string {
	for _, c := range conflicts {
		for _, s := range c.Suspects {
			if s.Variable.Path == path {
				return s.Likely
			}
		}
	}
	return ""
}

// Durations of inlet and exhaust that changed places are one slip in two
// figures, not two slips.
func TestInterchangedFiguresAreOneConflict(t *testing.T) {
	e := engine(t, "inlet_opens: 3 BTDC", "inlet_closes: 48 ABDC", "exhaust_opens: 57 BBDC", "exhaust_closes: 10 ATDC",
		"inlet_duration: 247", "exhaust_duration: 231")
	n := timing(e)
	p := "events.set"
	n.For("events/exhaust-duration")
	n.Equal(p, n.Quantity(p+".exhaust_duration", "exhaust duration", figure.Angle), Sum(Number(180),
		n.Angle(p+".exhaust_opens", "exhaust opens", figure.BBDC), n.Angle(p+".exhaust_closes", "exhaust closes", figure.ATDC)))
	got := n.Check()
	require.Len(t, got, 1)
	assert.Len(t, got[0].Broken, 2)
	require.Len(t, got[0].Suspects, 2)
	assert.Equal(t, "231", got[0].Suspects[0].Likely)
	assert.Equal(t, "247", got[0].Suspects[1].Likely)
	assert.Equal(t, interchanged, got[0].Suspects[0].Slip)
}

// Relations that hold one by one and not together are found through the
// figure that is not printed.
func TestJointConflict(t *testing.T) {
	n := NewNetwork(engine(t, "inlet_opens: 6 BTDC", "exhaust_closes: 12 ATDC"))
	hidden := n.Hidden("hidden", "hidden", 0, interval.Whole())
	opens := n.Angle("events.set.inlet_opens", "inlet opens", figure.BTDC)
	closes := n.Angle("events.set.exhaust_closes", "exhaust closes", figure.ATDC)
	n.For("a/one")
	one := n.Equal("x", hidden, Sum(opens, Number(1)))
	n.For("a/two")
	two := n.Equal("x", hidden, Sum(closes, Number(1)))
	got := n.Check()
	require.Len(t, got, 1)
	assert.True(t, got[0].Joint)
	assert.ElementsMatch(t, []*Relation{one, two}, got[0].Broken)
	assert.Len(t, got[0].Suspects, 2)
}

// A duration and a lobe centre together give opening and closing, though
// neither alone says anything of them: 228/2 − 6 = 108 and 228 − 180 − 6 = 42
// (forabodiesonly.com, post 1970493881).
func TestTwoSumsTogether(t *testing.T) {
	with := func(figures ...string) *Network {
		n := timing(engine(t, figures...))
		p := "events.set"
		n.For("events/lobe-centre")
		n.Equal(p, Product(Number(2), n.Angle(p+".inlet_lobe_centre", "inlet lobe centre", figure.ATDC)),
			Difference(Sum(Number(180), n.Angle(p+".inlet_closes", "inlet closes", figure.ABDC)), n.Angle(p+".inlet_opens", "inlet opens", figure.BTDC)))
		return n
	}
	n := with("inlet_duration: 228", "inlet_lobe_centre: 108 ATDC", "exhaust_closes: 12 ATDC")
	derived := map[string]interval.Interval{}
	for _, d := range n.Derive() {
		derived[d.Variable.Path] = d.Value
	}
	near := func(lo, hi float64, is interval.Interval) {
		assert.InDelta(t, lo, is.Lo, 1e-9)
		assert.InDelta(t, hi, is.Hi, 1e-9)
	}
	near(5.25, 6.75, derived["events.set.inlet_opens"])
	near(41.25, 42.75, derived["events.set.inlet_closes"])
	assert.Empty(t, n.Check())

	// Overlap 18 needs an opening of 6; a centre of 118 makes it −4.
	c := with("inlet_duration: 228", "inlet_lobe_centre: 118 ATDC", "exhaust_closes: 12 ATDC", "overlap: 18").Check()
	require.Len(t, c, 1)
	assert.True(t, c[0].Joint)
	assert.Len(t, c[0].Broken, 3)
	assert.Equal(t, "108 ATDC", likelyOf(c, "events.set.inlet_lobe_centre"))
}

func TestDerivedFigures(t *testing.T) {
	n := timing(engine(t, published[:3]...))
	derived := map[string]interval.Interval{}
	for _, d := range n.Derive() {
		derived[d.Variable.Path] = d.Value
		assert.NotNil(t, d.By)
	}
	assert.Equal(t, interval.Of(227, 229), derived["events.set.inlet_duration"])
	assert.Equal(t, interval.Of(17, 19), derived["events.set.overlap"])
}

func TestDisputedFigureMayBeEither(t *testing.T) {
	e := engine(t, "inlet_opens: 6 BTDC", "inlet_closes: {claims: {a: 42 ABDC, b: 24 ABDC}}", "inlet_duration: 228")
	assert.Empty(t, timing(e).Check())
	e = engine(t, "inlet_opens: 6 BTDC", "inlet_closes: {claims: {a: {is: 42 ABDC, set_aside: misread}, b: 24 ABDC}}", "inlet_duration: 228")
	assert.Len(t, timing(e).Check(), 1, "a claim set aside is not followed")
}

// An event may be counted from any dead centre: 222 ATDC is 42 ABDC, and an
// exhaust centre of 79½ ABDC is 100½ BTDC (tribsa.blogspot.com, 2013/06).
func TestAnyDatum(t *testing.T) {
	e := engine(t, "inlet_opens: 354 ATDC", "inlet_closes: 222 ATDC", "inlet_duration: 228", "exhaust_lobe_centre: 79.5 ABDC")
	n := timing(e)
	assert.Empty(t, n.Check())
	centre := n.Angle("events.set.exhaust_lobe_centre", "exhaust lobe centre", figure.BTDC)
	assert.InDelta(t, 100.5, centre.Printed.Mid(), 1e-9)
	assert.InDelta(t, 79.5, centre.Scale.Shown(interval.Point(100.5)).Mid(), 1e-9)
	assert.Equal(t, "° ABDC", centre.Scale.Symbol())
}

func TestWorkingCanBeRedoneOnPaper(t *testing.T) {
	n := timing(engine(t, "inlet_opens: 6 BTDC", "inlet_closes: 24 ABDC", "inlet_duration: 228"))
	c := n.Check()
	require.Len(t, c, 1)
	assert.Equal(t, []string{
		"inlet duration = 180 + inlet opens (BTDC) + inlet closes (ABDC)",
		"228 ≠ 180 + 6 + 24",
		"within rounding: 227.5 to 228.5 against 209 to 211",
	}, c[0].Broken[0].Working(n))
}

// Every slip that the generator makes is undone by the suspect's likely text.
func TestSlipsAreUndone(t *testing.T) {
	for _, c := range []struct{ meant, printed, slip string }{
		{"52 ABDC", "25 ABDC", "digits transposed"},
		{"38 ABDC", "33 ABDC", "one digit misread"},
		{"57 ABDC", "51 ABDC", "one digit misread"},
		{"5 ABDC", "55 ABDC", "digit doubled"},
		{"48 ABDC", "48 BBDC", "before and after interchanged"},
		{"52½ ABDC", "52 ABDC", "a fraction lost"},
		{"48°30' ABDC", "48.30 ABDC", "degrees and minutes read as decimals"},
	} {
		p, err := figure.Read(figure.Position, c.meant)
		require.NoError(t, err)
		b := binding{measure: figure.CrankAngle, datum: figure.ABDC}
		must, _ := b.printed(p)
		e := engine(t, "inlet_closes: "+c.printed)
		v := NewNetwork(e).Angle("events.set.inlet_closes", "inlet closes", figure.ABDC)
		if c.slip == "a fraction lost" || strings.HasPrefix(c.slip, "degrees and minutes") {
			must = interval.Point(must.Mid()) // the prints are too near to be told apart by their rounding
		}
		name, likely, _, _ := v.likelySlip(must, nil, nil)
		assert.Equal(t, c.slip, name, c.printed)
		assert.Equal(t, c.meant, likely, c.printed)
	}
}

// Propagation never loses a solution: values that satisfy the relations and
// lie within the prints stay within every domain.
func TestPropagationKeepsEverySolution(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bore := rapid.Float64Range(40, 120).Draw(t, "bore")
		stroke := rapid.Float64Range(40, 150).Draw(t, "stroke")
		count := rapid.IntRange(1, 12).Draw(t, "cylinders")
		angle := rapid.Float64Range(1, 89).Draw(t, "angle")
		volume := math.Pi / 4 * bore * bore * stroke * float64(count)
		shadow := stroke * math.Sin(angle*math.Pi/180)
		n := NewNetwork(engine(t, "inlet_opens: 1 BTDC"))
		whole := map[string]float64{"bore": bore, "stroke": stroke, "count": float64(count), "volume": volume, "angle": angle, "shadow": shadow,
			"ratio": bore / stroke, "difference": bore - stroke}
		v := map[string]*Variable{}
		for _, name := range []string{"bore", "stroke", "count", "volume", "angle", "shadow", "ratio", "difference"} {
			v[name] = n.Hidden(name, name, 0, interval.Of(-1e9, 1e9))
			if rapid.Bool().Draw(t, name+" known") {
				width := rapid.Float64Range(0, 5).Draw(t, name+" width")
				at := rapid.Float64Range(0, 1).Draw(t, name+" at")
				v[name].Printed = interval.Of(whole[name]-width*at, whole[name]+width*(1-at)).Grow(math.Abs(whole[name]) * 1e-12)
			}
		}
		n.Equal("", v["volume"], Product(Quotient(Pi(), Number(4)), Square(v["bore"]), v["stroke"], v["count"]))
		n.Equal("", v["shadow"], Product(v["stroke"], Sin(v["angle"])))
		n.Equal("", v["ratio"], Quotient(v["bore"], v["stroke"]))
		n.Equal("", v["difference"], Difference(v["bore"], v["stroke"]))
		d := n.start()
		require.Nil(t, n.propagate(d, n.relations))
		for name, x := range whole {
			if is := d[v[name].index].Grow(math.Abs(x) * 1e-9); !is.Contains(x) {
				t.Fatalf("%s = %v was lost: %v", name, x, is)
			}
		}
	})
}

// A transposed digit in any event of a fully printed set is found, and the
// right value lies in what the figure must be.
func TestTransposedDigitsAreFound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) int { return rapid.IntRange(10, 79).Draw(t, name) }
		opens, closes, exhaust := draw("inlet opens"), draw("inlet closes"), draw("exhaust closes")
		texts := []string{fmt.Sprintf("%d BTDC", opens), fmt.Sprintf("%d ABDC", closes), fmt.Sprintf("%d ATDC", exhaust),
			fmt.Sprint(180 + opens + closes), fmt.Sprint(opens + exhaust)}
		keys := []string{"inlet_opens", "inlet_closes", "exhaust_closes", "inlet_duration", "overlap"}
		i := rapid.IntRange(0, 2).Draw(t, "slip in")
		right := []int{opens, closes, exhaust}[i]
		wrong := right%10*10 + right/10
		if wrong == right || right%10 == 0 {
			return
		}
		texts[i] = strings.Replace(texts[i], fmt.Sprint(right), fmt.Sprint(wrong), 1)
		figures := make([]string, len(keys))
		for k := range keys {
			figures[k] = keys[k] + ": " + texts[k]
		}
		for _, c := range timing(engine(t, figures...)).Check() {
			for _, s := range c.Suspects {
				is, _ := s.Shown()
				if s.Variable.Path == "events.set."+keys[i] && is.Contains(float64(right)) {
					return
				}
			}
		}
		t.Fatalf("%v: the slip in %s was not found", figures, keys[i])
	})
}
