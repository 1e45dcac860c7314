package figure

import "fourmarks.example/convert"

// Kind says what a slot of an engine file takes. It fixes the quantity, the
// unit of a bare number, and how closely a print is known.
type Kind uint8

// The kinds of figure.
const (
	Text            Kind = iota // a word or a sentence, not read further
	Count                       // 28 · 28 teeth · ½ tooth; exact
	Counts                      // 19, 20
	Ratio                       // 5.2 · 5.2:1 · 16 to 1 · 1/2
	SpeedRatio                  // 1/2 · 1.5: turns of one shaft for one of another; exact, as teeth make it
	Angle                       // 231 · 52½ · 52°30'; a minus is kept, for a negative overlap
	Angles                      // 0, 240, 120
	Position                    // 52 ABDC · 10 mm BTDC piston · 8 teeth ATDC
	RimPosition                 // 0.43 in before TDC, along the rim without saying so
	Movement                    // 12.86 · 23 mm rim · 1 tooth: how far, from no dead centre
	NominalLength               // 2 15/16 in · 68 mm
	ReadLength                  // 4 thou · .004" · 0.018 in (0.45 mm)
	Volume                      // 2998 cc
	Pressure                    // 80 psi
	Vacuum                      // 20 inHg: how far below the atmosphere; a minus says the same
	Power                       // 50 bhp
	TaxHorsepower               // 20.7
	Speed                       // 1800 · 1,800 rpm
	LinearSpeed                 // 1000 ft/min
	Temperature                 // 60 °F
	TemperatureRise             // 120 °F of rise
	Altitude                    // 5,000 ft · sea level
	Pitch                       // 10 DP · module 2.5
	Expansion                   // 11.7e-6 per °C
	FiringOrder                 // 1-4-2-6-3-5
	Direction                   // clockwise seen from timing end
	kinds
)

// form is how a kind's text is put together.
type form uint8

const (
	free form = iota
	quantity
	list
	order
	direction
)

// class is how closely a kind's print is known where it does not say so itself.
type class uint8

const (
	read class = iota
	counted
	nominal
)

// spec is what a kind is.
type spec struct {
	title, example string
	form           form
	class          class
	of             []convert.Dimension // the first wins a sign that two share, the last a bare number
	bare           bool                // a number needs no unit
	grouped        bool                // 1,200 is twelve hundred
	signed         bool                // a minus is meant
	zero           convert.Unit        // of nil and other words for zero; One where they are no figure
	event          bool                // a crank position or movement: has a measure
	from           need                // of a dead centre
	element        Kind                // of a list
}

// need says whether something must, may or must not be printed.
type need uint8

const (
	absent need = iota
	required
)

var specs = [kinds]spec{
	Text:            {title: "a word or a sentence", example: "E I E I I E I E", form: free},
	Count:           {title: "a whole number", example: "28", form: quantity, class: counted, of: dims(convert.Number), bare: true, grouped: true},
	Counts:          {title: "a list of whole numbers", example: "19, 20", form: list, element: Count},
	Ratio:           {title: "a ratio", example: "5.2:1", form: quantity, of: dims(convert.Number), bare: true},
	SpeedRatio:      {title: "a ratio of speeds", example: "1/2 or 1.5", form: quantity, of: dims(convert.Number), bare: true},
	Angle:           {title: "an angle in degrees", example: "52½", form: quantity, of: dims(convert.Angle), bare: true, signed: true, zero: convert.Degree},
	Angles:          {title: "a list of angles in degrees", example: "0, 240, 120", form: list, element: Angle},
	Position:        {title: "a crank position from a dead centre", example: "52 ABDC, 10 mm BTDC piston or 1 3/8 in ABDC rim", form: quantity, of: dims(convert.Length, convert.Angle), bare: true, event: true, from: required, zero: convert.Degree},
	RimPosition:     {title: "a distance along the rim from a dead centre", example: "0.43 in before TDC", form: quantity, of: dims(convert.Length), event: true, from: required, zero: convert.Millimetre},
	Movement:        {title: "a crank movement", example: "12.86°, 23 mm rim or 1 tooth", form: quantity, of: dims(convert.Length, convert.Angle), bare: true, event: true, zero: convert.Degree},
	NominalLength:   {title: "a length with its unit", example: "2 15/16 in or 68 mm", form: quantity, class: nominal, of: dims(convert.Length)},
	ReadLength:      {title: "a length with its unit", example: "4 thou, .004 in or 0.10 mm", form: quantity, of: dims(convert.Length), zero: convert.Thou},
	Volume:          {title: "a volume with its unit", example: "2998 cc", form: quantity, of: dims(convert.Volume), grouped: true},
	Pressure:        {title: "a pressure with its unit", example: "80 psi", form: quantity, of: dims(convert.Pressure)},
	Vacuum:          {title: "a vacuum with its unit", example: "20 inHg", form: quantity, of: dims(convert.Pressure), signed: true},
	Power:           {title: "a power with its unit", example: "50 bhp", form: quantity, of: dims(convert.Power)},
	TaxHorsepower:   {title: "a taxable horsepower", example: "20.7", form: quantity, of: dims(convert.Number), bare: true},
	Speed:           {title: "a speed in revolutions a minute", example: "1800 rpm", form: quantity, of: dims(convert.Speed), bare: true, grouped: true},
	LinearSpeed:     {title: "a speed with its unit", example: "1000 ft/min", form: quantity, of: dims(convert.LinearSpeed), grouped: true},
	Temperature:     {title: "a temperature with its unit", example: "60 °F", form: quantity, of: dims(convert.Temperature), signed: true},
	TemperatureRise: {title: "a rise of temperature with its unit", example: "120 °F", form: quantity, of: dims(convert.TemperatureRise), signed: true},
	Altitude:        {title: "a height with its unit", example: "5,000 ft", form: quantity, of: dims(convert.Length), grouped: true, signed: true, zero: convert.Metre},
	Pitch:           {title: "a pitch of teeth", example: "10 DP or module 2.5", form: quantity, class: nominal, of: dims(convert.Pitch)},
	Expansion:       {title: "a coefficient of expansion", example: "11.7e-6 per °C", form: quantity, of: dims(convert.Expansion)},
	FiringOrder:     {title: "a firing order", example: "1-4-2-6-3-5", form: order},
	Direction:       {title: "a direction of rotation and the end it is seen from", example: "clockwise seen from timing end", form: direction},
}

func dims(d ...convert.Dimension) []convert.Dimension { return d }

func (k Kind) spec() *spec {
	if k >= kinds {
		return &specs[Text]
	}
	return &specs[k]
}

// ofAngle reports whether an angle is among the quantities of the kind.
func (s *spec) ofAngle() bool { return s.of[len(s.of)-1] == convert.Angle }

// String says in plain words what the kind is: "an angle in degrees".
func (k Kind) String() string { return k.spec().title }

// Example is a print of the kind, or several with "or" between them.
func (k Kind) Example() string { return k.spec().example }

// Unit is the working unit of the kind, in which [Reading.Interval] counts: the
// base of its dimension. A position or movement may also be a distance, in
// millimetres, or a number of teeth.
func (k Kind) Unit() convert.Unit {
	s := k.spec()
	switch {
	case s.form == list:
		return s.element.Unit()
	case len(s.of) == 0:
		return convert.One
	}
	return s.of[len(s.of)-1].Base()
}
