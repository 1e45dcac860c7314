package changes_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/changes"
)

// Everything a file says is shown and never obeyed.
func TestReportsAreInert(t *testing.T) {
	hostile := "\"<b>x</b> @all [l](http://h) | `a` ``b`` \\u202e \\n# Heading\\u0085\""
	after := edited("title: Marlowe Four", "title: "+hostile, "inlet_opens: 3 BTDC", "inlet_opens: {is: 3 BTDC, from: sheet, note: "+hostile+"}",
		"variants:\n  late:", "variants:\n  "+hostile+":")
	r := compare(t, files, after)
	require.Len(t, r.Engines, 1)

	shown := text(t, r)
	assert.NotContains(t, shown, "\u202e")
	assert.NotContains(t, shown, "\n# Heading")

	var b strings.Builder
	require.NoError(t, changes.Markdown(&b, r))
	for l := range strings.Lines(b.String()) {
		outside := withoutCode(l)
		assert.NotContains(t, outside, "<b>", l)
		assert.NotContains(t, outside, "@all", l)
		assert.NotContains(t, outside, "http", l)
		assert.NotContains(t, l, "\u202e")
		if strings.HasPrefix(l, "|") {
			assert.Contains(t, []int{5, 6}, strings.Count(strings.ReplaceAll(l, `\|`, ""), "|"), l)
		}
	}
	assert.NotContains(t, b.String(), "\n# Heading")
}

// withoutCode takes the code spans out of a line of Markdown, as CommonMark 0.31,
// section 6.1, delimits them: a run of backticks up to the next run as long.
func withoutCode(l string) string {
	var out strings.Builder
	for l != "" {
		run := len(l) - len(strings.TrimLeft(l, "`"))
		if run == 0 {
			out.WriteByte(l[0])
			l = l[1:]
			continue
		}
		rest := l[run:]
		end := -1
		for i := 0; i < len(rest); i++ {
			n := len(rest[i:]) - len(strings.TrimLeft(rest[i:], "`"))
			if n == run {
				end = i
				break
			}
			i += max(n-1, 0)
		}
		if end < 0 {
			out.WriteString(l[:run])
			l = rest
			continue
		}
		l = rest[end+run:]
	}
	return out.String()
}

func TestMarkdown(t *testing.T) {
	var b strings.Builder
	require.NoError(t, changes.Markdown(&b, compare(t, files, edited("48 ABDC", "84 ABDC", "handbook: 15", "handbook: {is: 15, set_aside: misprint}", "checking clearance", "not given"))))
	assert.Equal(t, "### `marlowe/four` `Marlowe Four`\n"+`
| Figure | | Before | After | |
| --- | --- | --- | --- | --- |
| `+"`events.checking.inlet_closes` | changed | `48 ABDC` [`sheet line 3`] | `84 ABDC` [`sheet line 3`] | inherited by `late`"+` |
| `+"`events.checking.overlap` | set aside | `15` [`handbook`] | `15` [`handbook`] | set aside: `misprint`; inherited by `late`; the disagreement is ended: settled"+` |

| Value | | Before | After |
| --- | --- | --- | --- |
| `+"`events.checking.read_at` | changed | `checking clearance` | `not given`"+` |

Newly broken:

- warning `+"`clearances/without-events`: `the checking clearance is given, and no events are read at it; add them, or say at which clearance the events are read`"+`
- error `+"`events/inlet-duration`: `inlet duration does not fit: 231 ≠ 180 + 3 + 84, which comes to 266 to 268; most likely inlet closes 84 ABDC is a slip for 48 ABDC (digits transposed)`\n", b.String())
}

func TestJSON(t *testing.T) {
	b, err := json.Marshal(compare(t, files, edited("48 ABDC", "84 ABDC")))
	require.NoError(t, err)
	var got struct {
		Engines []struct {
			Engine, Fate string
			Figures      []struct {
				Path   string
				Claims []struct {
					What, Key     string
					Before, After *struct{ Printed, From string }
				}
				InheritedBy []string `json:"inherited_by"`
			}
			Broken []struct{ Rule, Level string }
		}
		Records []struct{}
	}
	require.NoError(t, json.Unmarshal(b, &got))
	require.NotContains(t, string(b), "null")
	f := got.Engines[0].Figures[0]
	assert.Equal(t, "84 ABDC", f.Claims[0].After.Printed)
	assert.Equal(t, "sheet line 3", f.Claims[0].Before.From)
	assert.Equal(t, []string{"late"}, f.InheritedBy)
	assert.Equal(t, "error", got.Engines[0].Broken[0].Level)
}
