package release

// Release is release.json: what the release holds, and what it leaves out.
type Release struct {
	Format string `json:"published_format"`
	// Name is the release's own name, where it was given one.
	Name    string `json:"name,omitempty"`
	Engines int    `json:"engines"`
	// Variants counts the variants of all engines.
	Variants int `json:"variants"`
	Sources  int `json:"sources"`
	// Standings count the figures of all engines and variants.
	Standings Standings `json:"standings"`
	// Required is the least standing of the figures published, where one was
	// asked for, and LeftOut counts by standing those it keeps out.
	Required string    `json:"required,omitempty"`
	LeftOut  Standings `json:"left_out,omitempty"`
	// Errors and Warnings count what the linter finds in the dataset.
	Errors   int `json:"errors"`
	Warnings int `json:"warnings"`
	// Withheld are the engines that could not be published, with the reason.
	Withheld []Withheld `json:"withheld,omitempty"`
}

// Withheld is an engine that could not be published.
type Withheld struct {
	// Engine is the id that the path of its file gives.
	Engine  string `json:"engine"`
	Because string `json:"because"`
}

// Engines is engines.json: every engine of the release, by id.
type Engines struct {
	Format  string  `json:"published_format"`
	Engines []Entry `json:"engines"`
}

// Entry is what tells one engine from others, as a person would look for it.
type Entry struct {
	ID    string `json:"engine"`
	Title string `json:"title"`
	Dates
	Numbers    *Numbers  `json:"numbers,omitempty"`
	AlsoCalled string    `json:"also_called,omitempty"`
	Looks      string    `json:"looks,omitempty"`
	Variants   []Variety `json:"variants,omitempty"`
	// File is the path of the engine's file in the release.
	File string `json:"file"`
	// Standings count the figures of the base.
	Standings Standings `json:"standings"`
}

// Variety is what tells a variant from the others.
type Variety struct {
	Name  string `json:"variant"`
	Title string `json:"title,omitempty"`
	Dates
	Numbers *Numbers `json:"numbers,omitempty"`
}

// Index is index.json: how to find an engine without reading all of them.
//
// Engines are counted from 0 in the order of their ids. Entry n is the
// (n mod PerShard)-th of the file index/entries-<n / PerShard>.json, a list of
// [Entry]. A word of an engine's id, names or looks, or of its variants, in small
// letters, stands in the file of its first two letters, index/words-<key>.json:
// an object from each word to the numbers of the engines that have it. An engine
// number stands in index/numbers-<key>.json, a list of [Range], by the first two
// of the letters before its figures, in capitals. A key is written as
// hexadecimal UTF-8 after an x unless it is of small ASCII letters and digits,
// after folding capitals: see [Key].
type Index struct {
	Format   string `json:"published_format"`
	Engines  int    `json:"engines"`
	PerShard int    `json:"engines_per_shard"`
	// Words and Numbers are the keys for which there are files.
	Words   []string `json:"words"`
	Numbers []string `json:"numbers"`
}

// Range is a range of engine numbers; both ends are included, and null is open.
type Range struct {
	// Letters are what stands before the figures, in capitals, without spaces,
	// points, strokes and hyphens.
	Letters string `json:"letters"`
	First   *int64 `json:"first"`
	Last    *int64 `json:"last"`
	// Engine is the number of the engine, Variant the variant's name.
	Engine  int    `json:"engine"`
	Variant string `json:"variant,omitempty"`
}

// Redirects is redirects.json: where ids that are no longer used lead.
type Redirects struct {
	Format string     `json:"published_format"`
	Moved  []Redirect `json:"moved"`
}

// Redirect is an id that is no longer used: also the file of that engine.
type Redirect struct {
	Format string `json:"published_format,omitempty"`
	From   string `json:"moved_from"`
	// To are the engines of this release that took its place: more than one
	// after a split.
	To      []string `json:"moved_to"`
	Because string   `json:"because"`
}

// Units is units.json: the units that figures are in.
type Units struct {
	Format string `json:"published_format"`
	Units  []Unit `json:"units"`
}

// Unit is a unit of measure.
type Unit struct {
	// Symbol is what stands under unit; empty for plain numbers.
	Symbol   string `json:"unit"`
	Name     string `json:"name"`
	Quantity string `json:"quantity"`
	// UCUM is its code in the Unified Code for Units of Measure.
	UCUM string `json:"ucum"`
	// SI is the working unit of the quantity.
	SI string `json:"si_unit"`
}

// Sources is sources.json: the records of all sources, by id.
type Sources struct {
	Format  string   `json:"published_format"`
	Sources []Source `json:"sources"`
}

// Changes is changes.json: the figures that changed since an earlier release.
type Changes struct {
	Format string `json:"published_format"`
	// Since names what is compared with.
	Since   string   `json:"since"`
	Changes []Change `json:"changes"`
}

// Change is a figure that changed. Before is nil for one that is new, After for
// one that is gone.
type Change struct {
	Engine  string `json:"engine"`
	Variant string `json:"variant,omitempty"`
	Path    string `json:"path"`
	// What is added, gone, value, standing or claims: the first that holds.
	What   string `json:"what"`
	Before *State `json:"before,omitempty"`
	After  *State `json:"after,omitempty"`
}

// State is a figure at one time.
type State struct {
	Printed string `json:"printed"`
	// Value is in Unit, the working unit.
	Value    *float64 `json:"value"`
	Unit     string   `json:"unit"`
	Standing string   `json:"standing"`
	From     string   `json:"from,omitempty"`
	Locator  string   `json:"locator,omitempty"`
}
