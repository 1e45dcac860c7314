package notation

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"fourmarks.example/convert"
	"fourmarks.example/schema/figure"
)

// Figure is a print to be converted: the first of its readings.
type Figure struct {
	figure.Printed
	reading figure.Reading
}

// kind is a kind of figure that converts, by the name that the schema of engine
// files has for it.
type kind struct {
	name string
	kind figure.Kind
	// guessed says that a print is tried as one. The others read prints that an
	// earlier one reads too.
	guessed bool
}

// kinds are in the order in which a print is tried as each.
var kinds = []kind{
	{"position", figure.Position, true},
	{"temperature", figure.Temperature, true}, // before angles, which read °C as degrees, circa
	{"movement", figure.Movement, true},
	{"angle", figure.Angle, true},
	{"length", figure.ReadLength, true},
	{"volume", figure.Volume, true},
	{"pressure", figure.Pressure, true},
	{"power", figure.Power, true},
	{"linear_speed", figure.LinearSpeed, true},
	{"speed", figure.Speed, true},
	{"pitch", figure.Pitch, true},
	{"coefficient", figure.Expansion, true},
	{"altitude", figure.Altitude, true},
	{"dimension", figure.NominalLength, false},
	{"vacuum", figure.Vacuum, false},
	{"temperature_rise", figure.TemperatureRise, false},
}

// Kinds lists the names that [ReadAs] takes.
func Kinds() []string {
	names := make([]string, len(kinds))
	for i, k := range kinds {
		names[i] = k.name
	}
	return names
}

// Unguessed lists the names of the kinds that [Read] never takes a print for.
func Unguessed() []string {
	var names []string
	for _, k := range kinds {
		if !k.guessed {
			names = append(names, k.name)
		}
	}
	return names
}

// KindName is the figure's kind, by the name that [ReadAs] takes.
func (f Figure) KindName() string {
	for _, k := range kinds {
		if k.kind == f.Kind {
			return k.name
		}
	}
	return "rim_position"
}

// Read reads a print as the first kind of figure that it fits. A number alone
// is an angle in degrees.
func Read(print string) (Figure, error) {
	errs := map[figure.Kind]*figure.Error{}
	var best *figure.Error
	for _, k := range kinds {
		if !k.guessed || k.kind == figure.Speed && !strings.ContainsFunc(print, unicode.IsLetter) {
			continue
		}
		p, err := figure.Read(k.kind, print)
		if err == nil && !isPlainZero(p) {
			return Of(p)
		}
		var e *figure.Error
		if !errors.As(err, &e) {
			continue
		}
		errs[k.kind] = e
		if best == nil || tellsMore(e, best) {
			best = e
		}
	}
	// The reader of positions knows every word that the reader of angles does.
	// Where it fails earlier, it has read the whole print and found it wanting.
	if position, angle := errs[figure.Position], errs[figure.Angle]; position != nil && angle != nil && position.Offset < angle.Offset {
		return Figure{}, position
	}
	return Figure{}, best
}

// isPlainZero reports whether a print is a 0 that names no dead centre: it is
// no movement rather than a position.
func isPlainZero(p figure.Printed) bool {
	return p.Kind == figure.Position && len(p.Readings) > 0 && p.Readings[0].Datum == figure.NoDatum && p.Readings[0].Form != figure.Word
}

// tellsMore reports whether an error says more of what to do than another: it
// has a hint, or comes later in the text.
func tellsMore(e, than *figure.Error) bool {
	if (e.Hint != "") != (than.Hint != "") {
		return e.Hint != ""
	}
	return e.Offset > than.Offset
}

// ReadAs reads a print as the kind of figure of that name, one of [Kinds]. It is
// for prints that more than one kind reads: a dimension is known more closely
// than a length that was read off, a rise of temperature has no zero.
func ReadAs(kind, print string) (Figure, error) {
	for _, k := range kinds {
		if k.name != kind {
			continue
		}
		p, err := figure.Read(k.kind, print)
		if err != nil {
			return Figure{}, err
		}
		return Of(p)
	}
	return Figure{}, fmt.Errorf("%q is no kind of figure that converts; they are %s", kind, strings.Join(Kinds(), ", "))
}

// Of takes a figure that has been read. Absent figures, lists and kinds that are
// printed in one way only are errors.
func Of(p figure.Printed) (Figure, error) {
	known := slices.ContainsFunc(kinds, func(k kind) bool { return k.kind == p.Kind })
	switch {
	case p.Absence != "":
		return Figure{}, fmt.Errorf("%q says that there is no figure, so there is nothing to convert", p.Text)
	case !known && p.Kind != figure.RimPosition || len(p.Readings) == 0:
		return Figure{}, fmt.Errorf("%q is %s, which is written in one way only", p.Text, p.Kind)
	}
	f := Figure{Printed: p, reading: p.Readings[0]}
	switch {
	case f.isPosition() && f.reading.Datum == figure.NoDatum:
		return Figure{}, fmt.Errorf("%q names no dead centre: write TDC or BDC", p.Text)
	case f.isPosition() && f.isAngle() && f.goesRound():
		return Figure{}, fmt.Errorf("%q goes more than once round: a position is counted from a dead centre, up to 360 degrees", p.Text)
	}
	return f, nil
}

// goesRound reports whether an angle is more than a turn.
func (f Figure) goesRound() bool {
	degrees, err := convert.Exchange(f.reading.Value, f.reading.Unit, convert.Degree)
	return err != nil || degrees.Cmp(ratio(360, 1)) > 0
}

// isPosition reports whether the figure is counted from a dead centre.
func (f Figure) isPosition() bool {
	return f.Kind == figure.Position || f.Kind == figure.RimPosition
}

// isCrank reports whether the figure is a crank position, movement or angle.
func (f Figure) isCrank() bool {
	return f.isPosition() || f.Kind == figure.Movement || f.Kind == figure.Angle
}

// isAngle reports whether the figure is printed in units of angle.
func (f Figure) isAngle() bool { return f.reading.Unit.Dimension() == convert.Angle }
