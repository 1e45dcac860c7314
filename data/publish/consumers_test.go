package publish_test

import (
	"bytes"
	"database/sql"
	"encoding/csv"
	"encoding/json"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	_ "modernc.org/sqlite"

	"fourmarks.example/data/publish"
	"fourmarks.example/data/release"
	"fourmarks.example/data/store"
)

// releases are what the consumers read: the demo dataset, the published engines,
// whose prints hold contradictions, and one of hostile texts.
func releases(t *testing.T) map[string]string {
	published, err := store.Open("../../testdata/published")
	require.NoError(t, err)
	dirs := map[string]string{}
	dirs["demo"], _ = written(t, publish.Options{Inputs: demo(t), Name: "2027.1", Earlier: publish.EarlierDataset("before", small(t))})
	dirs["published"], _ = written(t, publish.Options{Inputs: published, DespiteErrors: true})
	dirs["hostile"], _ = written(t, publish.Options{Inputs: folder(t, hostileEngine(strings.Join(hostile[:len(hostile)-1], " "))), DespiteErrors: true})
	return dirs
}

// Software of others reads every form of a release, and finds in it what the
// package of this project finds.
func TestConsumers(t *testing.T) {
	dirs := releases(t)
	for name, read := range map[string]func(*testing.T, map[string]string){
		"Parquet by hyparquet":                            parquetByHyparquet,
		"SQLite by its own program":                       sqliteByItsOwnProgram,
		"CSV by the library of the Data Package standard": tablesByTheDataPackageLibrary,
		"CSV gives every text back":                       csvGivesEveryTextBack,
		"JSON by ajv":                                     documentsByAjv,
		"CSL JSON and BibTeX by Citation.js":              sourcesByCitationJS,
		"types by the compiler of TypeScript":             typesByTheCompiler,
		"CSL JSON holds only variables of the language":   cslHoldsOnlyItsVariables,
	} {
		t.Run(name, func(t *testing.T) { read(t, dirs) })
	}
}

// needs looks for a program of others, or for the packages of
// testdata/consumers. Where nobody has installed it the test is skipped, except
// where everything has to pass.
func needs(t *testing.T, program string) {
	t.Helper()
	_, err := exec.LookPath(program)
	if err == nil && program == "node" {
		_, err = os.Stat("../../testdata/consumers/node_modules")
	}
	if err != nil && os.Getenv("CI") != "true" {
		t.Skipf("%v; .ci/run shows how it is installed", err)
	}
}

// output runs a program of others and returns what it prints.
func output(t *testing.T, program string, args ...string) []byte {
	t.Helper()
	var errs bytes.Buffer
	c := exec.Command(program, args...)
	c.Stderr = &errs
	out, err := c.Output()
	require.NoError(t, err, errs.String())
	return out
}

func node(t *testing.T, script string, args ...string) []byte {
	t.Helper()
	return output(t, "node", append([]string{filepath.Join("..", "..", "testdata", "consumers", script)}, args...)...)
}

// key of a figure in a release: engine, variant and path.
func keyOf(columns map[string]any) string {
	return strings.Join([]string{columns["engine"].(string), columns["variant"].(string), columns["path"].(string)}, " ")
}

// figures are the figures of a release as its tables have them, by the package
// that reads the JSON files.
func figures(t *testing.T, dir string) map[string]map[string]any {
	d, err := release.OpenFolder(dir)
	require.NoError(t, err)
	all := map[string]map[string]any{}
	add := func(e *release.Engine, variant string, s release.Series) {
		for _, f := range s.Figures {
			row := map[string]any{"engine": e.ID, "variant": variant, "path": f.Path, "kind": orNil(f.Kind), "standing": f.Standing,
				"printed": orNil(f.Printed), "absence": orNil(f.Absence), "value": pointed(f.Value), "low": pointed(f.Low), "high": pointed(f.High),
				"unit": orNil(f.Unit), "datum": orNil(f.Datum), "measured_by": orNil(f.MeasuredBy), "measured_at": orNil(f.MeasuredAt),
				"approximate": f.Approximate, "si_value": nil, "si_low": nil, "si_high": nil, "si_unit": nil, "source": orNil(f.From),
				"locator": orNil(f.Locator), "derived_by": nil, "formula": nil, "inherited": f.Inherited}
			if si := f.SI; si != nil {
				maps.Copy(row, map[string]any{"si_value": pointed(si.Value), "si_low": pointed(si.Low), "si_high": pointed(si.High), "si_unit": orNil(si.Unit)})
			}
			if by := f.DerivedBy; by != nil {
				maps.Copy(row, map[string]any{"derived_by": by.Rule, "formula": by.Formula})
			}
			all[keyOf(row)] = row
		}
	}
	for e, err := range d.Engines() {
		require.NoError(t, err)
		add(e, "(base)", e.Series)
		for _, v := range e.Variants {
			add(e, v.Name, v.Series)
		}
	}
	require.NotEmpty(t, all)
	return all
}

func orNil(s string) any {
	if s == "" {
		return nil
	}
	return s
}

func pointed(x *float64) any {
	if x == nil {
		return nil
	}
	return *x
}

// rows decodes JSON Lines.
func rows[T any](t *testing.T, lines []byte) []T {
	var all []T
	d := json.NewDecoder(bytes.NewReader(lines))
	for d.More() {
		var row T
		require.NoError(t, d.Decode(&row))
		all = append(all, row)
	}
	return all
}

func parquetByHyparquet(t *testing.T, dirs map[string]string) {
	needs(t, "node")
	for name, dir := range dirs {
		want := figures(t, dir)
		got := rows[map[string]any](t, node(t, "parquet.mjs", filepath.Join(dir, "figures.parquet")))
		assert.Len(t, got, len(want), name)
		engines := entries(t, dir)
		for _, row := range got {
			e := engines[row["engine"].(string)]
			assert.Equal(t, e.Title, row["title"])
			assert.Equal(t, years(e.First, e.Last), []any{row["first_year"], row["last_year"]})
			for _, ofEngine := range []string{"title", "first_year", "last_year"} {
				delete(row, ofEngine)
			}
			assert.Equal(t, want[keyOf(row)], row, name)
		}
	}
}

// entries are what a release says of its engines, by id.
func entries(t *testing.T, dir string) map[string]release.Entry {
	d, err := release.OpenFolder(dir)
	require.NoError(t, err)
	all, err := d.Entries()
	require.NoError(t, err)
	byID := map[string]release.Entry{}
	for _, e := range all {
		byID[e.ID] = e
	}
	return byID
}

func years(first, last int) []any {
	all := []any{nil, nil}
	for i, y := range []int{first, last} {
		if y != 0 {
			all[i] = float64(y)
		}
	}
	return all
}

func sqliteByItsOwnProgram(t *testing.T, dirs map[string]string) {
	needs(t, "sqlite3")
	for name, dir := range dirs {
		file := filepath.Join(dir, "fourmarks.sqlite")
		assert.Equal(t, "ok\n", string(output(t, "sqlite3", file, "PRAGMA integrity_check; PRAGMA foreign_key_check")), name)
		want := figures(t, dir)
		got := rows[[]map[string]any](t, output(t, "sqlite3", "-json", file, "SELECT * FROM figures"))
		require.Len(t, got, 1)
		assert.Len(t, got[0], len(want), name)
		for _, row := range got[0] {
			for _, truth := range []string{"approximate", "inherited"} {
				row[truth] = row[truth] == 1.0
			}
			assert.Equal(t, want[keyOf(row)], row, name)
		}
	}
}

func TestSQLiteByTheGoDriver(t *testing.T) {
	dir, _ := written(t, publish.Options{Inputs: demo(t)})
	db, err := sql.Open("sqlite", "file:"+filepath.ToSlash(filepath.Join(dir, "fourmarks.sqlite"))+"?mode=ro")
	require.NoError(t, err)
	defer db.Close()
	one := func(query string, args ...any) (s string) {
		require.NoError(t, db.QueryRow(query, args...).Scan(&s), query)
		return s
	}
	assert.Equal(t, "penhallow/light-six", one(`SELECT engine FROM search('light six') LIMIT 1`))
	assert.Equal(t, "penhallow/light-six", one(`SELECT engine FROM search('LS1001')`))
	assert.Equal(t, "0.1016", one(`SELECT si_value FROM figures WHERE engine = ? AND variant = '(base)' AND path = 'clearances.running.inlet'`, "penhallow/light-six"), "4 thou of 0.0254 mm")
	assert.Equal(t, "the stamp measured to had been cut again at an overhaul", one(`SELECT because FROM set_aside WHERE engine = 'penhallow/light-six' AND variant = '(base)'`))
	assert.Equal(t, "penhallow/light-six", one(`SELECT moved_to FROM redirects WHERE moved_from = 'penhallow/eighteen-forty-five'`))
	for table, statement := range map[string]string{
		"a text for a number": `INSERT INTO figures (engine, variant, path, standing, value) VALUES ('a/b', '(base)', 'x', 'absent', 'wide')`,
		"a figure twice":      `INSERT INTO figures SELECT * FROM figures LIMIT 1`,
	} {
		_, err := db.Exec(statement)
		assert.Error(t, err, table)
	}
}

func tablesByTheDataPackageLibrary(t *testing.T, dirs map[string]string) {
	needs(t, "node")
	type line struct {
		Table string
		Row   map[string]any
	}
	for name, dir := range dirs {
		if name == "hostile" {
			continue // held in TestCSVGivesEveryTextBack; the library trims what it reads
		}
		want := figures(t, dir)
		counts := map[string]int{}
		for _, l := range rows[line](t, node(t, "tables.mjs", dir)) {
			counts[l.Table]++
			if l.Table == "figures" {
				l.Row["printed"] = bare(l.Row["printed"])
				assert.Equal(t, want[keyOf(l.Row)], l.Row, name)
			}
		}
		assert.Equal(t, len(want), counts["figures"], name)
		for _, table := range []string{"claims", "engines", "sources", "units", "variants", "words"} {
			assert.Positive(t, counts[table], table)
		}
	}
}

// bare takes the apostrophe off a text that looks like a formula.
func bare(v any) any {
	s, ok := v.(string)
	if !ok {
		return v
	}
	return strings.TrimPrefix(s, "'")
}

func csvGivesEveryTextBack(t *testing.T, dirs map[string]string) {
	escape := func(s string) string { // as the description of the tables says
		var b strings.Builder
		for i := 0; i < len(s); {
			if hex, rest, ok := strings.Cut(s[i:], "}"); ok && strings.HasPrefix(hex, `\u{`) {
				if n, err := strconv.ParseInt(hex[3:], 16, 32); err == nil {
					b.WriteRune(rune(n))
					i = len(s) - len(rest)
					continue
				}
			}
			b.WriteByte(s[i])
			i++
		}
		return b.String()
	}
	for name, dir := range dirs {
		d, err := release.OpenFolder(dir)
		require.NoError(t, err)
		b, err := os.ReadFile(filepath.Join(dir, "csv", "engines.csv"))
		require.NoError(t, err)
		assert.Equal(t, strings.Count(string(b), "\n"), strings.Count(string(b), "\r\n"), "RFC 4180: lines end in CR LF")
		lines, err := csv.NewReader(bytes.NewReader(b)).ReadAll()
		require.NoError(t, err)
		for _, row := range lines[1:] {
			e, err := d.Engine(row[0])
			require.NoError(t, err)
			assert.Equal(t, e.Title, escape(bare(row[1]).(string)), name)
		}
	}
}

func documentsByAjv(t *testing.T, dirs map[string]string) {
	needs(t, "node")
	for name, dir := range dirs {
		var counts map[string]int
		require.NoError(t, json.Unmarshal(node(t, "json.mjs", dir), &counts))
		d, err := release.OpenFolder(dir)
		require.NoError(t, err)
		assert.Equal(t, d.About.Engines, counts["Engine"], name)
		assert.Equal(t, d.About.Engines, counts["lines"], name)
		assert.Equal(t, len(d.Redirects()), counts["Redirect"], name)
		for _, document := range []string{"Release", "Engines", "Index", "Sources", "Redirects", "Units"} {
			assert.Equal(t, 1, counts[document], document)
		}
	}
}
