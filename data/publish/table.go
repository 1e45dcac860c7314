package publish

import (
	"fourmarks.example/data/release"
)

// Base is what the tables call the series of an engine that is no variant. No
// variant is called so, for its name would have no brackets.
const Base = "(base)"

// kind is the type of a column.
type kind string

const (
	text    kind = "string"
	integer kind = "integer"
	number  kind = "number"
	truth   kind = "boolean"
)

// column is one column of a table.
type column struct {
	name  string
	kind  kind
	about string
	// always is set where no row leaves it empty.
	always bool
}

// reference says that columns of a table name a row of another.
type reference struct {
	columns []string
	table   string
	there   []string
}

// table is one table of a release, the same in SQLite and CSV.
type table struct {
	name, about string
	columns     []column
	key         []string
	references  []reference
	// rows yields the rows of one engine; nil for a table that is written once.
	rows func(e *release.Engine, yield func(row))
}

// row holds a value for each column: string, int, float64, bool, or nil.
type row []any

// field is a column with what stands in it.
type field[T any] struct {
	column
	of func(T) any
}

func columnsOf[T any](fields []field[T]) []column {
	all := make([]column, len(fields))
	for i, f := range fields {
		all[i] = f.column
	}
	return all
}

func rowOf[T any](fields []field[T], of T) row {
	r := make(row, len(fields))
	for i, f := range fields {
		r[i] = f.of(of)
	}
	return r
}

// words is a text, nil where there is none.
func words(s string) any {
	if s == "" {
		return nil
	}
	return s
}

// amount is a number, nil where there is none.
func amount(x *float64) any {
	if x == nil {
		return nil
	}
	return *x
}

// count is a whole number or year, nil where there is none.
func count(n int) any {
	if n == 0 {
		return nil
	}
	return n
}

func must(name string, about string) column {
	return column{name: name, kind: text, about: about, always: true}
}
func may(name string, k kind, about string) column {
	return column{name: name, kind: k, about: about}
}

// place is a figure, or a claim of one, with where it stands.
type place struct {
	engine  *release.Engine
	variant string
	figure  *release.Figure
	path    string
	number  int
	claim   *release.Claim
	word    release.Word
}

func engineAndVariant() []field[place] {
	return []field[place]{
		{must("engine", "id of the engine"), func(p place) any { return p.engine.ID }},
		{must("variant", "name of the variant; "+Base+" for the engine itself"), func(p place) any { return p.variant }},
	}
}

// each calls for the base and every variant.
func each(e *release.Engine, do func(variant string, s *release.Series)) {
	do(Base, &e.Series)
	for i := range e.Variants {
		do(e.Variants[i].Name, &e.Variants[i].Series)
	}
}

var toVariant = reference{columns: []string{"engine", "variant"}, table: "variants", there: []string{"engine", "variant"}}
