package schema

// The types of this file name the same sections and figures as the JSON
// Schemas beside it, and a test holds the two together. The tag `key` is the
// name in the file; the tag `kind` says what sort of print a figure's slot
// takes. What each field means is said once, in the JSON Schema.

// Engine is one engine model with its figures: the base as the file gives it, or one
// variant with its changes laid over the base.
type Engine struct {
	Section
	Format     Word              `key:"format"`
	ID         Word              `key:"engine"`
	Title      Word              `key:"title"`
	Made       Word              `key:"made"`
	Identify   *Identify         `key:"identify"`
	Layout     *Layout           `key:"layout"`
	Size       *Size             `key:"size"`
	Clearances Group[*Clearance] `key:"clearances"`
	Expansion  *Expansion        `key:"expansion"`
	Lifts      *Lifts            `key:"lifts"`
	Events     Group[*EventSet]  `key:"events"`
	Cams       Group[*Cam]       `key:"cams"`
	Drives     Group[*Drive]     `key:"drives"`
	Marks      Group[*Marked]    `key:"marks"`
	Ignition   *Ignition         `key:"ignition"`
	Checks     *Checks           `key:"checks"`
	Setting    *Setting          `key:"setting"`
	Sources    Group[*Source]    `key:"sources"`
	Variants   Group[*Variant]   `key:"variants"`
	Accepted   Accepted          `key:"accepted"`

	// Variant names the variant these figures are of; empty for the base.
	Variant   string
	file      *File
	figures   []*Figure
	byPath    map[string]*Figure
	removed   []Removal
	citations []Citation
	once      memo
}

// Identify tells the engine from its relations.
type Identify struct {
	Section
	Numbers    *Numbers `key:"numbers"`
	AlsoCalled Word     `key:"also_called"`
	Looks      Word     `key:"looks"`
}

// Numbers is a range of engine or chassis numbers, both ends included.
type Numbers struct {
	Section
	From  Word `key:"from"`
	To    Word `key:"to"`
	Found Word `key:"found"`
}

// Layout says how the engine is laid out.
type Layout struct {
	Section
	Cycle           Word    `key:"cycle"`
	Cylinders       *Figure `key:"cylinders" kind:"count"`
	Arrangement     Word    `key:"arrangement"`
	BankAngle       *Figure `key:"bank_angle" kind:"angle"`
	NumberedFrom    Word    `key:"numbered_from"`
	Rotation        *Figure `key:"rotation" kind:"direction"`
	FiringOrder     *Figure `key:"firing_order" kind:"firing_order"`
	FiringIntervals *Figure `key:"firing_intervals" kind:"angles"`
	Throws          *Figure `key:"throws" kind:"angles"`
	Banks           *Figure `key:"banks" kind:"angles"`
	ValveOrder      *Figure `key:"valve_order" kind:"text"`
	ValveGear       Word    `key:"valve_gear"`
	RockerRatio     *Figure `key:"rocker_ratio" kind:"ratio"`
}

// Size holds dimensions and ratings.
type Size struct {
	Section
	Bore              *Figure `key:"bore" kind:"dimension"`
	Stroke            *Figure `key:"stroke" kind:"dimension"`
	SweptVolume       *Figure `key:"swept_volume" kind:"volume"`
	TaxableHorsepower *Figure `key:"taxable_horsepower" kind:"taxable_horsepower"`
	CompressionRatio  *Figure `key:"compression_ratio" kind:"ratio"`
	ChamberVolume     *Figure `key:"chamber_volume" kind:"volume"`
	RodCentres        *Figure `key:"rod_centres" kind:"dimension"`
	CylinderOffset    *Figure `key:"cylinder_offset" kind:"dimension"`
	DeadCentre        Word    `key:"dead_centre"`
	RatedPower        *Figure `key:"rated_power" kind:"power"`
	RatedSpeed        *Figure `key:"rated_speed" kind:"speed"`
	PistonSpeed       *Figure `key:"piston_speed" kind:"linear_speed"`
}

// Clearance is one set of valve clearances.
type Clearance struct {
	Section
	MeasuredAt     Word    `key:"measured_at"`
	Engine         Word    `key:"engine"`
	Inlet          *Figure `key:"inlet" kind:"length"`
	Exhaust        *Figure `key:"exhaust" kind:"length"`
	Felt           *Figure `key:"felt" kind:"length"`
	InletTakenUp   *Figure `key:"inlet_taken_up" kind:"angle"`
	ExhaustTakenUp *Figure `key:"exhaust_taken_up" kind:"angle"`
}

// Expansion lists the parts that grow between the cold and the hot clearance.
type Expansion struct {
	Section
	Parts Group[*Part] `key:"parts"`
}

// Part is one part that grows.
type Part struct {
	Section
	Length      *Figure `key:"length" kind:"dimension"`
	Material    Word    `key:"material"`
	Coefficient *Figure `key:"coefficient" kind:"coefficient"`
	Rise        *Figure `key:"rise" kind:"temperature_rise"`
	Effect      Word    `key:"effect"`
}

// Lifts are the full lifts of the valves.
type Lifts struct {
	Section
	LiftAt  Word    `key:"lift_at"`
	Inlet   *Figure `key:"inlet" kind:"length"`
	Exhaust *Figure `key:"exhaust" kind:"length"`
}

// EventSet holds the events of one cylinder, read at one clearance or lift.
type EventSet struct {
	Section
	Cylinder          *Figure `key:"cylinder" kind:"count"`
	ReadAt            Word    `key:"read_at"`
	InletOpens        *Figure `key:"inlet_opens" kind:"position"`
	InletCloses       *Figure `key:"inlet_closes" kind:"position"`
	ExhaustOpens      *Figure `key:"exhaust_opens" kind:"position"`
	ExhaustCloses     *Figure `key:"exhaust_closes" kind:"position"`
	InletDuration     *Figure `key:"inlet_duration" kind:"angle"`
	ExhaustDuration   *Figure `key:"exhaust_duration" kind:"angle"`
	Overlap           *Figure `key:"overlap" kind:"angle"`
	InletLobeCentre   *Figure `key:"inlet_lobe_centre" kind:"position"`
	ExhaustLobeCentre *Figure `key:"exhaust_lobe_centre" kind:"position"`
	LobeSeparation    *Figure `key:"lobe_separation" kind:"angle"`
}

// Cam is one cam's profile.
type Cam struct {
	Section
	LiftAt         Word           `key:"lift_at"`
	Profile        Word           `key:"profile"`
	Follower       Word           `key:"follower"`
	FollowerRadius *Figure        `key:"follower_radius" kind:"dimension"`
	BaseRadius     *Figure        `key:"base_radius" kind:"dimension"`
	FlankRadius    *Figure        `key:"flank_radius" kind:"dimension"`
	NoseRadius     *Figure        `key:"nose_radius" kind:"dimension"`
	Lift           *Figure        `key:"lift" kind:"dimension"`
	Rise           *Figure        `key:"rise" kind:"angle"`
	RampHeight     *Figure        `key:"ramp_height" kind:"dimension"`
	RampLength     *Figure        `key:"ramp_length" kind:"angle"`
	Table          Group[*Figure] `key:"table" kind:"length"`
}

// Drive says how one thing is driven from the crankshaft.
type Drive struct {
	Section
	Train          Word          `key:"train"`
	Wheels         Group[*Wheel] `key:"wheels"`
	Teeth          *Teeth        `key:"teeth"`
	Chain          *Chain        `key:"chain"`
	Speed          *Figure       `key:"speed" kind:"speed_ratio"`
	Rotation       *Figure       `key:"rotation" kind:"direction"`
	ToothStep      *Figure       `key:"tooth_step" kind:"angle"`
	MarksMeetAfter *Figure       `key:"marks_meet_after" kind:"count"`
	Meet           Word          `key:"meet"`
	Coupling       *Coupling     `key:"coupling"`
	SlidingHome    *SlidingHome  `key:"sliding_home"`
}

// Wheel is one wheel of a train.
type Wheel struct {
	Section
	Teeth         *Figure `key:"teeth" kind:"count"`
	Hand          Word    `key:"hand"`
	Mesh          Word    `key:"mesh"`
	Rotation      *Figure `key:"rotation" kind:"direction"`
	PitchDiameter *Figure `key:"pitch_diameter" kind:"dimension"`
	PitchAngle    *Figure `key:"pitch_angle" kind:"angle"`
	Keyways       *Figure `key:"keyways" kind:"count"`
	OffsetKeys    *Figure `key:"offset_keys" kind:"angles"`
	Reversible    Word    `key:"reversible"`
}

// Teeth says what the teeth of a train are.
type Teeth struct {
	Section
	Form           Word    `key:"form"`
	Helix          *Figure `key:"helix" kind:"angle"`
	PressureAngle  *Figure `key:"pressure_angle" kind:"angle"`
	NormalPitch    *Figure `key:"normal_pitch" kind:"pitch"`
	CentreDistance *Figure `key:"centre_distance" kind:"dimension"`
	ShaftAngle     *Figure `key:"shaft_angle" kind:"angle"`
	Backlash       *Figure `key:"backlash" kind:"length"`
}

// Chain is a timing chain.
type Chain struct {
	Section
	Pitch   *Figure `key:"pitch" kind:"dimension"`
	Pitches *Figure `key:"pitches" kind:"count"`
	Rows    *Figure `key:"rows" kind:"count"`
}

// Coupling is a vernier coupling.
type Coupling struct {
	Section
	Rings     *Figure `key:"rings" kind:"counts"`
	Step      *Figure `key:"step" kind:"angle"`
	CrankStep *Figure `key:"crank_step" kind:"angle"`
}

// SlidingHome says how a helical wheel turns as it is slid home along its shaft.
type SlidingHome struct {
	Section
	Wheel     Word    `key:"wheel"`
	Slides    Word    `key:"slides"`
	Travel    *Figure `key:"travel" kind:"length"`
	Turns     Word    `key:"turns"`
	By        *Figure `key:"by" kind:"count"`
	Direction *Figure `key:"direction" kind:"direction"`
}

// Marked is a part that carries timing marks.
type Marked struct {
	Section
	RimDiameter *Figure       `key:"rim_diameter" kind:"dimension"`
	RingTeeth   *Figure       `key:"ring_teeth" kind:"count"`
	ToothStep   *Figure       `key:"tooth_step" kind:"movement"`
	Shaft       Word          `key:"shaft"`
	Pointer     Word          `key:"pointer"`
	Order       *Figure       `key:"order" kind:"text"`
	Stamps      Group[*Stamp] `key:"stamps"`
}

// Stamp is one mark.
type Stamp struct {
	Section
	Means            Word    `key:"means"`
	Cylinder         *Figure `key:"cylinder" kind:"count"`
	Companion        *Figure `key:"companion" kind:"count"`
	Clearance        Word    `key:"clearance"`
	ClearanceStamped *Figure `key:"clearance_stamped" kind:"length"`
	Rim              *Figure `key:"rim" kind:"rim_position"`
	Angle            *Figure `key:"angle" kind:"position"`
	Teeth            *Figure `key:"teeth" kind:"position"`
}

// Ignition holds ignition timing and gaps.
type Ignition struct {
	Section
	Kind          Word    `key:"kind"`
	Fixed         *Figure `key:"fixed" kind:"position"`
	Advance       *Figure `key:"advance" kind:"position"`
	FullyRetarded *Figure `key:"fully_retarded" kind:"position"`
	Range         *Figure `key:"range" kind:"angle"`
	ContactGap    *Figure `key:"contact_gap" kind:"length"`
	PlugGap       *Figure `key:"plug_gap" kind:"length"`
	Drive         Word    `key:"drive"`
	SparksPerTurn *Figure `key:"sparks_per_turn" kind:"count"`
}

// Checks is what a healthy engine shows.
type Checks struct {
	Section
	Compression       *Figure `key:"compression" kind:"pressure"`
	CompressionSpread *Figure `key:"compression_spread" kind:"pressure"`
	Vacuum            *Figure `key:"vacuum" kind:"vacuum"`
	OilPressure       *Figure `key:"oil_pressure" kind:"pressure"`
	Engine            Word    `key:"engine"`
	Throttle          Word    `key:"throttle"`
	Speed             *Figure `key:"speed" kind:"speed"`
	Altitude          *Figure `key:"altitude" kind:"altitude"`
}

// Setting says how the engine is turned and set.
type Setting struct {
	Section
	TurnBy      Word               `key:"turn_by"`
	Order       Word               `key:"order"`
	Adjustments Group[*Adjustment] `key:"adjustments"`
	Cautions    []Word             `key:"cautions"`
}

// Adjustment names the valves that are set at one position.
type Adjustment struct {
	Section
	Valves    Word    `key:"valves"`
	OnTheRock *Figure `key:"on_the_rock" kind:"count"`
	FullyOpen *Figure `key:"fully_open" kind:"count"`
	Crank     *Figure `key:"crank" kind:"position"`
	Cylinder  *Figure `key:"cylinder" kind:"count"`
}

// Variant is another series of the same model.
type Variant struct {
	Section
	Title   Word     `key:"title"`
	Made    Word     `key:"made"`
	Numbers *Numbers `key:"numbers"`

	// Engine is the engine with this variant's changes laid over the base.
	Engine *Engine
	// Change is where the changes are written.
	Change Place `key:"change"`
}

// Source is one source of figures. Its names follow the Citation Style Language.
type Source struct {
	Section
	Type           Word `key:"type"`
	Title          Word `key:"title"`
	Author         Word `key:"author"`
	Publisher      Word `key:"publisher"`
	Issued         Word `key:"issued"`
	Edition        Word `key:"edition"`
	Page           Word `key:"page"`
	ContainerTitle Word `key:"container-title"`
	Volume         Word `key:"volume"`
	Number         Word `key:"number"`
	Accessed       Word `key:"accessed"`
	Language       Word `key:"language"`
	Archive        Word `key:"archive"`
	URL            Word `key:"URL"`
	Grade          Word `key:"grade"`
	By             Word `key:"by"`
	On             Word `key:"on"`
	With           Word `key:"with"`
	Copies         Word `key:"copies"`
	Rights         Word `key:"rights"`
}
