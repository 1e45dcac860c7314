package schema

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"sync"

	"fourmarks.example/schema/figure"
)

// shape says how the value of a key is decoded.
type shape int

const (
	wordShape     shape = iota // Word
	wordListShape              // []Word
	figureShape                // *Figure
	figuresShape               // []*Figure: one print, or a list of them
	sectionShape               // *T, T a section
	groupShape                 // Group[*T], T a section
	tableShape                 // Group[*Figure]
	acceptedShape              // Accepted
	changeShape                // the place of a variant's changes
)

// field is one key of a section: where it goes and what it takes.
type field struct {
	key     string
	index   int // of the struct's field; −1 for an entry of a group
	shape   shape
	kind    figure.Kind
	elem    *plan
	enum    []string
	numeric bool // a figure that the schema admits as a bare number
	plain   bool // a word of which the schema asks no more than to be one, or one of the list
}

// plan is how one section type is decoded, worked out once from its tags.
type plan struct {
	typ      reflect.Type
	section  string // name of its definition in the JSON Schema
	fields   []field
	byKey    map[string]int
	required []string
	sourced  bool // `from:` names the source of what is below
}

// plans holds the plan of every section type, by type.
var plans = sync.OnceValue(func() map[reflect.Type]*plan {
	all := map[reflect.Type]*plan{}
	makePlan(all, reflect.TypeFor[Engine]())
	makePlan(all, reflect.TypeFor[Source]())
	makePlan(all, reflect.TypeFor[Readings]())
	makePlan(all, reflect.TypeFor[Contribution]())
	return all
})

var capital = regexp.MustCompile(`([a-z])([A-Z])`)

// sectionName turns a type's name into that of its schema definition: EventSet, event_set.
func sectionName(t reflect.Type) string {
	return strings.ToLower(capital.ReplaceAllString(t.Name(), "${1}_$2"))
}

func makePlan(all map[reflect.Type]*plan, t reflect.Type) *plan {
	if p, ok := all[t]; ok {
		return p
	}
	p := &plan{typ: t, section: sectionName(t), byKey: map[string]int{}}
	all[t] = p
	def := readContract().sections[p.section]
	p.required = def.Required
	for i := range t.NumField() {
		f := t.Field(i)
		key := f.Tag.Get("key")
		if key == "" {
			continue
		}
		fl := field{key: key, index: i, enum: def.Properties[key].Enum}
		if name := f.Tag.Get("kind"); name != "" {
			kind, ok := figureKinds[name]
			if !ok {
				panic(fmt.Sprintf("%s.%s: no kind of figure is called %q", t.Name(), f.Name, name))
			}
			fl.kind, fl.numeric = kind, slices.Contains(readContract().sections[name].Types, "number")
		}
		fl.shape, fl.elem = shapeOf(all, f.Type)
		fl.plain = fl.shape == wordShape && def.Properties[key].Pattern == "" && def.Properties[key].Const == nil && len(def.Required) == 0
		p.byKey[key] = len(p.fields)
		p.fields = append(p.fields, fl)
	}
	_, fromIsWord := p.byKey["from"]
	_, fromKnown := def.Properties["from"]
	p.sourced = fromKnown && !fromIsWord
	return p
}

func shapeOf(all map[reflect.Type]*plan, t reflect.Type) (shape, *plan) {
	switch t {
	case reflect.TypeFor[Word]():
		return wordShape, nil
	case reflect.TypeFor[[]Word]():
		return wordListShape, nil
	case reflect.TypeFor[*Figure]():
		return figureShape, nil
	case reflect.TypeFor[[]*Figure]():
		return figuresShape, nil
	case reflect.TypeFor[Group[*Figure]]():
		return tableShape, nil
	case reflect.TypeFor[Accepted]():
		return acceptedShape, nil
	case reflect.TypeFor[Place]():
		return changeShape, nil
	}
	if t.Kind() == reflect.Slice { // Group[*T]
		value, _ := t.Elem().FieldByName("Value")
		return groupShape, makePlan(all, value.Type.Elem())
	}
	return sectionShape, makePlan(all, t.Elem())
}

// figureKinds maps the schema's names of figures to the reader's.
var figureKinds = map[string]figure.Kind{
	"count": figure.Count, "counts": figure.Counts, "ratio": figure.Ratio, "speed_ratio": figure.SpeedRatio, "angle": figure.Angle, "angles": figure.Angles,
	"position": figure.Position, "rim_position": figure.RimPosition,
	"dimension": figure.NominalLength, "length": figure.ReadLength, "volume": figure.Volume,
	"pressure": figure.Pressure, "vacuum": figure.Vacuum, "power": figure.Power, "taxable_horsepower": figure.TaxHorsepower,
	"speed": figure.Speed, "linear_speed": figure.LinearSpeed, "temperature": figure.Temperature, "temperature_rise": figure.TemperatureRise, "movement": figure.Movement, "altitude": figure.Altitude,
	"pitch": figure.Pitch, "coefficient": figure.Expansion, "firing_order": figure.FiringOrder, "direction": figure.Direction,
	"text": figure.Text,
}
