package merge_test

import (
	"fmt"
	"slices"
	"strings"

	"pgregory.net/rapid"
)

// The property tests work on engine files of which every version is drawn: a base,
// and contributors' versions of it, each some edits away. A file is a tree of
// sections; how each piece is written is part of it, so that what a contributor
// leaves alone is left alone to the byte.

type anEngine struct {
	sections []aSection
	late     []aSection // the change of a variant
	cautions []string
	head     string
}

type aSection struct {
	path    []string // one key, or two where the file chooses the second
	from    string
	figures []aFigure
	words   []aWord
	remark  string
	braces  bool
	blank   bool
}

type aFigure struct {
	key           string
	claims        []aClaim
	manner        int // 0 plain where it can be, 1 braces, 2 lines
	above, beside string
	takenAway     bool
	severalClaims bool
}

type aClaim struct{ key, printed, source, locator, note, aside string }

type aWord struct{ key, text string }

// places are the sections and figures drawn from.
var places = []struct {
	path    []string
	figures []string
	words   []string
}{
	{[]string{"size"}, []string{"bore", "stroke", "rod_centres", "cylinder_offset"}, nil},
	{[]string{"lifts"}, []string{"inlet", "exhaust"}, []string{"note"}},
	{[]string{"clearances", "running"}, []string{"inlet", "exhaust", "felt"}, []string{"note"}},
	{[]string{"clearances", "checking"}, []string{"inlet", "exhaust"}, []string{"note"}},
	{[]string{"clearances", "b1"}, []string{"inlet", "exhaust"}, []string{"note"}},
	{[]string{"clearances", "a1"}, []string{"inlet", "exhaust"}, []string{"note"}},
	{[]string{"ignition"}, []string{"plug_gap", "contact_gap"}, []string{"drive"}},
}

func oneOf(t *rapid.T, of ...string) string { return rapid.SampledFrom(of).Draw(t, "one of") }

func chance(t *rapid.T, in int) bool { return rapid.IntRange(1, in).Draw(t, "chance") == 1 }

func drawPrint(t *rapid.T) string {
	return fmt.Sprintf("%d%s mm", rapid.IntRange(1, 40).Draw(t, "number"), oneOf(t, "", "", ".0", ".50", "½"))
}

func drawFrom(t *rapid.T) string {
	return oneOf(t, "handbook p. 6", "handbook p. 7", "handbook", "sheet-4 line 2", "bulletin-7", "card side 2: left, top")
}

func drawClaim(t *rapid.T) aClaim {
	c := aClaim{printed: drawPrint(t)}
	c.source, c.locator, _ = strings.Cut(drawFrom(t), " ")
	c.key = c.source
	if chance(t, 5) {
		c.note = oneOf(t, "read twice", "smudged: 4 or 9", "by lamplight, late")
	}
	if chance(t, 8) {
		c.aside = oneOf(t, "re-cut", "misread")
	}
	return c
}

func drawFigure(t *rapid.T, key string) aFigure {
	f := aFigure{key: key, manner: rapid.IntRange(0, 2).Draw(t, "manner")}
	switch rapid.IntRange(0, 5).Draw(t, "form") {
	case 0, 1, 2: // a plain print, with the source of the section
		f.claims = []aClaim{{printed: drawPrint(t)}}
		if !chance(t, 4) {
			f.manner = 0
		} else if f.manner = max(1, f.manner); chance(t, 2) {
			f.claims[0].note = oneOf(t, "read twice", "smudged: 4 or 9", "by lamplight, late")
		}
	case 3, 4:
		f.claims = []aClaim{drawClaim(t)}
		f.manner = max(1, f.manner)
	case 5:
		f.claims, f.severalClaims = []aClaim{drawClaim(t)}, true
		f.addClaim(drawClaim(t))
	}
	f.remark(t, 6)
	return f
}

func (f *aFigure) remark(t *rapid.T, in int) {
	if chance(t, in) {
		f.above = oneOf(t, "", "# cold", "# as drawn", "# at the valve\n# and hot")
	}
	if chance(t, in) {
		f.beside = oneOf(t, "", "# beside", "# seen")
	}
}

// addClaim adds a claim of a source that the figure does not have.
func (f *aFigure) addClaim(c aClaim) {
	has := slices.ContainsFunc(f.claims, func(o aClaim) bool { return o.key == c.key || o.key == "" })
	if !has && !f.takenAway {
		f.claims, f.severalClaims = append(slices.Clone(f.claims), c), true
	}
}

func drawSection(t *rapid.T, i int, change bool) aSection {
	p := places[i]
	s := aSection{path: p.path, braces: chance(t, 4), blank: chance(t, 4)}
	if !chance(t, 6) {
		s.from = drawFrom(t)
	}
	for _, key := range p.figures {
		if chance(t, 2) {
			s.figures = append(s.figures, drawFigure(t, key))
		}
	}
	for _, key := range p.words {
		if chance(t, 3) {
			s.words = append(s.words, aWord{key, oneOf(t, "as built", "see the drawing", "12:30", "no")})
		}
	}
	if change && len(s.figures) > 0 && chance(t, 3) {
		s.figures[0] = aFigure{key: s.figures[0].key, takenAway: true}
	}
	if len(s.figures) == 0 {
		s.figures = []aFigure{drawFigure(t, p.figures[0])}
	}
	if chance(t, 6) {
		s.remark = oneOf(t, "# section", "# of the section")
	}
	return s
}

func drawEngine(t *rapid.T) anEngine {
	e := anEngine{}
	for i := range places {
		if chance(t, 2) {
			e.sections = append(e.sections, drawSection(t, i, false))
		}
		if chance(t, 5) {
			e.late = append(e.late, drawSection(t, i, true))
		}
	}
	if chance(t, 2) {
		e.cautions = []string{"mind the fan", "turn by hand"}
	}
	if chance(t, 4) {
		e.head = "# a head\n\n"
	}
	return e
}

// clone copies all that an edit may change.
func (e anEngine) clone() anEngine {
	copied := func(all []aSection) []aSection {
		all = slices.Clone(all)
		for i := range all {
			all[i].figures, all[i].words = slices.Clone(all[i].figures), slices.Clone(all[i].words)
			for j := range all[i].figures {
				all[i].figures[j].claims = slices.Clone(all[i].figures[j].claims)
			}
		}
		return all
	}
	e.sections, e.late, e.cautions = copied(e.sections), copied(e.late), slices.Clone(e.cautions)
	return e
}

// edited returns a contributor's version: up to most edits away, each in a section
// that may be touched.
func (e anEngine) edited(t *rapid.T, most int, may func(path []string) bool) anEngine {
	e = e.clone()
	for range rapid.IntRange(0, most).Draw(t, "edits") {
		all := &e.sections
		change := chance(t, 4)
		if change {
			all = &e.late
		}
		if len(*all) > 0 && !chance(t, 5) {
			i := rapid.IntRange(0, len(*all)-1).Draw(t, "section")
			if may((*all)[i].path) {
				editSection(t, all, i, change)
			}
			continue
		}
		switch rapid.IntRange(0, 3).Draw(t, "edit of the file") {
		case 0, 1:
			i := rapid.IntRange(0, len(places)-1).Draw(t, "place")
			has := slices.ContainsFunc(*all, func(s aSection) bool { return slices.Equal(s.path, places[i].path) })
			if !has && may(places[i].path) {
				s := drawSection(t, i, change)
				at := len(*all)
				for at > 0 && (*all)[at-1].path[0] != s.path[0] && slices.ContainsFunc((*all)[:at], func(o aSection) bool { return o.path[0] == s.path[0] }) {
					at--
				}
				*all = slices.Insert(*all, at, s)
			}
		case 2:
			if may([]string{"setting"}) {
				e.cautions = append(e.cautions, oneOf(t, "keep clear", "plugs out", "zero first"))
				slices.Sort(e.cautions)
				e.cautions = slices.Compact(e.cautions)
			}
		case 3:
			if may([]string{"setting"}) && len(e.cautions) > 0 {
				e.cautions = e.cautions[1:]
			}
		}
	}
	return e
}

func editSection(t *rapid.T, all *[]aSection, i int, change bool) {
	s := &(*all)[i]
	f := &s.figures[rapid.IntRange(0, len(s.figures)-1).Draw(t, "figure")]
	switch rapid.IntRange(0, 11).Draw(t, "edit") {
	case 0, 1, 2:
		if !f.takenAway {
			f.claims[len(f.claims)-1].printed = drawPrint(t)
		}
	case 3, 4:
		f.addClaim(drawClaim(t))
	case 5:
		if key := oneOf(t, placeOf(s.path)...); !slices.ContainsFunc(s.figures, func(f aFigure) bool { return f.key == key }) {
			s.figures = slices.Insert(s.figures, rapid.IntRange(0, len(s.figures)).Draw(t, "at"), drawFigure(t, key))
		}
	case 6:
		if len(s.figures) > 1 {
			s.figures = slices.DeleteFunc(s.figures, func(o aFigure) bool { return o.key == f.key })
		}
	case 7:
		s.from = drawFrom(t)
	case 8:
		f.remark(t, 1)
	case 9:
		if !f.takenAway {
			*f = drawFigure(t, f.key)
		}
	case 10:
		s.braces, s.blank = chance(t, 2), chance(t, 2)
	case 11:
		if chance(t, 3) {
			*all = slices.Delete(*all, i, i+1)
		} else if !f.takenAway && f.claims[0].key != "" {
			f.claims[0].aside = "set aside later"
		}
	}
}

func placeOf(path []string) []string {
	for _, p := range places {
		if slices.Equal(p.path, path) {
			return p.figures
		}
	}
	return nil
}

// text writes the file.
func (e anEngine) text() string {
	b := &strings.Builder{}
	b.WriteString(e.head + head)
	writeSections(b, e.sections, "")
	if len(e.cautions) > 0 {
		b.WriteString("setting:\n  cautions:\n")
		for _, c := range e.cautions {
			b.WriteString("    - " + c + "\n")
		}
	}
	b.WriteString("variants:\n  late:\n    made: 1931\n")
	if len(e.late) > 0 {
		b.WriteString("    change:\n")
		writeSections(b, e.late, "      ")
	}
	return b.String()
}

func writeSections(b *strings.Builder, all []aSection, margin string) {
	done := map[string]bool{}
	for _, s := range all {
		if done[s.path[0]] {
			continue
		}
		done[s.path[0]] = true
		if len(s.path) == 1 {
			s.write(b, margin)
			continue
		}
		b.WriteString(margin + s.path[0] + ":\n")
		for _, o := range all {
			if o.path[0] == s.path[0] {
				o.write(b, margin+"  ")
			}
		}
	}
}

func (s aSection) write(b *strings.Builder, margin string) {
	if s.blank {
		b.WriteString("\n")
	}
	key := margin + s.path[len(s.path)-1] + ":"
	remarked := s.remark != "" || slices.ContainsFunc(s.figures, func(f aFigure) bool { return f.above+f.beside != "" })
	if s.braces && !remarked {
		var parts []string
		if s.from != "" {
			parts = append(parts, "from: "+quoted(s.from))
		}
		for _, f := range s.figures {
			parts = append(parts, f.key+": "+f.inBraces())
		}
		for _, w := range s.words {
			parts = append(parts, w.key+": "+quoted(w.text))
		}
		b.WriteString(key + " {" + strings.Join(parts, ", ") + "}\n")
		return
	}
	if s.remark != "" {
		key += "  " + s.remark
	}
	b.WriteString(key + "\n")
	if s.from != "" {
		b.WriteString(margin + "  from: " + quoted(s.from) + "\n")
	}
	for _, f := range s.figures {
		f.write(b, margin+"  ")
	}
	for _, w := range s.words {
		b.WriteString(margin + "  " + w.key + ": " + w.text + "\n")
	}
}

func quoted(s string) string {
	if strings.ContainsAny(s, ",:") {
		return "'" + s + "'"
	}
	return s
}

func (f aFigure) write(b *strings.Builder, margin string) {
	for line := range strings.Lines(f.above) {
		b.WriteString(margin + strings.TrimSuffix(line, "\n") + "\n")
	}
	beside := ""
	if f.beside != "" {
		beside = "  " + f.beside
	}
	b.WriteString(margin + f.key + ":")
	switch {
	case f.manner < 2 && !f.severalClaims || f.takenAway:
		b.WriteString(" " + f.inBraces() + beside + "\n")
	case !f.severalClaims:
		b.WriteString(beside + "\n")
		f.claims[0].inLines(b, margin+"  ")
	case f.manner == 0:
		b.WriteString(" " + f.inBraces() + beside + "\n")
	default:
		b.WriteString(beside + "\n" + margin + "  claims:\n")
		for _, c := range f.claims {
			b.WriteString(margin + "    " + c.key + ":")
			if f.manner == 1 {
				b.WriteString(" " + c.inBraces() + "\n")
				continue
			}
			b.WriteString("\n")
			c.inLines(b, margin+"      ")
		}
	}
}

func (f aFigure) inBraces() string {
	switch {
	case f.takenAway:
		return "removed"
	case !f.severalClaims && f.manner == 0 && f.claims[0].source == "":
		return f.claims[0].printed
	case !f.severalClaims:
		return f.claims[0].inBraces()
	}
	var parts []string
	for _, c := range f.claims {
		parts = append(parts, c.key+": "+c.inBraces())
	}
	return "{claims: {" + strings.Join(parts, ", ") + "}}"
}

func (c aClaim) entries() []string {
	entries := []string{"is: " + c.printed}
	if c.source != "" {
		entries = append(entries, "from: "+quoted(strings.TrimSpace(c.source+" "+c.locator)))
	}
	if c.note != "" {
		entries = append(entries, "note: "+quoted(c.note))
	}
	if c.aside != "" {
		entries = append(entries, "set_aside: "+c.aside)
	}
	return entries
}

func (c aClaim) inBraces() string { return "{" + strings.Join(c.entries(), ", ") + "}" }

func (c aClaim) inLines(b *strings.Builder, margin string) {
	for _, e := range c.entries() {
		b.WriteString(margin + e + "\n")
	}
}
