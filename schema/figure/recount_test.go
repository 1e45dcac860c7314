package figure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"fourmarks.example/convert/interval"
)

// One angle counted from another dead centre, by hand; the two exhaust centres
// are those of the Triumph table (tribsa.blogspot.com): 79.5 after bottom is
// 100.5 before top.
func TestRecount(t *testing.T) {
	for _, c := range []struct {
		is       float64
		from, to Datum
		want     float64
	}{
		{223.5, ATDC, ABDC, 43.5}, {5, ATDC, BTDC, -5}, {10, BTDC, ATDC, -10}, {100.5, BTDC, ABDC, 79.5}, {79.5, ABDC, BTDC, 100.5},
		{52, BBDC, ATDC, 128}, {52, ABDC, ABDC, 52}, {0, TDC, BTDC, 0}, {0, BDC, ABDC, 0}, {0, NoDatum, BBDC, 0}, {0, BDC, BBDC, 0},
	} {
		assert.Equal(t, interval.Point(c.want), c.to.Recount(interval.Point(c.is), c.from), "%g %s from %s", c.is, c.from, c.to)
	}
	assert.True(t, BTDC.Recount(interval.Empty(), ATDC).IsEmpty())
}

func TestRecountThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := Datum(rapid.IntRange(int(BTDC), int(ABDC)).Draw(t, "from"))
		to := Datum(rapid.IntRange(int(BTDC), int(ABDC)).Draw(t, "to"))
		halves := rapid.IntRange(-170, 170).Draw(t, "half degrees")
		is := interval.Of(float64(halves)/2, float64(halves)/2+1)
		if got := from.Recount(to.Recount(is, from), to); got != is {
			t.Fatalf("%v %s became %v", is, from, got)
		}
	})
}
