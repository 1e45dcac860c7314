package main

import (
	"bytes"
	"context"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint/report"
	"fourmarks.example/schema/notation"
)

// The examples in the help of convert work, and no line of theirs is wider than
// the terminal.
func TestExamplesOfConvertWork(t *testing.T) {
	p := &program{}
	ran := 0
	for _, line := range strings.Split(p.convert().Example, "\n") {
		command, ok := strings.CutPrefix(strings.TrimSpace(line), "fourmarks ")
		if !ok {
			continue
		}
		ran++
		code, out, errs := call(context.Background(), words(command)...)
		require.Equal(t, exitFine, code, "%s: %s", command, errs)
		assert.Contains(t, out, "worked out\n", command)
	}
	assert.GreaterOrEqual(t, ran, 5)
}

// The help names every notation that there is.
func TestHelpOfConvertNamesEveryNotation(t *testing.T) {
	help := strings.NewReplacer("-", " ", "\n", " ").Replace((&program{}).convert().Long)
	for _, n := range notation.Notations() {
		name := strings.TrimSuffix(string(n), " TDC")
		if n == notation.StraightRule {
			name = "straight across by a rule"
		}
		assert.Contains(t, help, name)
	}
}

func TestConversionsFitTheTerminal(t *testing.T) {
	dims := []string{"--stroke", "4 1/2 in", "--rim-diameter", "16 1/4 in", "--ring-teeth", "120", "--wheel-teeth", "28", "--offset", "1/4 in", "--dead-centre", "piston"}
	prints := map[string]string{ // and an event, which names another notation or the side of a dead centre
		"52 ABDC": "inlet_closes", "0 BTDC": "inlet_opens", "0.0 mm BTDC piston": "ignition", "7/16 in (0.4375) BTDC piston": "ignition", "8 teeth ATDC": "exhaust_closes",
		"48°30' BBDC": "exhaust_opens", "5/16 in from bottom centre piston": "exhaust_opens", "38 BTDC maximum": "ignition", "1 3/8 in ABDC rim by straight rule": "inlet_closes",
		"1 tooth": "", "12.86": "", "435 psi minimum": "", "11.7e-6 per °C": "",
	}
	for _, columns := range []int{40, 60, 80, 132} {
		for print, event := range prints {
			for _, rod := range []string{"9 in", "unknown"} {
				var out, errs bytes.Buffer
				args := append([]string{"convert", print, "--event", event, "--rod", rod}, dims...)
				code := Run(context.Background(), args, Streams{In: strings.NewReader(""), Out: &out, Err: &errs}, func(name string) string {
					return map[string]string{"COLUMNS": strconv.Itoa(columns)}[name]
				})
				require.Equal(t, exitFine, code, "%s: %s", print, errs.String())
				for _, line := range strings.Split(out.String(), "\n") {
					assert.LessOrEqual(t, report.Width(line), columns, "%v", line)
				}
			}
		}
	}
}
