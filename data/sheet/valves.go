package sheet

import (
	"fmt"
	"math/bits"
	"slices"
	"strings"

	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
)

// ValveTable says in which position of the engine the clearance of each valve is
// set.
type ValveTable struct {
	// Why says why there is no table, where there is none.
	Why string `json:"why"`
	// Basis says on what the margins rest.
	Basis     string     `json:"basis"`
	Events    string     `json:"events"` // the set whose events the margins are to
	Positions []Position `json:"positions"`
	// Shortest names the fewest positions, by the cylinder that is at firing TDC,
	// in which every valve can be set; empty where margins are not known.
	Shortest []int    `json:"shortest"`
	SumRule  *SumRule `json:"sum_rule"`
	// AsPrinted is how the engine's own source sets them.
	AsPrinted []Word `json:"as_printed"`
}

// Position is a position of the engine for setting valves.
type Position struct {
	Fires     int   `json:"cylinder_at_firing_tdc"`
	OnTheRock []int `json:"on_the_rock"`
	// After is how far the crankshaft is turned from No. 1's firing TDC.
	After float64 `json:"degrees_after_no_1_fires"`
	// Set are the valves of the cylinder that fires, Also those of others that
	// are surely shut here too.
	Set  []ValveMargin `json:"set"`
	Also []ValveMargin `json:"also"`
}

// ValveMargin is a valve with what parts it from its events.
type ValveMargin struct {
	Valve  string `json:"valve"`  // "inlet 1"
	Number int    `json:"number"` // along the engine; 0 where the order is not given
	// Since is how many crank degrees ago it shut, Until after how many it opens;
	// nil where its events are not known.
	Since *Interval `json:"since_closing"`
	Until *Interval `json:"until_opening"`
	// Spare is what is left of the nearer once the ramp is taken off; nil with them.
	Spare *float64 `json:"spare"`
	// Open says that the valve stands open here by its events.
	Open bool `json:"open"`
}

// SumRule is the rule by which a valve is set with the one fully open whose
// number makes up the sum with its own.
type SumRule struct {
	Sum     int   `json:"sum"`
	Holds   bool  `json:"holds"`
	Against []int `json:"against"` // the valves for which it does not hold
}

// byHand is how far from a position an engine may stand that was turned there by
// eye and hand, in crank degrees: common practice, no source.
const byHand = 10.0

func (m *maker) valves() {
	v := &m.sheet.Valves
	m.adjustments(v)
	if rules.IsTwoStroke(m.engine) {
		v.Why = "A two-stroke opens and shuts its ports with the piston: there are no valves to set."
		return
	}
	when, err := rules.Firing(m.engine)
	if err != nil {
		v.Why = "Firing order and crank pins do not tell which cylinder stands where, so the positions cannot be worked out."
		return
	}
	order, err := when.Order()
	if err != nil {
		v.Why = err.Error()
		return
	}
	known := m.valveEvents()
	v.Basis, v.Events = known.basis(), known.set
	along := rules.ValvesAlong(m.engine)
	for _, k := range order {
		v.Positions = append(v.Positions, m.position(when, k, known, along))
	}
	v.Shortest = shortest(v.Positions, len(when)*len(known.kinds))
	if along != nil {
		if sum, against, err := when.SumRule(along); err == nil {
			v.SumRule = &SumRule{Sum: sum, Holds: len(against) == 0, Against: against}
		}
	}
}

// adjustments are the positions that the engine's source prints.
func (m *maker) adjustments(v *ValveTable) {
	if m.engine.Setting == nil {
		return
	}
	for _, a := range m.engine.Setting.Adjustments {
		from := fromOr(a.Value.From, m.engine.Setting.From)
		v.AsPrinted = append(v.AsPrinted, Word{Name: a.Value.Valves.Text, Text: positionInWords(a.Value), Mark: m.marks.of(from)})
	}
}

func positionInWords(a *schema.Adjustment) string {
	var parts []string
	add := func(f *schema.Figure, format string) {
		if f.First() != nil {
			parts = append(parts, fmt.Sprintf(format, f.Text()))
		}
	}
	add(a.OnTheRock, "No. %s on the rock")
	add(a.FullyOpen, "valve %s fully open")
	add(a.Crank, "crank at %s")
	add(a.Cylinder, "of No. %s")
	return strings.Join(parts, ", ")
}

// valveEvents is when the valves of a cylinder open and shut.
type valveEvents struct {
	set       string
	kinds     []crank.Kind
	at        map[crank.Kind][2]interval.Interval // opens, closes
	ramp      map[crank.Kind][2]float64           // before opening, after closing
	byProfile bool
}

// valveEvents takes the set of events by which the rules judge adjustments, or
// else the first that tells of each valve.
func (m *maker) valveEvents() valveEvents {
	all := valveEvents{at: map[crank.Kind][2]interval.Interval{}, ramp: map[crank.Kind][2]float64{}, kinds: m.valveKinds()}
	ramps, judged := rules.RampsOf(m.engine)
	for _, set := range m.engine.Events {
		if judged && set.Name != ramps.Set {
			continue
		}
		m.addEvents(&all, set.Name)
	}
	if judged {
		all.byProfile = ramps.ByProfile
		all.ramp[crank.Inlet], all.ramp[crank.Exhaust] = ramps.Inlet, ramps.Exhaust
	}
	return all
}

// addEvents takes the events of a set for the valves that have none yet.
func (m *maker) addEvents(all *valveEvents, set string) {
	var circle [4]interval.Interval
	var known [4]bool
	for i, v := range fourEvents {
		circle[i], known[i] = m.event("events."+set+"."+v.key, v.event, v.datum).circleOf()
	}
	for i, kind := range []crank.Kind{crank.Inlet, crank.Exhaust} {
		opens, closes := 2*i, 2*i+1
		if _, has := all.at[kind]; has || !known[opens] || !known[closes] {
			continue
		}
		all.at[kind] = [2]interval.Interval{circle[opens], circle[closes]}
		all.ramp[kind] = [2]float64{rules.RampAllowance, rules.RampAllowance}
		if all.set == "" {
			all.set = set
		}
	}
}

// valveKinds are the valves that are set: both, unless clearances are given and
// one valve has none, as an automatic inlet.
func (m *maker) valveKinds() []crank.Kind {
	var kinds []crank.Kind
	for _, kind := range []crank.Kind{crank.Inlet, crank.Exhaust} {
		for _, c := range m.engine.Clearances {
			if m.engine.Figure("clearances."+c.Name+"."+kind.String()).First() != nil && !slices.Contains(kinds, kind) {
				kinds = append(kinds, kind)
			}
		}
	}
	if len(kinds) == 0 {
		return []crank.Kind{crank.Inlet, crank.Exhaust}
	}
	return kinds
}

func (v valveEvents) basis() string {
	switch {
	case len(v.at) == 0:
		return "The events are not known, so no margin can be given. That both valves of a cylinder are shut at its firing TDC, with its companion on the rock, is common practice, no source."
	case v.byProfile:
		return "Margins are to the " + v.set + " events. By the cams' profiles the base circle begins and ends inside them by " + v.rampWords() + "; what is left is given as spare."
	}
	return fmt.Sprintf("Margins are to the %s events. The quieting ramp may reach %.0f° further (common practice, no source); what is left is given as spare.", v.set, rules.RampAllowance)
}

// rampWords says how far the ramps reach, the furthest of each valve.
func (v valveEvents) rampWords() string {
	var parts []string
	for _, kind := range v.kinds {
		r := v.ramp[kind]
		parts = append(parts, fmt.Sprintf("%.1f° (%s)", max(r[0], r[1]), kind))
	}
	return strings.Join(parts, " and ")
}

func (m *maker) position(when crank.Firing, k int, known valveEvents, along []crank.Kind) Position {
	p := Position{Fires: k, After: when[k-1]}
	p.OnTheRock = companionsOf(when, k)
	for i := range when {
		for _, kind := range known.kinds {
			v := known.margin(when, crank.Valve{Cylinder: i + 1, Kind: kind}, p.After)
			v.Number = numberAlong(along, i+1, kind)
			switch {
			case i+1 == k:
				p.Set = append(p.Set, v)
			case v.Spare != nil && *v.Spare >= byHand:
				p.Also = append(p.Also, v)
			}
		}
	}
	return p
}

// companionsOf are the cylinders on the rock while one is at firing TDC.
func companionsOf(when crank.Firing, k int) []int {
	const anglesTogether = 0.1 // as closely as pins are printed
	rock, err := when.OnTheRock(when[k-1], anglesTogether)
	if err != nil {
		return nil
	}
	return slices.DeleteFunc(rock, func(i int) bool { return i == k })
}

func (v valveEvents) margin(when crank.Firing, of crank.Valve, position float64) ValveMargin {
	out := ValveMargin{Valve: of.String()}
	events, ok := v.at[of.Kind]
	own, err := when.Own(of.Cylinder, position)
	if !ok || err != nil {
		return out
	}
	since, until, err := crank.BaseCircle(events[0], events[1], own)
	if err != nil {
		return out
	}
	if since.IsEmpty() {
		out.Open = true
		return out
	}
	ramp := v.ramp[of.Kind]
	spare := min(since.Lo-ramp[1], until.Lo-ramp[0])
	out.Since = &Interval{Low: since.Lo, High: since.Hi, Unit: "°"}
	out.Until = &Interval{Low: until.Lo, High: until.Hi, Unit: "°"}
	out.Spare = &spare
	return out
}

// numberAlong is the number of a valve along the engine, 0 where the order is
// not given.
func numberAlong(along []crank.Kind, cylinder int, kind crank.Kind) int {
	for i, is := range along {
		if (i+2)/2 == cylinder && is == kind {
			return i + 1
		}
	}
	return 0
}

// shortest is the fewest positions in which all valves can be set with room to
// spare, by trying all choices, fewest first; nil where some valve has no such
// position or there are more than can be tried.
func shortest(positions []Position, valves int) []int {
	const mostTried = 16
	if len(positions) > mostTried {
		return nil
	}
	covers := make([]map[string]bool, len(positions))
	for i, p := range positions {
		covers[i] = map[string]bool{}
		for _, v := range slices.Concat(p.Set, p.Also) {
			if v.Spare != nil && *v.Spare >= byHand {
				covers[i][v.Valve] = true
			}
		}
	}
	best := 0 // a set of positions, one bit each
	for choice := 1; choice < 1<<len(positions); choice++ {
		if best != 0 && bits.OnesCount(uint(choice)) >= bits.OnesCount(uint(best)) {
			continue
		}
		reached := map[string]bool{}
		for i := range positions {
			if choice>>i&1 == 1 {
				for v := range covers[i] {
					reached[v] = true
				}
			}
		}
		if len(reached) == valves {
			best = choice
		}
	}
	var cylinders []int
	for i, p := range positions {
		if best>>i&1 == 1 {
			cylinders = append(cylinders, p.Fires)
		}
	}
	return cylinders
}
