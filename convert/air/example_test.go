package air_test

import (
	"fmt"

	"fourmarks.example/convert/air"
	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
)

// What a sound engine of 5.2:1 should show when cranked at sea level and at 1500 m,
// its stroke 4 1/2 in, its rod 9 in and its inlet closing at 48 ABDC.
func ExampleCrankingBand() {
	l := crank.LinkageInterval{Stroke: interval.Of(4.4995, 4.5005), Rod: interval.Of(8.9995, 9.0005)}
	trapped, err := air.TrappedRatioInterval(interval.Of(5.15, 5.25), l, interval.Of(47.5, 48.5), crank.ABDC)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, metres := range []float64{0, 1500} {
		ambient, err := air.PressureInterval(interval.Point(metres))
		if err != nil {
			fmt.Println(err)
			return
		}
		band, err := air.CrankingBand(ambient, trapped)
		if err != nil {
			fmt.Println(err)
			return
		}
		const psi = 6894.757293
		fmt.Printf("%g m: %.0f to %.0f psi\n", metres, band.Lo/psi, band.Hi/psi)
	}
	// Output:
	// 0 m: 70 to 104 psi
	// 1500 m: 59 to 87 psi
}

func ExampleClearanceChange() {
	// A side valve: 5 in of austenitic valve 400 K hotter, 5 in of cast-iron block
	// 70 K hotter.
	change, err := air.ClearanceChange(
		[]air.Part{{Length: 5, Coefficient: 11.4e-6, Rise: 70}},
		[]air.Part{{Length: 5, Coefficient: 17.2e-6, Rise: 400}},
	)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f in\n", change)
	// Output: -0.030 in
}
