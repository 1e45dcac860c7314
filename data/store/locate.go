package store

import (
	"path/filepath"

	"fourmarks.example/lint"
)

// Location is where a file lies within a dataset.
type Location struct {
	// Root is the folder of the dataset, "" for a file outside of any.
	Root string
	Kind lint.InputKind
	ID   string
}

// Locate returns where the file at a path lies, whether it is there yet or not.
func Locate(path string) Location {
	l := Location{Root: rootOf(path, false)}
	if l.Root == "" {
		return l
	}
	if rel, err := filepath.Rel(l.Root, absolute(path)); err == nil {
		l.Kind, l.ID = lint.KindOf(filepath.ToSlash(rel))
	}
	return l
}

// Sources returns the source records of the dataset in a folder, marked as
// context; none when it has no register.
func Sources(root string) ([]lint.Input, error) { return contextOf(root, "sources") }

// Engines returns the engines of the dataset in a folder, marked as context.
func Engines(root string) ([]lint.Input, error) { return contextOf(root, "engines") }

func contextOf(root, folder string) ([]lint.Input, error) {
	inputs, err := folderOf(root, folder)
	for i := range inputs {
		inputs[i].Context = true
	}
	return inputs, err
}
