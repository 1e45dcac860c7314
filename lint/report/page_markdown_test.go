package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint/report"
)

func TestMarkdownPage(t *testing.T) {
	r := swept()
	r.Checks = "A `made_up` rule for 2 * 3 [x](y) <b>."
	var b strings.Builder
	require.NoError(t, report.MarkdownPage(&b, r))
	golden(t, "page.md", b.String())
	assert.Contains(t, b.String(), "A `made_up` rule for 2 \\* 3 \\[x\\](y) \\<b>.")

	b.Reset()
	r.Bad = "\n```\nsize: {}\n"
	require.NoError(t, report.MarkdownPage(&b, r))
	assert.Contains(t, b.String(), "\n````yaml\n```\nsize: {}\n````\n", "the fence is longer than any in the example")
}
