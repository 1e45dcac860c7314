package text_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"

	"fourmarks.example/schema/text"
)

func TestSpell(t *testing.T) {
	for s, want := range map[string][2]string{ // in a block, in braces
		"stamp re-cut at overhaul": {"stamp re-cut at overhaul", "stamp re-cut at overhaul"},
		"worn, and re-cut":         {"worn, and re-cut", `"worn, and re-cut"`},
		"it says: 48":              {`"it says: 48"`, `"it says: 48"`},
		"no. 5 #2":                 {`"no. 5 #2"`, `"no. 5 #2"`},
		"no.5#2":                   {"no.5#2", "no.5#2"},
		"48":                       {`"48"`, `"48"`},
		"true":                     {`"true"`, `"true"`},
		"":                         {`""`, `""`},
		" x":                       {`" x"`, `" x"`},
		"- x":                      {`"- x"`, `"- x"`},
		"'x'":                      {`"'x'"`, `"'x'"`},
		`say "x" \ <y>`:            {`say "x" \ <y>`, `say "x" \ <y>`},
		"{x}":                      {`"{x}"`, `"{x}"`},
		"two\nlines":               {`"two\nlines"`, `"two\nlines"`},
		"x: y}":                    {`"x: y}"`, `"x: y}"`},
	} {
		assert.Equal(t, want[0], text.Spell(s, false), s)
		assert.Equal(t, want[1], text.Spell(s, true), s)
	}
}

// What is spelled reads as the text again, here and to the YAML library.
func TestSpelledReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.RuneFrom([]rune("ab01 .,:;#'\"\\{}[]|>&*!%@`~-?=<\n\té½\u00a0"))).Draw(t, "text")
		for flow, form := range map[bool]string{false: "a: %s\nb: c\n", true: "{a: %s, b: c}\n"} {
			source := fmt.Sprintf(form, text.Spell(s, flow))
			d := text.Parse([]byte(source), text.DefaultLimits())
			require.Empty(t, d.Problems, source)
			require.Equal(t, s, d.Root.Get("a").Text)
			require.Equal(t, "c", d.Root.Get("b").Text)
			var library struct{ A any }
			require.NoError(t, yaml.Unmarshal([]byte(source), &library), source)
			require.Equal(t, s, library.A, source)
		}
	})
}
