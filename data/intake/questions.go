package intake

import (
	"slices"
	"strings"

	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// Question asks for one figure or word of an engine.
type Question struct {
	// Section is the part of the engine it belongs to: size, events.running.
	Section string
	// Path names the figure, Title says it in the words of the trade; Help and
	// Example are the format's own.
	Path, Title, Help, Example string
	Choices                    []string
	slot                       slot
}

// askedFor are the parts of an engine that are asked for, in this order: who it is,
// what it is set to, what it is set by.
var askedFor = []string{"layout", "size", "clearances.running", "clearances.checking", "lifts", "events.running", "events.checking", "drives.camshaft", "ignition", "checks"}

// Questions returns what can be asked about an engine that its file does not say
// yet; all of it when e is nil.
func Questions(e *schema.Engine) []Question {
	var all []Question
	for _, part := range askedFor {
		for _, s := range slots() {
			section := strings.Join(s.path[:len(s.path)-1], ".")
			path := strings.Join(s.path, ".")
			if section != part && !(part == "drives.camshaft" && strings.HasPrefix(section, part+".")) || says(e, s.path) {
				continue
			}
			all = append(all, question(s, part, path))
		}
	}
	return all
}

func question(s slot, part, path string) Question {
	q := Question{Section: part, Path: path, Title: strings.Join(s.path, " "), Choices: s.choices, slot: s}
	parent, _ := schema.EngineSlot(s.path[:len(s.path)-1])
	if about, ok := schema.Describe(parent.Section, s.path[len(s.path)-1]); ok {
		q.Title, q.Help = about.Title, about.Description
		if len(about.Examples) > 0 {
			q.Example, _ = about.Examples[0].(string)
		}
	}
	if len(s.path) > 3 { // a wheel of a train: which one is part of the question
		q.Title += " of the " + s.path[len(s.path)-2] + " wheel"
	}
	if q.Example == "" && s.figure {
		q.Example = s.kind.Example()
	}
	return q
}

// says reports whether the engine's file has something at a path.
func says(e *schema.Engine, path text.Path) bool {
	return e != nil && e.File() != nil && e.File().Doc.Root.At(path) != nil
}

// Check reports why an answer cannot stand in the file; nil when it can.
func (q Question) Check(answer string) error { return q.slot.reads(answer) }

// Answers are what was answered of one engine from one source.
type Answers struct {
	Engine, By, On, Note string
	// From is the source, with the place in it.
	From string
	// Source is the record of the source where the dataset has none: its keys in
	// order, and what they say.
	Source [][2]string
	// Title and Made are for an engine that is new.
	Title, Made string
	given       tree
}

// Give adds an answer.
func (a *Answers) Give(q Question, answer string) { a.given.put(q.slot.path, answer) }

// Contribution writes the answers as a contribution file.
func (a *Answers) Contribution() []byte {
	var head, figures tree
	head.put(text.Path{"contribution"}, "1")
	for _, w := range [][2]string{{"engine", a.Engine}, {"by", a.By}, {"on", a.On}, {"note", a.Note}} {
		if w[1] != "" {
			head.put(text.Path{w[0]}, w[1])
		}
	}
	id, _, _ := strings.Cut(a.From, " ")
	for _, w := range a.Source {
		if w[1] != "" {
			head.put(text.Path{"sources", id, w[0]}, w[1])
		}
	}
	head.put(text.Path{"from"}, a.From)
	for _, w := range [][2]string{{titleColumn, a.Title}, {madeColumn, a.Made}} {
		if w[1] != "" {
			figures.put(text.Path{w[0]}, w[1])
		}
	}
	var b strings.Builder
	head.write(&b, 0)
	b.WriteString("figures:\n")
	figures.write(&b, 2)
	a.given.write(&b, 2)
	return []byte(b.String())
}

// IsEngineID reports whether a text is an id as engines have it: maker/model.
func IsEngineID(id string) bool {
	maker, model, ok := strings.Cut(id, "/")
	return ok && maker != "" && model != "" && slug(maker) == maker && slug(model) == model
}

// Grades are the grades that a source can have.
func Grades() []string {
	s, _ := schema.SourceSlot(text.Path{"grade"})
	return slices.Clone(s.Choices)
}
