package assess

import "fourmarks.example/data/cautions"

// Assessment is what readings say of an engine.
type Assessment struct {
	Engine  string `json:"engine"`
	Variant string `json:"variant"`
	// ReadAt is the clearance set or lift that the figures hold at.
	ReadAt   string     `json:"read_at"`
	Compared []Compared `json:"readings"`
	// Verdict says whether the readings have been explained; Says puts it in words.
	Verdict Verdict  `json:"verdict"`
	Says    []string `json:"says"`
	// Explanations are those that fit, best first; or, where none does, those that
	// come nearest.
	Explanations []Explanation `json:"explanations"`
	// Next is what to measure to part those that remain; nil where nothing is left
	// to part.
	Next       *Next              `json:"next"`
	Correction *Correction        `json:"correction"`
	Checks     []Check            `json:"checks"`
	Remarks    []string           `json:"remarks"`
	Cautions   []cautions.Caution `json:"cautions"`
}

// Verdict says how far readings are explained.
type Verdict string

// The verdicts.
const (
	Explained   Verdict = "explained"
	CannotTell  Verdict = "cannot tell"
	NothingFits Verdict = "nothing fits"
	NotRead     Verdict = "no events read"
)

// Compared is one event read beside its figure.
type Compared struct {
	Cylinder int      `json:"cylinder"`
	Event    string   `json:"event"`
	Read     []string `json:"read"`
	// Means is the reading in degrees as a sheet prints them, counted from true
	// top dead centre where that was found by a stop.
	Means  string `json:"means"`
	Figure string `json:"figure"`
	From   string `json:"from"`
	// LateDeg is in crank degrees, negative when early; UncertaintyDeg is twice the
	// standard uncertainty of reading and figure together.
	LateDeg        float64 `json:"late_deg"`
	UncertaintyDeg float64 `json:"uncertainty_deg"`
	// Out says that the two differ by more than that.
	Out bool `json:"out"`
}

// Explanation is what is done to the events, with the causes that do it.
type Explanation struct {
	Class string `json:"class"`
	Says  string `json:"says"`
	// Share is its part of the evidence of all that fit.
	Share float64 `json:"share"`
	// Misfit is χ² with so many degrees of freedom, Chance how often one as large is
	// seen when the explanation is true.
	Misfit  float64 `json:"misfit"`
	Freedom int     `json:"degrees_of_freedom"`
	Chance  float64 `json:"chance"`
	// LateDeg is by how much events are late, where they are so alike; with twice
	// its standard uncertainty.
	LateDeg        *float64 `json:"late_deg"`
	UncertaintyDeg *float64 `json:"uncertainty_deg"`
	Causes         []Member `json:"causes"`
}

// Member is one cause that would make an explanation.
type Member struct {
	Cause Cause  `json:"cause"`
	Where string `json:"where"`
	Says  string `json:"says"`
	// Against says which readings rule it out; empty where it would do.
	Against []string `json:"against"`
	// Named says that it is this one: a reading parts it from all others.
	Named bool `json:"named"`
	// Teeth is by how many a wheel is late.
	Teeth int `json:"teeth"`
	// Share is its part of the evidence of the explanation.
	Share float64 `json:"share"`
}

// Next is the reading that would part the explanations that remain.
type Next struct {
	What     string   `json:"what"`
	Expected []Expect `json:"expected"`
}

// Expect is what a reading should show if some causes are true.
type Expect struct {
	Shows string   `json:"shows"`
	If    []string `json:"if"`
}

// Correction is what to move, and what it leaves.
type Correction struct {
	// Drive is the drive that it is made in; If says what has to be known before
	// anything is moved, empty where it is.
	Drive string `json:"drive"`
	If    string `json:"if"`
	Says  string `json:"says"`
	// LeavesDeg is how late the events are then.
	LeavesDeg float64 `json:"leaves_deg"`
}

// Check is a cranking pressure or a vacuum beside the figure for it.
type Check struct {
	What string `json:"what"`
	Read string `json:"read"`
	// Figure is the print, Here what it comes to at the altitude of the engine.
	Figure string `json:"figure"`
	From   string `json:"from"`
	Here   string `json:"here"`
	// Sound says that the reading is as it should be, or that no figure says.
	Sound bool   `json:"sound"`
	Says  string `json:"says"`
}
