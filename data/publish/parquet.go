package publish

import (
	"fmt"
	"slices"

	"github.com/parquet-go/parquet-go"

	"fourmarks.example/data/release"
)

const parquetFile = "figures.parquet"

// perRowGroup bounds what is gathered before it is written.
const perRowGroup = 100_000

// parquetForm writes every figure as one row, the engine's name and years beside
// it, so that one file answers questions over the whole dataset.
type parquetForm struct {
	fields []field[place]
	file   *File
	writer *parquet.Writer
	rows   int
}

// parquetFields are the columns of the figures with what is known of the engine.
func parquetFields() []field[place] {
	figures := figureFields()
	return slices.Concat(figures[:1], []field[place]{
		{must("title", "name of the engine"), func(p place) any { return p.engine.Title }},
		{may("first_year", integer, "first year of make of the engine"), func(p place) any { return count(p.engine.First) }},
		{may("last_year", integer, "last year of make of the engine; empty while open"), func(p place) any { return count(p.engine.Last) }},
	}, figures[1:])
}

func newParquet(f *Folder) (Form, error) {
	file, err := f.Create(parquetFile)
	if err != nil {
		return nil, err
	}
	p := &parquetForm{fields: parquetFields(), file: file}
	// The same bytes on every platform: the library's snappy and its dictionaries
	// are written otherwise where they are in assembly. Every reader knows gzip and
	// plain texts, and together they are no larger.
	p.writer = parquet.NewWriter(file, parquet.NewSchema("figure", inOrder(columnsOf(p.fields))), parquet.Compression(&parquet.Gzip),
		parquet.CreatedBy("fourmarks", release.Version, ""))
	return p, nil
}

// columnsInOrder is a group of columns that stay in their order; the library's
// own sorts them by name.
type columnsInOrder struct {
	parquet.Group
	fields []parquet.Field
}

func (c columnsInOrder) Fields() []parquet.Field { return c.fields }

func inOrder(columns []column) parquet.Node {
	types := map[kind]parquet.Node{text: parquet.Encoded(parquet.String(), &parquet.Plain), integer: parquet.Int(64),
		number: parquet.Leaf(parquet.DoubleType), truth: parquet.Leaf(parquet.BooleanType)}
	group := parquet.Group{}
	for _, c := range columns {
		group[c.name] = types[c.kind]
		if !c.always {
			group[c.name] = parquet.Optional(types[c.kind])
		}
	}
	sorted := group.Fields()
	fields := make([]parquet.Field, len(columns))
	for i, c := range columns {
		fields[i] = sorted[slices.IndexFunc(sorted, func(f parquet.Field) bool { return f.Name() == c.name })]
	}
	return columnsInOrder{group, fields}
}

func (p *parquetForm) Prepare(is *Prepared) (any, error) {
	var rows []parquet.Row
	e := is.Published
	each(e, func(variant string, s *release.Series) {
		for i := range s.Figures {
			at := place{engine: e, variant: variant, figure: &s.Figures[i]}
			r := make(parquet.Row, len(p.fields))
			for k, f := range p.fields {
				r[k] = parquetValue(f.of(at), k, f.always)
			}
			rows = append(rows, r)
		}
	})
	return rows, nil
}

func parquetValue(v any, column int, always bool) parquet.Value {
	defined := 1
	if always {
		defined = 0
	}
	switch v := v.(type) {
	case nil:
		return parquet.NullValue().Level(0, 0, column)
	case int:
		return parquet.Int64Value(int64(v)).Level(0, defined, column)
	}
	return parquet.ValueOf(v).Level(0, defined, column)
}

func (p *parquetForm) Add(prepared any) error {
	rows := prepared.([]parquet.Row)
	if _, err := p.writer.WriteRows(rows); err != nil {
		return fmt.Errorf("%s: %w", parquetFile, err)
	}
	if p.rows += len(rows); p.rows < perRowGroup {
		return nil
	}
	p.rows = 0
	return p.writer.Flush()
}

func (p *parquetForm) End(*Whole) error {
	if err := p.writer.Close(); err != nil {
		return fmt.Errorf("%s: %w", parquetFile, err)
	}
	return p.file.Close()
}

func (p *parquetForm) Close() error { return nil }
