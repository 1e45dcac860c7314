package serve

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/text"
)

// completion lists what can be written at a position.
func (s *session) completion(_ context.Context, d *document, p positionParams) (any, error) {
	items := []completionItem{}
	if d.lost != "" || !d.isOurs() {
		return items, nil
	}
	c, ok := d.caretAt(d.offset(p.Position))
	if !ok {
		return items, nil
	}
	w := &writer{session: s, document: d, caret: c, items: items}
	if c.key {
		w.keys()
	} else {
		w.values()
	}
	return w.items, nil
}

// writer gathers what can be written at a caret.
type writer struct {
	*session
	*document
	caret
	items []completionItem
}

// suggestion is one thing that can be written.
type suggestion struct {
	text   string
	kind   completionKind
	detail string
	about  schema.Property
	// from is where in the token it begins: what stands before it stays.
	from int
	// before is written in front of it, and not shown.
	before string
	// opens says that keys of its own follow below.
	opens bool
}

func (w *writer) suggest(g suggestion) {
	item := completionItem{Label: g.text, Kind: g.kind, Detail: g.detail, SortText: fmt.Sprintf("%04d", len(w.items))}
	if g.about.Description != "" {
		c := newCard(w.editor.TextDocument.Completion.CompletionItem.DocumentationFormat)
		property(c, g.about)
		m := c.markup()
		item.Documentation = &m
	}
	written := g.before + w.inQuotes(g)
	if w.quoted {
		item.FilterText = written
	}
	switch {
	case w.unspaced:
		written = " " + written
	case w.key && !w.coloned && g.opens:
		written += ":"
	case w.key && !w.coloned:
		written += ": "
	}
	item.TextEdit = textEdit{Range: w.span(w.token.Start+g.from, w.token.End), NewText: written}
	w.items = append(w.items, item)
}

// inQuotes is the text of a suggestion with the quotes that it needs.
func (w *writer) inQuotes(g suggestion) string {
	root := w.file().Doc.Root
	switch {
	case w.quoted:
		quote := string(w.text[w.token.Start])
		if g.from > 0 {
			return g.text + quote
		}
		return quote + g.text + quote
	case w.key && root != nil && root.Flow: // JSON
		return `"` + g.text + `"`
	}
	return g.text
}

// keys suggests the keys of the map that the caret is in, but for those there.
func (w *writer) keys() {
	slot, ok := w.slot(w.path)
	switch {
	case !ok:
	case slot.Named:
		w.names(slot)
	default:
		for _, key := range slot.Keys {
			if w.isThere(key) {
				continue
			}
			about, _ := schema.Describe(slot.Section, key)
			below, _ := w.slot(append(slices.Clone(w.path), key))
			w.suggest(suggestion{text: key, kind: kindProperty, detail: about.Title, about: about, opens: below.Named || len(below.Keys) > 0 && !below.Figure})
		}
	}
}

// isThere reports whether the map has a key already.
func (w *writer) isThere(key string) bool { return w.within.Get(key) != nil }

// names suggests keys that the file chooses: ids of sources, places and rules of
// acceptances, and names that the file, or custom, has for such things.
func (w *writer) names(slot schema.Slot) {
	path := w.path
	if slot.Cites {
		w.citations()
		return
	}
	if path[0] == "accepted" {
		w.acceptances()
		return
	}
	e, within := w.engineAt(path)
	var names []string
	if e.Variant != "" { // a change is of something that the base has
		names = keysAt(w.engine().File().Doc.Root.At(within))
	}
	section, last := within[0], within[len(within)-1]
	switch {
	case section == "clearances":
		names = append(names, "running", "checking")
	case section == "events":
		names = append(names, namesOf(e.Clearances)...)
	case section == "cams":
		names = append(names, "inlet", "exhaust")
	case last == "drives":
		names = append(names, "camshaft", "magneto", "distributor")
	case last == "wheels":
		if drive, ok := e.Drives.Get(within[1]); ok {
			names = append(names, wheelsIn(drive.Train.Text)...)
		}
	case last == "marks":
		names = append(names, "flywheel")
	}
	for i, name := range names {
		if !w.isThere(name) && !slices.Contains(names[:i], name) {
			w.suggest(suggestion{text: name, kind: kindReference, opens: true})
		}
	}
}

func keysAt(n *text.Node) []string {
	if n == nil {
		return nil
	}
	var keys []string
	for _, e := range n.Entries {
		keys = append(keys, e.Key.Text)
	}
	return keys
}

func namesOf[T any](g schema.Group[T]) []string {
	var names []string
	for _, n := range g {
		names = append(names, n.Name)
	}
	return names
}

// acceptances suggests the places of findings, and under a place the rules.
func (w *writer) acceptances() {
	if len(w.path) == 2 {
		for _, r := range w.book {
			if raisesAcceptable(r) && !w.isThere(r.Name) {
				w.suggest(suggestion{text: r.Name, kind: kindReference, detail: r.Title, about: schema.Property{Title: r.Title, Description: r.Checks}})
			}
		}
		return
	}
	for _, path := range w.places() {
		if !w.isThere(path) {
			w.suggest(suggestion{text: path, kind: kindReference, opens: true})
		}
	}
}

// places lists the figures of the engine and its variants, each section before
// the figures in it.
func (d *document) places() []string {
	var all []string
	seen := map[string]bool{}
	for _, e := range d.engine().All() {
		for _, f := range e.Figures() {
			parts := strings.Split(f.Path, ".")
			for i := range parts {
				if path := strings.Join(parts[:i+1], "."); !seen[path] {
					seen[path] = true
					all = append(all, path)
				}
			}
		}
	}
	return all
}

// values suggests values for the key that the caret is behind.
func (w *writer) values() {
	slot, ok := w.slot(w.path)
	switch {
	case !ok:
	case slot.Figure:
		w.prints(slot.Kind)
	case slot.Cites:
		if !strings.Contains(strings.TrimLeft(w.typed, `"'`), " ") {
			w.citations()
		}
	case len(slot.Choices) > 0:
		for _, choice := range slot.Choices {
			w.suggest(suggestion{text: choice, kind: kindEnumMember})
		}
	case w.place.Kind == lint.EngineFile:
		w.references()
	}
}

// absences are the words for a figure that is not there.
var absences = []struct {
	word    figure.Absence
	meaning string
}{
	{figure.Unknown, "looked for and not found"},
	{figure.NotGiven, "the source does not say"},
	{figure.None, "this engine has no such thing"},
	{figure.Illegible, "printed, and cannot be read in full"},
}

// prints suggests units behind a number, and words where there is none.
func (w *writer) prints(kind figure.Kind) {
	if from, ok := behindNumber(w.typed); ok {
		number, before := strings.TrimLeft(w.typed[:from], `"'`), ""
		if from == len(w.typed) && !strings.HasSuffix(number, " ") {
			before = " "
		}
		for _, unit := range unitsOf(kind) {
			if _, err := figure.Read(kind, number+before+unit); err == nil {
				w.suggest(suggestion{text: unit, kind: kindUnit, from: from, before: before})
			}
		}
		return
	}
	for _, print := range wordsOf(kind) {
		w.suggest(suggestion{text: print, kind: kindValue})
	}
	for _, a := range absences {
		w.suggest(suggestion{text: string(a.word), kind: kindEnumMember, detail: a.meaning})
	}
	if w.path[0] == "variants" {
		w.suggest(suggestion{text: "removed", kind: kindEnumMember, detail: "the variant has not what the base has"})
	}
}

// references suggests what a word may name: a set of clearances, a drive, a wheel.
func (w *writer) references() {
	e, path := w.engineAt(w.path)
	var names []string
	from := 0
	switch section, key := path[0], path[len(path)-1]; {
	case section == "events" && key == "read_at":
		for _, name := range namesOf(e.Clearances) {
			names = append(names, name+clearanceWord)
		}
		names = append(names, string(figure.NotGiven))
	case section == "marks" && key == "clearance":
		names = namesOf(e.Clearances)
	case section == "ignition" && key == "drive":
		names = namesOf(e.Drives)
	case section == "drives" && len(path) > 2 && (key == "train" || key == "wheel" || key == "turns"):
		if drive, ok := e.Drives.Get(path[1]); ok {
			names = append(namesOf(drive.Wheels), wheelsIn(drive.Train.Text)...)
		}
		if key == "train" {
			from = strings.LastIndexAny(w.typed, ">+") + 1
			from += len(w.typed[from:]) - len(strings.TrimLeft(w.typed[from:], " "))
		}
	}
	slices.Sort(names)
	for _, name := range slices.Compact(names) {
		if from == 0 || !slices.Contains(wheelsIn(w.typed), name) {
			w.suggest(suggestion{text: name, kind: kindReference, from: from})
		}
	}
}

// citations suggests the sources that can be cited, those of the file first.
func (w *writer) citations() {
	lookup := w.lookup(w.document, w.engine())
	for _, id := range w.citable(w.document) {
		is, ok := lookup(id)
		if !ok || w.key && w.isThere(id) {
			continue
		}
		words := is.Title.Text
		if is.Grade.Given() {
			words += " (" + is.Grade.Text + ")"
		}
		w.suggest(suggestion{text: id, kind: kindReference, detail: words})
	}
}

// citable lists the ids that a document can cite: those of its own records, then
// those of the register.
func (s *session) citable(d *document) []string {
	var ids []string
	if d.place.Kind == lint.EngineFile {
		ids = namesOf(d.engine().Sources)
	}
	for _, in := range s.sources(d) {
		if !slices.Contains(ids, in.ID) {
			ids = append(ids, in.ID)
		}
	}
	return ids
}
