package rules

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
)

// standings returns the messages that requiring a standing raises.
func standings(t *testing.T, least, example string) []string {
	rule, err := Require(least)
	require.NoError(t, err)
	res, err := run.Lint(context.Background(), lint.ExampleInputs(example), run.Options{Rules: []*lint.Rule{rule}})
	require.NoError(t, err)
	var messages []string
	for _, f := range res.Findings {
		require.Equal(t, lint.Error, f.Level)
		messages = append(messages, f.Message)
	}
	return messages
}

func TestRequire(t *testing.T) {
	rule, err := Require("confirmed")
	require.NoError(t, err)
	require.NoError(t, lint.Validate([]*lint.Rule{rule}))
	assert.Len(t, standings(t, "confirmed", rule.Bad), 1)
	assert.Empty(t, standings(t, "confirmed", rule.Good))
	assert.Empty(t, standings(t, "single-source", rule.Bad))

	_, err = Require("certain")
	assert.EqualError(t, err, `"certain" is not a standing that can be required; one of: single-source, settled, confirmed`)
}

func TestRequireByStanding(t *testing.T) {
	example := `
size:
  bore: 1 in
events:
  checking:
    inlet_opens: 3 BTDC
    inlet_closes: {is: 48 ABDC, from: sheet}
    exhaust_opens:
      claims:
        sheet: 47 BBDC
        handbook: {is: 74 BBDC, set_aside: misprint}
    exhaust_closes:
      claims:
        sheet: 10 ATDC
        handbook: 20 ATDC
    overlap: unknown
variants:
  late:
    change:
      events: {checking: {inlet_opens: {is: 4 BTDC, from: sheet}}}
`
	under := func(least string) string { return strings.Join(standings(t, least, example), "\n") }
	never := []string{"inlet_opens` is unsourced", "exhaust_closes` is disputed"}
	for least, also := range map[string][]string{
		"single-source": nil,
		"settled":       {"inlet_closes` is single-source", "inlet_opens` is single-source"},
		"confirmed":     {"inlet_closes` is single-source", "inlet_opens` is single-source", "exhaust_opens` is settled"},
	} {
		found := under(least)
		for _, want := range append(never, also...) {
			assert.Contains(t, found, want, least)
		}
		assert.Equal(t, len(never)+len(also), len(strings.Split(found, "\n")), "%s:\n%s", least, found)
	}
}
