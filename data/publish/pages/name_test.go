package pages

import (
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestFileNames(t *testing.T) {
	for text, want := range map[string]string{"light-six": "light-six", "series 2": "series_202", "../x": "_2e_2e_2fx", "A": "_41", "a_b": "a_5fb", "ü": "_c3_bc", "": ""} {
		assert.Equal(t, want, fileName(text))
	}
	assert.Equal(t, "penhallow/light-six.series-2", engineName("penhallow/light-six", "series-2"))
	assert.Equal(t, "_2e_2e/_2e_2e_2fx", engineName("../../x", ""))
}

// No two texts share a file name, on no file system, and no name leads out of
// its folder.
func TestFileNamesAreTheirOwn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.String().Draw(t, "a"), rapid.String().Draw(t, "b")
		assert.Equal(t, a == b, strings.EqualFold(fileName(a), fileName(b)))
		if a != "" {
			assert.Equal(t, fileName(a), path.Base(path.Clean(fileName(a))))
		}
	})
}

func TestAnchors(t *testing.T) {
	assert.Equal(t, "marks.belt~pulley.rim_diameter", anchor("marks.belt pulley.rim_diameter"))
}
