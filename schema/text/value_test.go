package text

import (
	"bytes"
	"encoding/json"
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestResolved follows the tables of YAML 1.2.2, 10.3.2.
func TestResolved(t *testing.T) {
	for _, c := range []struct {
		text  string
		want  Type
		value any
	}{
		{"null", Null, nil}, {"Null", Null, nil}, {"NULL", Null, nil}, {"~", Null, nil}, {"nULL", String, "nULL"},
		{"true", Bool, true}, {"True", Bool, true}, {"TRUE", Bool, true}, {"false", Bool, false}, {"False", Bool, false}, {"FALSE", Bool, false},
		{"yes", String, "yes"}, {"no", String, "no"}, {"on", String, "on"}, {"tRUE", String, "tRUE"},
		{"0", Integer, json.Number("0")}, {"-0", Integer, json.Number("-0")}, {"+12", Integer, json.Number("12")}, {"-19", Integer, json.Number("-19")},
		{"010", Integer, json.Number("10")}, {"-007", Integer, json.Number("-7")}, {"000", Integer, json.Number("0")},
		{"0o7", Integer, json.Number("7")}, {"0o17", Integer, json.Number("15")}, {"0x3A", Integer, json.Number("58")}, {"0xff", Integer, json.Number("255")},
		{"0xFFFFFFFFFFFFFFFFFF", Integer, json.Number("4722366482869645213695")},
		{"0o8", String, "0o8"}, {"0x", String, "0x"}, {"0xg", String, "0xg"}, {"-0x1", String, "-0x1"}, {"1_000", String, "1_000"}, {"0b1", String, "0b1"},
		{"0.", Float, json.Number("0")}, {"-0.0", Float, json.Number("-0.0")}, {".5", Float, json.Number("0.5")}, {"+.5", Float, json.Number("0.5")},
		{"52.0", Float, json.Number("52.0")}, {"052.50", Float, json.Number("52.50")}, {"12e03", Float, json.Number("12e03")}, {"-2E+05", Float, json.Number("-2E+05")},
		{"1.e2", Float, json.Number("1e2")}, {"1e-2", Float, json.Number("1e-2")},
		{".", String, "."}, {"1.2.3", String, "1.2.3"}, {"1e", String, "1e"}, {"1e+", String, "1e+"}, {"e3", String, "e3"}, {"1e2e3", String, "1e2e3"}, {"+", String, "+"}, {"1e+-2", String, "1e+-2"},
		{".004\"", String, ".004\""}, {"52½", String, "52½"}, {"1926-1931", String, "1926-1931"}, {"2025-03-02", String, "2025-03-02"}, {"1:30", String, "1:30"}, {"1 2", String, "1 2"},
	} {
		d := Parse([]byte("a: "+c.text+"\n"), DefaultLimits())
		require.Empty(t, messages(d), c.text)
		n := d.Find("/a")
		assert.Equal(t, c.text, n.Text, "text is never converted")
		assert.Equal(t, c.want, n.Resolved(), c.text)
		assert.Equal(t, c.value, n.Value(), c.text)
		for _, quote := range []string{"'", "\""} {
			if quote == "\"" && bytes.ContainsAny([]byte(c.text), "\"") {
				continue
			}
			quoted := Parse([]byte("a: "+quote+c.text+quote+"\n"), DefaultLimits()).Find("/a")
			assert.Equal(t, String, quoted.Resolved(), c.text)
			assert.Equal(t, c.text, quoted.Value())
		}
	}
	for _, text := range []string{".inf", "-.INF", "+.Inf", ".nan", ".NaN", "1e201", "1e-99999999999999999999"} {
		d := Parse([]byte("a: "+text+"\n"), DefaultLimits())
		assert.Len(t, d.Problems, 1, text)
		assert.Equal(t, String, d.Find("/a").Resolved(), text)
		assert.Equal(t, text, d.Find("/a").Value())
	}
}

func TestValue(t *testing.T) {
	d := Parse([]byte("a:\n  b: 1\n  c: [x, 2.5, true, ~]\n  c: again\nd:\ne: |\n  f\n1: {}\n'': []\n"), DefaultLimits())
	assert.Equal(t, map[string]any{
		"a": map[string]any{"b": json.Number("1"), "c": []any{"x", json.Number("2.5"), true, nil}},
		"d": nil, "e": "f\n", "1": map[string]any{}, "": []any{},
	}, d.Value())
	assert.Nil(t, Parse(nil, DefaultLimits()).Value())
}

// TestValueOfJSON checks that JSON is read as encoding/json reads it.
func TestValueOfJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		source, err := json.Marshal(jsonValue(3).Draw(t, "value"))
		require.NoError(t, err)
		if rapid.Bool().Draw(t, "indented") {
			var b bytes.Buffer
			require.NoError(t, json.Indent(&b, source, "", "  "))
			source = b.Bytes()
		}
		decoder := json.NewDecoder(bytes.NewReader(source))
		decoder.UseNumber()
		var want any
		require.NoError(t, decoder.Decode(&want))
		d := Parse(source, DefaultLimits())
		require.Empty(t, messages(d), "%s", source)
		require.Equal(t, want, d.Value(), "%s", source)
	})
}

func jsonValue(depth int) *rapid.Generator[any] {
	text := rapid.StringOf(rapid.SampledFrom([]rune("ab:#-,[]{}'\"\\/½😀 \t\n&*!|>%@~?0")))
	kinds := []*rapid.Generator[any]{
		text.AsAny(), rapid.Bool().AsAny(), rapid.IntRange(-1000, 1000).AsAny(), rapid.Float64Range(-1e20, 1e20).Filter(withinExponent).AsAny(), rapid.Just[any](nil),
	}
	if depth > 0 {
		deeper := rapid.Deferred(func() *rapid.Generator[any] { return jsonValue(depth - 1) })
		kinds = append(kinds, rapid.SliceOfN(deeper, 0, 4).AsAny(), rapid.MapOfN(text, deeper, 0, 4).AsAny())
	}
	return rapid.OneOf(kinds...)
}

// withinExponent leaves out what the exponent limit refuses.
func withinExponent(f float64) bool { return f == 0 || math.Abs(f) > 1e-200 }

// TestNumbersKeepTheirWorth checks that a number handed on as JSON is worth
// what stands in the file, by the arithmetic of math/big.
func TestNumbersKeepTheirWorth(t *testing.T) {
	number := rapid.StringMatching(`[-+]?([0-9]{1,9}(\.[0-9]{0,9})?|\.[0-9]{1,9})([eE][-+]?[0-9]{1,2})?`)
	rapid.Check(t, func(t *rapid.T) {
		source := number.Draw(t, "number")
		d := Parse([]byte(source), DefaultLimits())
		require.Empty(t, messages(d), source)
		got, ok := d.Value().(json.Number)
		require.True(t, ok, source)
		require.True(t, json.Valid([]byte(got)), "%s as %s", source, got)
		want, ok := new(big.Rat).SetString(source)
		require.True(t, ok, source)
		is, ok := new(big.Rat).SetString(string(got))
		require.True(t, ok, got)
		require.Zero(t, want.Cmp(is), "%s as %s", source, got)
	})
}
