package release_test

import (
	"errors"
	"fmt"
	"log"

	"fourmarks.example/data/release"
)

// One engine, by its id: a small file is read. An id that the engine had before
// leads to it as well.
func ExampleDataset_Engine() {
	d, err := release.OpenFolder(folder)
	if err != nil {
		log.Fatal(err)
	}
	e, err := d.Engine("penhallow/eighteen-forty-five")
	if err != nil {
		log.Fatal(err)
	}
	f := e.Figure("clearances.running.inlet")
	fmt.Println(e.ID, e.Title)
	fmt.Printf("%s is %v %s, %s, from %s %s\n", f.Printed, *f.SI.Value, f.SI.Unit, f.Standing, f.From, f.Locator)
	// Output:
	// penhallow/light-six Penhallow Light Six
	// 4 thou is 0.1016 mm, single-source, from penhallow-handbook-1927 p. 14
}

// An id that was split leads to several engines; somebody who knows the engine
// has to choose.
func ExampleSplitError() {
	d, err := release.OpenFolder(folder)
	if err != nil {
		log.Fatal(err)
	}
	_, err = d.Engine("tarrowby/motor-cycles")
	var split *release.SplitError
	if errors.As(err, &split) {
		fmt.Println(split.To)
	}
	// Output: [tarrowby/model-f tarrowby/model-l]
}

// Which engine is it? By words of its name, and by the number stamped on it.
func ExampleDataset_Find() {
	d, err := release.OpenFolder(folder)
	if err != nil {
		log.Fatal(err)
	}
	named, err := d.Find("light six")
	if err != nil {
		log.Fatal(err)
	}
	numbered, err := d.FindNumber("LS 2207")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(named[0].ID, numbered[0].ID)
	// Output: penhallow/light-six penhallow/light-six
}

// Every figure of the dataset, one engine in memory at a time: which sources
// disagree?
func ExampleDataset_Engines() {
	d, err := release.OpenFolder(folder)
	if err != nil {
		log.Fatal(err)
	}
	for e, err := range d.Engines() {
		if err != nil {
			log.Fatal(err)
		}
		for _, c := range e.Disputed {
			fmt.Println(e.ID, c.Path)
			for _, claim := range c.Claims {
				fmt.Printf("  %s says %s\n", claim.From, claim.Printed)
			}
		}
	}
	// Output:
	// penhallow/twelve ignition.contact_gap
	//   penhallow-handbook-1927 says 12 thou
	//   garage-manual-1926 says 15 thou
}
