package intake

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/text"
)

// Contribution is what came of one row.
type Contribution struct {
	Row     int
	Engine  string
	Figures int
	// Name is a name for its file, Text what is in it.
	Name string
	Text []byte
}

// Correction is a cell that could not be read.
type Correction struct {
	Row    int    `json:"row"`
	Column string `json:"column"` // letters, as a spreadsheet has them
	Header string `json:"header"`
	Text   string `json:"text"`
	Why    string `json:"why"`
}

// Known tells what the dataset has already.
type Known struct{ Source, Engine func(id string) bool }

// Import makes a contribution of every row that says anything, and lists every cell
// that cannot be read. An engine that the dataset does not have is named by its
// title, or by its maker and model.
func Import(t *Table, m *Mapping, known Known) ([]Contribution, []Correction) {
	var made []Contribution
	var wrong []Correction
	for _, r := range t.Rows {
		one := &rowReader{table: t, mapping: m, row: r, known: known}
		if c, ok := one.read(); ok {
			made = append(made, c)
		}
		wrong = append(wrong, one.wrong...)
	}
	return made, wrong
}

// rowReader reads one row.
type rowReader struct {
	table   *Table
	mapping *Mapping
	row     Row
	known   Known

	words   map[string]string // what is no figure, by what it is
	remarks []string
	figures tree
	from    map[string]int // the column that a path came from
	wrong   []Correction
}

func (r *rowReader) fail(column int, format string, args ...any) {
	r.wrong = append(r.wrong, Correction{Row: r.row.Number, Column: Letters(column), Header: r.table.Headers[column], Text: r.row.cell(column), Why: fmt.Sprintf(format, args...)})
}

// column returns the first column that holds something of this kind, or −1.
func (r *rowReader) column(what string) int {
	return slices.IndexFunc(r.table.Headers, func(h string) bool { return r.mapping.columns[h].holds == what })
}

func (r *rowReader) read() (Contribution, bool) {
	r.words, r.from = map[string]string{}, map[string]int{}
	for i, h := range r.table.Headers {
		s := r.row.cell(i)
		if s == "" || h == "" {
			continue
		}
		switch c := r.mapping.columns[h]; c.holds {
		case "":
			r.figure(i, c, s)
		case remarkColumn:
			r.remarks = append(r.remarks, h+": "+s)
		case ignored:
		default:
			r.words[c.holds] = s
		}
	}
	if len(r.words)+len(r.remarks)+len(r.from)+len(r.wrong) == 0 {
		return Contribution{}, false
	}
	engine, ok := r.engine()
	if source := r.source(); source == "" || !ok || len(r.from) == 0 {
		if ok && source != "" && len(r.wrong) == 0 {
			r.fail(0, "the row holds no figure")
		}
		return Contribution{}, false
	}
	c := Contribution{Row: r.row.Number, Engine: engine, Figures: len(r.from), Text: r.compose(engine)}
	c.Name = fmt.Sprintf("row-%04d-%s.yaml", r.row.Number, strings.ReplaceAll(engine, "/", "-"))
	return c, r.holds(c)
}

// figure reads one cell as a figure. Of two columns for one figure, each in a unit
// of its own, the second goes in brackets behind the first.
func (r *rowReader) figure(i int, c column, s string) {
	printed, path := s, strings.Join(c.slot.path, ".")
	if c.after != "" && strings.ContainsFunc(s, unicode.IsNumber) { // a word such as unknown stands alone
		printed += " " + c.after
	}
	if first, twice := r.figures.at(c.slot.path); twice {
		printed = first + " (" + printed + ")"
	}
	if err := c.slot.reads(printed); err != nil {
		r.fail(i, "%s", err)
		return
	}
	r.figures.put(c.slot.path, printed)
	r.from[path] = i
}

// reads reports why a text cannot stand at a place.
func (s slot) reads(printed string) error {
	if s.figure {
		_, err := figure.Read(s.kind, printed)
		return err
	}
	if len(s.choices) > 0 && !slices.Contains(s.choices, printed) {
		return fmt.Errorf("%q is none of %s%s", printed, strings.Join(s.choices, ", "), schema.DidYouMean(printed, s.choices))
	}
	return nil
}

// engine is the id of the row's engine.
func (r *rowReader) engine() (string, bool) {
	if id := r.words[engineColumn]; id != "" {
		maker, model, ok := strings.Cut(id, "/")
		if !ok || slug(maker) != maker || slug(model) != model {
			r.fail(r.column(engineColumn), "an engine's id is maker/model in small letters, digits and hyphens, such as penhallow/light-six")
			return "", false
		}
		return id, true
	}
	maker, model := slug(r.words[makerColumn]), slug(r.words[modelColumn])
	if maker == "" || model == "" {
		r.fail(max(0, r.column(makerColumn), r.column(engineColumn)), "the row does not say which engine it is of")
		return "", false
	}
	return maker + "/" + model, true
}

// unused are the cells that name an engine which is named otherwise, or that the
// dataset names itself: they go along as remarks.
func (r *rowReader) unused(engine string) []string {
	var columns, remarks []string
	if r.words[engineColumn] != "" {
		columns = append(columns, makerColumn, modelColumn)
	}
	if r.known.Engine(engine) {
		columns = append(columns, titleColumn, madeColumn)
	}
	for _, what := range columns {
		if s := r.words[what]; s != "" {
			remarks = append(remarks, r.table.Headers[r.column(what)]+": "+s)
		}
	}
	return remarks
}

// title is the name of an engine that is new.
func (r *rowReader) title(engine string) string {
	maker, model := r.words[makerColumn], r.words[modelColumn]
	return cmp.Or(r.words[titleColumn], strings.TrimSpace(maker+" "+model), engine)
}

// slug is a name as an id has it.
func slug(name string) string {
	var b strings.Builder
	for _, c := range strings.ToLower(name) {
		switch {
		case c >= 'a' && c <= 'z' || c >= '0' && c <= '9':
			b.WriteRune(c)
		case plainLetter[c] != "":
			b.WriteString(plainLetter[c])
		default:
			b.WriteByte(' ')
		}
	}
	return strings.Join(strings.Fields(b.String()), "-")
}

var plainLetter = map[rune]string{'ä': "ae", 'ö': "oe", 'ü': "ue", 'ß': "ss", 'é': "e", 'è': "e", 'ê': "e", 'ë': "e", 'á': "a", 'à': "a", 'â': "a", 'å': "a", 'ø': "o", 'ó': "o", 'ò': "o", 'ô': "o", 'í': "i", 'ì': "i", 'ï': "i", 'ú': "u", 'ù': "u", 'ç': "c", 'ñ': "n", 'š': "s", 'č': "c", 'ž': "z", 'ř': "r", 'ý': "y"}

// source is the citation of the row's figures, "" when it names a source of which
// there is no record.
func (r *rowReader) source() string {
	id, at := r.words[sourceColumn], r.column(sourceColumn)
	if id == "" {
		id, at = r.mapping.Source, max(0, at)
	}
	switch {
	case id == "":
		r.fail(at, "the row names no source, and the mapping has none for all")
		return ""
	case !r.known.Source(id) && !strings.Contains(r.mapping.sources, "\n  "+id+":"):
		r.fail(at, "there is no record of the source %q: describe it under `sources:` in the mapping, or give the id of one the dataset has", id)
		return ""
	}
	if where := r.words[locatorColumn]; where != "" {
		return id + " " + where
	}
	return fmt.Sprintf("%s row %d", id, r.row.Number)
}

// compose writes the contribution file of the row.
func (r *rowReader) compose(engine string) []byte {
	var head tree
	head.put(text.Path{"contribution"}, "1")
	head.put(text.Path{"engine"}, engine)
	for _, w := range []struct{ key, is string }{{"variant", r.words[variantColumn]}, {"by", r.mapping.By}, {"on", r.mapping.On}} {
		if w.is != "" {
			head.put(text.Path{w.key}, w.is)
		}
	}
	note := slices.Concat([]string{strings.TrimRight(r.mapping.Note, ".") + "."}, r.unused(engine), r.remarks)
	head.put(text.Path{"note"}, strings.Join(note, " "))
	var b strings.Builder
	head.write(&b, 0)
	if r.mapping.sources != "" {
		b.WriteString(strings.TrimRight(r.mapping.sources, "\n") + "\n")
	}
	b.WriteString("from: " + text.Spell(r.source(), false) + "\nfigures:\n")
	var named tree
	if !r.known.Engine(engine) {
		named.put(text.Path{titleColumn}, r.title(engine))
		if made := r.words[madeColumn]; made != "" {
			named.put(text.Path{madeColumn}, made)
		}
	}
	named.write(&b, 2)
	r.figures.write(&b, 2)
	return []byte(b.String())
}

// holds reports whether the file is a contribution without a fault, and lists what
// is wrong at the cell it came from.
func (r *rowReader) holds(c Contribution) bool {
	_, problems := schema.DecodeContribution(schema.ReadFile(c.Name, c.Text))
	for _, p := range problems {
		path, _ := text.ParsePointer(p.At.Pointer())
		i, found := -1, false
		for n := len(path); n > 1 && !found; n-- {
			i, found = r.from[strings.Join(path[1:n], ".")]
		}
		r.fail(max(i, 0), "%s", p.Message)
	}
	return len(problems) == 0
}

// tree is a map of maps in the order it was filled in.
type tree struct {
	keys  []string
	texts map[string]string
	below map[string]*tree
}

func (t *tree) at(path text.Path) (string, bool) {
	if len(path) == 1 {
		s, ok := t.texts[path[0]]
		return s, ok
	}
	if sub := t.below[path[0]]; sub != nil {
		return sub.at(path[1:])
	}
	return "", false
}

func (t *tree) put(path text.Path, s string) {
	key := path[0]
	if !slices.Contains(t.keys, key) {
		t.keys = append(t.keys, key)
	}
	if len(path) == 1 {
		if t.texts == nil {
			t.texts = map[string]string{}
		}
		t.texts[key] = s
		return
	}
	if t.below == nil {
		t.below = map[string]*tree{}
	}
	if t.below[key] == nil {
		t.below[key] = &tree{}
	}
	t.below[key].put(path[1:], s)
}

func (t *tree) write(b *strings.Builder, indent int) {
	for _, key := range t.keys {
		b.WriteString(strings.Repeat(" ", indent) + text.Spell(key, false) + ":")
		if s, ok := t.texts[key]; ok {
			b.WriteString(" " + spelled(s) + "\n")
			continue
		}
		b.WriteByte('\n')
		t.below[key].write(b, indent+2)
	}
}

// spelled leaves whole numbers and decimals plain, as people write figures.
func spelled(s string) string {
	if strings.Trim(s, "0123456789.") == "" && strings.Trim(s, ".") == s && strings.Count(s, ".") <= 1 {
		return s
	}
	return text.Spell(s, false)
}

// ErrNothing says that no row holds anything.
var ErrNothing = errors.New("no row below the headers holds anything")

// Corrections writes what could not be read as comma separated values, to be
// mended in the spreadsheet it came from. A cell that a spreadsheet would take for
// a formula has an apostrophe before it.
func Corrections(wrong []Correction) ([]byte, error) {
	slices.SortStableFunc(wrong, func(a, b Correction) int {
		return cmp.Or(cmp.Compare(a.Row, b.Row), cmp.Compare(len(a.Column), len(b.Column)), cmp.Compare(a.Column, b.Column))
	})
	lines := [][]string{{"row", "column", "header", "text", "why"}}
	for _, c := range wrong {
		lines = append(lines, []string{fmt.Sprint(c.Row), c.Column, c.Header, c.Text, c.Why})
	}
	return writeTable(lines)
}
