package publish

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"fourmarks.example/lint/report"
)

// csvForm writes every table as CSV (RFC 4180): a line of column names, lines
// that end in CR LF, empty for what is not there.
type csvForm struct {
	folder *Folder
	tables []table
	files  []*File
}

func csvFile(t table) string { return "csv/" + t.name + ".csv" }

func newCSV(f *Folder) (Form, error) {
	c := &csvForm{folder: f, tables: tables()}
	for _, t := range c.tables {
		file, err := f.Create(csvFile(t))
		if err != nil {
			return nil, err
		}
		c.files = append(c.files, file)
		names := make(row, len(t.columns))
		for i, column := range t.columns {
			names[i] = column.name
		}
		b, err := csvLines([]row{names})
		if err != nil {
			return nil, err
		}
		if _, err := file.Write(b); err != nil {
			return nil, err
		}
	}
	return c, nil
}

func (c *csvForm) Prepare(p *Prepared) (any, error) {
	lines := make([][]byte, len(c.tables))
	for i := range c.tables {
		b, err := csvLines(p.rows[i])
		if err != nil {
			return nil, err
		}
		lines[i] = b
	}
	return lines, nil
}

func (c *csvForm) Add(prepared any) error {
	for i, lines := range prepared.([][]byte) {
		if _, err := c.files[i].Write(lines); err != nil {
			return err
		}
	}
	return nil
}

func (c *csvForm) End(w *Whole) error {
	for i, t := range c.tables {
		lines, err := csvLines(w.rows(t))
		if err != nil {
			return err
		}
		if _, err := c.files[i].Write(lines); err != nil {
			return err
		}
		if err := c.files[i].Close(); err != nil {
			return err
		}
	}
	return nil
}

func (c *csvForm) Close() error { return nil }

func csvLines(rows []row) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	for _, r := range rows {
		cells := make([]string, len(r))
		for i, v := range r {
			cells[i] = cell(v)
		}
		if err := w.Write(cells); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// cell is a value as a cell. A text is made safe: see [safeCell].
func cell(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case string:
		return safeCell(v)
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return fmt.Sprint(v)
}

// formulaStarts are what a spreadsheet takes for the start of a formula, in the
// widths it knows, and the mark that says a text follows.
const formulaStarts = "=+-@'＝＋－＠"

// safeCell is a text as a cell of a table that may be opened in a spreadsheet.
// One that would be taken for a formula has an apostrophe before it; to undo
// that, take one apostrophe off the front. Line ends, control characters and
// what would reorder or hide text are written out as \u{1B}.
func safeCell(s string) string {
	s = report.Inert(s)
	if first := strings.TrimLeft(s, " \u00a0"); first != "" && strings.ContainsAny(string([]rune(first)[0]), formulaStarts) {
		return "'" + s
	}
	return s
}
