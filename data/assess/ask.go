package assess

import (
	"fmt"
	"strings"

	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/text"
)

// Question is something to ask a person who has no file of readings.
type Question struct {
	// Key is what it is called in a file of readings, parts with dots between.
	Key   string
	Title string
	Help  string
	// Choices are the answers there are; empty where anything may be answered.
	Choices []string
	// Several says that several answers may be given, with semicolons between.
	Several bool
	kind    figure.Kind
	marks   bool // it asks how the mark of a wheel stands
}

// Skip is the choice of those who do not know.
const Skip = "(skip)"

// Check says what is wrong with an answer; no answer is a good one.
func (q Question) Check(answer string) error {
	for _, one := range q.split(answer) {
		if q.marks && one != "meet" && !markStands.MatchString(one) {
			return fmt.Errorf("%q is not understood: write meet, 1 tooth late, 2 teeth early", one)
		}
		if _, err := figure.Read(q.kind, one); err != nil {
			return err
		}
	}
	return nil
}

func (q Question) split(answer string) []string {
	if !q.Several {
		answer = strings.ReplaceAll(answer, ";", ",")
	}
	var all []string
	for _, one := range strings.Split(answer, ";") {
		if one = strings.TrimSpace(one); one != "" && one != Skip {
			all = append(all, one)
		}
	}
	return all
}

// Questions lists what to ask of an engine, or of the variant of that name. All
// of it may be skipped but two events and the clearance.
func Questions(base *schema.Engine, variant string) ([]Question, error) {
	e, err := engineOf(base, variant)
	if err != nil {
		return nil, err
	}
	s := &setting{engine: e}
	all := []Question{
		{Key: "read_at", Title: "At which clearance were the events read?", Help: "The clearance that was set while reading, as the engine's figures name it.", Choices: s.readAts()},
		{Key: "clearance.measured_at", Title: "Where was the clearance measured?", Help: "For a clearance other than that, or one felt again below.", Choices: []string{Skip, "valve", "tappet"}},
		{Key: "clearance.inlet", Title: "What was the inlet clearance set to?", Help: "Where it was not the one named.", kind: figure.ReadLength},
		{Key: "clearance.exhaust", Title: "What was the exhaust clearance set to?", Help: "Where it was not the one named.", kind: figure.ReadLength},
		{Key: "clearance.felt_again.inlet", Title: "Felt again after the readings, what was the inlet clearance?", kind: figure.ReadLength},
		{Key: "clearance.felt_again.exhaust", Title: "Felt again after the readings, what was the exhaust clearance?", kind: figure.ReadLength},
		{Key: "read_by", Title: "How was opening and closing told?", Choices: []string{"feel", "feeler", "paper", "dial", Skip}},
		{Key: "approached", Title: "Which way was the engine turned up to the readings?", Help: "After turning too far, go back a quarter turn and come up again.", Choices: []string{"running", "against", Skip}},
		{Key: "uncertainty", Title: "How far may a reading be off, either way?", Help: "Degrees, or a distance on the rim: 1, or 1/8 in rim.", kind: figure.Movement},
		{Key: "backlash", Title: "How far does the crank turn before the camshaft follows?", Help: "Crank degrees.", kind: figure.Angle},
		{Key: "rim_diameter", Title: "What is the diameter of the rim or disc that was used?", Help: "Where distances were read, on another than the engine's own.", kind: figure.NominalLength},
		{Key: "flywheel_bolts", Title: "How many bolts hold the flywheel?", kind: figure.Count},
		{Key: cylinderAsked, Title: "Which cylinder?", Help: "No. 1 when you say nothing.", kind: figure.Count},
	}
	for _, event := range fourEvents {
		all = append(all, Question{Key: eventKey + keyOf(event), Title: "Where does it happen: " + event.String() + "?", Help: "Any notation: 3 BTDC, 1 3/8 in ABDC rim, 7/16 in BTDC piston, 8 teeth ATDC. Several readings with ; between.", Several: true, kind: figure.Position})
	}
	all = append(all,
		Question{Key: "positive_stop.before", Title: "A stop against the piston: where does it stop coming up to top dead centre?", Help: "Tells whether the dead-centre mark is right.", kind: figure.Position},
		Question{Key: "positive_stop.after", Title: "And where on the other side?", kind: figure.Position})
	for _, d := range camDrivesOf(e) {
		for _, m := range d.meshes {
			if m.wheel != "" {
				all = append(all, Question{Key: "wheel_marks." + m.wheel, Title: fmt.Sprintf("How does the mark of the wheel %s stand to that of %s?", m.wheel, m.driver), Help: "meet, or 1 tooth late, 2 teeth early: as the driven wheel runs.", marks: true})
			}
		}
	}
	return append(all,
		Question{Key: onTheRock, Title: "With the ignition at No. 1 and its piston at the top, which cylinder is on the rock?", kind: figure.Count},
		Question{Key: "checks.compression", Title: "Cranking pressures, No. 1 first", Help: "70 psi; 68 psi; and so on.", Several: true, kind: figure.Pressure},
		Question{Key: "checks.vacuum", Title: "Manifold vacuum", kind: figure.Vacuum},
		Question{Key: "checks.altitude", Title: "How high above the sea does the engine stand?", kind: figure.Altitude}), nil
}

// The keys of questions whose answers stand elsewhere in a file.
const (
	cylinderAsked = "cylinder"
	eventKey      = "cylinders."
	onTheRock     = "revolution.on_the_rock"
)

// Compose writes the answers to questions as a file of readings.
func Compose(engine, variant string, asked []Question, answers map[string]string) []byte {
	w := &composer{}
	w.line(0, "readings: 1")
	w.line(0, "engine: "+text.Spell(engine, false))
	if variant != "" {
		w.line(0, "variant: "+text.Spell(variant, false))
	}
	cylinder := strings.TrimSpace(answers[cylinderAsked])
	if cylinder == "" {
		cylinder = "1"
	}
	for _, q := range asked {
		given := q.split(answers[q.Key])
		if len(given) == 0 || q.Key == cylinderAsked {
			continue
		}
		key := q.Key
		if event, ok := strings.CutPrefix(key, eventKey); ok {
			key = eventKey + cylinder + "." + event
		}
		if key == onTheRock {
			w.put("revolution.ignition_at", "1")
		}
		if key == "checks.compression" {
			for i, one := range given {
				w.put(fmt.Sprintf("%s.%d", key, i+1), text.Spell(one, false))
			}
			continue
		}
		w.put(key, spelled(given))
	}
	return []byte(w.b.String())
}

// spelled is one answer, or several as a list.
func spelled(given []string) string {
	if len(given) == 1 {
		return text.Spell(given[0], false)
	}
	all := make([]string, len(given))
	for i, one := range given {
		all[i] = text.Spell(one, true)
	}
	return "[" + strings.Join(all, ", ") + "]"
}

// composer writes keys below one another, those that share their beginning once.
type composer struct {
	b    strings.Builder
	open []string
}

func (w *composer) line(depth int, s string) {
	fmt.Fprintf(&w.b, "%*s%s\n", 2*depth, "", s)
}

func (w *composer) put(path, value string) {
	parts := strings.Split(path, ".")
	above, key := parts[:len(parts)-1], parts[len(parts)-1]
	same := 0
	for same < len(above) && same < len(w.open) && above[same] == w.open[same] {
		same++
	}
	for i := same; i < len(above); i++ {
		w.line(i, text.Spell(above[i], false)+":")
	}
	w.open = above
	w.line(len(above), text.Spell(key, false)+": "+value)
}
