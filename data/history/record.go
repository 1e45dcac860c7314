package history

import (
	"fmt"
	"slices"

	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// readLimit bounds what is read of a file: a byte more than the format allows, so
// that one too long is still seen to be.
const readLimit = 1<<20 + 1

// record is what one version of a file says.
type record struct {
	claims   []claims.Claim
	disputed []figure
	unread   string // why it cannot be read in full
}

// figure names a figure of the base or of a variant.
type figure struct {
	Variant string `json:"v,omitempty"`
	Path    string `json:"p"`
}

// extract reads a version of a file. Places in its text are left out: they are of
// no use once it is forgotten.
func extract(b []byte) record {
	f := schema.ReadFile("", b)
	r := record{claims: claims.Of(lint.EngineFile, f)}
	if problems := f.Doc.Problems; len(problems) > 0 {
		line, _ := f.Doc.Position(problems[0].Span.Start)
		r.unread = fmt.Sprintf("line %d: %s", line, problems[0].Message)
	}
	several := false
	for i := range r.claims {
		c := &r.claims[i]
		c.Span, c.PrintSpan = text.Span{}, text.Span{}
		several = several || i > 0 && c.Kind == claims.Print && c.Pointer == r.claims[i-1].Pointer
	}
	if several { // without, nothing can disagree
		r.disputed = disputes(f)
	}
	return r
}

// disputes lists the figures whose claims disagree.
func disputes(f *schema.File) []figure {
	base, _ := schema.DecodeEngine(f) // what cannot be read is in no dispute
	var all []figure
	for _, e := range base.All() {
		for _, fig := range e.Figures() {
			if (e.Variant == "" || fig.Changed) && schema.StandingOf(fig, base.Sources.Get) == schema.Disputed {
				all = append(all, figure{e.Variant, fig.Path})
			}
		}
	}
	return all
}

// version is a record in an archive.
type version struct {
	Claims   []int    `json:"c"` // of the archive, in the order of the file
	Disputed []figure `json:"d,omitempty"`
	Unread   string   `json:"u,omitempty"`
}

func (v version) disputes(f figure) bool { return slices.Contains(v.Disputed, f) }
