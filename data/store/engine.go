package store

import (
	"fmt"
	"slices"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// ReadEngine reads the engine file of that name among the inputs. Problems of
// the file are returned beside what could be read.
func ReadEngine(inputs []lint.Input, name string) (*schema.Engine, []schema.Problem, error) {
	i := slices.IndexFunc(inputs, func(in lint.Input) bool { return in.Name == name })
	if i < 0 {
		return nil, nil, fmt.Errorf("%s is not in the dataset", name)
	}
	b, err := inputs[i].Read()
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	e, problems := schema.DecodeEngine(schema.ReadFile(name, b))
	return e, problems, nil
}

// Register returns the look-up of an engine's sources: its own records first,
// then those of the dataset, each read when it is first asked for.
func Register(inputs []lint.Input, e *schema.Engine) schema.Register {
	files := map[string]lint.Input{}
	for _, in := range inputs {
		if in.Kind == lint.SourceFile {
			files[in.ID] = in
		}
	}
	read := map[string]*schema.Source{}
	return func(id string) (*schema.Source, bool) {
		if own, ok := e.Sources.Get(id); ok {
			return own, true
		}
		if s, known := read[id]; known {
			return s, s != nil
		}
		read[id] = nil
		if in, ok := files[id]; ok {
			if b, err := in.Read(); err == nil {
				read[id], _ = schema.DecodeSource(schema.ReadFile(in.Name, b))
			}
		}
		return read[id], read[id] != nil
	}
}
