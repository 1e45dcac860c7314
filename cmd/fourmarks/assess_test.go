package main

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/assess"
	"fourmarks.example/schema"
)

// Questions answered line by line, as for those who hear the screen: the clearance
// is the second of two choices, a wrong answer is asked for again, and what is
// skipped is left out.
func TestQuestionsAreAskedLineByLine(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "data", "engines", "penhallow", "light-six.yaml"))
	require.NoError(t, err)
	e, _ := schema.DecodeEngine(schema.ReadFile("light-six.yaml", text))
	asked, err := assess.Questions(e, "")
	require.NoError(t, err)
	lines := map[string]string{"read_at": "2", "read_by": "3", "approached": "1", "cylinders.inlet_opens": "early\n9½ ATDC; 10 ATDC", "cylinders.exhaust_opens": "34 BBDC"}
	var typed strings.Builder
	for _, q := range asked {
		typed.WriteString(lines[q.Key] + "\n")
	}
	var shown strings.Builder
	p := &program{Streams: Streams{In: iotest.OneByteReader(strings.NewReader(typed.String())), Out: io.Discard, Err: &shown}, env: func(string) string { return "" }}
	answers, err := p.ask(context.Background(), asked, true)
	require.NoError(t, err)
	assert.Equal(t, `readings: 1
engine: penhallow/light-six
read_at: checking clearance
read_by: paper
approached: running
cylinders:
  "1":
    inlet_opens: [9½ ATDC, 10 ATDC]
    exhaust_opens: 34 BBDC
`, string(assess.Compose("penhallow/light-six", "", asked, answers)))
	assert.Contains(t, shown.String(), "At which clearance were the events read?")
	assert.Contains(t, shown.String(), "early")
}

func TestAnswersAreKeptInANewFileOnly(t *testing.T) {
	name := filepath.Join(t.TempDir(), "readings.yaml")
	require.NoError(t, writeNew(name, []byte("readings: 1\n")))
	assert.ErrorContains(t, writeNew(name, []byte("other")), "exists")
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, "readings: 1\n", string(text))
}
