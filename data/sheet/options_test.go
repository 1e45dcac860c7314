package sheet_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/sheet"
	"fourmarks.example/schema/figure"
)

func TestOptionsThatDoNotFitAreRefused(t *testing.T) {
	e := demo(t, "penhallow/light-six")
	for name, c := range map[string]struct {
		o   sheet.Options
		why string
	}{
		"cylinder too high":     {sheet.Options{Cylinder: 7}, "there is no cylinder 7: penhallow/light-six has 6"},
		"cylinder negative":     {sheet.Options{Cylinder: -1}, "numbered from 1"},
		"altitude without unit": {sheet.Options{Altitude: "high"}, "the altitude"},
		"altitude in space":     {sheet.Options{Altitude: "60000 m"}, `the altitude "60000 m"`},
		"altitude not known":    {sheet.Options{Altitude: "unknown"}, "says none"},
		"rim of no length":      {sheet.Options{RimDiameter: "52 ABDC"}, "rim diameter"},
		"disc of no length":     {sheet.Options{Disc: "big"}, "rim diameter"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := sheet.Make(e.Engine, e.lookup, c.o)
			assert.ErrorContains(t, err, c.why)
		})
	}
}

// A flywheel other than the engine's is used in its place, and the sheet says so.
func TestAnotherFlywheelStandsInPlaceOfTheEngines(t *testing.T) {
	e := demo(t, "penhallow/light-six")
	own, other := made(t, e, sheet.Options{}), made(t, e, sheet.Options{RimDiameter: "8 1/8 in"})
	rim := func(s *sheet.Sheet) float64 {
		i := slices.IndexFunc(s.Events[0].Events[1].Conversions, func(c sheet.Conversion) bool { return c.To == "rim" && c.Part == "flywheel" })
		return *s.Events[0].Events[1].Conversions[i].Value
	}
	assert.InDelta(t, rim(own)/2, rim(other), 1e-12, "half the diameter, half the distance")
	f := other.Parts[0].Figures[0]
	assert.Equal(t, sheet.Given, f.Origin)
	assert.Equal(t, "in place of 16 1/4 in", f.By)
}

func TestADiscIsMeasuredOnBesideTheFlywheel(t *testing.T) {
	s := made(t, demo(t, "penhallow/light-six"), sheet.Options{Disc: "200 mm"})
	var parts []string
	for _, c := range s.Events[0].Events[0].Conversions {
		if c.To == "rim" {
			parts = append(parts, c.Part+" in "+c.Unit)
		}
	}
	assert.Equal(t, []string{"flywheel in in", "timing disc in mm"}, parts, "each in the unit of its own diameter")
}

func TestUnitsAreThoseAskedFor(t *testing.T) {
	e := demo(t, "penhallow/light-six")
	for system, unit := range map[figure.System]string{figure.Metric: "mm", figure.Inches: "in"} {
		for _, f := range figuresOf(made(t, e, sheet.Options{Units: system, Disc: "200 mm"})) {
			for _, c := range f.Conversions {
				if c.Unit != "teeth" && c.Unit != "°" {
					assert.Equal(t, unit, c.Unit, "%s: %s", f.Name, c.To)
				}
			}
		}
	}
}

// Another cylinder has the same events; where its dead centre lies on the
// flywheel is said.
func TestAnotherCylinder(t *testing.T) {
	s := made(t, demo(t, "penhallow/light-six"), sheet.Options{Cylinder: 3}) // fires fifth: 4 × 120
	require.NotNil(t, s.Cylinder.Fires)
	assert.Equal(t, "480°", s.Cylinder.Fires.Text)
	assert.Equal(t, "120°", s.Cylinder.Turned.Text)
	assert.NotEmpty(t, s.Cylinder.Turned.Conversions)

	s = made(t, written(t, "layout: {cycle: four-stroke, cylinders: 4}\n"), sheet.Options{Cylinder: 2})
	assert.Nil(t, s.Cylinder.Fires)
	assert.Contains(t, strings.Join(s.Remarks, " "), "find its own dead centre first")
}

// Disputed figures show every claim; settled ones those set aside, with why.
func TestDisagreementsAreShown(t *testing.T) {
	gap := func(name string) sheet.Figure {
		for _, f := range figuresOf(made(t, demo(t, name), sheet.Options{})) {
			if f.Standing == "disputed" || f.Standing == "settled" {
				return f
			}
		}
		return sheet.Figure{}
	}
	disputed := gap("penhallow/twelve")
	assert.Equal(t, "contact gap", disputed.Name)
	require.Len(t, disputed.Claims, 2)
	assert.Equal(t, []string{"12 thou", "15 thou"}, []string{disputed.Claims[0].Text, disputed.Claims[1].Text})
	assert.NotEqual(t, disputed.Claims[0].Mark, disputed.Claims[1].Mark)

	settled := gap("penhallow/light-six")
	assert.Equal(t, "settled", settled.Standing)
	assert.Equal(t, "the stamp measured to had been cut again at an overhaul", settled.Claims[2].SetAside)
}

// What is not known has no number, and is said in the file's own word.
func TestAbsentEventsAreSaidSo(t *testing.T) {
	s := made(t, written(t, "events: {running: {read_at: not given, inlet_opens: 10 BTDC, inlet_closes: unknown}}\n"), sheet.Options{})
	closes := s.Events[0].Events[1]
	assert.Equal(t, "absent", closes.Standing)
	assert.Equal(t, "unknown", closes.Text)
	assert.Empty(t, closes.Conversions)
	assert.Nil(t, closes.Circle)
	assert.Equal(t, "", s.Events[0].Events[2].Text)
}

// JSON has a list, if an empty one, wherever there is one: never null.
func TestJSONListsAreNeverNull(t *testing.T) {
	for _, e := range everyEngine(t) {
		b, err := json.Marshal(made(t, e, sheet.Options{}))
		require.NoError(t, err, e.Name())
		for _, list := range []string{"words", "figures", "claims", "conversions", "marks", "events", "drives", "positions", "set", "also", "on_the_rock", "shortest", "against", "as_printed",
			"remarks", "sources", "cautions", "clearances", "parts", "stamps", "wheels", "working", "layout", "spans", "last_step"} {
			assert.NotContains(t, string(b), `"`+list+`":null`, e.Name())
		}
	}
}
