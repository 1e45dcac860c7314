package report_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/run"
)

func oneLine(t require.TestingT, res run.Result) string {
	var b strings.Builder
	require.NoError(t, report.OneLine(&b, res))
	return b.String()
}

func TestOneLine(t *testing.T) {
	golden(t, "oneline.txt", oneLine(t, result()))
	assert.Empty(t, oneLine(t, run.Result{Files: 3}))

	f := &lint.Finding{Rule: "form/x", Level: lint.Warning, File: "C:/data/a:b.yaml", Line: 2, Column: 3, Variant: "series-2", Message: "message"}
	assert.Equal(t, `C:/data/a\u{3A}b.yaml:2:3: warning: message (variant series-2) [form/x]`+"\n", oneLine(t, run.Result{Findings: []*lint.Finding{f}}))
}

// errorLine is how the error parsers of editors take a line apart.
var errorLine = regexp.MustCompile(`^((?:[A-Za-z]:)?[^:]+):(\d+):(\d+): (error|warning|note): (.*) \[(\S+)\]$`)

func TestOneLineIsInert(t *testing.T) {
	for name, s := range hostileTexts() {
		t.Run(name, func(t *testing.T) {
			res := filledWith(s)
			lines := strings.Split(strings.TrimSuffix(oneLine(t, res), "\n"), "\n")
			require.Len(t, lines, len(res.Findings))
			for i, line := range lines {
				harmless(t, line)
				parts := errorLine.FindStringSubmatch(line)
				require.NotNil(t, parts, line)
				assert.Equal(t, []string{strings.ReplaceAll(report.Inert(s), ":", `\u{3A}`), "10", "21"}, parts[1:4])
				assert.Equal(t, res.Findings[i].Level.String(), parts[4])
				assert.Equal(t, "events/inlet-duration", parts[6])
			}
		})
	}
}
