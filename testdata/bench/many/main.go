// Command many writes a dataset of any size made of copies of the demo engines
// under new ids, for benchmarks.
//
//	go run ./testdata/bench/many -n 2000 -out /some/new/folder
package main

import (
	"flag"
	"fmt"
	"io/fs"
	"log"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"fourmarks.example/data"
)

func main() {
	n := flag.Int("n", 2000, "number of engines")
	out := flag.String("out", "", "folder to write, which must not exist yet")
	flag.Parse()
	if err := write(*out, *n); err != nil {
		log.Fatal(err)
	}
}

func write(out string, n int) error {
	if _, err := os.Stat(out); out == "" || err == nil {
		return fmt.Errorf("-out must name a folder that does not exist yet")
	}
	engines, err := fs.Glob(data.Files, "engines/*/*.yaml")
	if err != nil {
		return err
	}
	slices.Sort(engines)
	for i := range n {
		name := engines[i%len(engines)]
		text, err := fs.ReadFile(data.Files, name)
		if err != nil {
			return err
		}
		stem := strings.TrimSuffix(name, ".yaml")
		id := strings.TrimPrefix(stem, "engines/")
		copied := fmt.Sprintf("%s-%d", id, i)
		body := renamed(string(text), copied, i)
		if err := put(filepath.Join(out, "engines", filepath.FromSlash(copied)+".yaml"), body); err != nil {
			return err
		}
	}
	sources, err := fs.Glob(data.Files, "sources/*.yaml")
	if err != nil {
		return err
	}
	for _, name := range sources {
		text, err := fs.ReadFile(data.Files, name)
		if err != nil {
			return err
		}
		if err := put(filepath.Join(out, filepath.FromSlash(name)), string(text)); err != nil {
			return err
		}
	}
	return nil
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

func put(name, text string) error {
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return err
	}
	return os.WriteFile(name, []byte(text), 0o644)
}
