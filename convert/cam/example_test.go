package cam_test

import (
	"fmt"
	"log"

	"fourmarks.example/convert/cam"
	"fourmarks.example/convert/crank"
)

// An inlet cam from its drawing, in inches, seen through a rocker of 1.08.
func inlet() cam.Profile {
	tappet, err := cam.ThreeArc{
		BaseRadius: 0.500, FlankRadius: 2.250, NoseRadius: 0.170, Lift: 0.290,
		Follower: cam.Follower{Kind: cam.Flat},
	}.Profile()
	if err != nil {
		log.Fatal(err)
	}
	valve, err := tappet.AtValve(1.08)
	if err != nil {
		log.Fatal(err)
	}
	return valve
}

// One cam has a different duration at every clearance.
func ExampleProfile_Events() {
	for _, set := range []struct {
		name   string
		inches float64
	}{{"checking", 0.020}, {"running", 0.004}} {
		events, err := inlet().Events(set.inches)
		if err != nil {
			log.Fatal(err)
		}
		later, err := events.Opens.CrankPerClearance()
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("at %s clearance, %.0f thou: %.1f crank degrees; 1 thou more opens %.2f° later\n",
			set.name, 1000*set.inches, events.Duration(), later/1000)
	}
	// Output:
	// at checking clearance, 20 thou: 231.0 crank degrees; 1 thou more opens 0.42° later
	// at running clearance, 4 thou: 249.4 crank degrees; 1 thou more opens 0.93° later
}

// The inlet should be open for 231 degrees at 20 thou. It was measured open for
// 238: at what clearance was it read?
func ExampleProfile_ClearanceFor() {
	clearance, err := inlet().ClearanceFor(238)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f thou\n", 1000*clearance)
	// Output: 12.5 thou
}

// A cam that cannot be says which dimension is wrong, and why.
func ExampleThreeArc_Profile() {
	_, err := cam.ThreeArc{
		BaseRadius: 0.500, FlankRadius: 0.225, NoseRadius: 0.170, Lift: 0.290, // a slipped decimal point
		Follower: cam.Follower{Kind: cam.Flat},
	}.Profile()
	fmt.Println(err)
	// Output: flank radius 0.225 must be more than base radius plus half the lift, 0.645, to reach from the base circle to the nose
}

// The smallest gap between inlet valve and piston, timed right and one tooth of
// 12.86 degrees early. Print cam.GapCaution beside such figures.
func ExamplePistonGap_Least() {
	piston := crank.Linkage{Stroke: 4.5, Rod: 9}
	gap := cam.PistonGap{
		Valve: inlet(), FullLift: 112.5, Clearance: 0.004, Static: 0.125,
		Travel: func(deg float64) (float64, error) { return piston.Travel(deg, crank.ATDC) },
	}
	for _, late := range []float64{0, -12.86} {
		least, err := gap.Least(late)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.0f thou at %.1f° after top dead centre\n", 1000*least.Gap, least.Crank)
	}
	// Output:
	// 96 thou at 3.9° after top dead centre
	// 42 thou at 5.0° after top dead centre
}
