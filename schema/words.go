package schema

import "reflect"

// Remark is a value of an engine that is not a figure, with its path.
type Remark struct {
	Path string
	Word
	// Source marks the source that a section names for its figures.
	Source bool
}

// Words returns the values of an engine that are not figures, section by
// section in the order of the schema: choices such as `read_at`, names and
// notes, and for each section the source it names. What belongs to no section
// of figures is left out: the head of the file, sources, variants, acceptances.
func (e *Engine) Words() []Remark {
	var all []Remark
	root := planFor[Engine]()
	of := reflect.ValueOf(e).Elem()
	for _, f := range root.fields {
		switch {
		case f.key == "sources" || f.key == "variants":
		case f.shape == sectionShape || f.shape == groupShape:
			all = appendWords(all, f, f.key, of.Field(f.index))
		}
	}
	return all
}

// appendWords appends the words of a section, a group of sections or one word.
func appendWords(all []Remark, f field, path string, value reflect.Value) []Remark {
	switch f.shape {
	case wordShape:
		if w := value.Interface().(Word); w.Given() {
			all = append(all, Remark{Path: path, Word: w})
		}
	case wordListShape:
		for _, w := range value.Interface().([]Word) {
			all = append(all, Remark{Path: path, Word: w})
		}
	case groupShape:
		for i := range value.Len() {
			one := value.Index(i)
			all = appendWords(all, field{shape: sectionShape, elem: f.elem}, join(path, one.FieldByName("Name").String()), one.FieldByName("Value"))
		}
	case sectionShape:
		if value.IsNil() {
			return all
		}
		section := value.Elem()
		s := section.Field(0).Interface().(Section)
		if s.From.Given() {
			all = append(all, Remark{Path: join(path, "from"), Word: Word{Text: s.From.String(), At: s.From.At}, Source: true})
		}
		for _, below := range f.elem.fields {
			all = appendWords(all, below, join(path, below.key), section.Field(below.index))
		}
		if s.Note.Given() {
			all = append(all, Remark{Path: join(path, "note"), Word: s.Note})
		}
	}
	return all
}

// Sections lists the sections of an engine in the order of the schema.
func Sections() []string {
	fields := planFor[Engine]().fields
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.key
	}
	return names
}
