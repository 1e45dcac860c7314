package gear_test

import (
	"fmt"
	"log"
	"math/big"

	"fourmarks.example/convert/gear"
	"fourmarks.example/convert/interval"
)

// penhallow is the drive of an invented engine: crankshaft, idler, camshaft.
func penhallow() *gear.Train {
	train, err := gear.ParseTrain("crankshaft > idler > camshaft",
		gear.Turning{Sense: gear.Clockwise, SeenFrom: "timing end"},
		map[string]gear.Wheel{
			"crankshaft": {Teeth: 28, Hand: gear.RightHand},
			"idler":      {Teeth: 45},
			"camshaft":   {Teeth: 56},
		},
		gear.Mesh{Kind: gear.External})
	if err != nil {
		log.Fatal(err)
	}
	return train
}

// The camshaft turns at exactly half speed, the way the crankshaft does.
func ExampleTrain_Turns() {
	train := penhallow()
	turns, err := train.Turns("camshaft")
	if err != nil {
		log.Fatal(err)
	}
	turning, err := train.Turning("camshaft")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(turns, turning)
	// Output: 1/2 clockwise seen from timing end
}

// One tooth at either mesh is 360/28 degrees of the crankshaft.
func ExampleTrain_ToothStep() {
	step, err := penhallow().ToothStep("camshaft")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(step.FloatString(2))
	// Output: 12.86
}

func ExampleTrain_MeetAgain() {
	train := penhallow()
	all, err := train.MeetAgain()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(all, "turns of the crankshaft")
	// Output: 90 turns of the crankshaft
}

// The right-hand crankshaft wheel is slid home, away from the timing end. Its
// travel of 1.64 in is two teeth, by which the camshaft turns.
func ExampleTrain_Slide() {
	train := penhallow()
	module, err := gear.ModuleOfDiametralPitch(interval.Point(10))
	if err != nil {
		log.Fatal(err)
	}
	travel := interval.Of(1.635*25.4, 1.645*25.4)
	teeth, err := gear.TeethTurned(travel, interval.Point(22.5), module)
	if err != nil {
		log.Fatal(err)
	}
	slid, err := train.Slide("crankshaft", gear.Away, "camshaft")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f to %.2f teeth at the crankshaft\n", teeth.Lo, teeth.Hi)
	fmt.Println(slid.Teeth.RatString(), "of the camshaft for each,", slid.Turning)
	// Output:
	// 1.99 to 2.00 teeth at the crankshaft
	// 1 of the camshaft for each, anticlockwise seen from timing end
}

// Rings of 19 and 20 on a magneto that turns one and a half times as fast as
// the crankshaft.
func ExampleCoupling() {
	rings := gear.Coupling{19, 20}
	step, err := rings.Step()
	if err != nil {
		log.Fatal(err)
	}
	move, err := rings.Nearest(3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("at the magneto:", step.FloatString(3))
	fmt.Println("at the crankshaft:", step.Quo(step, big.NewRat(3, 2)).FloatString(3))
	fmt.Printf("3 degrees: %d holes in the ring of 19, %d in the ring of 20, %.2f wanting\n", move.Holes[0], move.Holes[1], move.OffDeg)
	// Output:
	// at the magneto: 0.947
	// at the crankshaft: 0.632
	// 3 degrees: 3 holes in the ring of 19, -3 in the ring of 20, 0.16 wanting
}

// The camshaft was measured 26 degrees late. A tooth is the same at both meshes,
// so the move can be made at either.
func ExampleBestCorrection() {
	train := penhallow()
	var ways []gear.Adjustment
	for _, wheel := range []string{"idler", "camshaft"} {
		way, err := train.Teeth(wheel)
		if err != nil {
			log.Fatal(err)
		}
		ways = append(ways, way)
	}
	best, err := gear.BestCorrection(26, 1, ways...)
	if err != nil {
		log.Fatal(err)
	}
	for _, move := range best.Moves {
		for _, place := range move.Places {
			fmt.Println(move.Moved, "teeth:", place.Part, place.Against+",", place.Turning)
		}
	}
	fmt.Printf("leaves %.2f degrees\n", best.LateDeg)
	// Output:
	// 2 teeth: idler out of mesh with crankshaft, anticlockwise seen from timing end
	// 2 teeth: camshaft out of mesh with idler, clockwise seen from timing end
	// leaves 0.29 degrees
}
