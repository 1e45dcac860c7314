package history

import (
	"fmt"
	"slices"

	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
	figures "fourmarks.example/schema/figure"
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
	for i := range r.claims {
		r.claims[i].Span, r.claims[i].PrintSpan = text.Span{}, text.Span{}
	}
	r.disputed = disputes(r.claims)
	return r
}

// disputes lists the figures whose claims disagree, in the order of the file. The
// prints are read one by one: to decode the whole file would take longer than all
// the rest.
func disputes(all []claims.Claim) []figure {
	var disputed []figure
	for len(all) > 0 {
		n := 1
		for n < len(all) && all[n].Pointer == all[0].Pointer {
			n++
		}
		if c := &all[0]; n > 1 && c.Kind == claims.Print && disagree(all[:n]) {
			disputed = append(disputed, figure{c.Variant, c.Path})
		}
		all = all[n:]
	}
	return disputed
}

// disagree reports whether two claims of a figure that stand cannot both be right.
// What cannot be read agrees with everything.
func disagree(all []claims.Claim) bool {
	path, _ := text.ParsePointer(all[0].Pointer)
	slot, ok := schema.EngineSlot(path)
	if !ok || !slot.Figure {
		return false
	}
	var stand []*schema.Claim
	for i := range all {
		print, err := figures.Read(slot.Kind, all[i].Printed)
		one := &schema.Claim{Printed: print}
		if err != nil || all[i].Aside || !one.Stands() {
			continue
		}
		if slices.ContainsFunc(stand, func(other *schema.Claim) bool { return !schema.Agree(other, one) }) {
			return true
		}
		stand = append(stand, one)
	}
	return false
}

// version is a record in an archive.
type version struct {
	Claims   []int    `json:"c"` // of the archive, in the order of the file
	Disputed []figure `json:"d,omitempty"`
	Unread   string   `json:"u,omitempty"`
}

func (v version) disputes(f figure) bool { return slices.Contains(v.Disputed, f) }
