package text_test

import (
	"fmt"

	"fourmarks.example/schema/text"
)

func Example() {
	source := []byte("clearances: # cold\n  inlet: .004\"\n  exhaust: 4 thou\n")
	d := text.Parse(source, text.DefaultLimits())
	inlet := d.Find("/clearances/inlet")
	line, column := d.Position(inlet.Span.Start)
	fmt.Printf("%s at line %d, column %d\n", inlet.Text, line, column)
	for _, c := range d.Attached(d.Root.Entry("clearances")).Beside {
		fmt.Printf("%s\n", source[c.Span.Start:c.Span.End])
	}
	// Output:
	// .004" at line 2, column 10
	// # cold
}

func ExampleDoc_problems() {
	d := text.Parse([]byte("lifts: {inlet: 7,5 mm, exhaust: '7,5 mm'}\n"), text.DefaultLimits())
	for _, p := range d.Problems {
		line, column := d.Position(p.Span.Start)
		fmt.Printf("%d:%d: %s\n", line, column, p.Message)
	}
	// Output:
	// 1:18: the comma splits `7,5 mm` into a value and a key: put the figure in quotes, or write a decimal point
}

func ExampleDoc_Extent() {
	source := "# from the drawing\nbore: 3 in\nstroke: 4 in   # as printed\n"
	d := text.Parse([]byte(source), text.DefaultLimits())
	s := d.Extent(d.Root.Entry("bore"))
	fmt.Printf("%q\n", source[s.Start:s.End])
	// Output:
	// "# from the drawing\nbore: 3 in\n"
}
