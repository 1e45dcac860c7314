package assess

import (
	"fmt"
	"math"
	"strings"
)

// comparison is a reading beside its figure, top dead centre being found so many
// degrees after its mark.
func comparison(r reading, x expected, stop float64) Compared {
	by := nearest(r.after - stop - x.after)
	open := math.Max(2*math.Hypot(r.sigma, x.sigma), 0.05)
	return Compared{
		Cylinder: r.cylinder, Event: r.event.String(), Read: r.prints, Means: placed(r.event, r.after-stop), Figure: x.printed, From: x.from,
		LateDeg: by, UncertaintyDeg: open, Out: math.Abs(by) > open,
	}
}

// says is the answer in sentences.
func (a *assessor) says(v Verdict, left []*explanation) []string {
	switch v {
	case NothingFits:
		return a.saysNothing(left)
	case Explained:
		return a.saysExplained(left[0])
	}
	says := []string{"These readings cannot tell what it is: " + plural(len(left), "explanation fits", "explanations fit") + "."}
	if len(left) < 2 || left[1].fit.misfit-left[0].fit.misfit > 2*math.Log(equally) {
		return says
	}
	if left[0].share < equally*left[1].share {
		return append(says, "The first two fit equally well.")
	}
	return append(says, "The first two fit the readings equally well; the first is only the more usual.")
}

func (a *assessor) saysExplained(x *explanation) []string {
	says := []string{sentence(a.saysClass(x))}
	named := x.named()
	switch {
	case named != nil && named.cause == RevolutionOut:
		says = []string{sentence(a.saysCause(named))}
	case named != nil && len(x.members) > 1:
		says = append(says, "It is this: "+a.saysCause(named)+".")
	case x.class == classFine && named == nil:
		says = append(says, "Whether the camshaft is a whole turn of the crank out events cannot tell: see which cylinder is on the rock when the ignition points to No. 1.")
	case len(x.standing()) > 1:
		says = append(says, "What has done it these readings cannot tell: each of the causes below would.")
	}
	return says
}

// saysNothing says what stands against each explanation.
func (a *assessor) saysNothing(left []*explanation) []string {
	says := []string{"No single cause explains these readings. Two things may be wrong at once, or a reading may be."}
	for _, x := range left {
		if f := x.fit; f.chance() >= fits && len(x.standing()) == 0 {
			says = append(says, fmt.Sprintf("The events say: %s; but %s.", a.saysClass(x), strings.Join(x.members[0].against, ", and ")))
		}
	}
	if odd := a.oddOneOut(); odd != "" {
		says = append(says, odd)
	}
	return says
}

func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] + "." }

// saysClass says what an explanation does to the events, with the numbers that
// decide.
func (a *assessor) saysClass(x *explanation) string {
	best := x.members[0]
	switch {
	case x.class == classFine:
		return "the events are as the figures say, within the uncertainty of the readings"
	case best.cause == Interchanged:
		return "inlet and exhaust are interchanged: what was read as one valve is the other"
	case best.cause == Backwards:
		return "the engine was turned against its running direction: each opening is the closing of the same valve, counted the other way round"
	case best.cause == DiscReversed:
		return "before and after are interchanged: every reading lies as far on the other side of its dead centre; the disc is on the wrong way round, or the engine runs the other way"
	case best.cause == OtherVariant:
		return "the readings are those of " + best.of.name() + titled(best.of)
	case best.cause == WrongClearance || best.cause == WornLobe:
		return a.saysShort(x)
	}
	deg, sigma, ok := a.lateBy(x)
	if !ok {
		return fmt.Sprintf("every event is %s: the dead centre of %s was taken for that of the cylinder read", late(best.late(best.found, target{})), best.where)
	}
	what := "every event is"
	if x.class != classAlike {
		what = "every " + best.drive.valves[0] + " event is"
	}
	return fmt.Sprintf("%s %s%s", what, within(deg, sigma), a.inTeeth(x, deg))
}

func titled(s *setting) string {
	if s.engine.Title.Text == "" || s.engine.Variant == "" {
		return ""
	}
	return " of the " + s.engine.Title.Text
}

// inTeeth says what an angle is in teeth, and what that leaves.
func (a *assessor) inTeeth(x *explanation, deg float64) string {
	for _, f := range x.members {
		if f.cause == Tooth {
			by := float64(f.teeth) * f.mesh.step
			return fmt.Sprintf(", which is %s (%s°), leaving %s", plural(abs(f.teeth), "tooth", "teeth"), decimals(math.Abs(by), 2), left(deg-by))
		}
	}
	if step := a.stepFor(x); step > 0 {
		return fmt.Sprintf(", which is %s of a tooth (%s°) and so no whole number of teeth", decimals(math.Abs(deg)/step, 2), decimals(step, 2))
	}
	return ""
}

// stepFor is the tooth step of the drive that an explanation is about; 0 where
// it is not known.
func (a *assessor) stepFor(x *explanation) float64 {
	for _, d := range a.drives {
		if len(d.meshes) > 0 && d.class() == x.class {
			return d.meshes[0].step
		}
	}
	return 0
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}

// saysShort says what is open too short or too long, and what clearance would
// make it so.
func (a *assessor) saysShort(x *explanation) string {
	f := x.members[0]
	for _, g := range x.members { // the one that says how much
		if g.cause == WrongClearance && g.of == nil {
			f = g
		}
	}
	whose := "all valves open"
	verb := func(how string) string { return how }
	switch {
	case f.valve != "" && f.cylinder != 0:
		whose = fmt.Sprintf("the %s valve of %s opens", f.valve, cylinderName(f.cylinder))
	case f.valve != "":
		whose = fmt.Sprintf("the %s valve opens", f.valve)
	}
	if strings.HasSuffix(whose, "opens") {
		verb = func(how string) string { return strings.Replace(how, "close", "closes", 1) }
	}
	how := verb("late and close early")
	if len(f.found) > 0 && f.found[0] < 0 || f.of != nil && a.shortBy(f) < 0 {
		how = verb("early and close late")
	}
	return whose + " " + how + a.mustHaveBeen(f)
}

// shortBy is by how many degrees another set of figures opens later and closes
// earlier, in the mean.
func (a *assessor) shortBy(f *fitted) float64 {
	sum := 0.0
	for _, t := range a.data.targets {
		if by := f.late(f.found, t); isOpening(t.event) {
			sum += by
		} else {
			sum -= by
		}
	}
	return sum
}

// mustHaveBeen says which clearance explains the events.
func (a *assessor) mustHaveBeen(f *fitted) string {
	if f.of != nil {
		return ", as at the " + readAt(f.of.sets[0].Value)
	}
	var parts []string
	for _, valve := range a.valvesRead() {
		if f.valve != "" && f.valve != valve {
			continue
		}
		if said := a.clearanceFor(f, valve); said != "" {
			parts = append(parts, said)
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return ", as with " + strings.Join(parts, " and ")
}

// clearanceFor says what a valve's clearance must have been.
func (a *assessor) clearanceFor(f *fitted, valve string) string {
	i := 0
	if f.valve == "" && valve == exhaust {
		i = len(f.found) / 2
	}
	if flank := a.setting.flanks[valve]; flank.known() && len(f.found) <= 2 && (f.valve != "" || len(f.found) == 2 && f.spread.At(0, 0) < 1) {
		return fmt.Sprintf("%s clearance of %s ± %s where %s was said, by %s", valve,
			inUnits(flank.clearance+f.found[i]), inUnits(2*f.sigma[i]), inUnits(flank.clearance), flank.basis)
	}
	wider, word := a.widerUnknown(f, valve), "wider"
	if wider.Hi <= 0 {
		wider, word = wider.Neg(), "narrower"
	}
	return fmt.Sprintf("%s clearance %s by at least %s (by how much, only the cam would tell): %s at opening and closing", valve, word, inUnits(wider.Lo), plusMinus(math.Abs(f.found[i]), f.sigma[i]))
}

// inUnits prints a clearance as both halves of the trade measure it.
func inUnits(mm float64) string {
	return fmt.Sprintf("%s thou (%s mm)", decimals(mm/millimetresInInch*1000, 1), decimals(mm, 2))
}
