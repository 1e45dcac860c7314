package forms

import (
	"strings"

	"fourmarks.example/lint/report"
)

// Columns of a line: the figure, and its sources with how far it is established.
const (
	valueColumn    = 30
	standingColumn = 61
)

// Text lays a document out for a terminal of so many columns. It never uses more
// where words can be broken.
func Text(d Document, width int) string {
	t := &texter{width: width}
	t.line(d.Title)
	t.wrapped(0, d.Subtitle)
	t.blank()
	t.line("Before you touch it")
	for _, c := range d.Cautions {
		text := "! " + c.Value
		if c.Standing != "" {
			text += " (" + c.Standing + ")"
		}
		t.wrapped(2, text)
	}
	t.blank()
	t.wrapped(0, d.Legend)
	for _, band := range d.Bands {
		for _, s := range band.Sections {
			t.section(s)
		}
		if band.Beside != nil && len(band.Beside.Rows) > 0 {
			t.section(*band.Beside)
		}
	}
	return strings.TrimRight(t.String(), "\n") + "\n"
}

type texter struct {
	strings.Builder
	width int
}

func (t *texter) line(s string) { t.WriteString(strings.TrimRight(report.Inert(s), " ") + "\n") }

// blank leaves one line empty, and no second one.
func (t *texter) blank() {
	if !strings.HasSuffix(t.String(), "\n\n") {
		t.line("")
	}
}

// wrapped writes a text at an indent, broken at its spaces; what follows the
// first line stands two further in.
func (t *texter) wrapped(indent int, s string) {
	if s == "" {
		return
	}
	for i, part := range report.Wrap(report.Inert(s), max(t.width-indent-2, 10)) {
		t.line(strings.Repeat(" ", indent+2*min(i, 1)) + part)
	}
}

func (t *texter) section(s Section) {
	t.blank()
	t.line(s.Title)
	t.wrapped(2, s.Lead)
	for _, table := range s.Tables {
		t.table(table)
	}
	if s.Title == sourcesTitle {
		for _, r := range s.Rows {
			t.wrapped(2, r.Name+"  "+r.Value)
		}
		return
	}
	t.rows(s.Rows)
	t.rows(s.Notes)
	for i, step := range s.Steps {
		mark := "- "
		if len(s.Steps) > 1 && s.Title == lastStepTitle {
			mark = string(rune('1'+i)) + ". "
		}
		t.wrapped(2, mark+step)
	}
}

func (t *texter) rows(rows []Row) {
	for _, r := range rows {
		t.row(r, 2)
	}
}

// row writes name, figure, and what stands behind it in columns. What is too
// long for its column is broken or moved to the next line.
func (t *texter) row(r Row, indent int) {
	if r.Value == "" && r.By != "" {
		t.row(Row{Name: r.Name, Value: "from " + r.By}, indent)
		return
	}
	value := r.Value
	if r.Derived {
		value = "~" + value
	}
	if r.Also != "" {
		value += " = " + r.Also
	}
	name := strings.Repeat(" ", indent) + report.Inert(r.Name)
	right := strings.TrimSpace(bracketed(r.Marks) + " " + r.Standing)
	column := valueColumn
	if t.width < standingColumn {
		column = min(column, t.width/3)
	}
	if report.Width(name) > column-2 {
		t.wrapped(indent, r.Name)
		name = ""
	}
	room := t.width - column
	if right != "" && report.Width(value) < standingColumn-column-1 && t.width > standingColumn+report.Width(right) {
		t.line(padded(padded(name, column)+report.Inert(value), standingColumn) + right)
	} else {
		if right != "" {
			value += " " + right
		}
		for _, part := range report.Wrap(report.Inert(value), max(room, 10)) {
			t.line(padded(name, column) + part)
			name = ""
		}
	}
	for _, m := range r.More {
		t.row(m, indent+2)
	}
	t.by(r)
}

// by writes what a derived figure follows from.
func (t *texter) by(r Row) {
	if r.By != "" {
		t.row(Row{Name: "from", Value: r.By}, 4)
	}
}

// bracketed is the marks of sources: [a b].
func bracketed(marks []string) string {
	if len(marks) == 0 {
		return ""
	}
	return "[" + strings.Join(marks, " ") + "]"
}

func padded(s string, columns int) string {
	return s + strings.Repeat(" ", max(columns-report.Width(s), 0))
}

// table writes columns as wide as they must be. Where they do not fit, the widest
// are narrowed and their cells broken.
func (t *texter) table(table Table) {
	rows := [][]string{table.Head}
	for _, cells := range table.Rows {
		texts, below := make([]string, len(cells)), make([]string, len(cells))
		for i, c := range cells {
			texts[i], below[i] = cellText(c), c.Below
		}
		rows = append(rows, texts)
		if strings.Join(below, "") != "" {
			rows = append(rows, below)
		}
	}
	widths := t.widths(rows)
	t.blank()
	for i, row := range rows {
		t.cells(row, widths)
		if i == 0 {
			t.rule(widths)
		}
	}
	t.blank()
}

// rule is the line under the heads of a table.
func (t *texter) rule(widths []int) {
	rule := make([]string, len(widths))
	for i, w := range widths {
		rule[i] = strings.Repeat("-", w)
	}
	t.cells(rule, widths)
}

func cellText(c Cell) string {
	text := c.Text
	if c.Derived {
		text = "~" + text
	}
	return strings.TrimSpace(text + " " + bracketed(c.Marks))
}

const indent, apart = 2, 2

func (t *texter) widths(rows [][]string) []int {
	columns := len(rows[0])
	widths, words, parts := make([]int, columns), make([]int, columns), make([]int, columns)
	total := indent
	for i := range widths {
		for _, row := range rows {
			text := report.Inert(row[i])
			widths[i] = max(widths[i], report.Width(text))
			for _, word := range strings.Fields(text) {
				words[i] = max(words[i], report.Width(word))
				for _, part := range strings.SplitAfter(word, "-") {
					parts[i] = max(parts[i], report.Width(part))
				}
			}
		}
		total += widths[i] + apart
	}
	for ; total-apart > t.width; total-- {
		narrow(widths, words, parts)
	}
	return widths
}

// narrow takes a column off the widest that can spare it: without breaking a
// word, or else without breaking one but behind a hyphen, or else off the widest.
func narrow(widths []int, leasts ...[]int) {
	for _, least := range append(leasts, make([]int, len(widths))) {
		widest := -1
		for i, w := range widths {
			if w > max(least[i], 1) && (widest < 0 || w > widths[widest]) {
				widest = i
			}
		}
		if widest >= 0 {
			widths[widest]--
			return
		}
	}
}

func (t *texter) cells(row []string, widths []int) {
	parts := make([][]string, len(row))
	lines := 0
	for i, text := range row {
		parts[i] = report.Wrap(report.Inert(text), widths[i])
		lines = max(lines, len(parts[i]))
	}
	for n := range lines {
		line := strings.Repeat(" ", indent)
		for i, cell := range parts {
			text := ""
			if n < len(cell) {
				text = cell[n]
			}
			line += padded(text, widths[i]+apart)
		}
		t.line(line)
	}
}
