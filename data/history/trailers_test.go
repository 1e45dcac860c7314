package history

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestContributors(t *testing.T) {
	for message, want := range map[string][]string{
		"Merge sheet-7\n\nContributed-by: A. Fitter\nFigure: marlowe/four lifts.inlet added\nContributed-by: B: Turner\n": {"A. Fitter", "B: Turner"},
		"Words\n\nMore words.\n\nco-authored-by: C <c@fourmarks.example>\nCo-authored-by: C <c@fourmarks.example>":        {"C <c@fourmarks.example>"},
		"Contributed-by: nobody":                              {},
		"Words\n\nContributed-by: nobody\n\nMore words":       {},
		"Words\n\nThis is Contributed-by: nobody\n":           {},
		"Words\n\nA sentence: with\nContributed-by: nobody\n": {},
		"":       {},
		"\n\n\n": {},
	} {
		assert.Equal(t, want, contributors(message), "%q", message)
	}
}
