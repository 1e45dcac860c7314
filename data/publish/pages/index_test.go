package pages

import (
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/data/release"
	"fourmarks.example/schema"
)

// walked reads steps back, one digit after another, by another way than the page:
// as numbers to the base of 32.
func walked(text string) []int {
	var numbers []int
	at := -1
	for _, m := range regexp.MustCompile(`[g-z0-9_-]*[A-Za-f]`).FindAllString(text, -1) {
		step := 0
		for _, c := range slices.Backward([]byte(m)) {
			step = step*32 + strings.IndexByte(digits, c)%32
		}
		at += step + 1
		numbers = append(numbers, at)
	}
	return numbers
}

func TestSteps(t *testing.T) {
	assert.Equal(t, "AAf", steps([]int{0, 1, 33}))
	assert.Equal(t, "gB", steps([]int{32}), "31 is the greatest digit; 32 is nothing and one of the next")
	rapid.Check(t, func(t *rapid.T) {
		numbers := rapid.SliceOfNDistinct(rapid.IntRange(0, 200_000), 0, 50, rapid.ID).Draw(t, "numbers")
		slices.Sort(numbers)
		back := walked(steps(numbers))
		assert.True(t, slices.Equal(numbers, back), "%v %v", numbers, back)
	})
}

// written are the values of the scripts that an index of engines is written as.
func written(t *testing.T, engines ...string) map[string]json.RawMessage {
	t.Helper()
	files := map[string]json.RawMessage{}
	x := newIndex(func(name string, content []byte) error {
		is := string(content)
		require.True(t, strings.HasPrefix(is, "fourmarks.give(") && strings.HasSuffix(is, ")\n"), is)
		var call []json.RawMessage
		require.NoError(t, json.Unmarshal([]byte("["+is[len("fourmarks.give("):len(is)-2]+"]"), &call))
		var called string
		require.NoError(t, json.Unmarshal(call[0], &called))
		assert.Equal(t, name, "pages/"+called+".js")
		files[called] = call[1]
		return nil
	})
	for _, text := range engines {
		read, _ := schema.DecodeEngine(schema.ReadFile("x", []byte(text)))
		e := &release.Engine{ID: read.ID.Text, Title: read.Title.Text, Dates: release.Dates{Made: read.Made.Text}}
		if first, last, ok := schema.Years(read.Made.Text); ok {
			e.First, e.Last = first, last
		}
		for _, v := range read.Variants {
			e.Variants = append(e.Variants, release.Variant{Name: v.Name, Title: v.Value.Title.Text})
		}
		require.NoError(t, x.add(enter(e, read)))
	}
	require.NoError(t, x.close())
	return files
}

func TestIndex(t *testing.T) {
	files := written(t,
		"engine: a/one\ntitle: Light One\nmade: 1926-1930\nidentify: {numbers: {from: LS1, to: LS99}}\n",
		"engine: b/two\ntitle: Heavy Lights\nvariants: {late: {title: Late light, numbers: {from: LS200}}}\n")
	assert.JSONEq(t, `{"light": "AA ", "lights": "B "}`, string(files["find/words-li"]))
	assert.JSONEq(t, `{"late": "B "}`, string(files["find/words-la"]))
	assert.JSONEq(t, `[["LS", 1, 99, 0, ""], ["LS", 200, null, 1, "late"]]`, string(files["find/numbers-ls-0"]))
	assert.JSONEq(t, `{"engines": 2, "cards": 64, "words": ["a", "b", "he", "la", "li", "on", "tw"], "numbers": {"ls": [[1, null]]}}`, string(files["find/index"]))
	assert.JSONEq(t, `[{"id": "a/one", "t": "Light One", "m": "1926-1930"}, {"id": "b/two", "t": "Heavy Lights", "v": [{"k": "late", "t": "Late light"}]}]`, string(files["find/cards-0"]))
	// 1926 and 1930 with 1 << 14 for its numbers, then nothing and 1 << 14, each
	// in two bytes, the lesser first, in base64 (worked out by hand).
	assert.Equal(t, `"hgeKRwAAAEA="`, string(files["find/years"]))
}

// A number lies within the bounds of the file that its range stands in.
func TestRangesAreWithinTheirFiles(t *testing.T) {
	low, high := int64(5), int64(9)
	assert.Equal(t, bounds{&low, &high}, boundsOf([]numberRange{{NumberRange: schema.NumberRange{First: 5, Last: 6}}, {NumberRange: schema.NumberRange{First: 7, Last: 9}}}))
	assert.Equal(t, bounds{nil, &high}, boundsOf([]numberRange{{NumberRange: schema.NumberRange{First: 5, Last: 6}}, {NumberRange: schema.NumberRange{OpenLow: true, Last: 9}}}))
}
