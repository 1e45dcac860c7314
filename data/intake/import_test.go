package intake

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/schema"
)

const stock = "\ufeffMaker;Model;Year;Bore (mm);Stroke mm;IVO BTDC;IVC ABDC;Exhaust opens (BBDC);EVC;Inlet clearance;Firing order;Colour;Page\r\n" +
	"Marlowe;Four;1931;75;100;10;50;55;15 ATDC;4 thou;1-3-4-2;green;p. 7\r\n" +
	"Marlowe;Six;1932-1934;72,5;n/a;ten;52;50;12 ATDC;6 thou;1-5-3-6-2-4;\"=cmd(\"\"x\"\")\";\r\n" +
	";;;;;;;;;;;;\r\n" +
	";Eight;;80;;;;;;;;;\r\n"

func read(t *testing.T, source string) *Table {
	t.Helper()
	table, err := ReadTable([]byte(source))
	require.NoError(t, err)
	return table
}

var known = Known{
	Source: func(id string) bool { return id == "club-sheet" },
	Engine: func(id string) bool { return id == "marlowe/six" },
}

const filled = "source: club-sheet\nby: a reader\non: 2026-11-25\nnote: copied from the club's sheet"

// complete fills in what a proposal leaves to a person.
func complete(proposed []byte) []byte {
	lines := strings.Split(string(proposed), "\n")
	var kept []string
	for _, l := range lines {
		switch key, _, _ := strings.Cut(l, ":"); key {
		case "source":
			kept = append(kept, filled)
		case "by", "on", "note":
		default:
			kept = append(kept, l)
		}
	}
	return []byte(strings.Join(kept, "\n"))
}

func TestHeadersAreUnderstood(t *testing.T) {
	for header, wants := range map[string]string{
		"Bore (mm)":              "{figure: size.bore, after: mm}",
		"stroke":                 "size.stroke",
		"IVO BTDC":               "{figure: events.running.inlet_opens, after: BTDC}",
		"Inlet opens":            "events.running.inlet_opens",
		"E.V.C.":                 "remark",
		"EVC":                    "events.running.exhaust_closes",
		"Inlet opens (checking)": "events.checking.inlet_opens",
		"Inlet lift":             "lifts.inlet",
		"Compression ratio":      "size.compression_ratio",
		"C.R.":                   "remark",
		"Firing order":           "layout.firing_order",
		"Valve clearance inlet":  "clearances.running.inlet",
		"Capacity (cc)":          "{figure: size.swept_volume, after: cc}",
		"Colour of the paint":    "remark",
		"Make":                   "maker",
		"Model":                  "model",
	} {
		got, _, _ := strings.Cut(proposal(header, ""), "  #")
		assert.Equal(t, wants, got, header)
	}
}

func TestSpreadsheetToContributions(t *testing.T) {
	table := read(t, stock)
	m, err := ReadMapping("stock.yaml", complete(Propose(table)), table)
	require.NoError(t, err)
	made, wrong := Import(table, m, known)
	require.Len(t, made, 2)
	assert.Equal(t, "row-0002-marlowe-four.yaml", made[0].Name)
	assert.Equal(t, `contribution: 1
engine: marlowe/four
by: a reader
on: 2026-11-25
note: "copied from the club's sheet. Colour: green"
from: club-sheet p. 7
figures:
  title: Marlowe Four
  made: 1931
  size:
    bore: 75 mm
    stroke: 100 mm
  events:
    running:
      inlet_opens: 10 BTDC
      inlet_closes: 50 ABDC
      exhaust_opens: 55 BBDC
      exhaust_closes: 15 ATDC
  clearances:
    running:
      inlet: 4 thou
  layout:
    firing_order: 1-3-4-2
`, string(made[0].Text))
	assert.Contains(t, string(made[1].Text), `Colour: =cmd(`)
	assert.Contains(t, string(made[1].Text), "from: club-sheet row 3")
	assert.Contains(t, string(made[1].Text), "Year: 1932-1934")
	assert.NotContains(t, string(made[1].Text), "title:", "the dataset has that engine, and its title is the dataset's")
	assert.Contains(t, string(made[1].Text), "bore: 72,5 mm")

	var cells []string
	for _, w := range wrong {
		cells = append(cells, w.Column+" "+w.Header+": "+w.Text)
	}
	assert.Equal(t, []string{"E Stroke mm: n/a", "F IVO BTDC: ten", "A Maker: "}, cells)
	list, err := Corrections(wrong)
	require.NoError(t, err)
	assert.Contains(t, string(list), "3,F,IVO BTDC,ten,")
}

// Two columns with one figure in two units are one print in both.
func TestTwoUnitsAreOnePrint(t *testing.T) {
	table := read(t, "engine,Bore in,Bore mm\nmarlowe/four,2 15/16,74.6\nmarlowe/six,,74.6\n")
	m, err := ReadMapping("m.yaml", complete(Propose(table)), table)
	require.NoError(t, err)
	made, wrong := Import(table, m, known)
	require.Empty(t, wrong)
	assert.Contains(t, string(made[0].Text), "bore: 2 15/16 in (74.6 mm)")
	assert.Contains(t, string(made[1].Text), "bore: 74.6 mm")
}

func TestMappingsAreRefused(t *testing.T) {
	table := read(t, "engine,Bore\nmarlowe/four,75 mm\n")
	for body, why := range map[string]string{
		"columns: {engine: engine, Bore: size.bore}":                                        "no mapping",
		"import: 1\ncolumns: {engine: engine, Bore: size.boer}":                             `m.yaml:2: the format has no figure "size.boer"`,
		"import: 1\ncolumns: {engine: engine}":                                              `nothing is said of the column "Bore"`,
		"import: 1\ncolumns: {Bore: size.bore, engine: remark}":                             "by",
		"import: 1\nby: x\ncolumns: {Bore: size.bore, engine: engine}":                      "`note` is empty",
		"import: 1\nby: x\nnote: y\ncolumns: {Bore: size.bore, engine: engine}":             "`source` is empty",
		"import: 1\nby: x\nnote: y\nsource: z\ncolumns: {Bore: size.bore, engine: ignored}": "no column says which engine",
		"import: 1\nby: x\ncolour: y":                                                       "m.yaml:3: `colour` does not belong",
		"import: 1\ncolumns: {engine: engine, Bore: size.bore, Stroke: size.stroke}":        `no column "Stroke"`,
		"import: [": "m.yaml:1:",
	} {
		_, err := ReadMapping("m.yaml", []byte(body), table)
		assert.ErrorContains(t, err, why, body)
	}
}

func TestTablesAreRefused(t *testing.T) {
	for source, why := range map[string]string{
		"":             "empty",
		"a,b\n1,2,3\n": "row 2 has more cells",
		"a,a\n1,2\n":   "columns A and B",
		"a,\n1,2\n":    "column B has no header",
		"a,b\n\"1,2\n": "line 2",
		"a\nb\xff\n":   "line 2 is not text in UTF-8",
	} {
		_, err := ReadTable([]byte(source))
		assert.ErrorContains(t, err, why, "%q", source)
	}
}

// Whatever stands in the cells, every one of them is in a contribution, listed for
// correction, or in a row of which the listed cell tells why it was left out; and
// every contribution is one that can be read.
func TestNothingIsDropped(t *testing.T) {
	table := read(t, "engine,Bore,Inlet opens,Remarks\nx,y,z,w\n")
	m, err := ReadMapping("m.yaml", complete([]byte("import: 1\nsource:\ncolumns: {engine: engine, Bore: size.bore, Inlet opens: events.running.inlet_opens, Remarks: remark}\n")), table)
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.OneOf(rapid.SampledFrom([]string{"", "75 mm", "10 BTDC", "marlowe/four", "=1+1", "a: b", "# x", "- y", "'", "{", "\"", "n/a"}), rapid.StringN(0, 12, -1))
		row := Row{Number: 2}
		for range 4 {
			row.Cells = append(row.Cells, cell.Draw(t, "cell"))
		}
		made, wrong := Import(&Table{Headers: table.Headers, Rows: []Row{row}}, m, known)
		for _, c := range made {
			_, problems := schema.DecodeContribution(schema.ReadFile(c.Name, c.Text))
			assert.Empty(t, problems)
		}
		for i := range row.Cells {
			s := row.cell(i)
			if s == "" || len(made) == 0 && len(wrong) > 0 {
				continue
			}
			listed := false
			for _, w := range wrong {
				listed = listed || w.Text == s
			}
			assert.True(t, listed || len(made) == 1 && holds(made[0].Text, s), "%q", s)
		}
	})
}

// holds reports whether a value or key of a contribution has a text in it.
func holds(file []byte, s string) bool {
	root := schema.ReadFile("", file).Doc.Root
	c, _ := schema.DecodeContribution(schema.ReadFile("", file))
	if strings.Contains(c.Note.Text, s) || c.Engine.Text == s {
		return true
	}
	for _, f := range c.All() {
		if f.Text() == s || len(f.Claims) > 0 && f.Claims[0].Printed.Text == s {
			return true
		}
	}
	return root == nil
}

func FuzzReadTable(f *testing.F) {
	f.Add([]byte(stock))
	f.Add([]byte("engine,Bore\nmarlowe/four,\"75\nmm\"\n"))
	f.Fuzz(func(t *testing.T, source []byte) {
		table, err := ReadTable(source)
		if err != nil {
			return
		}
		if m, err := ReadMapping("m.yaml", complete(Propose(table)), table); err == nil {
			Import(table, m, known)
		}
	})
}
