package rules

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// item is one thing that a careful reader of setting figures looks for, and the
// rules that look for it.
type item struct {
	looksFor string
	rules    []string
}

// book is what the rule book must hold, family by family.
var book = map[string][]item{
	"form": {
		{"text that is no YAML of the kind the format allows: anchors, aliases, tags, a key twice, nothing at all", []string{"form/unreadable"}},
		{"a key the format does not have, with the nearest it has", []string{"form/unknown-key"}},
		{"a print that cannot be read as the figure wanted", []string{"form/unread-figure"}},
		{"a unit of another quantity", []string{"form/wrong-unit"}},
		{"a key with nothing behind it", []string{"form/no-value"}},
		{"any other departure from the JSON Schema", []string{"form/violation"}},
		{"an id that is not the file's path", []string{"form/id-path"}},
		{"an id used twice", []string{"form/duplicate-id"}},
		{"one engine entered twice under two ids", []string{"form/same-engine"}},
		{"text that is not laid out as every other file", []string{"form/canonical"}},
		{"one print in two units that do not agree, in any section", []string{"form/twin-units"}},
		{"an acceptance that gives no reason", []string{"form/acceptance-reason"}},
		{"an acceptance that keeps nothing, or names no rule", []string{"form/acceptance-unused", "form/acceptance-rule"}},
		{"an id that moved to nowhere, in a circle, or is still in use", []string{"form/moved-target", "form/moved-circle", "form/moved-reuse"}},
	},
	"events": {
		{"the four events out of their order round the cycle", []string{"events/order"}},
		{"durations that are not the sum of their events", []string{"events/inlet-duration", "events/exhaust-duration"}},
		{"an overlap that is not the sum of its events", []string{"events/overlap"}},
		{"a lobe centre that is not midway, a separation that is not half the sum of the centres", []string{"events/lobe-centre", "events/lobe-separation"}},
		{"an event on the wrong side of its dead centre", []string{"events/side"}},
		{"an event outside what is seen for the valve gear and the period", []string{"events/band"}},
		{"events that do not say at which clearance they are read", []string{"events/read-at"}},
		{"one event in degrees, along the rim and in piston travel, that disagree", []string{"events/notations"}},
		{"events of several cylinders that do not follow the firing order", []string{"events/cylinders"}},
		{"more clearance that does not open later and close earlier", []string{"events/two-clearances"}},
		{"two clearances whose events imply a flank no tappet can follow", []string{"events/flank-speed"}},
		{"events that do not follow from the cam's profile, or a full lift that does not", []string{"events/cam-profile", "events/full-lift"}},
		{"a profile no cam can have", []string{"events/profile-impossible"}},
	},
	"clearances": {
		{"a checking clearance below the running clearance", []string{"clearances/checking-below-running"}},
		{"a checking clearance without events read at it, and the reverse", []string{"clearances/without-events"}},
		{"inches and millimetres of one clearance that disagree", []string{"form/twin-units"}},
		{"a clearance ten or more times too large or too small", []string{"clearances/magnitude"}},
		{"valve and tappet taken for one another with rockers of unequal arms", []string{"clearances/rocker-ratio"}},
		{"a clearance that says neither cold nor hot", []string{"clearances/cold-or-hot"}},
		{"hot and cold clearances that expansion does not explain", []string{"clearances/expansion"}},
		{"a valve set where its tappet is not on the base circle", []string{"clearances/base-circle"}},
		{"a valve set while another is fully open, and not on its own base circle", []string{"clearances/fully-open"}},
		{"the sum of the numbers of two companions, confirmed or refuted", []string{"clearances/sum-rule"}},
	},
	"drives": {
		{"a camshaft that does not turn at half speed", []string{"drives/half-speed"}},
		{"a printed speed that the wheels do not give", []string{"drives/speed"}},
		{"an ignition drive that does not give every cylinder its spark", []string{"drives/spark-speed", "drives/speed"}},
		{"a tooth's step that is not the circle divided by the teeth", []string{"drives/tooth-step"}},
		{"directions of rotation that the meshes do not give", []string{"drives/rotation"}},
		{"helical wheels whose hand, helix or centres do not match", []string{"drives/helix"}},
		{"a wheel slid home that turns another way or another amount", []string{"drives/sliding-home"}},
		{"bevels and skew gears whose ratio and angles do not match", []string{"drives/crossed-shafts"}},
		{"a chain of odd pitches, or sprockets that do not give the ratio", []string{"drives/chain"}},
		{"marks that meet again after another number of turns", []string{"drives/marks-meet"}},
		{"a vernier coupling whose step does not follow from its rings", []string{"drives/coupling"}},
		{"keyways that give no finer step than a tooth", []string{"drives/keyways"}},
		{"a backlash the pitch does not allow", []string{"drives/backlash"}},
	},
	"marks": {
		{"a rim distance that is not its angle's, along the rim or straight across", []string{"marks/rim-distance", "marks/straight-rule"}},
		{"ring-gear teeth that are not their angle's", []string{"marks/ring-teeth"}},
		{"stamps in an order the rotation does not give", []string{"marks/stamp-order"}},
		{"a stamp for a cylinder whose crank pin is elsewhere", []string{"marks/stamp-cylinder"}},
		{"a stamped clearance other than the sheet's", []string{"marks/stamp-clearance"}},
	},
	"order": {
		{"a firing order that leaves a cylinder out or names one twice", []string{"order/permutation"}},
		{"a firing order that does not start with No. 1", []string{"order/starts-at-one"}},
		{"a firing order the throws cannot give", []string{"order/throws"}},
		{"intervals that are uneven where even ones are claimed", []string{"order/intervals"}},
		{"companions that do not move together", []string{"order/companions"}},
		{"numbers and rotation that do not say from which end", []string{"order/seen-from"}},
	},
	"size": {
		{"a swept volume that bore, stroke and cylinders do not give", []string{"size/swept-volume", "size/volume-rounding"}},
		{"a swept volume worked out with a rough π, or cut off", []string{"size/volume-rounding"}},
		{"a taxable horsepower that bore and cylinders do not give", []string{"size/taxable-horsepower"}},
		{"a compression ratio that the chamber does not give", []string{"size/compression-ratio"}},
		{"a connecting rod too short or too long for its stroke", []string{"size/rod-ratio"}},
		{"a piston speed that stroke and rated speed do not give", []string{"size/piston-speed"}},
		{"inches and millimetres of one dimension that disagree", []string{"form/twin-units"}},
	},
	"ignition": {
		{"an advance in degrees, along the rim and in piston travel, that disagree", []string{"ignition/notations"}},
		{"a retard that lies beyond the advance", []string{"ignition/retard"}},
		{"sparks in a turn that the cylinders do not need", []string{"drives/spark-speed"}},
		{"an ignition that turns with a drive nobody describes", []string{"ignition/drive"}},
		{"a gap ten times too large or too small", []string{"ignition/gap"}},
	},
	"checks": {
		{"a cranking pressure the engine cannot reach", []string{"checks/cranking-pressure"}},
		{"a vacuum the air at that height does not hold", []string{"checks/vacuum"}},
		{"a check that does not say under which conditions", []string{"checks/conditions"}},
	},
	"sources": {
		{"a figure that names no source", []string{"sources/figure-without-source"}},
		{"a printed source cited without the place in it", []string{"sources/locator"}},
		{"a measurement that does not say by whom, on what and with what", []string{"sources/measured-how"}},
		{"a source that has no record", []string{"sources/unknown"}},
		{"a record that nothing cites", []string{"sources/unused", "sources/unused-record"}},
		{"two records of one source", []string{"sources/alike"}},
		{"nothing but memory behind a figure that sets something", []string{"sources/recall-only"}},
		{"claims that cannot all be right, none set aside", []string{"sources/disputed"}},
		{"a claim set aside without a reason, or none left to follow", []string{"sources/set-aside-reason", "sources/all-set-aside"}},
		{"sources that agree because one copies the other", []string{"sources/copied-agreement"}},
		{"copies of a source that is not there, or in a circle", []string{"sources/copies"}},
	},
	"variants": {
		{"ranges of numbers that overlap, leave a gap or reach beyond the model's", []string{"variants/numbers-overlap", "variants/numbers-gap", "variants/numbers-beyond"}},
		{"numbers or years that cannot be read", []string{"variants/numbers-unread", "variants/years-unread"}},
		{"years outside the model's", []string{"variants/years-beyond"}},
		{"a change that changes nothing", []string{"variants/changes-nothing"}},
		{"a change that takes away what is not there", []string{"variants/removes-nothing"}},
		{"a change that leaves a figure computed from it as it was", []string{"variants/forgotten"}},
		{"a variant that nothing tells from the others", []string{"variants/not-told-apart"}},
	},
	"safety": {
		{"a setting that can bend a valve and carries no caution", []string{"safety/caution"}},
		{"turning by a part that slips", []string{"safety/turning"}},
	},
}

// The rule book is whole: every item has its rules, and no rule is in nobody's
// mind.
func TestRuleBookIsWhole(t *testing.T) {
	var there []string
	for _, r := range All() {
		there = append(there, r.Name)
	}
	looked := map[string]bool{}
	for family, items := range book {
		for _, i := range items {
			assert.NotEmpty(t, i.rules, "%s: nothing looks for %s", family, i.looksFor)
			for _, name := range i.rules {
				looked[name] = true
				if !slices.Contains(there, name) {
					t.Errorf("%s: %s should look for %s, and there is no such rule", family, name, i.looksFor)
				}
			}
		}
	}
	for _, name := range there {
		assert.True(t, looked[name], "no item of the book is looked for by %s", name)
	}
}
