package pages

import (
	"bytes"
	"html/template"
	"slices"
	"strings"

	"fourmarks.example/data/release"
	"fourmarks.example/data/sheet"
	"fourmarks.example/data/sheet/forms"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// series is what the page of an engine or of a variant shows.
type series struct {
	ID, Variant string
	Title       string
	// File is the page's name below the folder of engines, EngineFile that of
	// the base, without their ends.
	File, EngineFile string
	Made, Numbers    string
	Found            string
	AlsoCalled       string
	Looks            string
	Notes            []string
	// Others are the base and the variants.
	Others   []sibling
	Groups   []group
	Removed  []string
	Accepted []release.Acceptance
	Sources  []source
	History  []step
	// Diagram is the timing diagram, and Sheet the setting sheet as a page, both
	// empty where there is none.
	Diagram template.HTML
	Sheet   []byte
	// Count says how many figures have each standing.
	Count []standingCount
}

// FullTitle is the title with the variant's.
func (s series) FullTitle() string {
	if s.Variant == "" {
		return s.Title
	}
	for _, o := range s.Others {
		if o.Name == s.Variant && o.Title != "" {
			return s.Title + ", " + o.Title
		}
	}
	return s.Title + ", " + s.Variant
}

type sibling struct{ Name, Title, Made, Numbers, File string }

type standingCount struct {
	Standing string
	Figures  int
}

// group is one part of an engine, such as its drives, with the sections in it.
type group struct {
	Name, Title string
	Sections    []*section
}

// section is a section of an engine with its figures and remarks.
type section struct {
	Path string
	// Title is what the section is called within its group, empty for the group itself.
	Title string
	// From is the source that the section names.
	From    citation
	Words   []word
	Notes   []string
	Figures []figure
}

// word is what is written that is not a figure: one text, or a list.
type word struct {
	Path, Name string
	Is         []string
}

// source is a record as it is shown.
type source struct {
	release.Source
	Anchor string
	// Name is the id without the engine's.
	Name string
	// About is what is known of it beside title and grade, in order.
	About []word
}

// seriesOf returns the base and the variants of an engine.
func seriesOf(e engine) ([]series, error) {
	p := e.Published
	base := series{ID: p.ID, Title: p.Title, File: engineName(p.ID, ""), EngineFile: engineName(p.ID, ""), Made: p.Made, Numbers: numbersText(p.Numbers),
		Found: found(p.Numbers), AlsoCalled: p.AlsoCalled, Looks: p.Looks, Accepted: p.Accepted, Sources: sourcesOf(p), Notes: given(p.Note)}
	base.Others = append(base.Others, sibling{Title: "the engine as first made", Made: p.Made, Numbers: base.Numbers, File: base.File})
	for _, v := range p.Variants {
		base.Others = append(base.Others, sibling{v.Name, v.Title, v.Made, numbersText(v.Numbers), engineName(p.ID, v.Name)})
	}
	all := []series{base}
	if err := all[0].fill(e, e.Engine, p.Series); err != nil {
		return nil, err
	}
	for _, v := range p.Variants {
		file, ok := e.Engine.Variants.Get(v.Name)
		if !ok {
			continue
		}
		s := base
		s.Variant, s.File, s.Made, s.Numbers, s.Found = v.Name, engineName(p.ID, v.Name), v.Made, numbersText(v.Numbers), found(v.Numbers)
		s.Notes, s.Removed = append(given(v.Note), s.Notes...), v.Removed
		if err := s.fill(e, file.Engine, v.Series); err != nil {
			return nil, err
		}
		all = append(all, s)
	}
	return all, nil
}

func given(note string) []string {
	if note == "" {
		return nil
	}
	return []string{note}
}

func found(n *release.Numbers) string {
	if n == nil {
		return ""
	}
	return n.Found
}

// fill sets out the figures and words of a series, section by section.
func (s *series) fill(e engine, file *schema.Engine, is release.Series) error {
	b := builder{file: file, register: e.Register, series: is, sections: map[string]*section{}}
	if s.Variant != "" {
		b.base = e.Published.Series.Figures
	}
	for _, w := range is.Words {
		b.word(w)
	}
	for _, f := range is.Figures {
		in := b.section(parent(f.Path))
		in.Figures = append(in.Figures, b.figure(f, b.from(in.Path)))
	}
	s.Groups = b.groups()
	s.History = stepsOf(e.history, s.Variant)
	for _, standing := range standings {
		if n := is.Standings[standing]; n > 0 {
			s.Count = append(s.Count, standingCount{standing, n})
		}
	}
	return s.bench(file, e.Register)
}

// bench makes the setting sheet and the timing diagram. An engine of which too
// little is known, or in a way that no sheet can be made of, has neither: what is
// wrong with it the linter says.
func (s *series) bench(file *schema.Engine, register schema.Register) error {
	made, err := sheet.Make(file, register, sheet.Options{})
	if err != nil {
		return nil
	}
	drawing := ""
	if d, ok := made.Diagram(); ok {
		drawing = d.SVG()
		s.Diagram = template.HTML(drawing) // whose words are escaped where it is drawn
	}
	var page bytes.Buffer
	err = forms.HTML(&page, forms.Of(made), drawing)
	s.Sheet = page.Bytes()
	return err
}

// standings are in the order in which they are counted out.
var standings = []string{"confirmed", "settled", "single-source", "unsourced", release.Disputed, release.Derived, release.Absent}

// builder sets out one series.
type builder struct {
	file     *schema.Engine
	register schema.Register
	series   release.Series
	base     []release.Figure // of the engine, for a variant
	sections map[string]*section
	order    []string
}

func (b *builder) section(path string) *section {
	s := b.sections[path]
	if s == nil {
		s = &section{Path: path, Title: within(path)}
		b.sections[path] = s
		b.order = append(b.order, path)
	}
	return s
}

// from is the source of a section, its own or that of what it stands in.
func (b *builder) from(path string) citation {
	for ; path != ""; path = parent(path) {
		if s := b.sections[path]; s != nil && s.From.Source != "" {
			return s.From
		}
	}
	return citation{}
}

// inHead are the words that the head of a page has.
var inHead = []string{"identify.also_called", "identify.looks"}

func (b *builder) word(w release.Word) {
	if slices.Contains(inHead, w.Path) || strings.HasPrefix(w.Path, "identify.numbers.") {
		return
	}
	in := b.section(parent(w.Path))
	switch key := last(w.Path); key {
	case "from":
		in.From = cited(w.Is)
	case "note":
		in.Notes = append(in.Notes, w.Is)
	default:
		if n := len(in.Words); n > 0 && in.Words[n-1].Path == w.Path {
			in.Words[n-1].Is = append(in.Words[n-1].Is, w.Is)
			return
		}
		in.Words = append(in.Words, word{w.Path, nameOf(w.Path), []string{w.Is}})
	}
}

// groups are the parts of the engine that hold something, in the order of the schema.
func (b *builder) groups() []group {
	var all []group
	for _, name := range schema.Sections() {
		g := group{Name: name, Title: nameOf(name)}
		for _, path := range b.order {
			if s := b.sections[path]; first(path) == name && len(s.Figures)+len(s.Words)+len(s.Notes) > 0 {
				g.Sections = append(g.Sections, s)
			}
		}
		if g.Sections != nil {
			together(g.Sections)
			all = append(all, g)
		}
	}
	return all
}

// together puts sections of one thing, such as a drive and its wheels, beside one
// another, in the order in which the things come.
func together(sections []*section) {
	rank := map[string]int{}
	for i, s := range sections {
		if _, known := rank[thing(s.Path)]; !known {
			rank[thing(s.Path)] = i
		}
	}
	slices.SortStableFunc(sections, func(a, b *section) int { return rank[thing(a.Path)] - rank[thing(b.Path)] })
}

// thing is what a section is of: the first two parts of its path.
func thing(path string) string {
	parts := strings.SplitN(path, ".", 3)
	return strings.Join(parts[:min(2, len(parts))], ".")
}

func parent(path string) string { return path[:max(strings.LastIndexByte(path, '.'), 0)] }
func last(path string) string   { return path[strings.LastIndexByte(path, '.')+1:] }
func first(path string) string  { name, _, _ := strings.Cut(path, "."); return name }

// nameOf is what the schema calls the last part of a path.
func nameOf(path string) string {
	slot, ok := schema.EngineSlot(text.Path(strings.Split(parent(path), ".")))
	if parent(path) == "" {
		slot, ok = schema.EngineSlot(nil)
	}
	if ok {
		if p, ok := schema.Describe(slot.Section, last(path)); ok && p.Title != "" {
			return p.Title
		}
	}
	name := strings.ReplaceAll(last(path), "_", " ")
	if ok && slot.Named { // the file chose it
		return name
	}
	return strings.ToUpper(name[:min(1, len(name))]) + name[min(1, len(name)):] // what is only derived has no name in the schema
}

// within is what a section is called within its group: the schema's titles, and
// the file's own names as they are.
func within(path string) string {
	parts := strings.Split(path, ".")
	var names []string
	for i := 1; i < len(parts); i++ {
		names = append(names, nameOf(strings.Join(parts[:i+1], ".")))
	}
	return strings.Join(names, " · ")
}
