package assess

import (
	"math/big"
	"slices"
	"strings"

	"fourmarks.example/convert/gear"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
)

// camDrive is the drive of a camshaft, with the valves that it moves.
type camDrive struct {
	name   string
	valves []string
	meshes []mesh
	train  *gear.Train // nil where the wheels are not described
	drive  *schema.Drive
}

// mesh is a place where a driven wheel can stand a tooth out.
type mesh struct {
	wheel, driver string // both "" where only the step is known
	step          float64
}

// camDrivesOf lists the drives of an engine's camshafts, one for each.
func camDrivesOf(e *schema.Engine) []camDrive {
	var all []camDrive
	for _, d := range e.Drives {
		if rules.DrivesCamshaft(d) {
			all = append(all, camDriveOf(e, d))
		}
	}
	return all
}

func camDriveOf(e *schema.Engine, d schema.Named[*schema.Drive]) camDrive {
	of := camDrive{name: d.Name, valves: []string{inlet, exhaust}, drive: d.Value}
	for _, valve := range of.valves {
		if strings.Contains(strings.ToLower(d.Name), valve) {
			of.valves = []string{valve}
			break
		}
	}
	train, err := rules.Train(e, d)
	if err != nil {
		if r, given := d.Value.ToothStep.Reading(); given {
			of.meshes = []mesh{{step: r.Interval().Mid()}}
		}
		return of
	}
	of.train = train
	shafts := rules.Shafts(d.Value)
	for i := 1; i < len(shafts); i++ {
		wheel, before := shafts[i][0], shafts[i-1]
		if step, err := train.ToothStep(wheel); err == nil {
			of.meshes = append(of.meshes, mesh{wheel, before[len(before)-1], float(step)})
		}
	}
	return of
}

func float(r *big.Rat) float64 {
	f, _ := r.Float64()
	return f
}

// moves reports whether the drive moves a valve.
func (d camDrive) moves(valve string) bool { return slices.Contains(d.valves, valve) }

// alone reports whether the drive moves one kind of valve only.
func (d camDrive) alone() bool { return len(d.valves) == 1 }

// has reports whether a wheel is driven in this drive.
func (d camDrive) has(wheel string) bool {
	return wheel != "" && slices.ContainsFunc(d.meshes, func(m mesh) bool { return m.wheel == wheel })
}

// class is the explanation that the drive's events are all out alike.
func (d camDrive) class() string {
	if !d.alone() {
		return classAlike
	}
	return d.valves[0] + " events alike"
}

// late is by how much an event comes late when the drive's camshaft is late by
// what was found.
func (d camDrive) late() func([]float64, target) float64 {
	return func(found []float64, t target) float64 {
		if d.moves(valveOf(t.event)) {
			return found[0]
		}
		return 0
	}
}

// ways lists the adjustments that the drive allows: teeth at each mesh, keyways
// and offset keys, its coupling.
func (d camDrive) ways() []gear.Adjustment {
	if d.train == nil {
		return nil
	}
	var ways []gear.Adjustment
	add := func(a gear.Adjustment, err error) {
		if err == nil {
			ways = append(ways, a)
		}
	}
	for _, m := range d.meshes {
		add(d.train.Teeth(m.wheel))
	}
	for _, w := range d.drive.Wheels {
		if n, given := w.Value.Keyways.Count(); given {
			add(d.train.Keyways(w.Name, n))
		}
		if keys := angles(w.Value.OffsetKeys); len(keys) > 0 {
			add(d.train.Fittings(w.Name, "offset key", keys...))
		}
	}
	if rings := counts(d.drive.Coupling); len(rings) == 2 {
		last := d.meshes[len(d.meshes)-1].wheel
		add(d.train.Coupling(last, gear.Coupling{rings[0], rings[1]}))
	}
	return ways
}

// angles are the values of a list, either way round: a key can be turned about.
func angles(f *schema.Figure) []*big.Rat {
	c := f.First()
	if c == nil {
		return nil
	}
	var all []*big.Rat
	for _, r := range c.Printed.List {
		if r.Value != nil && r.Value.Sign() != 0 {
			all = append(all, r.Value, new(big.Rat).Neg(r.Value))
		}
	}
	return all
}

// counts are the holes of a coupling's rings.
func counts(c *schema.Coupling) []int {
	if c == nil || c.Rings.First() == nil {
		return nil
	}
	var all []int
	for _, r := range c.Rings.First().Printed.List {
		if r.Value != nil && r.Value.IsInt() {
			all = append(all, int(r.Value.Num().Int64()))
		}
	}
	return all
}
