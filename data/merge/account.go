package merge

import (
	"cmp"
	"slices"
	"strings"

	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// account tells what became of what, from the texts themselves.
func (m *merger) account() {
	r := &m.result
	slices.SortStableFunc(r.Conflicts, func(a, b Conflict) int {
		return cmp.Or(strings.Compare(a.Pointer, b.Pointer), strings.Compare(a.Key, b.Key))
	})
	is := m.merged.claims
	was := [3]map[claims.ID]*claims.Claim{}
	for s, d := range m.docs {
		was[s] = map[claims.ID]*claims.Claim{}
		if d == nil {
			continue
		}
		for i := range d.claims {
			was[s][d.claims[i].ID] = &d.claims[i]
		}
	}
	if m.union { // what is added is added to what ours has
		was[base] = was[ours]
	}
	m.changed(is, was)
	m.removed(is, was)
	if m.kind == lint.EngineFile {
		m.disputed(is)
		m.reread()
	}
}

func (m *merger) changed(is []claims.Claim, was [3]map[claims.ID]*claims.Claim) {
	for i := range is {
		c := &is[i]
		if b := was[base][c.ID]; m.inConflict(c.ID) || b != nil && claims.Same(b, c) {
			continue
		}
		by := By(0)
		for _, s := range []side{ours, theirs} {
			if o := was[s][c.ID]; o != nil && claims.Same(o, c) {
				by += By(s)
			}
		}
		m.result.Changed = append(m.result.Changed, Change{Claim: *c, Was: was[base][c.ID], By: by})
	}
}

func (m *merger) removed(is []claims.Claim, was [3]map[claims.ID]*claims.Claim) {
	has := map[claims.ID]bool{}
	for i := range is {
		has[is[i].ID] = true
	}
	if m.docs[base] == nil || m.union {
		return
	}
	for _, c := range m.docs[base].claims {
		if has[c.ID] || m.inConflict(c.ID) {
			continue
		}
		by := By(0)
		for _, s := range []side{ours, theirs} {
			if was[s][c.ID] == nil {
				by += By(s)
			}
		}
		m.result.Removed = append(m.result.Removed, Removal{Claim: c, By: by})
	}
}

// disputed notes the figures on which claims disagree only now. A variant that
// inherits the dispute has none of its own.
func (m *merger) disputed(is []claims.Claim) {
	before := map[[2]string]bool{}
	for _, s := range []side{ours, theirs} {
		for _, at := range m.docs[s].disputes() {
			before[at] = true
		}
	}
	for _, at := range m.merged.disputes() {
		if before[at] {
			continue
		}
		d := Dispute{Variant: at[0], Path: at[1]}
		for _, c := range is {
			if c.Kind == claims.Print && c.Variant == d.Variant && c.Path == d.Path {
				d.Claims = append(d.Claims, c)
			}
		}
		m.result.Disputed = append(m.result.Disputed, d)
	}
}

// disputes lists the disputed figures of the engine and its variants by variant
// and path.
func (d *document) disputes() [][2]string {
	nobody := func(string) (*schema.Source, bool) { return nil, false }
	var all [][2]string
	for _, one := range d.decoded().engine.All() {
		for _, f := range one.Figures() {
			if (one.Variant == "" || f.Changed) && schema.StandingOf(f, nobody) == schema.Disputed {
				all = append(all, [2]string{one.Variant, f.Path})
			}
		}
	}
	return all
}

// reread notes the figures that one side set in a section of which the other
// changed a word, or took one out.
func (m *merger) reread() {
	words := slices.Clone(m.result.Changed)
	for _, w := range m.result.Removed {
		gone := w.Claim
		gone.Printed, gone.Empty = "", true
		words = append(words, Change{Claim: gone, Was: &w.Claim, By: w.By})
	}
	for _, w := range words {
		if w.Kind != claims.Word || strings.HasSuffix(w.Pointer, "/note") || w.By == Both {
			continue
		}
		for _, f := range m.result.Changed {
			if f.Kind == claims.Print && f.By != Both && f.By != w.By && sectionOf(f.Pointer) == sectionOf(w.Pointer) {
				m.result.Reread = append(m.result.Reread, Reread{Figure: f.Claim, Word: w.Claim, Was: w.Was, By: w.By})
			}
		}
	}
}

// sectionOf returns the JSON Pointer of what a place is in.
func sectionOf(pointer string) string {
	return pointer[:max(0, strings.LastIndexByte(pointer, '/'))]
}
