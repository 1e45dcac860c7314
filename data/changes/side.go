package changes

import (
	"fourmarks.example/data/claims"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// side is one version of an engine, with what it takes to judge its figures. One
// that is missing has nothing.
type side struct {
	claims []claims.Claim
	base   *schema.Engine
	lookup schema.Register
}

func readSide(v *version, inputs []lint.Input) side {
	if v == nil {
		return side{}
	}
	e, _ := schema.DecodeEngine(v.file) // what departs from the format is the linter's to say
	return side{claims: v.claims, base: e, lookup: store.Register(inputs, e)}
}

// engine returns the base or a variant, nil where there is none.
func (s side) engine(variant string) *schema.Engine {
	if s.base == nil || variant == "" {
		return s.base
	}
	v, ok := s.base.Variants.Get(variant)
	if !ok {
		return nil
	}
	return v.Engine
}

func (s side) figure(variant, path string) *schema.Figure {
	if e := s.engine(variant); e != nil {
		return e.Figure(path)
	}
	return nil
}

func (s side) standing(variant, path string) schema.Standing {
	return schema.StandingOf(s.figure(variant, path), s.lookup)
}

// says reports whether the file itself says something at a pointer.
func (s side) says(pointer string) bool {
	for i := range s.claims {
		if s.claims[i].Pointer == pointer {
			return true
		}
	}
	return false
}

// inherits lists the variants that have a figure from the base.
func (s side) inherits(path string) []string {
	var names []string
	if s.base == nil {
		return nil
	}
	for _, v := range s.base.Variants {
		if f := s.figure(v.Name, path); f != nil && !f.Changed {
			names = append(names, v.Name)
		}
	}
	return names
}

// judge adds to what is said of a figure how far it was and is established, and
// who has it from whom.
func (f *Figure) judge(was, is side) {
	pointer := f.Claims[0].Claim().Pointer
	before, after := was.standing(f.Variant, f.Path), is.standing(f.Variant, f.Path)
	f.Before, f.After = before.String(), after.String()
	switch {
	case after == schema.Disputed && before != schema.Disputed:
		f.Dispute = Opened
	case before == schema.Disputed && after != schema.Disputed:
		f.Dispute = Ended
	}
	switch {
	case f.Variant == "" && is.figure("", f.Path) != nil:
		f.Inherited = orNone(is.inherits(f.Path))
	case f.Variant == "":
		f.Inherited = orNone(was.inherits(f.Path))
	case !was.says(pointer) && was.figure(f.Variant, f.Path) != nil:
		f.Followed = followed(was.claims, f.Path)
	case !is.says(pointer) && is.figure(f.Variant, f.Path) != nil:
		f.Followed = followed(is.claims, f.Path)
	}
}
