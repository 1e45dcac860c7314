// Package synthetic makes datasets and repositories of any size out of copies of
// the demo engines, for benchmarks.
package synthetic

import (
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strings"

	"fourmarks.example/data"
)

// File is one file of a dataset, with its path within it.
type File struct{ Name, Text string }

// modelsOfAMaker is how many engines in a row share the makers of the demo, so
// that no folder holds more than a maker could have made.
const modelsOfAMaker = 300

// Engines makes so many engines, each with an id of its own.
func Engines(n int) ([]File, error) {
	names, err := fs.Glob(data.Files, "engines/*/*.yaml")
	if err != nil {
		return nil, err
	}
	slices.Sort(names)
	all := make([]File, n)
	for i := range all {
		name := names[i%len(names)]
		text, err := fs.ReadFile(data.Files, name)
		if err != nil {
			return nil, err
		}
		maker, model, _ := strings.Cut(strings.TrimSuffix(strings.TrimPrefix(name, "engines/"), ".yaml"), "/")
		id := fmt.Sprintf("%s-%d/%s-%d", maker, i/modelsOfAMaker, model, i)
		all[i] = File{Name: "engines/" + id + ".yaml", Text: renamed(string(text), id, i)}
	}
	return all, nil
}

// Sources are the source records that the engines cite.
func Sources() ([]File, error) {
	names, err := fs.Glob(data.Files, "sources/*.yaml")
	if err != nil {
		return nil, err
	}
	all := make([]File, len(names))
	for i, name := range names {
		text, err := fs.ReadFile(data.Files, name)
		if err != nil {
			return nil, err
		}
		all[i] = File{Name: name, Text: string(text)}
	}
	return all, nil
}

// number is one end of a range of engine numbers that ends in digits.
var number = regexp.MustCompile(`\b(from|to): ("?)([A-Z0-9-]*[0-9])`)

// letters spells a number in capitals: A, B … Z, BA, BB and so on.
func letters(i int) string {
	own := string(rune('A' + i%26))
	if i < 26 {
		return own
	}
	return letters(i/26) + own
}

// renamed gives a copy an id, a title and engine numbers of its own, so that no
// two copies look like one engine entered twice.
func renamed(text, id string, i int) string {
	lines := strings.Split(text, "\n")
	for k, line := range lines {
		switch {
		case strings.HasPrefix(line, "engine: "):
			lines[k] = "engine: " + id
		case strings.HasPrefix(line, "title: "):
			lines[k] = fmt.Sprintf("%s, copy %d", line, i)
		case strings.Contains(line, "numbers: {from: "):
			lines[k] = number.ReplaceAllString(line, "$1: ${2}"+letters(i)+"-$3")
		}
	}
	return strings.Join(lines, "\n")
}
