package figure

import "testing"

// sheet is what a full engine file holds, about a hundred figures.
var sheet = func() (prints []struct {
	kind Kind
	text string
}) {
	for _, p := range []struct {
		kind  Kind
		text  string
		times int
	}{
		{Count, "28", 14}, {FiringOrder, "1-4-2-6-3-5", 1}, {Angles, "0, 240, 120, 120, 240, 0", 1}, {Direction, "clockwise seen from timing end", 3},
		{NominalLength, "2 15/16 in", 8}, {NominalLength, "68 mm", 4}, {Volume, "2998 cc", 1}, {Ratio, "5.2", 2}, {TaxHorsepower, "20.7", 1},
		{ReadLength, "4 thou", 8}, {ReadLength, `.004"`, 4}, {ReadLength, "0.018 in (0.45 mm)", 4}, {Angle, "231", 8}, {Angle, "22½", 3},
		{Position, "52 ABDC", 16}, {Position, "52½° after B.D.C.", 4}, {Position, "10 mm BTDC piston", 4}, {Position, "1 3/8 in ABDC on rim", 4},
		{RimPosition, "0.43 in before TDC", 4}, {Pressure, "80 lb. per sq. in.", 2}, {Vacuum, "20 inHg", 1}, {Speed, "1,800 rpm", 1}, {Pitch, "10 DP", 2},
	} {
		for range p.times {
			prints = append(prints, struct {
				kind Kind
				text string
			}{p.kind, p.text})
		}
	}
	return prints
}()

// BenchmarkSheet reads all figures of a full engine file.
func BenchmarkSheet(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		for _, p := range sheet {
			if _, err := Read(p.kind, p.text); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(sheet)), "ns/figure")
}

// BenchmarkSheetIntervals reads them and asks for the interval of each.
func BenchmarkSheetIntervals(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		for _, p := range sheet {
			f, err := Read(p.kind, p.text)
			if err != nil {
				b.Fatal(err)
			}
			for _, r := range f.Readings {
				if r.Interval().IsEmpty() {
					b.Fatal(p.text)
				}
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(sheet)), "ns/figure")
}

func BenchmarkRead(b *testing.B) {
	for _, p := range []struct {
		kind Kind
		text string
	}{
		{Count, "28"}, {Position, "52 ABDC"}, {Position, "1 3/8 in ABDC on rim"}, {Position, "48° 30' B.B.D.C."}, {NominalLength, "2 15/16 in"},
		{ReadLength, "0.018 in (0.45 mm)"}, {Pressure, "80 lb. per sq. in."}, {FiringOrder, "1-4-2-6-3-5"}, {Direction, "clockwise seen from timing end"},
	} {
		b.Run(p.text, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Read(p.kind, p.text); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
