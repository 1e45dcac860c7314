package assess_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/assess"
	"fourmarks.example/schema"
)

func TestAnswersBecomeReadings(t *testing.T) {
	e := fileEngine(t, "penhallow/light-six")
	asked, err := assess.Questions(e, "")
	require.NoError(t, err)
	text := assess.Compose("penhallow/light-six", "", asked, map[string]string{
		"read_at": "checking clearance", "read_by": "paper", "approached": assess.Skip, "uncertainty": "1", "cylinder": "6",
		"cylinders.inlet_opens": "9½ ATDC; 10 ATDC", "cylinders.exhaust_closes": "3 1/4 in ATDC rim",
		"positive_stop.before": "31 BTDC", "positive_stop.after": "29 ATDC", "wheel_marks.idler": "meet", "wheel_marks.camshaft": "1 tooth late",
		"revolution.on_the_rock": "6", "checks.compression": "70 psi; 68 psi", "checks.altitude": "3,000 ft",
	})
	assert.Equal(t, `readings: 1
engine: penhallow/light-six
read_at: checking clearance
read_by: paper
uncertainty: "1"
cylinders:
  "6":
    inlet_opens: [9½ ATDC, 10 ATDC]
    exhaust_closes: 3 1/4 in ATDC rim
positive_stop:
  before: 31 BTDC
  after: 29 ATDC
wheel_marks:
  idler: meet
  camshaft: 1 tooth late
revolution:
  ignition_at: 1
  on_the_rock: "6"
checks:
  compression:
    "1": 70 psi
    "2": 68 psi
  altitude: 3,000 ft
`, string(text))
	r, problems := schema.DecodeReadings(schema.ReadFile("the answers", text))
	require.Empty(t, problems)
	_, err = assess.Assess(e, "", r)
	assert.NoError(t, err)
}

func TestAnswersAreCheckedAtOnce(t *testing.T) {
	asked, err := assess.Questions(fileEngine(t, "penhallow/light-six"), "series-2")
	require.NoError(t, err)
	for _, q := range asked {
		assert.NoError(t, q.Check(""), "%s can be skipped", q.Key)
		assert.NotEmpty(t, q.Title)
		switch q.Key {
		case "cylinders.inlet_opens":
			assert.NoError(t, q.Check("3 BTDC; 1/8 in BTDC piston"))
			assert.ErrorContains(t, q.Check("3 BTDC; early"), "early")
			assert.ErrorContains(t, q.Check("3 psi"), "psi")
		case "read_at":
			assert.Equal(t, []string{"running clearance", "checking clearance"}, q.Choices)
		case "wheel_marks.idler":
			assert.Error(t, q.Check("about right"))
			assert.NoError(t, q.Check("2 teeth early"))
		}
	}
}
