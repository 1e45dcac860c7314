package gear

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// ParseTrain reads a train written as "crankshaft > idler > camshaft": the
// wheels on either side of ">" mesh, and "+" joins wheels on one shaft, as in
// "crankshaft > intermediate + pinion > camshaft". Each name is looked up in
// wheels, where its key, not its Name, counts. One mesh stands for all;
// otherwise there is one for each ">".
func ParseTrain(text string, crankshaft Turning, wheels map[string]Wheel, meshes ...Mesh) (*Train, error) {
	parts := strings.Split(text, ">")
	shafts := make([][]Wheel, len(parts))
	for i, part := range parts {
		for _, name := range strings.Split(part, "+") {
			name = strings.TrimSpace(name)
			if name == "" {
				return nil, fmt.Errorf("train %q: a wheel's name is missing on shaft %d", text, i+1)
			}
			w, ok := wheels[name]
			if !ok {
				return nil, fmt.Errorf("train %q: no wheel %q is described, only %s", text, name, known(wheels))
			}
			w.Name = name
			shafts[i] = append(shafts[i], w)
		}
	}
	if len(meshes) == 1 {
		meshes = slices.Repeat(meshes, len(shafts)-1)
	}
	t, err := NewTrain(crankshaft, shafts, meshes)
	if err != nil {
		return nil, fmt.Errorf("train %q: %w", text, err)
	}
	return t, nil
}

func known(wheels map[string]Wheel) string {
	if len(wheels) == 0 {
		return "none"
	}
	return strings.Join(slices.Sorted(maps.Keys(wheels)), ", ")
}
