package crank_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert/crank"
)

func TestEventsOnTheCircle(t *testing.T) {
	for _, c := range []struct {
		event   crank.Event
		degrees float64
		datum   crank.Datum
		at      float64
	}{
		{crank.Ignition, 0, crank.BTDC, 0},
		{crank.Ignition, 38.6, crank.BTDC, 681.4},
		{crank.Ignition, 2, crank.ATDC, 2},
		{crank.ExhaustOpens, 51.5, crank.BBDC, 128.5},
		{crank.ExhaustOpens, 128.5, crank.ATDC, 128.5}, // one datum for all four
		{crank.ExhaustOpens, 231.5, crank.BTDC, 128.5},
		{crank.InletOpens, 7.5, crank.BTDC, 352.5},
		{crank.InletOpens, 15, crank.ATDC, 375},
		{crank.InletOpens, -15, crank.BTDC, 375},
		{crank.InletOpens, 172.5, crank.ABDC, 352.5},
		{crank.ExhaustCloses, 4.5, crank.ATDC, 364.5},
		{crank.ExhaustCloses, 184.5, crank.ABDC, 364.5},
		{crank.ExhaustCloses, 5, crank.BTDC, 355}, // closes before TDC: negative overlap
		{crank.InletCloses, 43.5, crank.ABDC, 583.5},
		{crank.InletCloses, 223.5, crank.ATDC, 583.5},
		{crank.InletCloses, 136.5, crank.BTDC, 583.5},
		{crank.InletCloses, 10, crank.BBDC, 530},
		{crank.InletLobeCentre, 100.5, crank.ATDC, 460.5},
		{crank.InletLobeCentre, 79.5, crank.BBDC, 460.5},
		{crank.ExhaustLobeCentre, 100.5, crank.BTDC, 259.5},
		{crank.ExhaustLobeCentre, 79.5, crank.ABDC, 259.5},
	} {
		at, err := c.event.At(c.degrees, c.datum)
		require.NoError(t, err, "%v %g %v", c.event, c.degrees, c.datum)
		assert.InDelta(t, c.at, at, 1e-12, "%v %g %v", c.event, c.degrees, c.datum)
		back, err := c.event.In(at, c.datum)
		require.NoError(t, err)
		assert.InDelta(t, c.degrees, back, 1e-12, "%v %g %v", c.event, c.degrees, c.datum)
	}
}

func TestCustomaryDatum(t *testing.T) {
	for _, c := range []struct {
		event   crank.Event
		at      float64
		degrees float64
		datum   crank.Datum
	}{
		{crank.Ignition, 690, 30, crank.BTDC},
		{crank.Ignition, 0, 0, crank.BTDC},
		{crank.ExhaustOpens, 130, 50, crank.BBDC},
		{crank.ExhaustOpens, 185, 5, crank.ABDC},
		{crank.InletOpens, 360, 0, crank.BTDC},
		{crank.InletOpens, 375, 15, crank.ATDC},
		{crank.ExhaustCloses, 360, 0, crank.ATDC},
		{crank.ExhaustCloses, 358, 2, crank.BTDC},
		{crank.InletCloses, 595, 55, crank.ABDC},
		{crank.InletLobeCentre, 470, 110, crank.ATDC},
		{crank.ExhaustLobeCentre, 250, 110, crank.BTDC},
	} {
		degrees, datum, err := c.event.Customary(c.at)
		require.NoError(t, err)
		assert.Equal(t, c.degrees, degrees, "%v at %g", c.event, c.at)
		assert.Equal(t, c.datum, datum, "%v at %g", c.event, c.at)
	}
}

func TestEventErrorsSayWhatIsWrong(t *testing.T) {
	_, _, err := crank.InletOpens.Customary(10)
	assert.ErrorContains(t, err, "half a turn or more")
	for what, err := range map[string]error{
		"two dead centres":                  second(crank.InletOpens.At(180, crank.BTDC)),
		"is no event":                       second(crank.Event(0).At(10, crank.BTDC)),
		"is no datum":                       second(crank.InletOpens.At(10, 0)),
		"the angle of inlet opens is NaN":   second(crank.InletOpens.At(math.NaN(), crank.BTDC)),
		"the angle of ignition is":          second(crank.Ignition.At(400, crank.BTDC)),
		"cannot lie at 180":                 second(crank.InletOpens.In(180, crank.BTDC)),
		"8 is no event":                     second(crank.Event(8).In(0, crank.ATDC)),
		"5 is no datum":                     second(crank.Ignition.In(0, 5)),
		"the angle of exhaust closes":       second(crank.ExhaustCloses.In(math.Inf(1), crank.ATDC)),
		"the angle of inlet opens is 1e+09": second(crank.CustomaryEvents(1e9, 0, 0, 0)),
		"opens and closes at the same":      second(crank.Duration(720, 0)),
		"opening is NaN":                    second(crank.Duration(math.NaN(), 0)),
		"same angle":                        second(crank.LobeCentre(5, 5)),
		"exhaust closes is":                 second(crank.Overlap(0, math.Inf(1))),
		"exhaust lobe centre":               second(crank.LobeSeparation(0, math.NaN())),
	} {
		require.Error(t, err, what)
		assert.Contains(t, err.Error(), what)
	}
	assert.Equal(t, "Datum(9)", crank.Datum(9).String())
	assert.Equal(t, "Event(-1)", crank.Event(-1).String())
	assert.Equal(t, "Kind(0)", crank.Kind(0).String())
	assert.Equal(t, "exhaust 3", crank.Valve{Cylinder: 3, Kind: crank.Exhaust}.String())
	assert.Equal(t, "ABDC", crank.ABDC.String())
}

// belongs is the middle of the turn in which each event may lie.
var belongs = map[crank.Event]float64{
	crank.Ignition: 0, crank.ExhaustOpens: 180, crank.ExhaustLobeCentre: 270, crank.InletOpens: 360,
	crank.ExhaustCloses: 360, crank.InletLobeCentre: 450, crank.InletCloses: 540,
}

func TestDatumsUndoOneAnother(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := crank.Event(rapid.IntRange(int(crank.Ignition), int(crank.InletCloses)).Draw(t, "event"))
		at := math.Mod(belongs[e]+rapid.Float64Range(-179.999, 179.999).Draw(t, "off")+720, 720)
		for _, d := range datums {
			degrees := must(e.In(at, d))
			same := must(e.At(degrees, d))
			if same < 0 || same >= 720 || math.Abs(math.Remainder(same-at, 720)) > 1e-12 {
				t.Fatalf("%v at %g is %g %v and comes back at %g", e, at, degrees, d, same)
			}
		}
		customary, datum, err := e.Customary(at)
		if err != nil || customary < 0 || math.Abs(math.Remainder(must(e.At(customary, datum))-at, 720)) > 1e-12 {
			t.Fatalf("%v at %g is customarily %g %v, %v", e, at, customary, datum, err)
		}
	})
}

// quarters draws angles in quarter degrees, which float64 holds exactly, so that
// sums and halves must come out exact.
func quarters(t *rapid.T, name string, lo, hi int) float64 {
	return float64(rapid.IntRange(4*lo, 4*hi).Draw(t, name)) / 4
}

func TestSumRulesAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		io, ic := quarters(t, "inlet opens", -40, 100), quarters(t, "inlet closes", -40, 130)
		eo, ec := quarters(t, "exhaust opens", -40, 130), quarters(t, "exhaust closes", -40, 100)
		e, err := crank.CustomaryEvents(io, ic, eo, ec)
		if err != nil {
			t.Fatal(err)
		}
		inlet, exhaust := must(crank.Duration(e.InletOpens, e.InletCloses)), must(crank.Duration(e.ExhaustOpens, e.ExhaustCloses))
		overlap := must(crank.Overlap(e.InletOpens, e.ExhaustCloses))
		if inlet != 180+io+ic || exhaust != 180+eo+ec || overlap != io+ec {
			t.Fatalf("%v: durations %g, %g, overlap %g", e, inlet, exhaust, overlap)
		}
		inletCentre, exhaustCentre := must(crank.LobeCentre(e.InletOpens, e.InletCloses)), must(crank.LobeCentre(e.ExhaustOpens, e.ExhaustCloses))
		a, b := must(crank.InletLobeCentre.In(inletCentre, crank.ATDC)), must(crank.ExhaustLobeCentre.In(exhaustCentre, crank.BTDC))
		if a != inlet/2-io || b != exhaust/2-ec {
			t.Fatalf("%v: lobe centres %g ATDC, %g BTDC", e, a, b)
		}
		separation := must(crank.LobeSeparation(inletCentre, exhaustCentre))
		if separation != (a+b)/2 || 4*separation != inlet+exhaust-2*overlap {
			t.Fatalf("%v: lobe separation %g of centres %g, %g", e, separation, a, b)
		}
	})
}
