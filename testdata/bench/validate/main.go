// Command validate reads every engine file below a folder as YAML and validates
// it against the project's JSON Schema, and nothing more: the library that the
// program's own gate uses, as a command.
//
//	go run ./testdata/bench/validate SCHEMA-FOLDER DATASET-FOLDER
package main

import (
	"fmt"
	"io/fs"
	"log"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/santhosh-tekuri/jsonschema/v5"
	"go.yaml.in/yaml/v4"
)

func main() {
	if len(os.Args) != 3 {
		log.Fatal("usage: validate SCHEMA-FOLDER DATASET-FOLDER")
	}
	files, invalid, err := validate(os.Args[1], os.Args[2])
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d files, %d invalid\n", files, invalid)
	if invalid > 0 {
		os.Exit(1)
	}
}

func validate(schemas, dataset string) (files int, invalid int64, err error) {
	engine, err := compiled(schemas)
	if err != nil {
		return 0, 0, err
	}
	names := make(chan string, 64)
	var wrong atomic.Int64
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for name := range names {
				if !valid(engine, name) {
					wrong.Add(1)
				}
			}
		})
	}
	err = filepath.WalkDir(filepath.Join(dataset, "engines"), func(name string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() && strings.HasSuffix(name, ".yaml") {
			files++
			names <- name
		}
		return err
	})
	close(names)
	workers.Wait()
	return files, wrong.Load(), err
}

func compiled(folder string) (*jsonschema.Schema, error) {
	c := jsonschema.NewCompiler()
	c.Draft = jsonschema.Draft2020
	for url, name := range map[string]string{
		"https://fourmarks.example/schema/engine-1.json": "engine.schema.json",
		"https://fourmarks.example/schema/source-1.json": "source.schema.json",
	} {
		f, err := os.Open(filepath.Join(folder, name))
		if err != nil {
			return nil, err
		}
		defer f.Close()
		if err := c.AddResource(url, f); err != nil {
			return nil, err
		}
	}
	return c.Compile("https://fourmarks.example/schema/engine-1.json")
}

func valid(engine *jsonschema.Schema, name string) bool {
	b, err := os.ReadFile(name)
	if err != nil {
		return false
	}
	var v any
	return yaml.Unmarshal(b, &v) == nil && engine.Validate(v) == nil
}
