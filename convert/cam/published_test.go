package cam

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/convert/internal/published"
	"fourmarks.example/convert/interval"
)

// at returns the motion t camshaft degrees after the foot of the opening flank.
func at(t *testing.T, p Profile, degrees float64) Motion {
	t.Helper()
	feet, err := p.Events(0)
	require.NoError(t, err)
	m, err := p.At(feet.Opens.Angle + degrees)
	require.NoError(t, err)
	return m
}

// perSecond is the number by which an acceleration in mm per camshaft degree
// squared becomes metres per second squared at turns a minute.
func perSecond(turns float64) float64 { return math.Pow(6*turns, 2) / 1000 }

// lifts returns the checks of lifts printed as "degrees lift" pairs.
func lifts(t *testing.T, p Profile, pairs ...string) []published.Value {
	var values []published.Value
	for i := 0; i < len(pairs); i += 2 {
		var degrees float64
		_, err := fmt.Sscan(pairs[i], &degrees)
		require.NoError(t, err)
		values = append(values, published.Value{What: "lift at " + pairs[i], Got: at(t, p, degrees).Lift, Printed: pairs[i+1]})
	}
	return values
}

func TestPublishedSources(t *testing.T) {
	shape := func(p Profile, err error) Profile {
		t.Helper()
		require.NoError(t, err)
		return p
	}

	tangentCam, err := TangentOver(75, 30, 17.5, Follower{Roller, 17.5})
	require.NoError(t, err)
	tangent := shape(tangentCam.Profile())
	const change = 25.64732
	perSecond600 := perSecond(600)

	arcCam, err := ThreeArcOver(75, 30, 5, 20, Follower{Kind: Flat})
	require.NoError(t, err)
	arcs := shape(arcCam.Profile())
	feet, err := arcs.Events(0)
	require.NoError(t, err)
	require.InDelta(t, -75, feet.Opens.Angle, 1e-12)
	arcChange := arcs.opening.pieces[1]
	moved := func(clearance float64) float64 {
		e, err := arcs.Events(clearance)
		require.NoError(t, err)
		return e.Opens.Angle - feet.Opens.Angle
	}

	// The cam of the format's example: lift at the tappet, clearance at the
	// valve, rocker ratio 1.08.
	example := shape(ThreeArc{BaseRadius: 0.5, FlankRadius: 2.25, NoseRadius: 0.17, Lift: 0.29, Follower: Follower{Kind: Flat}}.Profile())
	example = shape(example.AtValve(1.08))
	duration := func(clearance float64) float64 {
		e, err := example.Events(clearance)
		require.NoError(t, err)
		return e.Duration()
	}

	published.Table(t, []published.Source{
		{Name: "bissoy.com/mcq/375987, tangent cam 30 / 17.5 / 75° / 17.5 mm at 600 rpm", Values: []published.Value{
			{What: "acceleration at start of lift", Got: at(t, tangent, 0).Acceleration * perSecond600, Printed: "187.6",
				Wrong: "ω rounded to 62.84 on the way; 20π gives 187.52"},
			{What: "the same with ω = 62.84", Got: at(t, tangent, 0).Acceleration / radian / radian * 62.84 * 62.84 / 1000, Printed: "187.6"},
		}},
		{Name: "computed: tangent cam 30 / 17.5 / 75° / 17.5 mm at 600 rpm (formulas from memory: Khurmi & Gupta, Theory of Machines ch. 20)",
			Values: append(lifts(t, tangent, "0", "0.0000", "5", "0.1814", "10", "0.7328", "15", "1.6756", "20", "3.0484", "25", "4.9105", "30", "7.0678",
				"40", "10.9517", "50", "14.0670", "60", "16.2419", "70", "17.3590", "75", "17.5000"),
				published.Value{What: "exact acceleration at start", Got: at(t, tangent, 0).Acceleration * perSecond600, Printed: "187.52"},
				published.Value{What: "nose radius", Got: tangentCam.NoseRadius, Printed: "23.88903"},
				published.Value{What: "centre distance", Got: 30 + 17.5 - tangentCam.NoseRadius, Printed: "23.61097"},
				published.Value{What: "junction", Got: 75 - tangent.opening.pieces[0].outer, Printed: "25.64732"},
				published.Value{What: "acceleration, end of flank", Got: at(t, tangent, change-1e-5).Acceleration * perSecond600, Printed: "303.926"},
				published.Value{What: "acceleration, start of nose", Got: at(t, tangent, change+1e-5).Acceleration * perSecond600, Printed: "-57.561"},
				published.Value{What: "acceleration at the apex", Got: at(t, tangent, 75).Acceleration * perSecond600, Printed: "-146.387"},
			)},
		{Name: "from memory: Khurmi & Gupta, three-arc cam 30 / 20 / 75° / 5 mm at 600 rpm, flat follower; results computed",
			Values: append(lifts(t, arcs, "5", "0.1995", "10", "0.7964", "15", "1.7862", "20", "3.1614", "25", "4.9115", "30", "7.0232", "34", "8.9622",
				"35", "9.4720", "40", "11.8618", "50", "15.7839", "60", "18.4667", "70", "19.8288", "75", "20.0000"),
				published.Value{What: "flank radius", Got: arcCam.FlankRadius, Printed: "82.42212"},
				published.Value{What: "OP", Got: arcCam.FlankRadius - 30, Printed: "52.42212"},
				published.Value{What: "OQ", Got: 30 + 20 - arcCam.NoseRadius, Printed: "45"},
				published.Value{What: "junction", Got: arcChange.outer - arcChange.inner, Printed: "34.15436"},
				published.Value{What: "acceleration at start", Got: at(t, arcs, 0).Acceleration * perSecond600, Printed: "206.954"},
				published.Value{What: "acceleration, end of flank", Got: at(t, arcs, 34.15436-1e-5).Acceleration * perSecond600, Printed: "171.260"},
				published.Value{What: "acceleration, start of nose", Got: at(t, arcs, 34.15436+1e-5).Acceleration * perSecond600, Printed: "-134.390"},
				published.Value{What: "acceleration at the apex", Got: at(t, arcs, 75).Acceleration * perSecond600, Printed: "-177.653"},
				published.Value{What: "shift at 0.10 mm", Got: moved(0.10), Printed: "3.540"},
				published.Value{What: "shift at 0.25 mm", Got: moved(0.25), Printed: "5.598"},
				published.Value{What: "shift at 0.40 mm", Got: moved(0.40), Printed: "7.083"},
				published.Value{What: "shift at 0.50 mm", Got: moved(0.50), Printed: "7.920"},
				published.Value{What: "crank shift at 0.10 mm", Got: 2 * moved(0.10), Printed: "7.079"},
				published.Value{What: "crank shift at 0.25 mm", Got: 2 * moved(0.25), Printed: "11.196"},
				published.Value{What: "crank shift at 0.40 mm", Got: 2 * moved(0.40), Printed: "14.165"},
				published.Value{What: "crank shift at 0.50 mm", Got: 2 * moved(0.50), Printed: "15.839"},
			)},
		{Name: "qna.carrieradda.com 25929: least acceleration on a flank is ω²(R − r₁) cos φ", Values: []published.Value{
			{What: "that of the three-arc cam above", Got: at(t, arcs, 34.15436-1e-5).Acceleration * perSecond600,
				Printed: fmt.Sprintf("%.3f", math.Pow(20*math.Pi, 2)*(82.42212-30)*math.Cos(34.15436*radian)/1000)},
		}},
		{Name: "from memory: Norton, Cam Design and Manufacturing Handbook; Rothbart: rise curves, s/h computed", Values: riseCurves(t)},
		{Name: "from memory: Norton: peak velocity h/β and acceleration h/β²", Values: peakFactors(t)},
		{Name: "computed: the format's example cam, crank degrees with a rocker of 1.08", Values: []published.Value{
			{What: "duration at 20 thou", Got: duration(0.020), Printed: "231.0"},
			{What: "duration at 4 thou", Got: duration(0.004), Printed: "249.4"},
		}},
		{Name: "Vauxhall 20-60 h.p. shop manual, sec. 432 and 433, pp. 94-95, btsecuresession.com/davidconnell.co.uk: quieting ramps as the text layer reads", Values: []published.Value{
			{What: "0.007 in over 37 1/4 crank degrees", Got: midSpeed(t, 0.007, 37.25), Printed: "0.000188"},
			{What: "0.020 in over 128 crank degrees", Got: midSpeed(t, 0.020, 128), Printed: "0.000156"},
			{What: "0.020 in over 120 crank degrees", Got: midSpeed(t, 0.020, 120), Printed: "0.000167"},
		}},
	})
}

// riseCurves checks the lifts of every form at the tabulated parts of its rise.
func riseCurves(t *testing.T) []published.Value {
	forms := []Form{Polynomial345, Polynomial4567, Cycloidal, Harmonic, Parabolic}
	table := []struct {
		part  float64
		print [5]string
	}{
		{0.10, [5]string{"0.008560", "0.002728", "0.006451", "0.024472", "0.020000"}},
		{0.20, [5]string{"0.057920", "0.033344", "0.048635", "0.095492", "0.080000"}},
		{0.25, [5]string{"0.103516", "0.070557", "0.090845", "0.146447", "0.125000"}},
		{0.30, [5]string{"0.163080", "0.126036", "0.148635", "0.206107", "0.180000"}},
		{0.40, [5]string{"0.317440", "0.289792", "0.306451", "0.345492", "0.320000"}},
		{0.50, [5]string{"0.500000", "0.500000", "0.500000", "0.500000", "0.500000"}},
		{0.75, [5]string{"0.896484", "0.929443", "0.909155", "0.853553", "0.875000"}},
	}
	var values []published.Value
	for i, form := range forms {
		p, err := Rise{Form: form, Lift: 8, Angle: 64}.Profile()
		require.NoError(t, err)
		for _, row := range table {
			values = append(values, published.Value{What: fmt.Sprintf("%s at %g", form, row.part), Got: at(t, p, row.part*64).Lift / 8, Printed: row.print[i]})
		}
	}
	return values
}

// peakFactors searches each form for its largest velocity and acceleration.
func peakFactors(t *testing.T) []published.Value {
	var values []published.Value
	for _, c := range []struct {
		form                   Form
		velocity, acceleration string
	}{
		{Polynomial345, "1.875", "5.7735"},
		{Polynomial4567, "2.1875", "7.5132"},
		{Cycloidal, "2.0000", "6.2832"},
		{Harmonic, "1.5708", "4.9348"},
		{Parabolic, "2.0000", "4.0000"},
		{ModifiedSine, "1.7596", "5.5280"},
	} {
		const lift, angle, steps = 8, 64, 64000
		p, err := Rise{Form: c.form, Lift: lift, Angle: angle}.Profile()
		require.NoError(t, err)
		velocity, acceleration := 0.0, 0.0
		for i := range steps + 1 {
			m, err := p.At(-angle + angle*float64(i)/steps)
			require.NoError(t, err)
			velocity, acceleration = math.Max(velocity, m.Velocity), math.Max(acceleration, math.Abs(m.Acceleration))
		}
		values = append(values,
			published.Value{What: string(c.form) + " velocity", Got: velocity * angle / lift, Printed: c.velocity},
			published.Value{What: string(c.form) + " acceleration", Got: acceleration * angle * angle / lift, Printed: c.acceleration})
	}
	return values
}

// midSpeed is the middle of the flank speed found for two plain numbers.
func midSpeed(t *testing.T, more, shift float64) float64 {
	speed, err := FlankSpeed(interval.Point(more), interval.Point(shift))
	require.NoError(t, err)
	return speed.Mid()
}
