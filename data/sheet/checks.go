package sheet

import (
	"fmt"

	"fourmarks.example/convert/air"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint/relation"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema/figure"
)

// checks fills what a healthy engine shows, and what that becomes at the
// altitude where it stands.
func (m *maker) checks() error {
	g := &m.sheet.Checks
	g.Name = "a healthy engine shows"
	here, err := m.altitude()
	if err != nil {
		return err
	}
	c := m.engine.Checks
	printedAt := interval.Point(0)
	if c != nil {
		g.Words = m.word(g.Words, "engine", c.Engine, c.From)
		g.Words = m.word(g.Words, "throttle", c.Throttle, c.From)
		for _, key := range []string{"compression", "compression_spread", "vacuum", "oil_pressure", "speed", "altitude"} {
			g.Figures = m.figure(g.Figures, "checks."+key, words(key))
		}
		g.Words = m.word(g.Words, "note", c.Note, c.From)
		if at, ok := relation.Allowed(c.Altitude, figure.NoMeasure, figure.NoDatum); ok {
			printedAt = metres(at)
		}
	}
	m.expected(g, printedAt, here)
	if here != nil {
		m.corrected(g, printedAt, *here)
	}
	return nil
}

// metres turns the working millimetres of an altitude into metres.
func metres(is interval.Interval) interval.Interval { return is.Div(interval.Point(1000)) }

// altitude reads where the engine stands, in metres; nil where it was not said.
func (m *maker) altitude() (*interval.Interval, error) {
	if m.options.Altitude == "" {
		return nil, nil
	}
	p, err := figure.Read(figure.Altitude, m.options.Altitude)
	if err != nil {
		return nil, fmt.Errorf("the altitude: %w", err)
	}
	if len(p.Readings) == 0 {
		return nil, fmt.Errorf("the altitude %q says none; write for instance 1500 ft or 450 m", m.options.Altitude)
	}
	is := metres(p.Readings[0].Interval())
	if _, err := air.PressureInterval(is); err != nil {
		return nil, fmt.Errorf("the altitude %q: %w", m.options.Altitude, err)
	}
	return &is, nil
}

// expected adds the cranking pressure that the compression ratio lets a sound
// engine reach.
func (m *maker) expected(g *Group, printedAt interval.Interval, here *interval.Interval) {
	at, where := printedAt, ""
	if here != nil {
		at, where = *here, " at "+m.options.Altitude
	}
	band, closes, ok := rules.CrankingBand(m.engine, at)
	if !ok {
		return
	}
	g.Figures = append(g.Figures, m.pressureLike("checks.compression", "by compression ratio"+where, band,
		"air trapped with "+closes+", compressed with an exponent from 1.15 to 1.35; hot, throttle open"))
}

// corrected adds compression and vacuum for the altitude.
func (m *maker) corrected(g *Group, printedAt, here interval.Interval) {
	below, err := air.PressureInterval(printedAt)
	around, err2 := air.PressureInterval(here)
	if err != nil || err2 != nil {
		m.remark("Nothing is corrected for altitude: the altitude at which the checks hold cannot be read.")
		return
	}
	if p, ok := relation.Allowed(m.engine.Figure("checks.compression"), figure.NoMeasure, figure.NoDatum); ok {
		g.Figures = append(g.Figures, m.pressureLike("checks.compression", "compression at "+m.options.Altitude, p.Mul(around.Div(below)),
			"the printed pressure × air pressure here / air pressure there: the same trapped ratio compresses thinner air"))
	}
	if v, ok := relation.Allowed(m.engine.Figure("checks.vacuum"), figure.NoMeasure, figure.NoDatum); ok {
		const pascals = 1000
		fall := below.Sub(around).Div(interval.Point(pascals))
		left := v.Sub(fall)
		if left.Lo < 0 {
			m.remark("No vacuum that could be read is left at %s.", m.options.Altitude)
			return
		}
		g.Figures = append(g.Figures, m.pressureLike("checks.vacuum", "vacuum at "+m.options.Altitude, left,
			"the printed vacuum less what the air pressure falls: the manifold's own pressure stays (common practice)"))
	}
}

// pressureLike is a derived pressure, given in kilopascals, in the unit of a
// print or, where there is none, in pounds per square inch.
func (m *maker) pressureLike(path, name string, kilopascals interval.Interval, by string) Figure {
	unit := poundPerSquareInch
	if r, ok := m.engine.Figure(path).Reading(); ok {
		unit = r.Unit
	}
	if m.options.Units == figure.Metric {
		unit = kilopascal
	}
	f := derivedFigure(name, "", kilopascals.Div(unit.Interval(rational(1), rational(1))), unit.Symbol(), by)
	return f
}
