package figure

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestUnitsMisspelled(t *testing.T) {
	for _, c := range []struct {
		kind        Kind
		text, right string
	}{
		{NominalLength, "13/16 inhc", "inch"},
		{NominalLength, "75 mmm", "mm"},
		{NominalLength, "4 1/2 inchs", "inch"},
		{ReadLength, "4 thuo", "thou"},
		{Pressure, "80 psii", "psi"},
		{Angle, "231 degress", "degrees"},
		{Position, "10 mmm BTDC piston", "mm"},
	} {
		is, ok := Respell(c.kind, c.text)
		assert.True(t, ok, c.text)
		assert.Equal(t, c.right, is.Right, c.text)
		_, err := Read(c.kind, c.text[:is.Wrong.Start]+is.Right+c.text[is.Wrong.End:])
		assert.NoError(t, err)
	}
}

// Where two units are as near, where the word is too short to tell, where it is
// no unit at all or a good one, or where more is wrong, nothing is offered.
func TestUnitsThatNobodyCanGuess(t *testing.T) {
	for text, kind := range map[string]Kind{
		"75 zm":          NominalLength,
		"75 furlongs":    NominalLength,
		"75 mm":          NominalLength,
		"75 cc":          NominalLength,
		"seventy mmm":    NominalLength,
		"75 mmm and 3/4": NominalLength,
		"38 before":      Position,
		"":               Position,
		"80 mmhgg":       Kind(250),
	} {
		_, ok := Respell(kind, text)
		assert.False(t, ok, text)
	}
}
