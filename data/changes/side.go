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

// figureOf says what the changes of one figure come to.
func figureOf(all []Change, was, is side) Figure {
	c := all[0].Claim()
	f := Figure{Path: c.Path, Variant: c.Variant, Claims: all, Inherited: []string{}, Followed: []Said{}}
	before, after := was.standing(c.Variant, c.Path), is.standing(c.Variant, c.Path)
	f.Before, f.After = before.String(), after.String()
	switch {
	case after == schema.Disputed && before != schema.Disputed:
		f.Dispute = Opened
	case before == schema.Disputed && after != schema.Disputed:
		f.Dispute = Ended
	}
	switch {
	case c.Variant == "" && is.figure("", c.Path) != nil:
		f.Inherited = orNone(is.inherits(c.Path))
	case c.Variant == "":
		f.Inherited = orNone(was.inherits(c.Path))
	case !was.says(c.Pointer) && was.figure(c.Variant, c.Path) != nil:
		f.Followed = followed(was.claims, c.Path)
	case !is.says(c.Pointer) && is.figure(c.Variant, c.Path) != nil:
		f.Followed = followed(is.claims, c.Path)
	}
	return f
}
