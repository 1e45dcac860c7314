package release

// Version is the version of the published format: major.minor. Within a major
// version things are only added.
const Version = "1.0"

// Engine is one engine: its file engines/<maker>/<model>.json.
type Engine struct {
	// Format is the version of the published format.
	Format string `json:"published_format"`
	// ID never changes meaning and is never used again for another engine.
	ID    string `json:"engine"`
	Title string `json:"title"`
	Dates
	Numbers *Numbers `json:"numbers,omitempty"`
	// AlsoCalled, Looks and Note are words for people.
	AlsoCalled string `json:"also_called,omitempty"`
	Looks      string `json:"looks,omitempty"`
	Note       string `json:"note,omitempty"`
	// Series is what is known of the base.
	Series
	// Variants are other series of the engine, each whole: a figure that the
	// variant shares with the base stands in both.
	Variants []Variant `json:"variants"`
	// Errors counts what the linter finds wrong with it: only in a release made in
	// spite of errors.
	Errors int `json:"errors,omitempty"`
	// Accepted are findings of the linter that the file keeps, with the reason.
	Accepted []Acceptance `json:"accepted,omitempty"`
	// Sources are the records of the sources cited, by id.
	Sources []Source `json:"sources"`
}

// Variant is another series of an engine.
type Variant struct {
	Name    string   `json:"variant"`
	Title   string   `json:"title,omitempty"`
	Dates            // of the variant, or of the engine where it has none of its own
	Numbers *Numbers `json:"numbers,omitempty"`
	Note    string   `json:"note,omitempty"`
	Series
	// Removed are the figures and sections of the base that the variant does not
	// have.
	Removed []string `json:"removed,omitempty"`
}

// Series is what is known of one series of an engine.
type Series struct {
	// Figures are in the order of the format; derived ones follow.
	Figures []Figure `json:"figures"`
	// Disputed are figures whose standing claims contradict one another, with
	// those claims. Their figures have no value.
	Disputed []Contest `json:"disputed,omitempty"`
	// SetAside are claims that are not followed, each with the reason.
	SetAside []Contest `json:"set_aside,omitempty"`
	// Words are what is written that is no figure: choices, remarks, and the
	// source that a section names for its figures.
	Words []Word `json:"words"`
	// Standings count the figures by standing.
	Standings Standings `json:"standings"`
}

// Dates are the years in which an engine was made. The years are zero where the
// words do not say; the last is zero too while it is open.
type Dates struct {
	Made  string `json:"made,omitempty"`
	First int    `json:"first_year,omitempty"`
	Last  int    `json:"last_year,omitempty"`
}

// Numbers are engine numbers, both ends included, as the file gives them.
type Numbers struct {
	From  string `json:"from,omitempty"`
	To    string `json:"to,omitempty"`
	Found string `json:"found,omitempty"`
}

// Standings count figures: absent, unsourced, single-source, confirmed,
// disputed, settled, derived. A standing that no figure has is missing.
type Standings map[string]int

// Standings that a program may want to tell apart; see [Figure].
const (
	Absent   = "absent"
	Disputed = "disputed"
	Derived  = "derived"
)

// Figure is one figure with its best value; see the package comment.
type Figure struct {
	// Path names the figure: events.checking.inlet_opens.
	Path string `json:"path"`
	// Kind says what it is, in the words of the authoring format: position, count.
	Kind string `json:"kind,omitempty"`
	// Standing says how far it is established.
	Standing string `json:"standing"`
	Print
	From    string `json:"from,omitempty"`
	Locator string `json:"locator,omitempty"`
	// DerivedBy is set for a figure that nobody prints.
	DerivedBy *Derivation `json:"derived_by,omitempty"`
	// Inherited is set where a variant has the figure from the base.
	Inherited bool `json:"inherited,omitempty"`
	// Claims are those that stand and agree, the best first, and those that say
	// why there is no figure. Of a disputed figure there are none here.
	Claims []Claim `json:"claims"`
}

// Print is a figure as its source prints it, and what that says.
type Print struct {
	// Printed is the text, unchanged; empty when there is no best claim.
	Printed string `json:"printed"`
	// Absence is the word for there being no figure: unknown, not given, none,
	// illegible. Legible is what can be read of an illegible one.
	Absence string `json:"absence,omitempty"`
	Legible string `json:"legible,omitempty"`
	Reading
	// Also are further readings of a figure printed in several units.
	Also []Reading `json:"also,omitempty"`
	// List is the values of a list, Order the cylinders of a firing order,
	// Direction a direction of rotation.
	List      []Reading  `json:"list,omitempty"`
	Order     []string   `json:"order,omitempty"`
	Direction *Direction `json:"direction,omitempty"`
}

// Reading is one value of a print with the interval that the print justifies.
type Reading struct {
	// Value is nil for what has no value; an open bound is nil.
	Value *float64 `json:"value"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
	// Unit is the symbol of the unit, empty for plain numbers; see units.json.
	Unit string `json:"unit"`
	// Datum is the dead centre that a crank position is counted from: BTDC,
	// ATDC, BBDC, ABDC; TDC or BDC where the print leaves the side open.
	Datum string `json:"datum,omitempty"`
	// MeasuredBy is what a crank position is measured by: crank angle, piston
	// travel, rim distance, teeth.
	MeasuredBy string `json:"measured_by,omitempty"`
	// MeasuredAt is where a lift or clearance is measured: valve, tappet.
	MeasuredAt string `json:"measured_at,omitempty"`
	// FromMark says that it is counted from a mark, Straight that a rim distance
	// is taken across by a straight rule, Approximate that the print says about,
	// Stated that the print itself gives the interval.
	FromMark    bool `json:"from_mark,omitempty"`
	Straight    bool `json:"straight,omitempty"`
	Approximate bool `json:"approximate,omitempty"`
	Stated      bool `json:"stated,omitempty"`
	// Exact is set where Value, Low or High had to be rounded.
	Exact *Exact `json:"exact,omitempty"`
	// SI is the same in the working unit; nil where there is no value.
	SI *SI `json:"si"`
}

// Exact is value and bounds as fractions, "1543/120"; an open bound is empty.
type Exact struct {
	Value string `json:"value"`
	Low   string `json:"low,omitempty"`
	High  string `json:"high,omitempty"`
}

// SI is value and bounds in the working unit of the quantity.
type SI struct {
	Value *float64 `json:"value"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
	Unit  string   `json:"unit"`
}

// Direction is a direction of rotation and the end it is seen from.
type Direction struct {
	Sense string `json:"sense"`
	From  string `json:"seen_from,omitempty"`
}

// Derivation says which relation a value follows from.
type Derivation struct {
	Rule    string `json:"rule"`
	Formula string `json:"formula"`
}

// Claim is what one source says of a figure.
type Claim struct {
	// Key is the claim's key in the file; empty for a figure with one print.
	Key string `json:"claim,omitempty"`
	Print
	From    string `json:"from,omitempty"`
	Locator string `json:"locator,omitempty"`
	Note    string `json:"note,omitempty"`
	Quote   string `json:"quote,omitempty"`
	SeenOn  string `json:"seen_on,omitempty"`
	SeenBy  string `json:"seen_by,omitempty"`
	// Because is why the claim was set aside.
	Because string `json:"because,omitempty"`
}

// Contest is a figure and claims of it that its value does not rest on.
type Contest struct {
	Path   string  `json:"path"`
	Claims []Claim `json:"claims"`
}

// Word is a value that is not a figure.
type Word struct {
	Path string `json:"path"`
	Is   string `json:"is"`
}

// Acceptance is a finding that the engine's file keeps.
type Acceptance struct {
	Path    string `json:"path"`
	Rule    string `json:"rule"`
	Because string `json:"because"`
}

// Source is the record of a source. The names are those of the Citation Style
// Language where it has them.
type Source struct {
	// ID is the id in the dataset. A record that stands in an engine's own file
	// has the engine's id before it: penhallow/light-six:sheet.
	ID             string `json:"source"`
	Type           string `json:"type,omitempty"`
	Title          string `json:"title"`
	Author         string `json:"author,omitempty"`
	Publisher      string `json:"publisher,omitempty"`
	Issued         string `json:"issued,omitempty"`
	Edition        string `json:"edition,omitempty"`
	Page           string `json:"page,omitempty"`
	ContainerTitle string `json:"container-title,omitempty"`
	Volume         string `json:"volume,omitempty"`
	Number         string `json:"number,omitempty"`
	Accessed       string `json:"accessed,omitempty"`
	Language       string `json:"language,omitempty"`
	Archive        string `json:"archive,omitempty"`
	URL            string `json:"URL,omitempty"`
	// Grade is works, maker, stamp, measured, press, later or recall.
	Grade string `json:"grade,omitempty"`
	By    string `json:"by,omitempty"`
	On    string `json:"on,omitempty"`
	With  string `json:"with,omitempty"`
	// Copies is the source that this one repeats: together they are one witness.
	Copies string `json:"copies,omitempty"`
	Rights string `json:"rights,omitempty"`
	Note   string `json:"note,omitempty"`
}
