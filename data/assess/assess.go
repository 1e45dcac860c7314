package assess

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"fourmarks.example/convert/crank"
	"fourmarks.example/data/cautions"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
)

// assessor is one assessment under way.
type assessor struct {
	setting *setting
	bench   *bench
	read    *schema.Readings
	drives  []camDrive
	firing  crank.Firing // nil where it is not known
	// others are the other variants, otherClearances the figures at other
	// clearances, as far as they differ where it was read.
	others, otherClearances []*setting
	data                    *data
	compared                []Compared
}

// Assess holds readings against the figures of an engine, or of the variant of
// that name. Readings that cannot be used are an error of type *Refused, which
// names each with its place.
func Assess(base *schema.Engine, variant string, r *schema.Readings) (*Assessment, error) {
	e, err := engineOf(base, variant)
	if err != nil {
		return nil, err
	}
	if rules.IsTwoStroke(e) {
		return nil, errors.New("the ports of a two-stroke engine open and close with its piston: there is no camshaft to assess")
	}
	a := &assessor{read: r, drives: camDrivesOf(e)}
	if a.setting, err = settingAt(e, r); err != nil {
		return nil, err
	}
	if a.bench, err = measure(e, r); err != nil {
		return nil, err
	}
	if when, err := rules.Firing(e); err == nil {
		a.firing = when
	}
	if err := a.checkSeparating(); err != nil {
		return nil, err
	}
	if len(a.bench.readings) > 0 {
		if err := a.compare(); err != nil {
			return nil, err
		}
		a.findOthers(base)
	}
	return a.conclude()
}

func engineOf(base *schema.Engine, variant string) (*schema.Engine, error) {
	if variant == "" {
		return base, nil
	}
	v, ok := base.Variants.Get(variant)
	if !ok {
		return nil, errors.New(base.ID.Text + " has no variant " + variant)
	}
	return v.Engine, nil
}

// compare holds every reading against its figure, and puts the data together.
func (a *assessor) compare() error {
	var refused refusals
	var targets []target
	var late, sigma []float64
	var prints []expected
	for _, r := range a.bench.readings {
		x, ok := a.setting.figure(r.target)
		if !ok {
			if f := a.absent(r.event); f != "" {
				refused.add(r.at, "%s has no such event: the figure for %s is %q", a.setting.engine.Name(), r.event, f)
				continue
			}
			a.bench.remarks = append(a.bench.remarks, "There is no figure for "+r.event.String()+" at this clearance, so its reading is left out.")
			continue
		}
		targets, prints = append(targets, r.target), append(prints, x)
		late, sigma = append(late, nearest(r.after-a.stop()-x.after)), append(sigma, r.sigma)
		a.compared = append(a.compared, comparison(r, x, a.stop()))
	}
	if len(refused.all) == 0 && len(targets) < 2 {
		refused.add(a.read.At, "only %s has a figure to be held against at this clearance; read at least two events that have", plural(len(targets), "event read", "events read"))
	}
	if err := refused.err(); err != nil {
		return err
	}
	a.data = newData(targets, late, a.covariance(targets, prints, sigma))
	if a.data == nil {
		return errors.New("the uncertainties of the readings make no sense together")
	}
	for i, shift := range a.backlashShift(targets) {
		a.data.late[i] -= shift
	}
	return nil
}

// absent is the print of an event that the engine does not have.
func (a *assessor) absent(e crank.Event) string {
	for _, set := range a.setting.sets {
		if f := printedOf(set.Value, e); f != nil && len(f.Claims) > 0 && f.Claims[0].Printed.Absence == "none" {
			return f.Claims[0].Printed.Text
		}
	}
	return ""
}

// stop is by how much true top dead centre comes after the marked one, as far as
// it was read.
func (a *assessor) stop() float64 {
	if a.bench.stop == nil {
		return 0
	}
	return a.bench.stop.after
}

// covariance puts together what readings and figures leave open. The error of a
// figure is common to every cylinder held against it, that of the positive stop
// to all readings, and that of backlash to the events it can move.
func (a *assessor) covariance(targets []target, prints []expected, sigma []float64) *mat.SymDense {
	n := len(targets)
	c := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			v := 0.0
			if i == j {
				v = float64(sigma[i] * sigma[i])
			}
			if prints[i].path == prints[j].path {
				v += float64(prints[i].sigma * prints[j].sigma)
			}
			if s := a.bench.stop; s != nil {
				v += float64(s.sigma * s.sigma)
			}
			v += float64(a.backlashOpen(targets[i]) * a.backlashOpen(targets[j]))
			c.SetSym(i, j, v)
		}
	}
	return c
}

// backlashShift is by how much backlash makes each event read late, in the mean.
// Turned in the running direction a closing valve may drive the camshaft ahead by
// up to the backlash; turned against it the camshaft is ahead by all of it, unless
// the spring of a valve that is opening takes it up.
func (a *assessor) backlashShift(targets []target) []float64 {
	shift := make([]float64, len(targets))
	for i, t := range targets {
		switch opens := isOpening(t.event); {
		case a.bench.approached == "running" && opens:
		case a.bench.approached == "against" && !opens:
			shift[i] = -a.bench.backlash
		default:
			shift[i] = -a.bench.backlash / 2
		}
	}
	return shift
}

// backlashOpen is the standard uncertainty that backlash leaves an event.
func (a *assessor) backlashOpen(t target) float64 {
	if opens := isOpening(t.event); a.bench.approached == "running" && opens || a.bench.approached == "against" && !opens {
		return 0
	}
	return a.bench.backlash / math.Sqrt(12)
}

// farApart is by how many degrees the duration read may differ from that of
// either valve's figures before its two readings cannot both be what they are
// called.
const farApart = 75.0

// checkOrder refuses an opening and a closing of one valve that leave it open
// for a time that neither valve of the engine has. It is asked when nothing
// explains the readings: an engine turned backwards, or a disc on the wrong way
// round, does as much.
func (a *assessor) checkOrder() error {
	var refused refusals
	for _, r := range a.bench.readings {
		if !isOpening(r.event) {
			continue
		}
		i := slices.IndexFunc(a.bench.readings, func(o reading) bool { return o.target == target{r.cylinder, partner(r.event)} })
		if i < 0 {
			continue
		}
		closes := a.bench.readings[i]
		open := turned(closes.after - r.after)
		possible := false
		known := 0
		for _, opens := range []crank.Event{crank.InletOpens, crank.ExhaustOpens} {
			from, ok := a.setting.figure(target{r.cylinder, opens})
			to, okay := a.setting.figure(target{r.cylinder, partner(opens)})
			if ok && okay {
				known++
				possible = possible || math.Abs(open-turned(to.after-from.after)) <= farApart
			}
		}
		if known > 0 && !possible {
			refused.add(closes.at, "the %s of No. %d was read to open at %s and to close at %s, which is open for %s; no valve of this engine is. One of the two is counted from the wrong dead centre, or they are interchanged",
				valveOf(r.event), r.cylinder, r.prints[0], closes.prints[0], degrees(open))
		}
	}
	return refused.err()
}

// turned is an angle within one turn, from 0.
func turned(deg float64) float64 {
	if deg = nearest(deg); deg < 0 {
		return deg + oneTurn
	}
	return deg
}

// findOthers looks for variants, and sets at other clearances, whose figures
// differ where it was read.
func (a *assessor) findOthers(base *schema.Engine) {
	family := []*schema.Engine{base}
	for _, v := range base.Variants {
		family = append(family, v.Value.Engine)
	}
	for _, e := range family {
		if e == nil || e.Variant == a.setting.engine.Variant {
			continue
		}
		if other, err := settingAt(e, a.read); err == nil && a.differs(other) && !slices.ContainsFunc(a.others, func(o *setting) bool { return !a.differ(o, other) }) {
			a.others = append(a.others, other)
		}
	}
	for _, set := range a.setting.engine.Events {
		if words(readAt(set.Value)) == words(readAt(a.setting.sets[0].Value)) {
			continue
		}
		other := &setting{engine: a.setting.engine, sets: []schema.Named[*schema.EventSet]{set}, dims: a.setting.dims, found: map[target]expected{}}
		if a.differs(other) {
			a.otherClearances = append(a.otherClearances, other)
		}
	}
}

// differs reports whether another setting has a figure for all that was read,
// and another one somewhere.
func (a *assessor) differs(other *setting) bool { return a.differ(a.setting, other) }

func (a *assessor) differ(one, other *setting) bool {
	const apart = 0.5 // degrees
	differs := false
	for _, t := range a.data.targets {
		x, ok := one.figure(t)
		y, okay := other.figure(t)
		if !ok || !okay {
			return false
		}
		differs = differs || math.Abs(nearest(x.after-y.after)) > apart
	}
	return differs
}

// conclude fits every cause and says what follows.
func (a *assessor) conclude() (*Assessment, error) {
	out := &Assessment{Engine: a.setting.engine.ID.Text, Variant: a.setting.engine.Variant, ReadAt: readAt(a.setting.sets[0].Value), Compared: a.compared,
		Says: []string{}, Explanations: []Explanation{}}
	out.Checks = a.checks()
	out.Remarks = append([]string{}, a.bench.remarks...)
	out.Cautions = cautions.For(a.setting.engine)
	if a.data == nil {
		out.Verdict = NotRead
		return out, nil
	}
	var fits []*fitted
	for _, h := range a.causes() {
		if f := a.data.fit(&h); f != nil {
			a.weigh(f)
			fits = append(fits, f)
		}
	}
	explanations := a.explain(fits)
	slices.SortStableFunc(explanations, func(x, y *explanation) int { return cmp.Compare(y.share, x.share) })
	a.judge(out, explanations)
	if out.Verdict == NothingFits {
		return out, a.checkOrder()
	}
	return out, nil
}
