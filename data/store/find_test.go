package store_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
)

// input is an engine file held in memory.
func input(name, text string) lint.Input {
	return lint.Input{Name: name, Read: func() ([]byte, error) { return []byte(text), nil }}
}

func catalogue(t testing.TB) *store.Catalogue {
	moved := input("moved.yaml", "penhallow/six: {to: penhallow/light-six, because: the makers never called it so}\n"+
		"tarrowby/motor-cycles: {to: [tarrowby/model-f, tarrowby/model-l], because: two engines in one entry}\n"+
		"lost/round: {to: lost/about, because: x}\nlost/about: {to: lost/round, because: x}\n")
	moved.Kind = lint.MovedFile
	unreadable := lint.Input{Name: "engines/a/gone.yaml", Read: func() ([]byte, error) { return nil, fmt.Errorf("gone") }}
	c, err := store.ReadCatalogue(context.Background(), []lint.Input{
		input("engines/penhallow/light-six.yaml", "engine: penhallow/light-six\ntitle: Penhallow Light Six\nmade: 1926-1931\n"+
			"identify: {numbers: {from: LS1001, to: LS4750, found: below the oil filler}, also_called: The Six Thirty}\n"+
			"variants:\n  series-2: {title: second series, made: 1929-1931, numbers: {from: LS3001, to: LS4750}}\n  colonial: {title: for the colonies}\n"),
		input("engines/penhallow/twelve.yaml", "engine: penhallow/twelve\ntitle: Penhallow Twelve\nmade: 1932-\nidentify: {looks: two rocker covers}\n"),
		input("engines/tarrowby/model-f.yaml", "engine: tarrowby/model-f\ntitle: Tarrowby Model F\nmade: 1925\nidentify: {numbers: {from: '100', to: '200'}}\n"),
		input("engines/tarrowby/model-l.yaml", "engine: tarrowby/model-l\ntitle: Tarrowby Model L\n"),
		input("engines/a/nothing.yaml", "title: no id\n"),
		unreadable, moved,
	})
	require.NoError(t, err)
	return c
}

func TestCatalogue(t *testing.T) {
	c := catalogue(t)
	assert.Len(t, c.Entries, 4)
	assert.Equal(t, []string{"engines/a/nothing.yaml", "engines/a/gone.yaml"}, c.Unread)
	assert.Equal(t, store.Numbers{From: "LS1001", To: "LS4750", Found: "below the oil filler"}, c.Entries[0].Numbers)
	assert.Equal(t, "second series", c.Entries[0].Variants[0].Title)
}

func TestCatalogueStopsWhenCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := store.ReadCatalogue(ctx, []lint.Input{input("a.yaml", "engine: a/b\n")})
	assert.ErrorIs(t, err, context.Canceled)
}

func TestFind(t *testing.T) {
	c := catalogue(t)
	for name, q := range map[string]struct {
		store.Query
		want []string // id, and variant behind a space
	}{
		"words of the title":              {store.Query{Words: "light six"}, []string{"penhallow/light-six"}},
		"in any order and case":           {store.Query{Words: "SIX Light"}, []string{"penhallow/light-six"}},
		"the start of a word":             {store.Query{Words: "penh"}, []string{"penhallow/light-six", "penhallow/twelve"}},
		"the other name":                  {store.Query{Words: "six thirty"}, []string{"penhallow/light-six"}},
		"what it looks like":              {store.Query{Words: "rocker covers"}, []string{"penhallow/twelve"}},
		"a slip of the pen":               {store.Query{Words: "penhalow twelv"}, []string{"penhallow/twelve"}},
		"a variant's title":               {store.Query{Words: "colonies"}, []string{"penhallow/light-six"}},
		"the better fit first":            {store.Query{Words: "model l"}, []string{"tarrowby/model-l"}},
		"every word must fit":             {store.Query{Words: "light twelve"}, nil},
		"nothing like it":                 {store.Query{Words: "zzzzz"}, nil},
		"all when nothing is asked":       {store.Query{}, []string{"penhallow/light-six", "penhallow/twelve", "tarrowby/model-f", "tarrowby/model-l"}},
		"a year of the base":              {store.Query{Words: "six", Year: 1927}, []string{"penhallow/light-six"}},
		"a year of a series":              {store.Query{Words: "six", Year: 1930}, []string{"penhallow/light-six series-2"}},
		"an open end":                     {store.Query{Year: 1950}, []string{"penhallow/twelve"}},
		"a year that rules out":           {store.Query{Words: "six", Year: 1935}, nil},
		"a number of the base":            {store.Query{Number: "LS2207"}, []string{"penhallow/light-six"}},
		"a number of a series":            {store.Query{Number: "ls 3500"}, []string{"penhallow/light-six series-2"}},
		"a number that rules out":         {store.Query{Number: "LS9"}, nil},
		"number and year of two series":   {store.Query{Number: "LS3500", Year: 1927}, []string{"penhallow/light-six"}},
		"no numbers given, asked by name": {store.Query{Words: "model l", Number: "77"}, []string{"tarrowby/model-l"}},
		"an id that moved":                {store.Query{Words: "penhallow/six"}, []string{"penhallow/light-six"}},
		"an id that was split":            {store.Query{Words: "tarrowby/motor-cycles"}, []string{"tarrowby/model-f", "tarrowby/model-l"}},
		"ids that move in a circle":       {store.Query{Words: "lost/round"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			var got []string
			for _, m := range c.Find(q.Query) {
				id := m.ID
				if m.Variant != "" {
					id += " " + m.Variant
				}
				got = append(got, id)
			}
			assert.Equal(t, q.want, got)
		})
	}
	assert.Contains(t, c.Find(store.Query{Words: "penhallow/six"})[0].Because, "the makers never called it so")
	assert.NotEmpty(t, c.Find(store.Query{Words: "model l", Number: "77"})[0].Because, "it is said that the file cannot tell")
}

func TestOne(t *testing.T) {
	c := catalogue(t)
	for words, want := range map[string]string{
		"penhallow/twelve":    "penhallow/twelve",
		"twelve":              "penhallow/twelve",
		"Penhallow Light Six": "penhallow/light-six",
		"penhallow/six":       "penhallow/light-six",
		"tarrowby model f":    "tarrowby/model-f",
	} {
		m, err := c.One(words)
		require.NoError(t, err, words)
		assert.Equal(t, want, m.ID)
	}

	var notOne *store.NotOne
	_, err := c.One("penhallow")
	require.ErrorAs(t, err, &notOne)
	assert.Len(t, notOne.Candidates, 2)
	assert.EqualError(t, err, `"penhallow" can be any of 2 engines`)

	_, err = c.One("tarrowbi/modl-f")
	require.ErrorAs(t, err, &notOne)
	assert.Contains(t, notOne.Near, "tarrowby/model-f")

	_, err = c.One("zzzzzzzz")
	assert.EqualError(t, err, `there is no engine "zzzzzzzz"`)
	_, err = c.One(" ")
	assert.ErrorContains(t, err, "name an engine")
}

func TestRegister(t *testing.T) {
	reads := 0
	sheet := input("sources/sheet.yaml", "title: The sheet\ngrade: works\n")
	read := sheet.Read
	sheet.Kind, sheet.ID, sheet.Read = lint.SourceFile, "sheet", func() ([]byte, error) { reads++; return read() }
	engine := input("engines/a/b.yaml", "format: 1\nengine: a/b\ntitle: T\nsources: {own: {title: Its own, grade: recall}}\n")
	inputs := []lint.Input{sheet, engine}
	e, problems, err := store.ReadEngine(inputs, "engines/a/b.yaml")
	require.NoError(t, err)
	require.Empty(t, problems)

	lookup := store.Register(inputs, e)
	for range 2 {
		s, ok := lookup("sheet")
		require.True(t, ok)
		assert.Equal(t, "The sheet", s.Title.Text)
	}
	assert.Equal(t, 1, reads, "a record is read once")
	own, ok := lookup("own")
	require.True(t, ok)
	assert.Equal(t, "Its own", own.Title.Text)
	_, ok = lookup("nobody")
	assert.False(t, ok)

	_, _, err = store.ReadEngine(inputs, "engines/a/c.yaml")
	assert.ErrorContains(t, err, "not in the dataset")
}

func BenchmarkCatalogue(b *testing.B) {
	var inputs []lint.Input
	for i := range 2000 {
		inputs = append(inputs, input(fmt.Sprintf("engines/m/e%d.yaml", i), fmt.Sprintf("engine: m/e%d\ntitle: Engine %d\nmade: 1926\n", i, i)))
	}
	for b.Loop() {
		c, err := store.ReadCatalogue(context.Background(), inputs)
		if err != nil || len(c.Find(store.Query{Words: "engine 77"})) == 0 {
			b.Fatal("nothing found")
		}
	}
}
