// Command many writes a dataset of any size made of copies of the demo engines
// under new ids, for benchmarks.
//
//	go run ./testdata/bench/many -n 2000 -out /some/new/folder
package main

import (
	"flag"
	"fmt"
	"log"
	"os"
	"path/filepath"

	"fourmarks.example/testdata/bench/synthetic"
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
	engines, err := synthetic.Engines(n)
	if err != nil {
		return err
	}
	sources, err := synthetic.Sources()
	if err != nil {
		return err
	}
	for _, f := range append(engines, sources...) {
		if err := put(filepath.Join(out, filepath.FromSlash(f.Name)), f.Text); err != nil {
			return err
		}
	}
	return nil
}

func put(name, text string) error {
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return err
	}
	return os.WriteFile(name, []byte(text), 0o644)
}
