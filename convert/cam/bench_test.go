package cam

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/convert/interval"
)

// benchTable is a cam read every five camshaft degrees.
func benchTable(t testing.TB) Profile {
	known, err := ThreeArc{0.5, 2.25, 0.17, 0.29, false, Follower{Kind: Flat}}.Profile()
	require.NoError(t, err)
	var table Table
	for angle := -70.0; angle <= 70; angle += 5 {
		m, err := known.At(angle)
		require.NoError(t, err)
		table = append(table, Point{angle, m.Lift})
	}
	p, err := table.Profile()
	require.NoError(t, err)
	return p
}

func BenchmarkEventsOfTable(b *testing.B) {
	p := benchTable(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.Events(0.02); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEventsOfThreeArc(b *testing.B) {
	p, err := ThreeArc{0.5, 2.25, 0.17, 0.29, false, Follower{Roller, 0.4}}.Profile()
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.Events(0.02); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLiftOfTable(b *testing.B) {
	p := benchTable(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.At(-43.21); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEventsWithin(b *testing.B) {
	p := benchTable(b)
	clearance := interval.Of(0.0195, 0.0205)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.EventsWithin(clearance); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkClearanceFor(b *testing.B) {
	p := benchTable(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.ClearanceFor(231); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLeastGap(b *testing.B) {
	g := inletGap(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := g.Least(0); err != nil {
			b.Fatal(err)
		}
	}
}

func TestEvaluationAllocatesNothing(t *testing.T) {
	p := benchTable(t)
	g := inletGap(t)
	for name, evaluate := range map[string]func() error{
		"At":           func() error { _, err := p.At(12); return err },
		"Events":       func() error { _, err := p.Events(0.02); return err },
		"EventsWithin": func() error { _, err := p.EventsWithin(interval.Of(0.019, 0.021)); return err },
		"ClearanceFor": func() error { _, err := p.ClearanceFor(231); return err },
		"Least":        func() error { _, err := g.Least(3); return err },
	} {
		require.NoError(t, evaluate(), name)
		require.Zero(t, testing.AllocsPerRun(10, func() { _ = evaluate() }), name)
	}
}
