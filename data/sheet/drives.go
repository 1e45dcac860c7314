package sheet

import (
	"math/big"

	"fourmarks.example/convert"
	"fourmarks.example/convert/gear"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
)

// Drive is how one thing is driven from the crankshaft.
type Drive struct {
	Name    string   `json:"name"`
	Train   Word     `json:"train"`
	Words   []Word   `json:"words"`
	Figures []Figure `json:"figures"`
	Wheels  []Wheel  `json:"wheels"`
	Slides  *Slides  `json:"sliding_home"`
}

// Wheel is one wheel of a train.
type Wheel struct {
	Name string `json:"name"`
	Hand string `json:"hand"`
	// Teeth, which way it turns, and the crank degrees that one of its teeth is
	// at the mesh that drives it; nil where nothing tells.
	Teeth *Figure `json:"teeth"`
	Turns *Figure `json:"turns"`
	Step  *Figure `json:"step"`
}

// Slides is what sliding a helical wheel home does.
type Slides struct {
	Words   []Word   `json:"words"`
	Figures []Figure `json:"figures"`
}

func (m *maker) drives() {
	for _, d := range m.engine.Drives {
		m.sheet.Drives = append(m.sheet.Drives, m.drive(d))
	}
}

func (m *maker) drive(d schema.Named[*schema.Drive]) Drive {
	path := "drives." + d.Name + "."
	out := Drive{Name: d.Name}
	if d.Value.Train.Given() {
		out.Train = Word{Name: "train", Text: d.Value.Train.Text, Mark: m.marks.of(d.Value.From)}
	}
	out.Words = m.word(out.Words, "marks meet", d.Value.Meet, d.Value.From)
	for _, f := range []struct{ key, name string }{
		{"speed", "speed to crankshaft"}, {"rotation", "turns"}, {"tooth_step", "one tooth"},
		{"marks_meet_after", "meet again after turns"}, {"coupling.rings", "coupling rings"}, {"coupling.step", "finest coupling step"},
		{"coupling.crank_step", "at the crankshaft"}, {"teeth.backlash", "backlash"},
	} {
		before := len(out.Figures)
		out.Figures = m.figure(out.Figures, path+f.key, f.name)
		if f.key == "tooth_step" && len(out.Figures) > before && rules.DrivesCamshaft(d) {
			m.step(&out.Figures[before])
		}
	}
	train, err := rules.Train(m.engine, d)
	turning := train
	if err != nil {
		turning, _ = rules.Motion(m.engine, d)
	}
	for _, shaft := range rules.Shafts(d.Value) {
		for _, name := range shaft {
			out.Wheels = append(out.Wheels, m.wheel(d, name, train, turning))
		}
	}
	out.Slides = m.slides(d)
	return out
}

// step converts the crank degrees of a tooth to distances on the parts.
func (m *maker) step(f *Figure) {
	if c := m.engine.Figure(f.Path).First(); c != nil {
		f.Conversions = m.converted(c.Printed)
		return
	}
	f.Conversions = m.spanned((f.Interval.Low + f.Interval.High) / 2)
}

// wheel fills one wheel; train is nil where teeth are missing, turning where the
// train is not described.
func (m *maker) wheel(d schema.Named[*schema.Drive], name string, train, turning *gear.Train) Wheel {
	path := "drives." + d.Name + ".wheels." + name + "."
	out := Wheel{Name: name}
	if w, ok := d.Value.Wheels.Get(name); ok {
		out.Hand = w.Hand.Text
	}
	if f, ok := m.at(path+"teeth", "teeth"); ok {
		out.Teeth = &f
	}
	if f, ok := m.at(path+"rotation", "turns"); ok {
		out.Turns = &f
	} else if turning != nil {
		if t, err := turning.Turning(name); err == nil && t.Sense != gear.NotDetermined {
			out.Turns = &Figure{Name: "turns", Origin: Derived, Standing: string(Derived), Text: t.String(), By: "the crankshaft's direction, reversed at each external mesh"}
		}
	}
	if train != nil {
		if step, err := train.ToothStep(name); err == nil {
			f := exactFigure("one tooth", step, "°", "360° of the wheel over its teeth, at the speed of the crankshaft")
			f.Text = convert.Decimal(step, nil, nil) + "°"
			out.Step = &f
		}
	}
	return out
}

func (m *maker) slides(d schema.Named[*schema.Drive]) *Slides {
	s := d.Value.SlidingHome
	if s == nil {
		return nil
	}
	path := "drives." + d.Name + ".sliding_home."
	from := fromOr(s.From, d.Value.From)
	out := &Slides{}
	out.Words = m.word(out.Words, "wheel", s.Wheel, from)
	out.Words = m.word(out.Words, "slides", s.Slides, from)
	out.Words = m.word(out.Words, "turns", s.Turns, from)
	out.Words = m.word(out.Words, "note", s.Note, from)
	for _, key := range []string{"travel", "by", "direction"} {
		out.Figures = m.figure(out.Figures, path+key, words(key))
	}
	if teeth, ok := rules.SlidHome(m.engine, d); ok {
		out.Figures = append(out.Figures, derivedFigure("teeth by travel and helix", "", teeth, "teeth", "travel × sin helix / (π × normal module)"))
	}
	if t, ok := rules.SlidHomeTurning(d); ok && s.Direction.First() == nil {
		out.Figures = append(out.Figures, Figure{Name: "direction", Origin: Derived, Standing: string(Derived), Text: t.String(), By: "the hands of the helices and the way the wheel slides"})
	}
	return out
}

// rational is a float as the exact rational that it is.
func rational(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }
