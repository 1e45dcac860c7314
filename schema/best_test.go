package schema

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

const gradedSources = `
sources:
  drawing: {title: Drawing, grade: works}
  book: {title: Handbook, grade: maker}
  other-book: {title: Bulletin, grade: maker}
  rumour: {title: Rumour, grade: recall}
`

func TestTheBestClaimIsOfTheStrongestSourceThenTheClosest(t *testing.T) {
	for name, c := range map[string]struct {
		claims string
		want   []string
	}{
		"strongest source":              {"{rumour: {is: 3.0 BTDC}, book: {is: 3 BTDC}, drawing: {is: 3 BTDC}}", []string{"drawing", "book", "rumour"}},
		"closest of one grade":          {"{book: {is: 3 BTDC}, other-book: {is: 3.0 BTDC}}", []string{"other-book", "book"}},
		"first of equals":               {"{other-book: {is: 3 BTDC}, book: {is: 3 BTDC}}", []string{"other-book", "book"}},
		"not comparable keep order":     {"{book: {is: 3 BTDC}, other-book: {is: 1.00 mm BTDC piston}}", []string{"book", "other-book"}},
		"a limit is wider than a print": {"{book: {is: at least 2 BTDC}, other-book: {is: 3 BTDC}}", []string{"other-book", "book"}},
		"no record is the weakest":      {"{nobody: {is: 3.0 BTDC}, rumour: {is: 3 BTDC}}", []string{"rumour", "nobody"}},
		"set aside is not followed":     {"{drawing: {is: 9 BTDC, set_aside: misprint}, book: {is: 3 BTDC}}", []string{"book"}},
		"a word for absence neither":    {"{drawing: {is: not given}, book: {is: 3 BTDC}}", []string{"book"}},
		"in dispute none is":            {"{drawing: {is: 9 BTDC}, book: {is: 3 BTDC}}", nil},
	} {
		t.Run(name, func(t *testing.T) {
			e, problems := decode(t, "events: {running: {inlet_opens: {claims: "+c.claims+"}}}"+gradedSources)
			assert.Empty(t, problems)
			var got []string
			for _, claim := range BestFirst(e.Figure("events.running.inlet_opens"), func(id string) (*Source, bool) { return e.Sources.Get(id) }) {
				got = append(got, claim.Key)
			}
			assert.Equal(t, c.want, got)
		})
	}
	assert.Empty(t, BestFirst(nil, nil))
}
