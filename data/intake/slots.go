package intake

import (
	"slices"
	"strings"
	"sync"

	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/text"
)

// slot is a place of the format that a column can fill.
type slot struct {
	path    text.Path
	figure  bool
	kind    figure.Kind
	choices []string
	words   []string // that a header needs: those of its key
	around  []string // those of the sections it stands in
}

// groupNames are the names given to what the file itself would name.
var groupNames = map[string][]string{
	"clearances": {"running", "checking"}, "events": {"running", "checking"},
	"cams": {"inlet", "exhaust"}, "drives": {"camshaft", "magneto"}, "marks": {"flywheel"}, "wheels": {"crankshaft", "camshaft"},
}

// slots lists the places that a header can mean.
var slots = sync.OnceValue(func() []slot {
	var all []slot
	var walk func(path text.Path)
	walk = func(path text.Path) {
		s, ok := schema.EngineSlot(path)
		switch {
		case !ok:
		case s.Figure, len(path) > 0 && len(s.Keys) == 0 && !s.Named:
			if last := path[len(path)-1]; last != "from" && last != "note" {
				all = append(all, slot{path: slices.Clone(path), figure: s.Figure, kind: s.Kind, choices: s.Choices, words: wordsOf(last), around: wordsOf(strings.Join(path[:len(path)-1], " "))})
			}
		case s.Named:
			for _, name := range groupNames[path[len(path)-1]] {
				walk(append(path, name))
			}
		default:
			for _, key := range s.Keys {
				if len(path) > 0 || isSection(key) {
					walk(append(path, key))
				}
			}
		}
	}
	walk(nil)
	return all
})

// isSection reports whether a key at the head of an engine file holds figures
// that can be contributed.
func isSection(key string) bool {
	return slices.Contains([]string{"layout", "size", "clearances", "expansion", "lifts", "events", "cams", "drives", "marks", "ignition", "checks", "setting"}, key)
}

// slotAt returns the place of a path such as size.bore.
func slotAt(path string) (slot, bool) {
	p := text.Path(strings.Split(path, "."))
	if !isSection(p[0]) {
		return slot{}, false
	}
	s, ok := schema.EngineSlot(p)
	if !ok || len(s.Keys) > 0 && !s.Figure || s.Named {
		return slot{}, false
	}
	return slot{path: p, figure: s.Figure, kind: s.Kind, choices: s.Choices}, true
}

// wordsOf splits a text into its words in small letters, singular.
func wordsOf(s string) []string {
	words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r > 0x7f) })
	for i, w := range words {
		if full, ok := shortForms[w]; ok {
			words[i] = full
		}
	}
	words = strings.Fields(strings.Join(words, " "))
	for i := range words {
		if len(words[i]) > 4 && strings.HasSuffix(words[i], "s") && !strings.HasSuffix(words[i], "ss") && words[i] != "opens" && words[i] != "closes" {
			words[i] = strings.TrimSuffix(words[i], "s")
		}
	}
	return words
}

// shortForms are words of headers for those of the format.
var shortForms = map[string]string{
	"ivo": "inlet opens", "ivc": "inlet closes", "evo": "exhaust opens", "evc": "exhaust closes", "io": "inlet opens", "ic": "inlet closes", "eo": "exhaust opens", "ec": "exhaust closes",
	"open": "opens", "opening": "opens", "close": "closes", "closing": "closes", "intake": "inlet", "exh": "exhaust", "in": "", "ex": "exhaust", "capacity": "swept volume", "displacement": "swept volume",
	"rac": "taxable", "hp": "horsepower", "cr": "compression ratio", "cyl": "cylinder", "cyls": "cylinder", "no": "", "of": "", "the": "", "at": "", "timing": "", "valve": "", "tappet": "", "gap": "clearance", "clearances": "clearance", "dia": "diameter",
}
