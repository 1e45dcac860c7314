package rules_test

import (
	"math/big"
	"slices"
	"strings"
)

// The relations between events, clearances and ignition positions.

// eventKeys are the figures of an event set that are crank positions, and the
// dead centre each is counted from.
var eventKeys = []struct{ key, datum string }{
	{"inlet_opens", "btdc"}, {"inlet_closes", "abdc"}, {"exhaust_opens", "bbdc"}, {"exhaust_closes", "atdc"},
	{"inlet_lobe_centre", "atdc"}, {"exhaust_lobe_centre", "btdc"},
}

// events are the sums of one set: durations, overlap, lobe centres, separation.
func (w *world) events() {
	for _, set := range w.l.order["/events"] {
		p := "/events/" + set + "/"
		for _, e := range eventKeys {
			w.position(p+e.key, p+e.key, e.datum)
		}
		sum := func(key string, less int64, of map[string]int64, times int64) {
			if s, ok := w.allowed(p+key, "°", ""); ok {
				lo := new(big.Rat).Sub(scaled(s.lo, times, 1), rat(less))
				hi := new(big.Rat).Sub(scaled(s.hi, times, 1), rat(less))
				w.forms = append(w.forms, form{of: of, lo: lo, hi: hi, from: []string{s.from}})
			}
		}
		sum("inlet_duration", 180, map[string]int64{p + "inlet_opens": 1, p + "inlet_closes": 1}, 1)
		sum("exhaust_duration", 180, map[string]int64{p + "exhaust_opens": 1, p + "exhaust_closes": 1}, 1)
		sum("overlap", 0, map[string]int64{p + "inlet_opens": 1, p + "exhaust_closes": 1}, 1)
		sum("lobe_separation", 0, map[string]int64{p + "inlet_lobe_centre": 1, p + "exhaust_lobe_centre": 1}, 2)
		w.forms = append(w.forms,
			form{of: map[string]int64{p + "inlet_lobe_centre": 2, p + "inlet_closes": -1, p + "inlet_opens": 1}, lo: rat(180), hi: rat(180)},
			form{of: map[string]int64{p + "exhaust_lobe_centre": 2, p + "exhaust_opens": -1, p + "exhaust_closes": 1}, lo: rat(180), hi: rat(180)})
		w.relation(p+"inlet_duration", p+"inlet_opens", p+"inlet_closes")
		w.relation(p+"exhaust_duration", p+"exhaust_opens", p+"exhaust_closes")
		w.relation(p+"overlap", p+"inlet_opens", p+"exhaust_closes")
		w.relation(p+"inlet_lobe_centre", p+"inlet_opens", p+"inlet_closes")
		w.relation(p+"exhaust_lobe_centre", p+"exhaust_opens", p+"exhaust_closes")
		w.relation(p+"lobe_separation", p+"inlet_lobe_centre", p+"exhaust_lobe_centre")
	}
	w.twoClearances()
}

// twoClearances: at a wider gap a valve opens no earlier and closes no later.
func (w *world) twoClearances() {
	sets := w.l.order["/events"]
	clearance := func(set string) (string, bool) {
		return strings.CutSuffix(w.l.words["/events/"+set+"/read_at"], " clearance")
	}
	cylinder := func(set string) string {
		if f := w.l.figures["/events/"+set+"/cylinder"]; f != nil {
			return strings.Join(f.standing(), " ")
		}
		return "1"
	}
	for i, a := range sets {
		for _, b := range sets[i+1:] {
			ca, ok := clearance(a)
			cb, okay := clearance(b)
			pa, pb := "/clearances/"+ca+"/", "/clearances/"+cb+"/"
			if !ok || !okay || ca == cb || cylinder(a) != cylinder(b) || w.l.words[pa+"measured_at"] != w.l.words[pb+"measured_at"] ||
				w.l.words[pa+"engine"] != w.l.words[pb+"engine"] {
				continue
			}
			if w.l.figures[pa+"felt"] != nil || w.l.figures[pb+"felt"] != nil {
				continue
			}
			for _, valve := range []string{"inlet", "exhaust"} {
				w.widerOpensLater(valve, a, b, pa+valve, pb+valve)
			}
		}
	}
}

func (w *world) widerOpensLater(valve, a, b, gapA, gapB string) {
	ga, ok := w.allowed(gapA, "mm", "")
	gb, okay := w.allowed(gapB, "mm", "")
	if !ok || !okay {
		return
	}
	way := func(narrow, wide, narrowGap, wideGap string) func(box, float64) []form {
		return func(box, float64) []form {
			fs := []form{{of: map[string]int64{narrowGap: 1, wideGap: -1}, hi: rat(0)}}
			for _, key := range []string{"_opens", "_closes"} {
				fs = append(fs, form{of: map[string]int64{"/events/" + wide + "/" + valve + key: 1, "/events/" + narrow + "/" + valve + key: -1}, hi: rat(0)})
			}
			return fs
		}
	}
	ways := []func(box, float64) []form{way(a, b, gapA, gapB), way(b, a, gapB, gapA)}
	if ga.lo.Cmp(gb.lo) > 0 {
		slices.Reverse(ways)
	}
	w.choices = append(w.choices, choice{ways: ways})
	for _, key := range []string{"_opens", "_closes"} {
		w.relation("/events/"+a+"/"+valve+key, "/events/"+b+"/"+valve+key, gapA, gapB)
	}
}

// clearances: each within its print, the running no wider than the checking.
func (w *world) clearances() {
	for _, set := range w.l.order["/clearances"] {
		for _, key := range []string{"inlet", "exhaust", "felt"} {
			path := "/clearances/" + set + "/" + key
			if s, ok := w.allowed(path, "mm", ""); ok {
				w.forms = append(w.forms, within(path, s.lo, s.hi, s.from))
			}
		}
	}
	net := func(set, valve string, times int64, of map[string]int64) bool {
		path := "/clearances/" + set + "/" + valve
		of[path] = times
		if felt := "/clearances/" + set + "/felt"; w.l.figures[felt] != nil {
			of[felt] = -times // what the gauge fills is no clearance
		}
		return w.l.figures[path] != nil
	}
	for _, valve := range []string{"inlet", "exhaust"} {
		of := map[string]int64{}
		if net("running", valve, 1, of) && net("checking", valve, -1, of) {
			w.forms = append(w.forms, form{of: of, hi: rat(0)})
			w.relation("/clearances/running/"+valve, "/clearances/checking/"+valve)
		}
	}
}

// ignition: retard is not before advance, and the range is their difference.
func (w *world) ignition() {
	p := "/ignition/"
	for _, key := range []string{"fixed", "advance", "fully_retarded"} {
		w.position(p+key, p+key, "btdc")
	}
	_, a := w.l.figures[p+"advance"]
	_, r := w.l.figures[p+"fully_retarded"]
	if !a || !r {
		return
	}
	difference := map[string]int64{p + "advance": 1, p + "fully_retarded": -1}
	w.forms = append(w.forms, form{of: difference, lo: rat(0)})
	w.relation(p+"advance", p+"fully_retarded")
	if s, ok := w.allowed(p+"range", "°", ""); ok {
		w.forms = append(w.forms, form{of: difference, lo: s.lo, hi: s.hi, from: []string{s.from}})
		w.relation(p+"advance", p+"fully_retarded", p+"range")
	}
}
