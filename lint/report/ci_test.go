package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/run"
)

func ci(t require.TestingT, res run.Result) []string {
	var b strings.Builder
	require.NoError(t, report.CI(&b, res))
	return strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
}

// command is a workflow command as a runner understands it.
type command struct {
	name, message string
	properties    map[string]string
}

// readCommand takes a line apart as the runner of GitHub Actions does (its
// published source, ActionCommand): a command stands at the start of a line,
// blanks aside, with its properties between the name and the second pair of
// colons; escapes are undone with %25 last. A command of the older form starts
// with ##[ anywhere in a line.
func readCommand(line string) (c command, found bool) {
	line = strings.TrimLeft(line, " \t")
	rest, isCommand := strings.CutPrefix(line, "::")
	head, message, ended := strings.Cut(rest, "::")
	if !isCommand || !ended {
		return command{}, strings.Contains(line, "##[")
	}
	name, properties, _ := strings.Cut(head, " ")
	c = command{name: name, message: unescaped(message), properties: map[string]string{}}
	for _, p := range strings.Split(properties, ",") {
		if key, value, ok := strings.Cut(p, "="); ok {
			c.properties[key] = unescaped(strings.NewReplacer("%3A", ":", "%2C", ",").Replace(value))
		}
	}
	return c, true
}

func unescaped(s string) string {
	s = strings.NewReplacer("%0D", "\r", "%0A", "\n").Replace(s)
	return strings.ReplaceAll(s, "%25", "%")
}

func TestCI(t *testing.T) {
	golden(t, "ci.txt", strings.Join(ci(t, result()), "\n")+"\n")
	assert.Equal(t, []string{"no errors, no warnings, no notes: 3 files, 1 engine, 60 rules"}, ci(t, run.Result{Files: 3, Engines: 1, Rules: 60}))

	several := &lint.Finding{Rule: "form/x", Level: lint.Error, File: "f", Line: 2, Column: 3, EndLine: 4, EndCol: 1, Message: "m"}
	c, found := readCommand(ci(t, run.Result{Findings: []*lint.Finding{several}})[0])
	require.True(t, found)
	assert.Equal(t, map[string]string{"file": "f", "line": "2", "endLine": "4", "title": "form/x"}, c.properties, "columns only within one line")
}

func TestCIIsInert(t *testing.T) {
	for name, s := range hostileTexts() {
		t.Run(name, func(t *testing.T) {
			res := filledWith(s)
			lines := ci(t, res)
			require.Len(t, lines, len(res.Findings)+1, "a line for each finding and the summary")
			for i, line := range lines[:len(res.Findings)] {
				harmless(t, line)
				c, found := readCommand(line)
				require.True(t, found, line)
				assert.Equal(t, []string{"error", "warning", "notice"}[i], c.name)
				assert.Equal(t, map[string]string{"file": report.Inert(s), "line": "10", "col": "21", "title": "events/inlet-duration"}, c.properties)
				assert.Contains(t, withoutSpaces(c.message), withoutSpaces(report.Inert(s)))
				for _, part := range strings.Split(c.message, "\n") {
					harmless(t, part)
					assert.NotContains(t, part, "##", "an older runner would look for a command here")
				}
				assert.Len(t, strings.Split(c.message, "\n"), 1+2+2+1, "message, working, suspects, where more is said")
			}
			_, found := readCommand(lines[len(lines)-1])
			assert.False(t, found, "the summary is no command")
		})
	}
}
