package sheet

import (
	"math/big"

	"fourmarks.example/convert"
	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// EventSet is one set of events: what is read at one clearance.
type EventSet struct {
	Name   string `json:"name"`
	ReadAt string `json:"read_at"`
	// Clearances are what is set while they are read, inlet and exhaust.
	Clearances []Word   `json:"clearances"`
	Note       string   `json:"note"`
	Events     []Event  `json:"events"`
	Spans      []Figure `json:"spans"` // durations, overlap, lobe centres
}

// Event is an opening or closing.
type Event struct {
	Figure
	// Circle is where it lies on its cylinder's own circle, 0 at firing TDC; nil
	// where that is not known.
	Circle *Interval `json:"circle"`
}

const (
	degreeUnit         = convert.Degree
	kilopascal         = convert.Kilopascal
	poundPerSquareInch = convert.PoundPerSquareInch
)

func pointAt(degrees float64) interval.Interval { return interval.Point(degrees) }

// at is a derived figure of exact degrees.
func at(name string, degrees float64, by string) *Figure {
	f := derivedFigure(name, "", pointAt(degrees), "°", by)
	return &f
}

// fourEvents are the events in the order in which they are read, each with the
// side of the dead centre that it is customarily counted from.
var fourEvents = []struct {
	key   string
	event crank.Event
	datum figure.Datum
}{
	{"inlet_opens", crank.InletOpens, figure.BTDC},
	{"inlet_closes", crank.InletCloses, figure.ABDC},
	{"exhaust_opens", crank.ExhaustOpens, figure.BBDC},
	{"exhaust_closes", crank.ExhaustCloses, figure.ATDC},
}

var spans = []struct{ key, name string }{
	{"inlet_duration", "inlet duration"}, {"exhaust_duration", "exhaust duration"}, {"overlap", "overlap"},
	{"inlet_lobe_centre", "inlet lobe centre"}, {"exhaust_lobe_centre", "exhaust lobe centre"}, {"lobe_separation", "lobe separation"},
}

func (m *maker) events() {
	for _, set := range m.engine.Events {
		out := EventSet{Name: set.Name, ReadAt: set.Value.ReadAt.Text, Note: set.Value.Note.Text}
		for _, valve := range []string{"inlet", "exhaust"} {
			if c, ok := rules.ReadAt(m.engine, set.Value, valve); ok {
				out.Clearances = append(out.Clearances, Word{Name: valve, Text: c.Printed})
			}
		}
		path := "events." + set.Name + "."
		for _, v := range fourEvents {
			out.Events = append(out.Events, m.event(path+v.key, v.event, v.datum))
		}
		for _, s := range spans {
			out.Spans = m.figure(out.Spans, path+s.key, s.name)
		}
		m.sheet.Events = append(m.sheet.Events, out)
	}
}

// event is one of the four, with everything it converts to. One that nothing
// tells has a name and no text.
func (m *maker) event(path string, is crank.Event, datum figure.Datum) Event {
	name := is.String()
	f := m.engine.Figure(path)
	known, ok := m.at(path, name)
	if !ok {
		absent := Event{Figure: Figure{Name: name, Path: path, Standing: schema.Absent.String()}}
		if f != nil && len(f.Claims) > 0 {
			absent.Text = f.Claims[0].Printed.Text // unknown, not given, illegible
		}
		return absent
	}
	out := Event{Figure: known}
	switch c := f.First(); {
	case c != nil:
		out.Conversions = m.converted(c.Printed)
	default:
		d := m.derived[path]
		out.Conversions = m.converted(positionOf(known.Text, d.Variable.Scale.Shown(d.Value), d.Variable.Scale.Datum))
	}
	if degrees, ok := m.angle(path, datum); ok {
		out.Circle = onCircle(is, degrees, datum)
	}
	return out
}

// onCircle is where degrees from a datum lie on the cylinder's own circle.
func onCircle(e crank.Event, degrees interval.Interval, datum figure.Datum) *Interval {
	from := map[figure.Datum]crank.Datum{figure.BTDC: crank.BTDC, figure.ATDC: crank.ATDC, figure.BBDC: crank.BBDC, figure.ABDC: crank.ABDC}
	is, err := e.AtInterval(degrees, from[datum])
	if err != nil {
		return nil
	}
	return &Interval{Low: is.Lo, High: is.Hi, Unit: "°"}
}

// positionOf is a derived position as if it were printed.
func positionOf(text string, is interval.Interval, datum figure.Datum) figure.Printed {
	r := figure.Reading{Value: new(big.Rat), Lo: new(big.Rat), Hi: new(big.Rat), Unit: convert.Degree, Measure: figure.CrankAngle, Datum: datum, Form: figure.Decimal}
	r.Value.SetFloat64(is.Mid())
	r.Lo.SetFloat64(is.Lo)
	r.Hi.SetFloat64(is.Hi)
	return figure.Printed{Text: text, Kind: figure.Position, Readings: []figure.Reading{r}}
}

// circleOf is an event's interval on the circle, for what computes with it.
func (e Event) circleOf() (interval.Interval, bool) {
	if e.Circle == nil {
		return interval.Empty(), false
	}
	return interval.Of(e.Circle.Low, e.Circle.High), true
}
