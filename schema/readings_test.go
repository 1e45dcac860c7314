package schema

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func readReadings(source string) (*Readings, []string) {
	r, problems := DecodeReadings(ReadFile("readings.yaml", []byte(source)))
	var told []string
	for _, p := range problems {
		line, column := p.At.Position()
		told = append(told, fmt.Sprintf("%d:%d %s", line, column, p.Message))
	}
	return r, told
}

func TestReadingsKeepTheirPlaces(t *testing.T) {
	r, told := readReadings(`readings: 1
engine: penhallow/light-six
read_at: checking clearance
clearance: {measured_at: valve, inlet: 20 thou, felt_again: {inlet: 19 thou}}
read_by: paper
uncertainty: 1/8 in rim
cylinders:
  1:
    inlet_opens: [3 BTDC, 4 BTDC]
    inlet_closes: 48 ABDC
  6: {exhaust_opens: 8 teeth BBDC}
positive_stop: {before: 31 BTDC, after: 29 ATDC}
wheel_marks: {idler: meet, camshaft: 1 tooth late}
revolution: {ignition_at: 1, on_the_rock: 6}
checks: {compression: {1: 70 psi, 2: 4 bar}, vacuum: 18 inHg, altitude: "3,000 ft"}
`)
	require.Empty(t, told)
	require.Len(t, r.Cylinders, 2)
	first := r.Cylinders[0].Value
	require.Len(t, first.InletOpens, 2)
	assert.Equal(t, "4 BTDC", first.InletOpens[1].Text())
	line, column := first.InletOpens[1].At.Position()
	assert.Equal(t, [2]int{9, 27}, [2]int{line, column})
	assert.Len(t, first.InletCloses, 1)
	assert.Equal(t, "1 tooth late", r.WheelMarks[1].Value.Claims[0].Printed.Text)
	assert.Equal(t, "4 bar", r.Checks.Compression[1].Value.Text())
}

func TestBadReadingsAreNamed(t *testing.T) {
	for name, c := range map[string]struct{ source, want string }{
		"no version":         {"cylinders: {1: {inlet_opens: 3 BTDC}}\n", "1:1 `readings` is missing; the readings file needs it"},
		"another version":    {"readings: 2\n", "1:11 `readings` must be 1, the version that this program reads"},
		"text":               {"readings: 1\ncylinders: {1: {inlet_opens: early}}\n", "2:30 "},
		"text in a list":     {"readings: 1\ncylinders: {1: {inlet_opens: [3 BTDC, early]}}\n", "2:39 "},
		"wrong unit":         {"readings: 1\ncylinders: {1: {inlet_opens: 3 psi BTDC}}\n", "2:30 "},
		"no dead centre":     {"readings: 1\ncylinders: {1: {inlet_opens: 3}}\n", "2:30 "},
		"empty":              {"readings: 1\ncylinders: {1: {inlet_opens: }}\n", "2:17 `cylinders.1.inlet_opens` is empty"},
		"empty list":         {"readings: 1\ncylinders: {1: {inlet_opens: []}}\n", "2:30 "},
		"unknown key":        {"readings: 1\ncylinders: {1: {inlet_open: 3 BTDC}}\n", "2:17 `inlet_open` is not a key of `cylinders.1`; did you mean `inlet_opens`?"},
		"a key of elsewhere": {"readings: 1\ncylinders: {1: {vacuum: 18 inHg}}\n", "2:17 `vacuum` is not a key of `cylinders.1`; it belongs in `read_checks`"},
		"no such cylinder":   {"readings: 1\ncylinders: {front: {inlet_opens: 3 BTDC}}\n", "2:13 the key \"front\" is not written as one here should be"},
		"marks":              {"readings: 1\nwheel_marks: {idler: about right}\n", "2:22 `idler` cannot be \"about right\": how the mark stands; meet, or by how many teeth"},
		"a choice":           {"readings: 1\nread_by: eye\n", "2:10 `read_by` is one of feel, feeler, paper or dial"},
	} {
		t.Run(name, func(t *testing.T) {
			_, told := readReadings(c.source)
			require.NotEmpty(t, told)
			assert.Contains(t, told[0], c.want)
		})
	}
}

// An engine file is not told of the sections that only readings have.
func TestMessagesStayInTheirSortOfFile(t *testing.T) {
	_, problems := DecodeEngine(ReadFile("e.yaml", []byte("format: 1\nengine: a/b\ntitle: A\nlayout: {felt_again: 3}\n")))
	require.NotEmpty(t, problems)
	assert.NotContains(t, problems[0].Message, "belongs in")
}

func FuzzReadings(f *testing.F) {
	f.Add("readings: 1\ncylinders: {1: {inlet_opens: [3 BTDC, 4 BTDC]}}\n")
	f.Add("readings: 1\nwheel_marks: {idler: meet}\nchecks: {compression: {1: 70 psi}}\n")
	f.Fuzz(func(t *testing.T, source string) {
		r, problems := DecodeReadings(ReadFile("r.yaml", []byte(source)))
		require.NotNil(t, r)
		if file := ReadFile("r.yaml", []byte(source)); len(problems) == 0 {
			require.NoError(t, readingsGate().Validate(file.Doc.Root.ValueWithout(nil)), "what the decoder lets pass the schema lets pass")
		}
	})
}
