package publish_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/publish"
	"fourmarks.example/data/release"
	"fourmarks.example/schema"
)

// hostile are texts that do harm where they are taken for more than text.
var hostile = []string{
	`<script>alert("x")</script>`,
	`=cmd|' /C calc'!A0`, `+1+1`, `-2+3`, `@SUM(A1)`, "＝1+1", `'=1`, " =1+1", "\t=1+1",
	"right\u202eto left\u2066 hidden\u200b", "\u001b[31mred\u0007",
	`"; DROP TABLE figures; --`, `Robert'); DELETE FROM figures; --`,
	`quote " comma , semicolon ; brace } { backslash \ percent % at @book{x, title={y}}`,
	"line\nbreak\r\nand return", `*/ export const x = 1; /*`, "`code` [link](javascript:x) ![i](http://x)", "../../../etc/passwd", "C:\\x", "null", "\u2028separator\u2029",
	strings.Repeat("a long note ", 80_000), // near a mebibyte, and longer than the format allows a note to be
}

// hostileEngine is an engine in which a text stands wherever a text may stand.
func hostileEngine(s string) map[string]string {
	quoted, err := json.Marshal(s)
	if err != nil {
		panic(err)
	}
	w, note := string(quoted), string(quoted)
	if len(s) > 20_000 { // the file holds it once
		w = string(quoted[:3_000]) + `"`
	}
	return map[string]string{
		"engines/a/b.yaml": "format: 1\nengine: a/b\ntitle: " + w + "\nmade: " + w + "\nnote: " + note + "\nidentify: {also_called: " + w + ", looks: " + w + ", numbers: {from: " + w + ", found: " + w + "}}\n" +
			"layout: {from: own, valve_order: " + w + ", valve_gear: " + w + "}\n" +
			"events:\n  checking:\n    from: own\n    note: " + w + "\n    inlet_opens: {claims: {own: {is: 3 BTDC, note: " + w + ", quote: " + w + ", seen: {on: " + w + ", by: " + w + "}}, other: {is: 9 BTDC, set_aside: " + w + "}}}\n" +
			"sources:\n  own: {type: " + w + ", title: " + w + ", author: " + w + ", issued: " + w + ", note: " + w + ", URL: " + w + ", rights: " + w + ", grade: works}\n" +
			"variants: {late: {title: " + w + ", note: " + w + ", change: {events: {checking: {inlet_opens: {is: 4 BTDC, from: own}}}}}}\n",
		"sources/other.yaml": "title: " + w + "\ngrade: recall\n",
		"moved.yaml":         "a/old: {to: a/b, because: " + w + "}\n",
	}
}

// what no text of a release may hold, in any form that is text.
var active = regexp.MustCompile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u0080-\u009f\u200b-\u200f\u2028-\u202e\u2066-\u2069]")

func TestHostileTextIsInertInEveryForm(t *testing.T) {
	for _, s := range hostile {
		t.Run(s[:min(len(s), 24)], func(t *testing.T) {
			inputs := folder(t, hostileEngine(s))
			earlier := publish.EarlierDataset(s, small(t))
			dir, is := written(t, publish.Options{Inputs: inputs, DespiteErrors: true, Name: s, Earlier: earlier})
			require.Equal(t, 1, is.Engines, "%v", is.Withheld)
			require.NoError(t, fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
				if err != nil || d.IsDir() {
					return err
				}
				b, err := os.ReadFile(filepath.Join(dir, name))
				require.NoError(t, err)
				of := filepath.Ext(name)
				if of == ".sqlite" || of == ".parquet" {
					return nil // these hold texts as data, with their length
				}
				if found := active.Find(b); found != nil {
					t.Errorf("%s holds %q", name, found)
				}
				if of == ".csv" {
					safe(t, name, b)
				}
				if strings.HasPrefix(of, ".json") && name != "release.schema.json" && bytes.ContainsAny(b, "<>&") {
					t.Errorf("%s holds what a page takes for a tag", name)
				}
				return nil
			}))
			d, err := release.OpenFolder(dir)
			require.NoError(t, err)
			require.NoError(t, d.Verify())
			e, err := d.Engine("a/b")
			require.NoError(t, err)
			want, _ := schema.DecodeEngine(schema.ReadFile("b.yaml", []byte(hostileEngine(s)["engines/a/b.yaml"])))
			assert.NotEmpty(t, want.Title.Text)
			assert.Equal(t, []string{want.Title.Text, want.Note.Text}, []string{e.Title, e.Note}, "and nothing of it is lost")
		})
	}
}

// safe requires that no cell of a table is a formula, and that every line has
// the columns of the first.
func safe(t *testing.T, name string, b []byte) {
	r := csv.NewReader(strings.NewReader(string(b)))
	rows, err := r.ReadAll()
	require.NoError(t, err, name)
	number := regexp.MustCompile(`^-?[0-9]+(\.[0-9]+)?$`)
	for _, row := range rows {
		for _, cell := range row {
			first := strings.TrimLeft(cell, " \u00a0\t")
			if first != "" && strings.ContainsAny(string([]rune(first)[0]), "=+-@＝＋－＠") && !number.MatchString(cell) {
				t.Errorf("%s: the cell %.40q is a formula", name, cell)
			}
		}
	}
}
