package publish_test

import (
	"io/fs"
	"os"
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
	"fourmarks.example/schema"
)

// dataset is a dataset read for a test, by other means than the program's.
type dataset struct {
	engines []*schema.Engine
	sources map[string]*schema.Source
}

func (d dataset) register(e *schema.Engine) schema.Register {
	return func(id string) (*schema.Source, bool) {
		if own, ok := e.Sources.Get(id); ok {
			return own, true
		}
		s, ok := d.sources[id]
		return s, ok
	}
}

// read reads the engines and sources of a folder.
func read(t testing.TB, folder fs.FS) dataset {
	d := dataset{sources: map[string]*schema.Source{}}
	require.NoError(t, fs.WalkDir(folder, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || path.Ext(name) != ".yaml" {
			return err
		}
		text, err := fs.ReadFile(folder, name)
		if err != nil {
			return err
		}
		file := schema.ReadFile(name, text)
		switch {
		case strings.HasPrefix(name, "engines/"):
			e, problems := schema.DecodeEngine(file)
			require.Empty(t, problems, name)
			d.engines = append(d.engines, e)
		case strings.HasPrefix(name, "sources/"):
			s, problems := schema.DecodeSource(file)
			require.Empty(t, problems, name)
			d.sources[strings.TrimSuffix(path.Base(name), ".yaml")] = s
		}
		return nil
	}))
	require.NotEmpty(t, d.engines)
	return d
}

// datasets are the demo dataset and the published engines.
func datasets(t testing.TB) map[string]dataset {
	return map[string]dataset{"demo": read(t, data.Files), "published": read(t, os.DirFS("../../testdata/published"))}
}
