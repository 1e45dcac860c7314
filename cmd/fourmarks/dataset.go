package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
)

// ownFolder is where a dataset is looked for when none is named.
const ownFolder = "data"

// open returns the files at the paths. Without any it is the folder data, or,
// where there is none with engines, the dataset in the program.
func (p *program) open(paths []string) ([]lint.Input, error) {
	if len(paths) > 0 {
		return store.Open(paths...)
	}
	if hasOwn, err := ownDataset(); err != nil {
		return nil, err
	} else if hasOwn {
		return store.Open(ownFolder)
	}
	p.remark("there are no engines in %s/ here; using the dataset in the program", ownFolder)
	return store.OpenEmbedded()
}

// ownDataset reports whether the folder data with engines is there.
func ownDataset() (bool, error) {
	info, err := os.Stat(filepath.Join(ownFolder, "engines"))
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil && info.IsDir(), err
}

// datasetFlag adds the flag that names the dataset of a command.
func datasetFlag(c *cobra.Command, path *string) {
	c.Flags().StringVar(path, "data", "", "`folder` or file of the dataset (default: data, or the one in the program)")
}

// openDataset opens what a datasetFlag names.
func (p *program) openDataset(path string) ([]lint.Input, error) {
	if path == "" {
		return p.open(nil)
	}
	return p.open([]string{path})
}
