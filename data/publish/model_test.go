package publish_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/publish"
	"fourmarks.example/data/release"
	"fourmarks.example/schema"
)

const invented = `format: 1
engine: marlowe/four
title: Marlowe Four
made: 1926-
events:
  checking:
    from: sheet line 2
    cylinder: 1
    read_at: checking clearance
    inlet_opens: {claims: {recalled: {is: 3 BTDC}, sheet: {is: 3 BTDC, from: sheet line 4}}}
    inlet_closes: {claims: {sheet: {is: 48 ABDC}, recalled: {is: 45 ABDC, set_aside: he was thinking of the Five}}}
    exhaust_opens: {claims: {sheet: {is: 47 BBDC}, recalled: {is: 60 BBDC}}}
    exhaust_closes: {claims: {sheet: {is: 1/3 ATDC}, recalled: {is: not given}}}
    overlap: unknown
clearances:
  running: {measured_at: valve, engine: cold, inlet: 4 thou}
sources:
  recalled: {title: A fitter, grade: recall, by: a fitter}
  sheet: {title: Setting sheet, grade: works, copies: drawing}
variants:
  late: {made: 1930-1931, change: {events: {checking: {inlet_closes: removed, inlet_opens: {is: 4 BTDC, from: sheet line 9}}}}}
`

func inventedEngine(t *testing.T) *release.Engine {
	e, problems := schema.DecodeEngine(schema.ReadFile("engines/marlowe/four.yaml", []byte(invented)))
	require.Empty(t, problems)
	return publish.Engine(e, func(id string) (*schema.Source, bool) { return e.Sources.Get(id) }, true)
}

func figureOf(t *testing.T, s release.Series, path string) release.Figure {
	i := slices.IndexFunc(s.Figures, func(f release.Figure) bool { return f.Path == "events.checking."+path || f.Path == path })
	require.GreaterOrEqual(t, i, 0, path)
	return s.Figures[i]
}

func TestAFigureHasTheValueOfItsBestClaim(t *testing.T) {
	e := inventedEngine(t)
	f := figureOf(t, e.Series, "inlet_opens")
	assert.Equal(t, []any{"confirmed", "3 BTDC", 3.0, 2.5, 3.5, "°", "BTDC", "marlowe/four:sheet", "line 4"},
		[]any{f.Standing, f.Printed, *f.Value, *f.Low, *f.High, f.Unit, f.Datum, f.From, f.Locator})
	require.Len(t, f.Claims, 2)
	assert.Equal(t, []string{"sheet", "recalled"}, []string{f.Claims[0].Key, f.Claims[1].Key})
}

func TestAValueWithdrawnIsNotAmongTheFigures(t *testing.T) {
	e := inventedEngine(t)
	f := figureOf(t, e.Series, "inlet_closes")
	assert.Equal(t, []any{"settled", "48 ABDC", 48.0}, []any{f.Standing, f.Printed, *f.Value})
	require.Len(t, f.Claims, 1)
	require.Len(t, e.SetAside, 1)
	assert.Equal(t, []string{"45 ABDC", "he was thinking of the Five"}, []string{e.SetAside[0].Claims[0].Printed, e.SetAside[0].Claims[0].Because})
}

func TestADisputedFigureHasNoValue(t *testing.T) {
	e := inventedEngine(t)
	f := figureOf(t, e.Series, "exhaust_opens")
	assert.Equal(t, "disputed", f.Standing)
	assert.Empty(t, f.Printed)
	assert.Nil(t, f.Value)
	assert.Nil(t, f.SI)
	assert.Empty(t, f.Claims)
	require.Len(t, e.Disputed, 1)
	assert.Len(t, e.Disputed[0].Claims, 2)
}

func TestAnAbsenceIsAWordAndNoValue(t *testing.T) {
	e := inventedEngine(t)
	f := figureOf(t, e.Series, "overlap")
	assert.Equal(t, []string{"absent", "unknown", "unknown"}, []string{f.Standing, f.Printed, f.Absence})
	assert.Nil(t, f.Value)
	f = figureOf(t, e.Series, "exhaust_closes")
	assert.Equal(t, []any{"single-source", "1/3 ATDC"}, []any{f.Standing, f.Printed}, "a source that does not say takes nothing away")
	require.Len(t, f.Claims, 2)
	assert.Equal(t, "not given", f.Claims[1].Absence)
}

func TestNumbersThatMustBeRoundedAreGivenAsFractions(t *testing.T) {
	f := figureOf(t, inventedEngine(t).Series, "exhaust_closes")
	assert.Equal(t, 0.333333333333333, *f.Value)
	assert.Equal(t, &release.Exact{Value: "1/3", Low: "1/6", High: "1/2"}, f.Exact)
	f = figureOf(t, inventedEngine(t).Series, "clearances.running.inlet")
	assert.Nil(t, f.Exact)
	assert.Equal(t, []float64{0.1016, 0.0889, 0.1143}, []float64{*f.SI.Value, *f.SI.Low, *f.SI.High}, "4 thou of 0.0254 mm, half a thou either way")
	assert.Equal(t, "mm", f.SI.Unit)
}

func TestWhatFollowsIsMarkedAsDerived(t *testing.T) {
	f := figureOf(t, inventedEngine(t).Series, "inlet_duration")
	assert.Equal(t, []any{"derived", "", 231.0, 230.0, 232.0, "°", "angle"}, []any{f.Standing, f.Printed, *f.Value, *f.Low, *f.High, f.Unit, f.Kind}, "180 + 3 + 48, each to half a degree")
	assert.Equal(t, "events/inlet-duration", f.DerivedBy.Rule)
	e, _ := schema.DecodeEngine(schema.ReadFile("four.yaml", []byte(invented)))
	for _, f := range publish.Engine(e, func(string) (*schema.Source, bool) { return nil, false }, false).Figures {
		assert.NotEqual(t, release.Derived, f.Standing)
	}
}

func TestAVariantIsWhole(t *testing.T) {
	e := inventedEngine(t)
	require.Len(t, e.Variants, 1)
	late := e.Variants[0]
	assert.Equal(t, release.Dates{Made: "1930-1931", First: 1930, Last: 1931}, late.Dates)
	assert.Equal(t, release.Dates{Made: "1926-", First: 1926}, e.Dates)
	assert.True(t, figureOf(t, late.Series, "clearances.running.inlet").Inherited)
	assert.False(t, figureOf(t, late.Series, "inlet_opens").Inherited)
	assert.Equal(t, []string{"events.checking.inlet_closes"}, late.Removed)
	assert.Equal(t, len(late.Figures), sum(late.Standings))
}

func sum(s release.Standings) (n int) {
	for _, of := range s {
		n += of
	}
	return n
}

func TestSourcesAreThoseCitedAndThoseTheyCopy(t *testing.T) {
	var ids []string
	for _, s := range inventedEngine(t).Sources {
		ids = append(ids, s.ID)
	}
	assert.Equal(t, []string{"drawing", "marlowe/four:recalled", "marlowe/four:sheet"}, ids, "one without a record as well")
}
