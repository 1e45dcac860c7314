package crank_test

import (
	"fmt"

	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
)

// Inlet opens 3 BTDC and closes 48 ABDC; exhaust opens 47 BBDC and closes 10 ATDC.
func Example_duration() {
	e, err := crank.CustomaryEvents(3, 48, 47, 10)
	if err != nil {
		fmt.Println(err)
		return
	}
	inlet, _ := crank.Duration(e.InletOpens, e.InletCloses)
	exhaust, _ := crank.Duration(e.ExhaustOpens, e.ExhaustCloses)
	overlap, _ := crank.Overlap(e.InletOpens, e.ExhaustCloses)
	fmt.Println("inlet open for", inlet)
	fmt.Println("exhaust open for", exhaust)
	fmt.Println("overlap", overlap)
	// Output:
	// inlet open for 231
	// exhaust open for 237
	// overlap 13
}

// Ignition is printed as 7/16 in of piston travel before TDC, the stroke is
// 3 1/2 in and the rod 7 in.
func ExampleLinkage_Angle() {
	l := crank.Linkage{Stroke: 3.5, Rod: 7}
	degrees, err := l.Angle(7./16, crank.BTDC)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f %v\n", degrees, crank.BTDC)
	// Output: 37.2 BTDC
}

// The same, with the rod not known and 7/16 in read to the nearest 1/32.
func ExampleLinkageInterval_Angle() {
	stroke := interval.Of(3.4995, 3.5005)
	l := crank.LinkageInterval{Stroke: stroke, Rod: crank.UnknownRod(stroke)}
	degrees, err := l.Angle(interval.Of(7./16-1./64, 7./16+1./64), crank.BTDC)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("between %.1f and %.1f %v\n", degrees.Lo, degrees.Hi, crank.BTDC)
	// Output: between 35.1 and 38.7 BTDC
}

// A flywheel of 16 1/4 in: where to put the mark for 45 degrees, measured with a
// strip of paper laid round the rim and with a straight rule.
func ExampleRim() {
	rim := crank.Rim{Diameter: 16.25}
	along, err := rim.Distance(45)
	if err != nil {
		fmt.Println(err)
		return
	}
	straight, err := rim.Chord(45)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f in along the rim, %.2f in straight\n", along, straight)
	// Output: 6.38 in along the rim, 6.22 in straight
}

// The valve-setting table of a six: with each cylinder at firing TDC its
// companion is on the rock, and the valves named are at least 20 degrees from
// opening and closing.
func ExampleFiring_RockTable() {
	f, err := crank.FiringOf([]float64{0, 240, 120, 120, 240, 0}, nil, []int{1, 4, 2, 6, 3, 5})
	if err != nil {
		fmt.Println(err)
		return
	}
	e, err := crank.CustomaryEvents(3, 48, 47, 10)
	if err != nil {
		fmt.Println(err)
		return
	}
	table, err := f.RockTable(e, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range table {
		fmt.Print("on the rock ", row.OnTheRock, ", set")
		for _, v := range row.Set {
			fmt.Print(" ", v)
		}
		fmt.Println()
	}
	// Output:
	// on the rock [6], set inlet 1 exhaust 1 exhaust 2 inlet 3 exhaust 4 inlet 5
	// on the rock [3], set inlet 1 exhaust 2 inlet 4 exhaust 4 inlet 5 exhaust 6
	// on the rock [5], set inlet 1 inlet 2 exhaust 2 exhaust 3 inlet 4 exhaust 6
	// on the rock [1], set inlet 2 exhaust 3 inlet 4 exhaust 5 inlet 6 exhaust 6
	// on the rock [4], set exhaust 1 inlet 2 inlet 3 exhaust 3 exhaust 5 inlet 6
	// on the rock [2], set exhaust 1 inlet 3 exhaust 4 inlet 5 exhaust 5 inlet 6
}
