package assess

import (
	"fmt"
	"strings"

	"fourmarks.example/schema"
)

// Refused says why readings cannot be assessed: each reason with its place in
// the file of readings.
type Refused struct{ Problems []schema.Problem }

// Error tells every reason, one a line, with file, line and column.
func (r *Refused) Error() string {
	lines := make([]string, len(r.Problems))
	for i, p := range r.Problems {
		line, column := p.At.Position()
		lines[i] = fmt.Sprintf("%s:%d:%d: %s", p.At.File.Name, line, column, p.Message)
	}
	return strings.Join(lines, "\n")
}

// refusals gathers reasons while readings are read.
type refusals struct{ all []schema.Problem }

func (r *refusals) add(at schema.Place, format string, args ...any) {
	r.all = append(r.all, schema.Problem{Kind: schema.Violation, At: at, Message: fmt.Sprintf(format, args...)})
}

// err is the refusal, or nil when there was no reason for one.
func (r *refusals) err() error {
	if len(r.all) == 0 {
		return nil
	}
	return &Refused{r.all}
}
