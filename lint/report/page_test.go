package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema/figure"
)

func swept() *lint.Rule {
	return &lint.Rule{
		Name: "size/double-bore", Level: lint.Warning, Title: "The stroke is twice the bore",
		Checks: "A made-up rule.", Why: "To show a page.", Basis: "made up", Accepting: "Accept it at will.",
		Bad:  "\nsize:\n  from: sheet p. 1\n  bore: 2 in\n  stroke: 3 in\n",
		Good: "\nsize:\n  from: sheet p. 1\n  bore: 2 in\n  stroke: 4 in\n",
		Relations: func(n *relation.Network) {
			for range 2 { // the same formula twice is shown once
				n.Equal("size", n.Quantity("size.stroke", "stroke", figure.NominalLength),
					relation.Product(relation.Number(2), n.Quantity("size.bore", "bore", figure.NominalLength)))
			}
		},
	}
}

func TestPage(t *testing.T) {
	var b strings.Builder
	require.NoError(t, report.Page(&b, swept(), 0))
	golden(t, "page.txt", b.String())
}

func TestFormulas(t *testing.T) {
	assert.Equal(t, []string{"stroke = 2 × bore"}, report.Formulas(swept()))
	assert.Equal(t, []string{"in words"}, report.Formulas(&lint.Rule{Formula: "in words"}))
}

// Every rule of the book has a page that fits its terminal, examples aside, and
// every rule of relations shows its arithmetic.
func TestPagesOfTheBook(t *testing.T) {
	for _, r := range rules.All() {
		var b strings.Builder
		require.NoError(t, report.Page(&b, r, 80))
		before, _, _ := strings.Cut(b.String(), "\nWrong\n")
		for _, line := range strings.Split(before, "\n") {
			assert.LessOrEqual(t, report.Width(line), 80, "%s: %s", r.Name, line)
		}
		if r.Relations != nil {
			assert.NotEmpty(t, strings.Join(report.Formulas(r), ""), r.Name)
		}
	}
}
