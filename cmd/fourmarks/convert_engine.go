package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/notation"
)

// engineFlags name the engine that supplies dimensions.
type engineFlags struct{ engine, variant, part, data string }

func (f *engineFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&f.engine, "engine", "", "`engine` of the dataset that supplies what no flag gives: an id, or words")
	c.Flags().StringVar(&f.variant, "variant", "", "`name` of the engine's variant; without it, the base")
	c.Flags().StringVar(&f.part, "part", "", "`part` that carries the marks, where the engine has several: flywheel, pulley")
	datasetFlag(c, &f.data)
}

// supply adds to the dimensions those of the engine that are not among them,
// and returns what is to be said of them.
func supply(dims notation.Dimensions, f notation.Figure, s *shown, part string) (remarks []string, err error) {
	e := s.engine
	if _, known := e.Marks.Get(part); part != "" && !known {
		return nil, fmt.Errorf("%s has no marked part %q; it has: %s", e.Name(), part, strings.Join(partNames(e), ", "))
	}
	figures := e.DimensionFigures(part, "camshaft")
	for _, name := range superseded(dims, f) {
		delete(figures, name)
	}
	for _, name := range notation.Names() {
		slot, known := figures[name]
		if !known {
			continue
		}
		claim := slot.First()
		add(dims, name, notation.Dimension{Printed: claim.Printed, From: cited(claim.From)})
		if dims[name].InsteadOf == "" && schema.StandingOf(slot, s.lookup) == schema.Disputed {
			remarks = append(remarks, fmt.Sprintf("Sources differ on the figure %s, and the first of them is used; fourmarks show %s %s lists them.", slot.Path, e.ID.Text, slot.Path))
		}
	}
	for name, w := range e.DimensionWords() {
		d, err := notation.ReadDimension(name, w.Text, cited(w.From))
		if err != nil {
			return nil, err
		}
		add(dims, name, d)
	}
	return remarks, nil
}

// superseded lists the dimensions that the engine need not give, since a flag
// gives another that says what a tooth is.
func superseded(dims notation.Dimensions, f notation.Figure) []notation.Name {
	given := func(name notation.Name) bool { _, ok := dims[name]; return ok }
	switch {
	case given(notation.WheelTeeth):
		return []notation.Name{notation.ToothStep}
	case given(notation.ToothStep):
		return []notation.Name{notation.WheelTeeth}
	case given(notation.RingTeeth) && f.Readings[0].Measure == figure.Teeth:
		return []notation.Name{notation.WheelTeeth, notation.ToothStep}
	}
	return nil
}

// add adds a dimension of the engine, or says of the one that a flag gave what
// it stands in place of.
func add(dims notation.Dimensions, name notation.Name, d notation.Dimension) {
	own, given := dims[name]
	if given {
		own.InsteadOf = d.Text + " (" + d.From + ")"
		d = own
	}
	dims[name] = d
}

// cited names a source.
func cited(from schema.Citation) string {
	if !from.Given() {
		return "no source given"
	}
	return from.String()
}

func partNames(e *schema.Engine) []string {
	var names []string
	for _, m := range e.Marks {
		names = append(names, m.Name)
	}
	return names
}
