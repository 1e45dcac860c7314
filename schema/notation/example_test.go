package notation_test

import (
	"fmt"

	"fourmarks.example/schema/notation"
)

// Ignition is printed as 7/16 in of piston travel before TDC; the stroke is
// 3 1/2 in and the rod 7 in.
func ExampleFigure_Convert() {
	f, err := notation.Read("7/16 in BTDC piston")
	if err != nil {
		fmt.Println(err)
		return
	}
	dims := notation.Dimensions{}
	for name, print := range map[notation.Name]string{notation.Stroke: "3 1/2 in", notation.Rod: "7 in"} {
		if dims[name], err = notation.ReadDimension(name, print, "the handbook"); err != nil {
			fmt.Println(err)
			return
		}
	}
	wanted, err := f.Wanted("degrees")
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := f.Convert(wanted, dims)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range c.Results {
		fmt.Printf("%s, allowed %s\n", r.Printed, r.Allowed)
		for _, step := range r.Working {
			fmt.Println("  " + step[0] + " = " + step[len(step)-1])
		}
	}
	fmt.Println(c.Caution)
	// Output:
	// 37 BTDC, allowed 35.8 to 38.7
	//   7/16 = 0.4375
	//   throw = 1.75 in
	//   sin(degrees ÷ 2) = 0.3193332
	//   degrees = 37.24521
	// When you set or turn an engine: by hand, plugs out, never by the starter, and stop at any resistance; the maker's instructions come before this.
}

// What is missing is said with the flag that gives it.
func ExampleMissing() {
	f, err := notation.Read("52 ABDC")
	if err != nil {
		fmt.Println(err)
		return
	}
	wanted, err := f.Wanted("rim")
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = f.Convert(wanted, nil)
	fmt.Println(err)
	// Output: a distance along the rim needs the diameter of the rim (--rim-diameter), which is not given
}
