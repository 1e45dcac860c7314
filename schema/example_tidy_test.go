package schema_test

import (
	"fmt"

	"fourmarks.example/schema"
)

func ExampleTidy() {
	out, err := schema.Tidy([]byte(`title:   Penhallow Twelve
size: {stroke: '.125"', bore: 2 15/16 in, from: sheet}   # as printed
format: 1
engine: penhallow/twelve
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(string(out))
	// Output:
	// format: 1
	// engine: penhallow/twelve
	// title: Penhallow Twelve
	// size: {from: sheet, bore: 2 15/16 in, stroke: '.125"'}  # as printed
}
