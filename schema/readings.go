package schema

import (
	"reflect"
)

// Readings is what was measured on one engine, to be held against its figures.
// As with the other types, what each field means is said in the JSON Schema.
type Readings struct {
	Section
	Format        Word                 `key:"readings"`
	Engine        Word                 `key:"engine"`
	Variant       Word                 `key:"variant"`
	By            Word                 `key:"by"`
	On            Word                 `key:"on"`
	ReadAt        Word                 `key:"read_at"`
	Clearance     *SetClearance        `key:"clearance"`
	ReadBy        Word                 `key:"read_by"`
	Approached    Word                 `key:"approached"`
	Uncertainty   *Figure              `key:"uncertainty" kind:"movement"`
	Backlash      *Figure              `key:"backlash" kind:"angle"`
	CountedOn     Word                 `key:"counted_on"`
	RimDiameter   *Figure              `key:"rim_diameter" kind:"dimension"`
	RingTeeth     *Figure              `key:"ring_teeth" kind:"count"`
	FlywheelBolts *Figure              `key:"flywheel_bolts" kind:"count"`
	Cylinders     Group[*ReadCylinder] `key:"cylinders"`
	PositiveStop  *PositiveStop        `key:"positive_stop"`
	WheelMarks    Group[*Figure]       `key:"wheel_marks" kind:"text"`
	Revolution    *Revolution          `key:"revolution"`
	Checks        *ReadChecks          `key:"checks"`
}

// SetClearance is the clearance set while events were read.
type SetClearance struct {
	Section
	MeasuredAt Word       `key:"measured_at"`
	Inlet      *Figure    `key:"inlet" kind:"length"`
	Exhaust    *Figure    `key:"exhaust" kind:"length"`
	FeltAgain  *FeltAgain `key:"felt_again"`
}

// FeltAgain is the clearance as it was found after the readings.
type FeltAgain struct {
	Section
	Inlet   *Figure `key:"inlet" kind:"length"`
	Exhaust *Figure `key:"exhaust" kind:"length"`
}

// ReadCylinder holds the events read on one cylinder, each once or more often.
type ReadCylinder struct {
	Section
	InletOpens    []*Figure `key:"inlet_opens" kind:"position"`
	InletCloses   []*Figure `key:"inlet_closes" kind:"position"`
	ExhaustOpens  []*Figure `key:"exhaust_opens" kind:"position"`
	ExhaustCloses []*Figure `key:"exhaust_closes" kind:"position"`
}

// PositiveStop is where a stop in the plug hole holds the piston.
type PositiveStop struct {
	Section
	Cylinder *Figure `key:"cylinder" kind:"count"`
	Before   *Figure `key:"before" kind:"position"`
	After    *Figure `key:"after" kind:"position"`
}

// Revolution says which cylinder is on the rock when the ignition points to one.
type Revolution struct {
	Section
	IgnitionAt *Figure `key:"ignition_at" kind:"count"`
	OnTheRock  *Figure `key:"on_the_rock" kind:"count"`
}

// ReadChecks are cranking pressures and vacuum as they were read.
type ReadChecks struct {
	Section
	Compression Group[*Figure] `key:"compression" kind:"pressure"`
	Vacuum      *Figure        `key:"vacuum" kind:"vacuum"`
	Altitude    *Figure        `key:"altitude" kind:"altitude"`
	Engine      Word           `key:"engine"`
	Throttle    Word           `key:"throttle"`
}

// DecodeReadings reads a file of readings; see DecodeEngine.
func DecodeReadings(f *File) (*Readings, []Problem) {
	d := &decoder{file: f, engine: &Engine{byPath: map[string]*Figure{}}, vouched: make([]bool, f.Doc.Nodes)}
	r := &Readings{}
	if d.readable(f) {
		d.section(view{{node: f.Doc.Root}}, planFor[Readings](), "", reflect.ValueOf(r).Elem())
		clear(d.vouched) // such a file is short, so the schema sees all of it
		d.gate(readingsGate())
	}
	return r, d.sorted()
}
