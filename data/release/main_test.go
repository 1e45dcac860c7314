package release_test

import (
	"context"
	"log"
	"os"
	"path/filepath"
	"testing"

	"fourmarks.example/data/publish"
	"fourmarks.example/data/store"
)

// folder is a release of the demo dataset.
var folder string

func TestMain(m *testing.M) {
	os.Exit(func() int {
		dir, err := os.MkdirTemp("", "release-*")
		if err != nil {
			log.Fatal(err)
		}
		defer os.RemoveAll(dir)
		inputs, err := store.OpenEmbedded()
		if err != nil {
			log.Fatal(err)
		}
		folder = filepath.Join(dir, "release")
		if _, err := publish.Write(context.Background(), folder, publish.Options{Inputs: inputs, Name: "2027.1"}); err != nil {
			log.Fatal(err)
		}
		return m.Run()
	}())
}
