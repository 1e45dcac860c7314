package intake

import (
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/convert"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// What a column can hold that is no figure.
const (
	engineColumn  = "engine"  // the engine's id
	makerColumn   = "maker"   // with model: what the id is made from where there is none
	modelColumn   = "model"   //
	titleColumn   = "title"   // the engine's name, for one that is new
	madeColumn    = "made"    // its years
	variantColumn = "variant" // which variant the figures are of
	sourceColumn  = "source"  // the id of the row's own source
	locatorColumn = "locator" // where in it
	remarkColumn  = "remark"  // goes along as a remark
	ignored       = "ignored" // is left out
)

var otherColumns = []string{engineColumn, makerColumn, modelColumn, titleColumn, madeColumn, variantColumn, sourceColumn, locatorColumn, remarkColumn, ignored}

// Mapping says how a spreadsheet is read.
type Mapping struct {
	Source string
	By     string
	On     string
	Note   string

	sources string // the `sources` section as it is written
	columns map[string]column
}

// column is what one column holds.
type column struct {
	holds string // one of otherColumns, or "" for a figure
	slot  slot
	after string // follows what stands in each cell: a unit, a dead centre
}

// Propose returns the text of a mapping made from the headers, for a person to
// look over and complete.
func Propose(t *Table) []byte {
	var b strings.Builder
	b.WriteString(`# How the spreadsheet is read. Look it over, fill in what is empty, and give it
# to fourmarks import with --mapping.
import: 1
source:            # id of the source that the figures were taken from
by:                # who contributes them
on:                # when, as 2026-11-25
note:              # where and how they were read
# A source the dataset does not have yet is described here:
# sources:
#   club-sheet: {title: Club sheet, type: document, grade: later, rights: facts only}

# Each column: a figure by its path, with what stands after every cell of it where
# the header says it (a unit, a dead centre); or one of
# `)
	b.WriteString(strings.Join(otherColumns, ", "))
	b.WriteString(".\ncolumns:\n")
	for i, h := range t.Headers {
		if h == "" {
			continue
		}
		fmt.Fprintf(&b, "  %s: %s\n", text.Spell(h, false), proposal(h, t.example(i)))
	}
	return []byte(b.String())
}

// example is the first text in a column.
func (t *Table) example(column int) string {
	for _, r := range t.Rows {
		if s := r.cell(column); s != "" {
			return s
		}
	}
	return ""
}

// proposal is what a header is taken to mean, as the mapping writes it.
func proposal(header, example string) string {
	name := strings.ToLower(strings.Trim(header, " .:"))
	switch {
	case slices.Contains(otherColumns, name):
		return name
	case slices.Contains([]string{"make", "manufacturer"}, name):
		return makerColumn
	case slices.Contains([]string{"type", "series"}, name):
		return variantColumn
	case slices.Contains([]string{"year", "years", "date"}, name):
		return madeColumn
	case slices.Contains([]string{"page", "page no", "ref"}, name):
		return locatorColumn
	case slices.Contains([]string{"reference", "book"}, name):
		return sourceColumn
	}
	words, after := suffix(header)
	found := meant(words)
	switch {
	case len(found) == 0:
		return remarkColumn
	case len(found) > 1:
		return remarkColumn + "  # " + strings.Join(dotted(found[:min(3, len(found))]), " or ") + "?"
	}
	if after == "" || strings.Contains(strings.ToLower(example), strings.ToLower(after)) {
		return strings.Join(found[0].path, ".")
	}
	return fmt.Sprintf("{figure: %s, after: %s}", strings.Join(found[0].path, "."), text.Spell(after, true))
}

func dotted(all []slot) []string {
	var out []string
	for _, s := range all {
		out = append(out, strings.Join(s.path, "."))
	}
	return out
}

// suffix splits a header into its words and the units and dead centres that hold
// for all cells below.
func suffix(header string) (words []string, after string) {
	var units []string
	for _, f := range strings.Fields(strings.NewReplacer("(", " ", ")", " ", "[", " ", "]", " ", ",", " ").Replace(header)) {
		upper := strings.ToUpper(strings.ReplaceAll(f, ".", ""))
		_, err := convert.ParseUnit(f)
		switch {
		case slices.Contains([]string{"BTDC", "ATDC", "BBDC", "ABDC"}, upper):
			units = append(units, upper)
		case len(words) > 0 && (f == "°" || strings.EqualFold(f, "deg") || strings.EqualFold(f, "degrees")):
		case len(words) > 0 && err == nil && !strings.EqualFold(f, "hp"):
			units = append(units, f)
		default:
			words = append(words, wordsOf(f)...)
		}
	}
	return words, strings.Join(units, " ")
}

// meant returns the places that the words of a header fit best: all words of the
// key and no word that is strange to it, and as few words of the sections around it
// left unsaid as can be.
func meant(words []string) []slot {
	var best []slot
	least := 0
	for _, s := range slots() {
		if !containsAll(words, s.words) || !containsAll(slices.Concat(s.words, s.around), words) {
			continue
		}
		unsaid := 0
		for _, w := range s.around {
			if !slices.Contains(words, w) {
				unsaid++
			}
		}
		if len(best) == 0 || unsaid < least {
			best, least = nil, unsaid
		}
		if unsaid == least {
			best = append(best, s)
		}
	}
	return ordinary(best, words)
}

// ordinary drops what no word asks for where something else is left: the figures of
// the checking clearance and of the magneto.
func ordinary(all []slot, words []string) []slot {
	kept := slices.DeleteFunc(slices.Clone(all), func(s slot) bool {
		return slices.ContainsFunc([]string{"checking", "magneto"}, func(w string) bool { return slices.Contains(s.around, w) && !slices.Contains(words, w) })
	})
	if len(kept) == 0 {
		return all
	}
	return kept
}

func containsAll(words, needed []string) bool {
	for _, w := range needed {
		if !slices.Contains(words, w) {
			return false
		}
	}
	return len(needed) > 0
}

// ReadMapping reads a mapping for a table. Its errors name the line.
func ReadMapping(name string, source []byte, t *Table) (*Mapping, error) {
	f := schema.ReadFile(name, source)
	r := &mappingReader{file: f, m: &Mapping{columns: map[string]column{}}}
	if len(f.Doc.Problems) > 0 {
		p := f.Doc.Problems[0]
		line, _ := f.Doc.Position(p.Span.Start)
		return nil, fmt.Errorf("%s:%d: %s", name, line, p.Message)
	}
	root := f.Doc.Root
	if root.Kind != text.Map || root.Get("import") == nil {
		return nil, fmt.Errorf("%s: this is no mapping: it starts with `import: 1`", name)
	}
	for _, e := range root.Entries {
		r.entry(e)
	}
	for _, h := range t.Headers {
		if _, ok := r.m.columns[h]; !ok && h != "" && r.err == nil {
			r.err = fmt.Errorf("%s: nothing is said of the column %q; say what it holds, or `remark`, or `ignored`", name, h)
		}
	}
	for header := range r.m.columns {
		if !slices.Contains(t.Headers, header) && r.err == nil {
			r.err = fmt.Errorf("%s: the spreadsheet has no column %q%s", name, header, schema.DidYouMean(header, t.Headers))
		}
	}
	for _, needed := range []struct{ key, is string }{{"by", r.m.By}, {"note", r.m.Note}} {
		if needed.is == "" && r.err == nil {
			r.err = fmt.Errorf("%s: `%s` is empty, and no contribution is taken without it", name, needed.key)
		}
	}
	if r.m.Source == "" && !r.m.has(sourceColumn) && r.err == nil {
		r.err = fmt.Errorf("%s: `source` is empty, and no column holds the source of its row", name)
	}
	if !r.m.has(engineColumn) && !(r.m.has(makerColumn) && r.m.has(modelColumn)) && r.err == nil {
		r.err = fmt.Errorf("%s: no column says which engine a row is of: map one to `engine`, or two to `maker` and `model`", name)
	}
	return r.m, r.err
}

func (m *Mapping) has(what string) bool {
	for _, c := range m.columns {
		if c.holds == what {
			return true
		}
	}
	return false
}

type mappingReader struct {
	file *schema.File
	m    *Mapping
	err  error // the first
}

func (r *mappingReader) fail(n *text.Node, format string, args ...any) {
	if r.err == nil {
		line, _ := r.file.Doc.Position(n.Span.Start)
		r.err = fmt.Errorf("%s:%d: %s", r.file.Name, line, fmt.Sprintf(format, args...))
	}
}

func (r *mappingReader) entry(e text.Entry) {
	key, v := e.Key.Text, e.Value
	plain := map[string]*string{"source": &r.m.Source, "by": &r.m.By, "on": &r.m.On, "note": &r.m.Note}
	switch into := plain[key]; {
	case into != nil && v.Kind == text.Scalar:
		*into = strings.TrimSpace(v.Text)
	case key == "import" && v.Text == "1":
	case key == "sources" && v.Kind == text.Map:
		r.m.sources = string(r.file.Doc.Source[r.file.Doc.Extent(&e).Start:v.Span.End])
	case key == "columns" && v.Kind == text.Map:
		for _, c := range v.Entries {
			r.column(c)
		}
	default:
		r.fail(e.Key, "`%s` does not belong in a mapping like this; fourmarks import --help shows one", key)
	}
}

func (r *mappingReader) column(e text.Entry) {
	path, after := e.Value, ""
	if e.Value.Kind == text.Map {
		path = e.Value.Get("figure")
		if a := e.Value.Get("after"); a != nil {
			after = a.Text
		}
	}
	if path == nil || path.Kind != text.Scalar || path.Text == "" {
		r.fail(e.Key, "say what the column %q holds: a figure such as size.bore, or one of %s", e.Key.Text, strings.Join(otherColumns, ", "))
		return
	}
	if slices.Contains(otherColumns, path.Text) {
		r.m.columns[e.Key.Text] = column{holds: path.Text}
		return
	}
	s, ok := slotAt(path.Text)
	if !ok {
		r.fail(path, "the format has no figure %q%s", path.Text, schema.DidYouMean(path.Text, dotted(slots())))
		return
	}
	r.m.columns[e.Key.Text] = column{slot: s, after: after}
}
