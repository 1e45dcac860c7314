package report_test

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint/report"
)

// hostile are texts that a terminal or an eye would be misled by.
var hostile = map[string]string{
	"escape sequence":   "\x1b[2J\x1b]0;title\a",
	"8-bit introducer":  "\u009b31m",
	"line end":          "first\nerror: second",
	"carriage return":   "safe\rgone",
	"backspace, delete": "ab\b\x7f",
	"override":          "52 \u202eCDBA",
	"isolate":           "\u2066a\u2069",
	"marks":             "\u200e\u200f\u061c",
	"nothing to see":    "a\u200b\u2060\ufeff\u00adb",
	"line separator":    "a\u2028b\u2029c",
	"tag characters":    "a\U000e0041",
	"private use":       "\ue000",
	"fillers":           "a\u3164b\u115f",
	"no UTF-8":          "a\xff\xc0b",
	"nul":               "a\x00b",
}

// harmless requires that a text holds only letters, marks, numbers, punctuation,
// symbols and spaces: the classes of Unicode that are seen.
func harmless(t require.TestingT, s string) {
	require.True(t, utf8.ValidString(s), "%q", s)
	for _, r := range s {
		require.True(t, unicode.In(r, unicode.L, unicode.M, unicode.N, unicode.P, unicode.S, unicode.Zs), "%q holds %U", s, r)
	}
}

func TestInert(t *testing.T) {
	for name, s := range hostile {
		t.Run(name, func(t *testing.T) {
			harmless(t, report.Inert(s))
			assert.Equal(t, report.Inert(s), report.Inert(report.Inert(s)))
		})
	}
	for in, want := range map[string]string{
		"\x1b[31m":                   `\u{1B}[31m`,
		"a\nb":                       `a\u{A}b`,
		"\u202eABDC":                 `\u{202E}ABDC`,
		"a\xffb":                     "a\ufffdb",
		"52½° ABDC – «été» 13⁄16 in": "52½° ABDC – «été» 13⁄16 in",
		"":                           "",
	} {
		assert.Equal(t, want, report.Inert(in))
	}
}

func FuzzInert(f *testing.F) {
	for _, s := range hostile {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) { harmless(t, report.Inert(s)) })
}

func TestWriteJSONIsInertAndMeansTheSame(t *testing.T) {
	for name, s := range hostile {
		t.Run(name, func(t *testing.T) {
			var b strings.Builder
			require.NoError(t, report.WriteJSON(&b, map[string]string{"title": s}))
			harmless(t, strings.ReplaceAll(b.String(), "\n", ""))
			var back map[string]string
			require.NoError(t, json.Unmarshal([]byte(b.String()), &back))
			assert.Equal(t, strings.ToValidUTF8(strings.ReplaceAll(s, "\xff\xc0", "\ufffd\ufffd"), "\ufffd"), back["title"])
		})
	}
}
