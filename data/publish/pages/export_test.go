package pages

import (
	"fourmarks.example/data/publish"
	"fourmarks.example/data/release"
	"fourmarks.example/schema"
)

// WriteFinding writes what finds engines, without the pages of the engines: for
// more engines than a test has time to write.
func WriteFinding(write func(name string, content []byte) error, engines int, nth func(int) (*release.Engine, *schema.Engine)) error {
	w, err := newWriter(Options{}, write)
	if err != nil {
		return err
	}
	for i := range engines {
		if err := w.Add(&rendered{entered: enter(nth(i))}); err != nil {
			return err
		}
	}
	return w.End(&publish.Whole{})
}
