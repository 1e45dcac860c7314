package intake

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Table is a spreadsheet: its headers, and its rows as long as they are.
type Table struct {
	Headers []string
	Rows    []Row
}

// Row is one line of a spreadsheet.
type Row struct {
	// Number is that of the row as a spreadsheet shows it, the headers being row 1.
	Number int
	Cells  []string
}

// cell returns the text of a column, "" where the row ends before it.
func (r Row) cell(column int) string {
	if column >= len(r.Cells) {
		return ""
	}
	return strings.TrimSpace(r.Cells[column])
}

// largestTable bounds a spreadsheet in bytes: it is read whole.
const largestTable = 64 << 20

// ReadTable reads comma separated values (RFC 4180); semicolons and tabs part the
// cells too, whichever the headers have most of. It is an error when the text is
// not UTF-8, when a quote is not closed, when a row has more cells than there are
// headers, or when two columns have one header.
func ReadTable(source []byte) (*Table, error) {
	if len(source) > largestTable {
		return nil, fmt.Errorf("the file is larger than %d MiB: part it", largestTable>>20)
	}
	source = bytes.TrimPrefix(source, []byte("\ufeff"))
	if at := invalid(source); at >= 0 {
		return nil, fmt.Errorf("line %d is not text in UTF-8: save the spreadsheet as CSV in UTF-8", 1+bytes.Count(source[:at], []byte("\n")))
	}
	r := csv.NewReader(bytes.NewReader(source))
	r.Comma, r.FieldsPerRecord = separator(source), -1
	t := &Table{}
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		if t.Headers == nil {
			t.Headers = cells
			continue
		}
		t.Rows = append(t.Rows, Row{Number: len(t.Rows) + 2, Cells: cells})
	}
	return t, t.check()
}

// invalid is where a text stops being UTF-8, or -1.
func invalid(source []byte) int {
	for i := 0; i < len(source); {
		r, size := utf8.DecodeRune(source[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return -1
}

func separator(source []byte) rune {
	line, _, _ := bytes.Cut(source, []byte("\n"))
	best, most := ',', 0
	for _, s := range []rune{',', ';', '\t'} {
		if n := strings.Count(string(line), string(s)); n > most {
			best, most = s, n
		}
	}
	return best
}

func (t *Table) check() error {
	if len(t.Headers) == 0 {
		return errors.New("the file is empty: its first row names the columns")
	}
	seen := map[string]int{}
	for i, h := range t.Headers {
		t.Headers[i] = strings.Join(strings.Fields(h), " ")
		switch first, twice := seen[t.Headers[i]]; {
		case t.Headers[i] == "" && t.holds(i):
			return fmt.Errorf("column %s has no header: name what it holds in its first row", Letters(i))
		case twice && t.Headers[i] != "":
			return fmt.Errorf("columns %s and %s are both headed %q: name them apart", Letters(first), Letters(i), t.Headers[i])
		}
		seen[t.Headers[i]] = i
	}
	for _, r := range t.Rows {
		if len(r.Cells) > len(t.Headers) && strings.Join(r.Cells[len(t.Headers):], "") != "" {
			return fmt.Errorf("row %d has more cells than there are headers: a comma in a cell needs quotes round the cell", r.Number)
		}
	}
	return nil
}

// holds reports whether any row has something in a column.
func (t *Table) holds(column int) bool {
	for _, r := range t.Rows {
		if r.cell(column) != "" {
			return true
		}
	}
	return false
}

// Letters names a column as spreadsheets do: A, B, … Z, AA.
func Letters(column int) string {
	own := string(rune('A' + column%26))
	if column < 26 {
		return own
	}
	return Letters(column/26-1) + own
}

// writeTable writes comma separated values that a spreadsheet takes for texts.
func writeTable(lines [][]string) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	for _, line := range lines {
		for i, s := range line {
			if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
				line[i] = "'" + s
			}
		}
		if err := w.Write(line); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}
