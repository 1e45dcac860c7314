package assess_test

import (
	"fmt"
	"testing"

	"fourmarks.example/data/assess"
	"fourmarks.example/schema"
)

// An engine with 24 teeth on the crankshaft's wheel: a tooth is 15 crank degrees.
func ExampleAssess() {
	engine, _ := schema.DecodeEngine(schema.ReadFile("four.yaml", []byte(`
format: 1
engine: marlowe/four
title: Marlowe Four
layout: {cylinders: 4, rotation: clockwise seen from timing end}
clearances: {checking: {inlet: 15 thou, exhaust: 15 thou}}
events: {checking: {read_at: checking clearance, inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, exhaust_opens: 47 BBDC}}
drives: {camshaft: {train: crankshaft > camshaft, wheels: {crankshaft: {teeth: 24}, camshaft: {teeth: 48}}}}
`)))
	readings, _ := schema.DecodeReadings(schema.ReadFile("readings.yaml", []byte(`
readings: 1
read_at: checking clearance
uncertainty: 1
cylinders: {1: {inlet_opens: 12 ATDC, inlet_closes: 62½ ABDC, exhaust_opens: 32 BBDC}}
wheel_marks: {camshaft: 1 tooth late}
`)))
	a, err := assess.Assess(engine, "", readings)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range a.Says {
		fmt.Println(line)
	}
	fmt.Println(a.Correction.Says)
	// Output:
	// Every event is 14.8° ± 0.7° late, which is 1 tooth (15°), leaving 0.2° early.
	// It is this: camshaft is 1 tooth late in its mesh with crankshaft: it stands that much too far clockwise seen from timing end.
	// turn camshaft 1 tooth forward, out of mesh with crankshaft (anticlockwise seen from timing end): leaves 0.18° early, within 1°
}

func BenchmarkAssess(b *testing.B) {
	e := fileEngine(b, "penhallow/light-six")
	r := readingsOf(b, "read_at: checking clearance\nuncertainty: 1\n"+late)
	for b.Loop() {
		if _, err := assess.Assess(e, "", r); err != nil {
			b.Fatal(err)
		}
	}
}
