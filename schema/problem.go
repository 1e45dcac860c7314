package schema

// ProblemKind says in which way a file fails to be an engine or source file.
type ProblemKind int

const (
	// Unreadable: the text is not the restricted YAML of the format.
	Unreadable ProblemKind = iota
	// UnknownKey: a key the format does not have, here.
	UnknownKey
	// UnreadFigure: a print that cannot be read as the figure wanted.
	UnreadFigure
	// WrongUnit: a print with a unit of another quantity.
	WrongUnit
	// NoValue: a key without a value.
	NoValue
	// Violation: anything else in which the file departs from the JSON Schema.
	Violation
)

// Problem is one departure from the format.
type Problem struct {
	Kind    ProblemKind
	At      Place
	Message string
	// Figure is that of a print that cannot be read, with the print as its one
	// claim; nil for other problems.
	Figure *Figure
}

// Accepted holds the findings looked at and kept.
type Accepted []Acceptance

// Acceptance is one finding kept, with the reason.
type Acceptance struct {
	// Path is the figure or section the finding is about, Rule the rule's name.
	Path, Rule string
	Reason     string
	// At is the place of the rule's name.
	At Place
}
