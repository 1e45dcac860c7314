// Package cautions holds what is said beside every setting that the program
// shows: how not to break an engine or a hand while turning it. The text stands
// here once, for every command and form. Nothing switches it off.
//
// The general cautions are common practice, without a source.
package cautions

import "fourmarks.example/schema"

// Caution is one thing that can go wrong, and what prevents it.
type Caution struct {
	Text string `json:"text"`
	// From is the source of a caution that an engine's own file gives; empty
	// for those that hold for every engine.
	From string `json:"from"`
}

// general are in the order in which they are needed at the bench. The last
// is about the program's own words.
var general = []string{
	"Ignition off and spark plugs out. Turn the engine slowly, by hand, in the direction in which it runs; never by the starter.",
	"A valve can strike a piston or another valve as soon as the timing is wrong or a drive is apart. Stop at any resistance and find the cause; never force it.",
	"Turn by the flywheel or the crankshaft, not through a drive that can slip: a belt, fan, dynamo or clutch. A nut with a left-hand thread comes loose when it is turned as others are tightened.",
	"These words do not replace the maker's instructions. Follow those, and where they are missing or disagree with this, ask a qualified engineer.",
}

// General returns the cautions that hold for every engine.
func General() []Caution {
	all := make([]Caution, len(general))
	for i, text := range general {
		all[i].Text = text
	}
	return all
}

// For returns the general cautions, and between them and the last the engine's
// own, so that what its sources warn of is read before the hand goes to it.
func For(e *schema.Engine) []Caution {
	all := General()
	if e == nil || e.Setting == nil {
		return all
	}
	last := all[len(all)-1]
	all = all[:len(all)-1]
	for _, word := range e.Setting.Cautions {
		all = append(all, Caution{Text: word.Text, From: e.Setting.From.String()})
	}
	return append(all, last)
}
