package rules

import (
	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// recounted is an angle counted from one datum as an expression counted from
// another: 48 ABDC is 180 + 48 ATDC, 3 BTDC is −3 ATDC.
func recounted(angle relation.Expression, from, to figure.Datum) relation.Expression {
	sameWay := isBefore(from) == isBefore(to)
	switch sameEnd := isTop(from) == isTop(to); {
	case sameEnd && sameWay:
		return angle
	case sameEnd:
		return relation.Difference(relation.Number(0), angle)
	case sameWay:
		return relation.Sum(degrees180, angle)
	}
	return relation.Difference(degrees180, angle)
}

func isTop(d figure.Datum) bool    { return d == figure.BTDC || d == figure.ATDC || d == figure.TDC }
func isBefore(d figure.Datum) bool { return d == figure.BTDC || d == figure.BBDC }

// crankDatum is a datum of a print for package crank; a bare dead centre counts
// after it.
func crankDatum(d figure.Datum) crank.Datum {
	switch d {
	case figure.BTDC:
		return crank.BTDC
	case figure.BBDC:
		return crank.BBDC
	case figure.ABDC, figure.BDC:
		return crank.ABDC
	}
	return crank.ATDC
}

// relateNotations ties what one print says in degrees, piston travel, rim
// distance and teeth to one another and to the angle of the position.
func relateNotations(n *relation.Network, where, path, title string, datum figure.Datum) {
	angle := n.Angle(path, title, datum)
	seen := map[figure.Measure]bool{}
	for c := range n.Engine.Figure(path).Standing() {
		for _, r := range c.Printed.Readings {
			if seen[r.Measure] || r.Measure == figure.CrankAngle || r.Measure == figure.NoMeasure {
				continue
			}
			seen[r.Measure] = true
			distance := n.Distance(path, title+", "+r.Measure.String(), r.Measure)
			from := recounted(angle, datum, r.Datum)
			switch r.Measure {
			case figure.PistonTravel:
				n.Equal(where, distance, pistonTravel(n, from, crankDatum(r.Datum)))
			case figure.Rim:
				if part, ok := markedRim(n.Engine); ok {
					n.Equal(where, distance, rimDistance(n, part, from, r.Straight))
				}
			case figure.Teeth:
				if part, ok := markedRing(n.Engine); ok {
					n.Equal(where, distance, ringTeeth(n, part, from))
				}
			}
		}
	}
}

// pistonTravel is the travel of the piston from the dead centre that an angle
// is counted from. Where the rod is not given, any rod that an engine of the
// stroke may have is allowed.
func pistonTravel(n *relation.Network, angle relation.Expression, datum crank.Datum) relation.Expression {
	stroke := n.Quantity("size.stroke", "stroke", figure.NominalLength)
	rod := n.Quantity("size.rod_centres", "rod centres", figure.NominalLength)
	offset, _ := intervalOf(n.Engine.Figure("size.cylinder_offset"))
	if offset.IsEmpty() {
		offset = interval.Point(0)
	}
	linkage := func(args []interval.Interval) crank.LinkageInterval {
		l := crank.LinkageInterval{Stroke: args[1], Rod: args[2], Offset: offset}
		if !l.Rod.IsFinite() {
			l.Rod = crank.UnknownRod(l.Stroke)
		}
		return l
	}
	orAnything := func(is interval.Interval, err error) interval.Interval {
		if err != nil {
			return interval.Whole()
		}
		return is
	}
	return relation.Function("piston travel",
		func(args []interval.Interval) interval.Interval {
			return orAnything(linkage(args).Travel(args[0], datum))
		},
		func(i int, want interval.Interval, args []interval.Interval) interval.Interval {
			if i != 0 || !want.IsFinite() {
				return interval.Whole()
			}
			return orAnything(linkage(args).Angle(want, datum))
		}, angle, stroke, rod)
}

// rimDistance is the distance on a marked part's rim that an angle spans:
// along the rim, or straight across from mark to mark.
func rimDistance(n *relation.Network, part string, angle relation.Expression, straight bool) relation.Expression {
	diameter := n.Quantity("marks."+part+".rim_diameter", "rim diameter", figure.NominalLength)
	if straight {
		return relation.Product(diameter, relation.Sin(relation.Quotient(angle, relation.Number(2))))
	}
	return relation.Quotient(relation.Product(relation.Pi(), diameter, angle), relation.Number(360))
}

// ringTeeth is the number of ring-gear teeth that an angle spans.
func ringTeeth(n *relation.Network, part string, angle relation.Expression) relation.Expression {
	ring := n.Quantity("marks."+part+".ring_teeth", "ring teeth", figure.Count)
	return relation.Quotient(relation.Product(ring, angle), relation.Number(360))
}

// markedRim is the part whose rim a distance is measured along when the print
// does not say: the only one with a diameter, or the flywheel.
func markedRim(e *schema.Engine) (string, bool) {
	return onlyPart(e, func(m *schema.Marked) bool { return m.RimDiameter.First() != nil && m.Shaft.Text != "camshaft" })
}

// markedRing is the part whose ring gear is counted.
func markedRing(e *schema.Engine) (string, bool) {
	return onlyPart(e, func(m *schema.Marked) bool { return m.RingTeeth.First() != nil })
}

func onlyPart(e *schema.Engine, has func(*schema.Marked) bool) (string, bool) {
	var names []string
	for _, m := range e.Marks {
		if has(m.Value) {
			names = append(names, m.Name)
		}
	}
	if len(names) == 1 {
		return names[0], true
	}
	for _, name := range names {
		if name == "flywheel" {
			return name, true
		}
	}
	return "", false
}
