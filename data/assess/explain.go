package assess

import (
	"cmp"
	"math"
	"slices"
)

const (
	// fits is how rare a misfit may be before an explanation is none.
	fits = 1.0 / 500
	// decides is the share of the evidence that makes an explanation the answer, and
	// a cause the one that is named.
	decides = 0.95
	// remains is the share below which an explanation is not spoken of.
	remains = 0.01
	// equally is how many times the likelihood, or the share, of another an
	// explanation may have before the two no longer fit equally well ("not worth more than a bare mention" on
	// Kass and Raftery's scale).
	equally = 3.0
)

// explanation is a class of causes that do the same to the events.
type explanation struct {
	class   string
	members []*fitted // the best first, each cause once
	fit     *fitted   // the one that leaves the least misfit
	share   float64   // of the evidence of all explanations
	shares  map[*fitted]float64
	// bears says that something other than an event was read that parts members.
	bears bool
}

// standing are the members that no reading contradicts.
func (x *explanation) standing() []*fitted {
	return slices.DeleteFunc(slices.Clone(x.members), func(f *fitted) bool { return len(f.against) > 0 })
}

// named is the member that readings other than events part from the rest, or
// the only one there is. A camshaft may have moved by any angle at all: once it is
// the only other one, the evidence may decide, such as that the angle is a whole
// number of teeth.
func (x *explanation) named() *fitted {
	standing := x.standing()
	if len(standing) == 0 || len(x.members) > 1 && !x.bears {
		return nil
	}
	best := standing[0]
	for _, f := range standing[1:] {
		if f.cause != Camshaft || x.shares[f] > (1-decides)*x.shares[best] {
			return nil
		}
	}
	return best
}

// explain sorts fits into explanations, and works out the share of each. What
// does not fit is left out; when nothing fits, everything is kept.
func (a *assessor) explain(all []*fitted) []*explanation {
	good := slices.DeleteFunc(slices.Clone(all), func(f *fitted) bool { return f.chance() < fits })
	if len(good) == 0 {
		good = all
	}
	least := math.Inf(1)
	for _, f := range good {
		least = math.Min(least, f.surprise)
	}
	var found []*explanation
	total := 0.0
	freely := leastFree(good)
	for _, f := range good {
		i := slices.IndexFunc(found, func(x *explanation) bool { return x.class == f.class })
		if i < 0 {
			i = len(found)
			found = append(found, &explanation{class: f.class, fit: f, shares: map[*fitted]float64{}})
		}
		x := found[i]
		x.put(f, math.Exp((least-f.surprise)/2))
		coincidence := 0.0
		if free, ok := freely[f.class]; ok && f.cause == Tooth {
			coincidence = math.Max(free-f.events, 0)
		}
		share := math.Exp((least - f.surprise - coincidence) / 2)
		x.share += share
		total += share
	}
	for _, x := range found {
		x.share /= total
		slices.SortStableFunc(x.members, func(f, g *fitted) int { return cmp.Compare(x.shares[g], x.shares[f]) })
	}
	return found
}

// leastFree is for each explanation what the events say of it when the angle is
// left free. That an angle is a whole number of teeth makes the tooth the likelier
// of its causes; it is no evidence against other explanations, which would be
// right as often if it were.
func leastFree(all []*fitted) map[string]float64 {
	least := map[string]float64{}
	for _, f := range all {
		if f.cause != DeadCentreMark && f.cause != Camshaft {
			continue
		}
		if known, ok := least[f.class]; !ok || f.events < known {
			least[f.class] = f.events
		}
	}
	return least
}

// put adds a fit to an explanation. A cause that is there already, by another
// number of teeth or another clearance, is kept once, as it fits best.
func (x *explanation) put(f *fitted, weight float64) {
	if f.misfit < x.fit.misfit {
		x.fit = f
	}
	x.bears = x.bears || f.bears
	i := slices.IndexFunc(x.members, func(g *fitted) bool { return g.sameCause(f) })
	switch {
	case i < 0:
		x.members = append(x.members, f)
		x.shares[f] = weight
	case x.shares[x.members[i]] < weight:
		delete(x.shares, x.members[i])
		x.members[i] = f
		x.shares[f] = weight
	}
}

// sameCause reports whether two fits are of one cause at one place.
func (f *fitted) sameCause(g *fitted) bool {
	if f.cause == WrongClearance && g.cause == WrongClearance {
		return f.valve == g.valve || f.of != nil || g.of != nil
	}
	return f.cause == g.cause && f.where == g.where
}

// judge says which explanation it is, or that this cannot be told.
func (a *assessor) judge(out *Assessment, found []*explanation) {
	best := found[0]
	good := func(x *explanation) bool { return x.fit.chance() >= fits && len(x.standing()) > 0 }
	left := slices.DeleteFunc(slices.Clone(found), func(x *explanation) bool { return !good(x) || x.share < remains })
	switch {
	case len(left) == 0:
		out.Verdict = NothingFits
		left = found[:min(2, len(found))]
	case best.share >= decides && good(best) && len(best.rivals(found, good)) == 0:
		out.Verdict = Explained
		left = []*explanation{best}
	default:
		out.Verdict = CannotTell
		for _, x := range best.rivals(found, good) {
			if !slices.Contains(left, x) {
				left = append(left, x)
			}
		}
	}
	for _, x := range left {
		out.Explanations = append(out.Explanations, a.told(x, out.Verdict == Explained))
	}
	out.Says = a.says(out.Verdict, left)
	if out.Verdict == NothingFits {
		return
	}
	out.Next = a.next(left)
	if out.Verdict == Explained {
		out.Correction = a.correct(best)
	}
}

// asWell is by how much more strain an explanation may have and still explain the
// readings as well as another: a likelihood twenty times smaller is too small.
var asWell = 2 * math.Log(20)

// rivals are the other explanations that have no more to find than this one and
// leave as little unexplained. The evidence may prefer this one for what is usual;
// the readings do not.
func (x *explanation) rivals(all []*explanation, good func(*explanation) bool) []*explanation {
	var rivals []*explanation
	for _, y := range all {
		if y != x && good(y) && y.finds() <= x.finds() && y.strain()-x.strain() < asWell {
			rivals = append(rivals, y)
		}
	}
	return rivals
}

// finds is 1 for an explanation that has a size to be found, else 0.
func (x *explanation) finds() int {
	if slices.ContainsFunc(x.members, func(f *fitted) bool { return len(f.sizes) > 0 }) {
		return 1
	}
	return 0
}

// strain is the least of its causes'.
func (x *explanation) strain() float64 {
	least := math.Inf(1)
	for _, f := range x.standing() {
		least = math.Min(least, f.strain)
	}
	return least
}

// told is an explanation as it is shown; a cause is named only of the one that it
// is.
func (a *assessor) told(x *explanation, certain bool) Explanation {
	e := Explanation{Class: x.class, Says: a.saysClass(x), Share: x.share, Misfit: x.fit.misfit, Freedom: max(x.fit.freedom, 0), Chance: x.fit.chance()}
	if deg, sigma, ok := a.lateBy(x); ok {
		twice := 2 * sigma
		e.LateDeg, e.UncertaintyDeg = &deg, &twice
	}
	all := 0.0
	for _, share := range x.shares {
		all += share
	}
	named := x.named()
	for _, f := range x.members {
		e.Causes = append(e.Causes, Member{Cause: f.cause, Where: f.where, Says: a.saysCause(f), Against: append([]string{}, f.against...),
			Named: certain && f == named, Teeth: f.teeth, Share: x.shares[f] / all})
	}
	return e
}

// lateBy is by how much the events of an explanation are late, where they are so
// alike.
func (a *assessor) lateBy(x *explanation) (deg, sigma float64, ok bool) {
	of := func(f *fitted) (float64, float64, bool) {
		switch {
		case f.cause == Tooth:
			return float64(f.teeth)*f.mesh.step + f.found[0], f.sigma[0], true
		case f.cause == Camshaft || f.cause == DeadCentreMark || f.cause == Flywheel:
			if len(f.found) > 0 {
				return f.found[0], f.sigma[0], true
			}
			return a.bench.stop.after, a.bench.stop.sigma, true
		}
		return 0, 0, false
	}
	for _, f := range x.members { // one that leaves the angle free says it without leaning to a tooth
		if f.cause != Tooth {
			if deg, sigma, ok := of(f); ok {
				return deg, sigma, true
			}
		}
	}
	return of(x.members[0])
}
