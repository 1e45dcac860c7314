package rules

import (
	"fourmarks.example/convert/air"
	"fourmarks.example/convert/cam"
	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/gear"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// What this file exports is an engine's file as the mechanics take it, for rooms
// that compute with an engine rather than judge it. The rules read the same
// figures in the same way, so that no two parts of the program can understand
// one file differently.

// Train describes a drive to package gear. A train, a wheel of it or its teeth
// that are not given are an error.
func Train(e *schema.Engine, drive schema.Named[*schema.Drive]) (*gear.Train, error) {
	return trainOf(e, drive)
}

// DrivesCamshaft reports whether a drive is a camshaft's, by its name.
func DrivesCamshaft(drive schema.Named[*schema.Drive]) bool { return drivesCamshaft(drive) }

// Shafts splits the train of a drive: the names of the wheels on each shaft, the
// driven one first.
func Shafts(drive *schema.Drive) [][]string {
	var all [][]string
	for _, s := range shaftsOf(drive.Train.Text) {
		all = append(all, s)
	}
	return all
}

// Firing returns when each cylinder of a four-stroke engine fires; an error
// where throws, banks, order and intervals do not tell.
func Firing(e *schema.Engine) (crank.Firing, error) { return firing(e) }

// Clearance is what parts a valve from its tappet while events are read: the
// clearance less the thinner gauge that is felt, or a lift.
type Clearance struct {
	MM         interval.Interval
	MeasuredAt string // valve, tappet, or "" where the file does not say
	Engine     string // cold, hot, or ""
	IsLift     bool
	Printed    string
}

// ClearanceOf returns the clearance of a set, for a valve ("inlet" or
// "exhaust"); false where it is not given.
func ClearanceOf(set *schema.Clearance, valve string) (Clearance, bool) {
	g, ok := gapAt(set, valve)
	return Clearance{MM: g.net, MeasuredAt: g.measuredAt, Engine: g.engine, Printed: g.text}, ok
}

// ReadAt returns the clearance or lift at which a set of events is read, for a
// valve; false where it is not given.
func ReadAt(e *schema.Engine, set *schema.EventSet, valve string) (Clearance, bool) {
	g, ok := gapOf(e, set, valve)
	return Clearance{MM: g.net, MeasuredAt: g.measuredAt, Engine: g.engine, IsLift: g.isLift, Printed: g.text}, ok
}

// Cam returns the profile of a valve's cam, its lift in millimetres at the place
// where a clearance is measured; an error where the file does not give it there.
func Cam(e *schema.Engine, valve, measuredAt string) (cam.Profile, error) {
	v, err := valveProfile(relation.NewNetwork(e), valve, measuredAt)
	return v.Profile, err
}

// RockerRatio is how far a valve moves for a movement of its tappet; false where
// it is not known.
func RockerRatio(e *schema.Engine) (interval.Interval, bool) { return rockerRatioOf(e) }

// IsTwoStroke reports whether the engine's ports open and close with its piston.
func IsTwoStroke(e *schema.Engine) bool { return isTwoStroke(e) }

// Motion describes a drive to package gear for directions alone, which do not
// depend on teeth: they may be missing.
func Motion(e *schema.Engine, drive schema.Named[*schema.Drive]) (*gear.Train, error) {
	return motionOf(drive, crankTurning(e))
}

// SlidHome returns by how many teeth sliding a wheel home turns what it turns,
// from travel, helix and pitch; false where they are not given.
func SlidHome(e *schema.Engine, drive schema.Named[*schema.Drive]) (teeth interval.Interval, ok bool) {
	return slidTeeth(e, drive, drive.Value.SlidingHome)
}

// SlidHomeTurning returns which way sliding a wheel home turns what it turns, from
// the hands of the helices, seen from the end that the print names; false where
// they do not say.
func SlidHomeTurning(drive schema.Named[*schema.Drive]) (gear.Turning, bool) {
	return slidTurning(drive, drive.Value.SlidingHome)
}

// Ramps is by how many crank degrees each valve begins earlier and ends later
// than the events of a set say: where its tappet leaves and meets its base circle.
type Ramps struct {
	Set            string     // the events they belong to
	Inlet, Exhaust [2]float64 // before opening, after closing
	ByProfile      bool       // computed from the cams; else the customary allowance
}

// RampsOf returns the ramps of the set of events by which the rules judge where
// valves may be set; false where no set gives all four events.
func RampsOf(e *schema.Engine) (Ramps, bool) {
	f, ok := feetOf(relation.NewNetwork(e))
	if !ok {
		return Ramps{}, false
	}
	return Ramps{Set: f.set, ByProfile: f.computed,
		Inlet:   [2]float64{f.read.InletOpens - f.InletOpens, f.InletCloses - f.read.InletCloses},
		Exhaust: [2]float64{f.read.ExhaustOpens - f.ExhaustOpens, f.ExhaustCloses - f.read.ExhaustCloses}}, true
}

// RampAllowance is how many crank degrees a ramp is taken to reach where no
// profile tells: common practice, no source.
const RampAllowance = rampAllowance

// CrankingBand returns the cranking pressure in kilopascals that compression
// ratio and inlet closing let a sound engine reach at an altitude in metres, hot
// and with the throttle open, and in words what closes the cylinder; false where
// the ratio is not known.
func CrankingBand(e *schema.Engine, altitude interval.Interval) (kilopascals interval.Interval, closes string, ok bool) {
	ratio, closes, ok := trapped(relation.NewNetwork(e))
	if !ok {
		return interval.Empty(), "", false
	}
	around, err := air.PressureInterval(altitude)
	if err != nil {
		return interval.Empty(), "", false
	}
	band, err := air.CrankingBand(around, ratio)
	return band.Div(perKilopascal), closes, err == nil
}

// ValvesAlong returns the kinds of an engine's valves in their order along it,
// two a cylinder; nil where the order is not given.
func ValvesAlong(e *schema.Engine) []crank.Kind { return valvesAlong(e) }

// EventAngle returns the crank degrees from a datum of the position printed at a
// path, in degrees or worked out from its piston travel, rim distance or teeth;
// false where nothing is printed or the dimensions are not known.
func EventAngle(e *schema.Engine, path string, datum figure.Datum) (interval.Interval, bool) {
	return angleOf(e, e.Figure(path), datum)
}
