package notation

import "testing"

func BenchmarkEverything(b *testing.B) {
	f, err := Read("52 ABDC")
	if err != nil {
		b.Fatal(err)
	}
	dims := given(b, map[Name]string{Stroke: "4 1/2 in", Rod: "9 in", RimDiameter: "16 1/4 in", RingTeeth: "120", WheelTeeth: "28"})
	for b.Loop() {
		if _, err := f.Convert(Wanted{}, dims); err != nil {
			b.Fatal(err)
		}
	}
}
