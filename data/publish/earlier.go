package publish

import (
	"fourmarks.example/data/release"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// EarlierRelease is an earlier release to compare with.
func EarlierRelease(d *release.Dataset) Earlier { return earlierRelease{d} }

type earlierRelease struct{ dataset *release.Dataset }

func (r earlierRelease) Name() string { return r.dataset.About.Name }

func (r earlierRelease) IDs() ([]string, error) {
	entries, err := r.dataset.Entries()
	ids := make([]string, len(entries))
	for i, e := range entries {
		ids[i] = e.ID
	}
	return ids, err
}

func (r earlierRelease) Engine(id string) (*release.Engine, error) { return r.dataset.Engine(id) }

// EarlierDataset is an earlier state of the dataset to compare with, such as the
// files of a git revision.
func EarlierDataset(name string, inputs []lint.Input) Earlier {
	w := &writer{records: map[string]*schema.Source{}}
	d := earlierDataset{name: name, engines: map[string]lint.Input{}, writer: w}
	for _, in := range inputs {
		switch in.Kind {
		case lint.EngineFile:
			d.engines[in.ID] = in
		case lint.SourceFile:
			w.record(in)
		}
	}
	return d
}

type earlierDataset struct {
	name    string
	engines map[string]lint.Input
	writer  *writer
}

func (d earlierDataset) Name() string { return d.name }

func (d earlierDataset) IDs() ([]string, error) {
	var ids []string
	for id := range d.engines {
		ids = append(ids, id)
	}
	return ids, nil
}

// Engine returns an engine as it would have been published; nil for one that
// could not have been.
func (d earlierDataset) Engine(id string) (*release.Engine, error) {
	e, err := d.writer.decode(d.engines[id])
	if err != nil {
		return nil, nil
	}
	return Engine(e, d.writer.register(e), false), nil
}
