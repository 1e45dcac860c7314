package merge_test

import (
	"fmt"

	"fourmarks.example/data/merge"
	"fourmarks.example/lint"
)

// One side reads the section elsewhere, the other adds a figure to it. The figure
// keeps the source it was read from.
func ExampleDocuments() {
	base := "format: 1\nengine: tolvane/heron\ntitle: Tolvane Heron\nlifts:\n  from: handbook p. 3\n  inlet: 8 mm\n"
	ours := "format: 1\nengine: tolvane/heron\ntitle: Tolvane Heron\nlifts:\n  from: drawing-7\n  inlet: 8 mm\n"
	theirs := base + "  exhaust: 9 mm\n"
	r, err := merge.Documents(lint.EngineFile, "engines/tolvane/heron.yaml", merge.Base{Text: []byte(base)}, []byte(ours), []byte(theirs))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(string(r.Text))
	for _, c := range r.Changed {
		fmt.Printf("%s: %s [%s], by %s\n", c.Path, c.Printed, c.Citation(), c.By)
	}
	// Output:
	// format: 1
	// engine: tolvane/heron
	// title: Tolvane Heron
	// lifts:
	//   from: drawing-7
	//   inlet: 8 mm
	//   exhaust: {is: 9 mm, from: handbook p. 3}
	// lifts.from: drawing-7 [drawing-7], by ours
	// lifts.inlet: 8 mm [drawing-7], by ours
	// lifts.exhaust: 9 mm [handbook p. 3], by theirs
}
