package schema

import (
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/text"
)

// ReadFile indexes the text of a file. The name is its path within the dataset.
func ReadFile(name string, source []byte) *File {
	return &File{Name: name, Doc: text.Parse(source, text.DefaultLimits())}
}

// usualFigures is how many figures an engine file holds, about.
const usualFigures = 96

// DecodeEngine reads an engine file: its base, and every variant resolved. The
// engine is never nil; what could not be read is missing from it and named in
// the problems, which stand in the order of the file.
func DecodeEngine(f *File) (*Engine, []Problem) {
	d := &decoder{file: f, vouched: make([]bool, f.Doc.Nodes)}
	if f.Doc.Root.Get("variants") != nil {
		d.prints = make(map[*text.Node]reading, usualFigures)
	}
	e := &Engine{file: f, byPath: make(map[string]*Figure, usualFigures), figures: make([]*Figure, 0, usualFigures)}
	if d.readable(f) {
		root := layer{node: f.Doc.Root}
		d.engine = e
		d.section(view{root}, planFor[Engine](), "", reflect.ValueOf(e).Elem())
		for _, v := range e.Variants {
			v.Value.Engine = d.resolve(root, v)
		}
		d.vouchVariants(f.Doc.Root.Get("variants"))
		d.gate(engineGate())
	}
	return e, d.sorted()
}

// DecodeSource reads a source file; see DecodeEngine.
func DecodeSource(f *File) (*Source, []Problem) {
	d := &decoder{file: f, vouched: make([]bool, f.Doc.Nodes)}
	s := &Source{}
	if d.readable(f) {
		d.section(view{{node: f.Doc.Root}}, planFor[Source](), "", reflect.ValueOf(s).Elem())
		d.gate(sourceGate())
	}
	return s, d.sorted()
}

func planFor[T any]() *plan { return plans()[reflect.TypeFor[T]()] }

// layer is a map of the file seen as part of an engine: the base's, or that of
// a variant's change, with the source that holds there.
type layer struct {
	node    *text.Node
	from    Citation
	changed bool
}

// view is the layers that make up one section, base first; a later one wins.
type view []layer

// top returns the layer that decides a key, and the key's entry there.
func (v view) top(key string) (layer, *text.Entry) {
	for i := len(v) - 1; i >= 0; i-- {
		if e := v[i].node.Entry(key); e != nil {
			return v[i], e
		}
	}
	return layer{}, nil
}

// manyEntries is from how many on entries are looked up, not searched for.
const manyEntries = 64

// topOf is top for one who asks for every key of the view, which has that many
// entries.
func (v view) topOf(entries int) func(key string) (layer, *text.Entry) {
	if entries < manyEntries {
		return v.top
	}
	type decided struct {
		layer
		*text.Entry
	}
	by := make(map[string]decided, entries)
	for _, l := range v {
		for i := len(l.node.Entries) - 1; i >= 0; i-- { // of a key written twice the first counts
			e := &l.node.Entries[i]
			by[e.Key.Text] = decided{l, e}
		}
	}
	return func(key string) (layer, *text.Entry) { return by[key].layer, by[key].Entry }
}

// down returns the view of the section under a key.
func (v view) down(key string) view {
	var below view
	for _, l := range v {
		e := l.node.Entry(key)
		switch {
		case e == nil:
		case l.changed && isRemoved(e.Value):
			below = nil
		case e.Value.Kind == text.Map:
			below = append(below, layer{node: e.Value, from: l.from, changed: l.changed})
		}
	}
	return below
}

func isRemoved(n *text.Node) bool { return n.Kind == text.Scalar && n.Text == "removed" }

// reading is a print read once, however many variants share it.
type reading struct {
	printed figure.Printed
	err     error
}

type decoder struct {
	file       *File
	engine     *Engine // receives figures; nil while a source is read
	overlay    bool    // a variant is resolved: only its change has news to tell
	problems   []Problem
	newFigures []Figure
	newClaims  []Claim
	prints     map[*text.Node]reading // nil when no variant will ask for them again
	vouched    []bool                 // by the index of a value's node: it need not pass the schema again, see vouch.go
}

// take returns the next of a chunk, and starts another when it is used up: a file
// holds hundreds of figures, and one by one they would cost more to get than to read.
func take[T any](chunk *[]T) *T {
	if len(*chunk) == cap(*chunk) {
		*chunk = make([]T, 0, chunkSize)
	}
	*chunk = (*chunk)[:len(*chunk)+1]
	return &(*chunk)[len(*chunk)-1]
}

const chunkSize = 24

func (d *decoder) place(n *text.Node) Place { return Place{File: d.file, Node: n} }

// problem notes a departure, unless it was told already while the base was read.
func (d *decoder) problem(l layer, kind ProblemKind, at *text.Node, format string, args ...any) {
	if d.overlay && !l.changed {
		return
	}
	d.problems = append(d.problems, Problem{Kind: kind, At: d.place(at), Message: fmt.Sprintf(format, args...)})
}

// sorted returns the problems in the order of the file. Where a line cannot be
// read, what the rest of it seems to say is not worth a problem of its own.
func (d *decoder) sorted() []Problem {
	broken := map[int]bool{}
	for _, p := range d.file.Doc.Problems {
		line, _ := d.file.Doc.Position(p.Span.Start)
		broken[line] = true
	}
	d.problems = slices.DeleteFunc(d.problems, func(p Problem) bool {
		line, _ := p.At.Position()
		return p.Kind != Unreadable && broken[line]
	})
	slices.SortStableFunc(d.problems, func(a, b Problem) int {
		return cmp.Compare(start(a.At), start(b.At))
	})
	return d.problems
}

func start(p Place) int {
	if p.IsZero() {
		return 0
	}
	return p.Node.Span.Start
}

// readable passes on what the text layer found, and reports whether there is a
// map to go on with.
func (d *decoder) readable(f *File) bool {
	for _, p := range f.Doc.Problems {
		d.problems = append(d.problems, Problem{Kind: Unreadable, At: d.place(&text.Node{Span: p.Span}), Message: p.Message})
	}
	root := f.Doc.Root
	if root == nil {
		return false
	}
	if root.Kind != text.Map {
		d.problem(layer{}, Violation, root, "the file holds no keys; an engine or source file starts with keys such as `title:`")
		return false
	}
	return true
}

// resolve lays a variant's changes over the base.
func (d *decoder) resolve(root layer, v Named[*Variant]) *Engine {
	e := &Engine{file: d.file, Variant: v.Name, byPath: make(map[string]*Figure, len(d.engine.figures)), figures: make([]*Figure, 0, len(d.engine.figures))}
	layers := view{root}
	if change := v.Value.Change; !change.IsZero() && change.Node.Kind == text.Map {
		layers = append(layers, layer{node: change.Node, changed: true})
	}
	base := d.engine
	d.engine, d.overlay = e, true
	d.section(layers, planFor[Engine](), "", reflect.ValueOf(e).Elem())
	for _, l := range layers[1:] {
		d.vouchChange(l.node)
	}
	d.engine, d.overlay = base, false
	e.Variants, e.Sources, e.Accepted = nil, base.Sources, base.Accepted
	if v.Value.Made.Given() {
		e.Made = v.Value.Made
	}
	if v.Value.Numbers != nil {
		identify := Identify{}
		if e.Identify != nil {
			identify = *e.Identify
		}
		identify.Numbers = v.Value.Numbers
		e.Identify = &identify
	}
	return e
}

// mostFields is how many keys a section has at most, without the largest.
const mostFields = 32

// decisive is the entry that decides a key, with the layer it stands in.
type decisive struct {
	layer *layer
	entry *text.Entry
}

// section decodes a section of any type.
func (d *decoder) section(v view, p *plan, path string, out reflect.Value) {
	sec := out.Field(0).Addr().Interface().(*Section)
	var few [mostFields]decisive
	decides := few[:]
	if len(p.fields) > mostFields {
		decides = make([]decisive, len(p.fields))
	}
	for i := range v {
		l := &v[i]
		if sec.At.IsZero() || l.changed {
			sec.At = d.place(l.node)
		}
		if p.sourced {
			if e := l.node.Entry("from"); e != nil && e.Value.Kind == text.Scalar {
				l.from = d.cite(e.Value.Text, e.Value)
				sec.From = l.from
				d.vouchCitation(e.Value)
			}
		}
		if e := l.node.Entry("note"); e != nil {
			sec.Note = d.word(*l, e, "note", nil)
			d.vouchWord(e.Value)
		}
		d.keys(*l, p, path)
		for k := len(l.node.Entries) - 1; k >= 0; k-- { // of a key written twice the first counts
			if f, known := p.byKey[l.node.Entries[k].Key.Text]; known {
				decides[f] = decisive{l, &l.node.Entries[k]}
			}
		}
	}
	for i, f := range p.fields {
		if decides[i].entry != nil {
			d.field(v, decides[i], f, join(path, f.key), out.Field(f.index))
		}
	}
	for _, l := range v {
		if len(p.required) == 0 && path != "" {
			d.vouchSection(l.node)
		}
	}
}

// cite reads a citation and keeps it with the engine's others.
func (d *decoder) cite(s string, at *text.Node) Citation {
	c := readCitation(s, d.place(at))
	d.engine.citations = append(d.engine.citations, c)
	return c
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// keys reports the keys that a section does not have, and those it lacks.
func (d *decoder) keys(l layer, p *plan, path string) {
	known := readContract().sections[p.section].Properties
	if l.changed && path == "" {
		known = readContract().change
	}
	for _, e := range l.node.Entries {
		if _, ok := known[e.Key.Text]; !ok {
			d.problem(l, UnknownKey, e.Key, "%s", unknownKey(e.Key.Text, known, placeName(path, p), readContract().measured[p.section]))
		}
	}
	if l.changed {
		return
	}
	for _, key := range p.required {
		if l.node.Entry(key) == nil {
			d.problem(l, Violation, l.node, "`%s` is missing; %s needs it", key, placeName(path, p))
		}
	}
}

// placeName says in words where a path leads.
func placeName(path string, p *plan) string {
	if path == "" {
		return "the " + p.section + " file"
	}
	return "`" + path + "`"
}

func (d *decoder) field(v view, by decisive, f field, path string, out reflect.Value) {
	l, e := *by.layer, by.entry
	if l.changed && isRemoved(e.Value) && f.shape != changeShape {
		_, below := v[:len(v)-1].top(f.key)
		d.engine.removed = append(d.engine.removed, Removal{Path: path, At: d.place(e.Value), Existed: below != nil})
		return
	}
	switch f.shape {
	case wordShape:
		*out.Addr().Interface().(*Word) = d.word(l, e, path, f.enum)
		if f.plain {
			d.vouchWord(e.Value)
		}
	case wordListShape:
		out.Set(reflect.ValueOf(d.words(l, e, path)))
		d.vouchWords(e.Value)
	case figureShape:
		*out.Addr().Interface().(**Figure) = d.figure(l, e, f, path)
	case figuresShape:
		out.Set(reflect.ValueOf(d.figures(l, e, f, path)))
	case sectionShape:
		if d.isMap(l, e, path, f.elem) {
			out.Set(reflect.New(f.elem.typ))
			d.section(v.down(f.key), f.elem, path, out.Elem())
		}
	case groupShape, tableShape:
		if d.isMap(l, e, path, f.elem) {
			below := v.down(f.key)
			d.group(below, f, path, out)
			for _, l := range below {
				d.vouchGroup(l.node, f.shape)
			}
		}
	case acceptedShape:
		out.Set(reflect.ValueOf(d.accepted(l, e)))
	case changeShape:
		if d.isMap(l, e, path, nil) {
			out.Set(reflect.ValueOf(d.place(e.Value)))
		}
	}
}

// isMap checks that a section is written as one.
func (d *decoder) isMap(l layer, e *text.Entry, path string, p *plan) bool {
	switch {
	case e.Value.Kind == text.Map:
		return true
	case e.Value.Absent:
		d.problem(l, NoValue, e.Key, "`%s` is empty; write its keys below it, or leave it out", path)
	case p != nil && len(p.fields) > 0:
		d.problem(l, Violation, e.Value, "`%s` holds keys of its own (%s, …), so a single value cannot stand here", path, p.fields[0].key)
	default:
		d.problem(l, Violation, e.Value, "`%s` holds keys of its own, so a single value cannot stand here", path)
	}
	return false
}

// group decodes a map whose keys the file chooses, in the order of the file,
// the base's entries before those a change adds.
func (d *decoder) group(v view, f field, path string, out reflect.Value) {
	entries := 0
	for _, l := range v {
		entries += len(l.node.Entries)
	}
	seen := make(map[string]bool, entries)
	all := reflect.MakeSlice(out.Type(), entries, entries)
	kept, decide := 0, v.topOf(entries)
	for _, l := range v {
		for i := range l.node.Entries {
			name := l.node.Entries[i].Key.Text
			if seen[name] {
				continue
			}
			seen[name] = true
			one := all.Index(kept)
			value := one.Field(namedValue)
			top, e := decide(name)
			d.field(v, decisive{&top, e}, field{key: name, index: -1, shape: elementShape(f.shape), kind: f.kind, numeric: f.numeric, elem: f.elem}, join(path, name), value)
			if value.IsNil() {
				continue
			}
			one.Field(namedName).SetString(name)
			*one.Field(namedKey).Addr().Interface().(*Place) = d.place(l.node.Entries[i].Key)
			kept++
		}
	}
	out.Set(all.Slice(0, kept))
}

func elementShape(s shape) shape {
	if s == tableShape {
		return figureShape
	}
	return sectionShape
}

// word decodes a value that is not a figure.
func (d *decoder) word(l layer, e *text.Entry, path string, enum []string) Word {
	n := e.Value
	switch {
	case n.Absent:
		d.problem(l, NoValue, e.Key, "`%s` is empty; write a value, or leave the key out", path)
		return Word{}
	case n.Kind != text.Scalar:
		d.problem(l, Violation, n, "`%s` takes a few words, not a list or keys of its own", path)
		return Word{}
	case len(enum) > 0 && !slices.Contains(enum, n.Text):
		d.problem(l, Violation, n, "`%s` is one of %s, and %q is none of them%s", path, choices(enum), n.Text, DidYouMean(n.Text, enum))
		return Word{}
	}
	return Word{Text: n.Text, At: d.place(n)}
}

func (d *decoder) words(l layer, e *text.Entry, path string) []Word {
	if e.Value.Kind != text.List {
		d.problem(l, Violation, e.Value, "`%s` is a list: write each on a line of its own after `- `", path)
		return nil
	}
	var out []Word
	for _, n := range e.Value.Items {
		if n.Kind == text.Scalar && !n.Absent {
			out = append(out, Word{Text: n.Text, At: d.place(n)})
		}
	}
	return out
}

func (d *decoder) accepted(l layer, e *text.Entry) Accepted {
	if !d.isMap(l, e, "accepted", nil) {
		return nil
	}
	var out Accepted
	for i := range e.Value.Entries {
		at := &e.Value.Entries[i]
		if !d.isMap(l, at, "accepted."+at.Key.Text, nil) {
			continue
		}
		for _, rule := range at.Value.Entries {
			a := Acceptance{Path: at.Key.Text, Rule: rule.Key.Text, At: d.place(rule.Key)}
			if rule.Value.Kind == text.Scalar {
				a.Reason = strings.TrimSpace(rule.Value.Text)
			}
			out = append(out, a)
		}
	}
	return out
}

// figure decodes a figure in any of its forms: a print, one print with its
// remarks (`is:`), or several claims.
func (d *decoder) figure(l layer, e *text.Entry, f field, path string) *Figure {
	fig := take(&d.newFigures)
	*fig = Figure{Path: path, Key: f.key, Kind: f.kind, At: d.place(e.Value), Name: d.place(e.Key), Changed: l.changed}
	claims := e.Value.Entry("claims")
	switch {
	case claims == nil:
		take(&d.newClaims)
		fig.Claims = d.newClaims[len(d.newClaims)-1 : len(d.newClaims) : len(d.newClaims)]
		if !d.claim(l, e, f, path, l.from, &fig.Claims[0]) {
			return nil
		}
	case e.Value.Entry("is") != nil:
		d.problem(l, Violation, e.Value, "`%s` has both `is` and `claims`; write every print as a claim", path)
		return nil
	case claims.Value.Kind != text.Map:
		d.isMap(l, claims, path+".claims", nil)
		return nil
	default:
		for i := range claims.Value.Entries {
			entry := &claims.Value.Entries[i]
			id, _, _ := strings.Cut(entry.Key.Text, "#")
			fig.Claims = append(fig.Claims, Claim{})
			c := &fig.Claims[len(fig.Claims)-1]
			if !d.claim(l, entry, f, path+".claims."+entry.Key.Text, d.cite(id, entry.Key), c) {
				fig.Claims = fig.Claims[:len(fig.Claims)-1]
				continue
			}
			if c.From.Source != id {
				d.problem(l, Violation, c.From.At.Node, "the claim is kept under the source `%s`, and its `from` names `%s`; use one and the same", id, c.From.Source)
			}
			c.Key = entry.Key.Text
		}
		d.figureKeys(l, e.Value, path, false)
		d.vouchClaims(e.Value, claims.Value)
	}
	d.engine.figures = append(d.engine.figures, fig)
	d.engine.byPath[path] = fig
	return fig
}

// figures decodes one print, or a list of them, each a figure of its own.
func (d *decoder) figures(l layer, e *text.Entry, f field, path string) []*Figure {
	items := []*text.Node{e.Value}
	if e.Value.Kind == text.List {
		items = e.Value.Items
	}
	var all []*Figure
	for i, n := range items {
		at := path
		if e.Value.Kind == text.List {
			at = fmt.Sprintf("%s.%d", path, i+1)
		}
		if fig := d.figure(l, &text.Entry{Key: e.Key, Value: n}, f, at); fig != nil {
			all = append(all, fig)
		}
	}
	return all
}

// claimKeys are the keys of one claim; a figure has `claims` besides.
var claimKeys = map[string]Property{"is": {}, "from": {}, "note": {}, "quote": {}, "seen": {}, "set_aside": {}}

func (d *decoder) figureKeys(l layer, n *text.Node, path string, claim bool) {
	for _, e := range n.Entries {
		if _, ok := claimKeys[e.Key.Text]; !ok && (claim || e.Key.Text != "claims") {
			d.problem(l, UnknownKey, e.Key, "%s", unknownKey(e.Key.Text, claimKeys, "the figure `"+path+"`", false))
		}
	}
}

// claim decodes what one source says into c; false when it says nothing that can
// be followed.
func (d *decoder) claim(l layer, e *text.Entry, f field, path string, from Citation, c *Claim) bool {
	c.From = from
	whole, print := e.Value, e.Value
	if e.Value.Kind == text.Map {
		d.figureKeys(l, e.Value, path, true)
		is := e.Value.Entry("is")
		if is == nil {
			d.problem(l, NoValue, e.Value, "`%s` says nothing; give what the source prints after `is:`", path)
			return false
		}
		d.remarks(l, e.Value, path, c)
		e, print = is, is.Value
	}
	if print.Absent {
		d.problem(l, NoValue, e.Key, "`%s` is empty; write what the source prints, or one of: unknown, not given, none, illegible", path)
		return false
	}
	c.At = d.place(print)
	if !d.print(l, print, f.kind, path, &c.Printed) {
		return false
	}
	if whole.Kind == text.Map {
		d.vouchClaim(whole, f)
	} else {
		d.vouchPrint(whole, f)
	}
	return true
}

// remarks reads what a claim may say beside its print.
func (d *decoder) remarks(l layer, n *text.Node, path string, c *Claim) {
	get := func(key string) Word {
		e := n.Entry(key)
		if e == nil || e.Value.Kind != text.Scalar {
			return Word{}
		}
		return d.word(l, e, path+"."+key, nil)
	}
	if from := get("from"); from.Given() {
		c.From = d.cite(from.Text, from.At.Node)
	}
	c.Note, c.Quote = get("note"), get("quote")
	if e := n.Entry("set_aside"); e != nil {
		c.SetAside = Word{Text: strings.TrimSpace(e.Value.Text), At: d.place(e.Key)}
	}
	if seen := n.Entry("seen"); seen != nil && seen.Value.Kind == text.Map {
		for key, into := range map[string]*Word{"on": &c.SeenOn, "by": &c.SeenBy} {
			if e := seen.Value.Entry(key); e != nil {
				*into = d.word(l, e, path+".seen."+key, nil)
			}
		}
	}
}

// print reads the text of a figure.
func (d *decoder) print(l layer, n *text.Node, kind figure.Kind, path string, into *figure.Printed) bool {
	r, known := d.prints[n]
	if !known {
		s, ok := printText(n)
		if !ok {
			d.problem(l, Violation, n, "`%s` takes one print, %s", path, kind)
			return false
		}
		if s == "removed" {
			d.problem(l, Violation, n, "`%s` can be removed only in a variant's change", path)
			return false
		}
		r.printed, r.err = figure.Read(kind, s)
		if d.prints != nil {
			d.prints[n] = r
		}
	}
	*into = r.printed
	if r.err == nil {
		return true
	}
	problemKind := UnreadFigure
	if fe := (*figure.Error)(nil); errors.As(r.err, &fe) && fe.WrongUnit {
		problemKind = WrongUnit
	}
	told := len(d.problems)
	d.problem(l, problemKind, n, "`%s`: %s", path, r.err)
	for i := range d.problems[told:] {
		at := d.place(n)
		d.problems[told+i].Figure = &Figure{Path: path, Kind: kind, At: at, Claims: []Claim{{Printed: r.printed, At: at}}}
	}
	return false
}

// printText is a figure as the file gives it: a scalar's text, or the items of
// a short list.
func printText(n *text.Node) (string, bool) {
	switch n.Kind {
	case text.Scalar:
		return n.Text, true
	case text.List:
		items := make([]string, len(n.Items))
		for i, item := range n.Items {
			if item.Kind != text.Scalar || item.Absent {
				return "", false
			}
			items[i] = item.Text
		}
		return strings.Join(items, ", "), true
	}
	return "", false
}
