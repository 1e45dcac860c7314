package rules

import (
	"fmt"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// trust orders the standings that a figure may be required to have, from least
// to most. A figure whose claims contradict one another, or that has no source,
// is trusted least.
var trust = []schema.Standing{schema.SingleSource, schema.Settled, schema.Confirmed}

// Requirable lists the standings that Require takes, from least to most.
func Requirable() []string {
	names := make([]string, len(trust))
	for i, s := range trust {
		names[i] = s.String()
	}
	return names
}

// Require returns the rule that every figure by which an engine is set has at
// least a standing, one of Requirable. It is not part of the rule book: a
// dataset whose engines are known from one sheet each is a good dataset.
func Require(least string) (*lint.Rule, error) {
	rank := func(name string) int {
		for i, s := range trust {
			if s.String() == name {
				return i
			}
		}
		return -1
	}
	if rank(least) < 0 {
		return nil, fmt.Errorf("%q is not a standing that can be required; one of: %s", least, strings.Join(Requirable(), ", "))
	}
	r := required
	r.Engine = func(p *lint.Pass) {
		for _, f := range p.Engine.Figures() {
			if !sets(f) || p.Engine.Variant != "" && !f.Changed {
				continue
			}
			if is := schema.StandingOf(f, p.LookUp); is != schema.Absent && rank(is.String()) < rank(least) {
				p.ReportFigure(f, "`%s` is %s; %s is required of a figure by which the engine is set", f.Path, is, least)
			}
		}
	}
	return &r, nil
}

// required is the page of the rule.
var required = lint.Rule{
	Name:  "sources/standing",
	Level: lint.Error,
	Title: "A figure by which the engine is set stands too weakly",
	Checks: "Runs only with `lint --require STANDING`: every figure of the clearances, events, ignition and drives has at least that " +
		"standing. From least to most: single-source (one independent source), settled (a disagreement ended by setting claims aside), " +
		"confirmed (two independent sources agree). Figures without a source and disputed figures never pass. A figure that is absent is not asked for.",
	Why: "Before an engine is set from a dataset, somebody may want to know that no figure rests on one book alone: " +
		"a misprint that nobody else saw costs a valve as surely as a misreading.",
	Basis: evidenceBasis,
	Accepting: "Accept it for a figure of which there is one source in the world, and say so. Better, measure an engine: " +
		"a measurement is a second source.",
	Bad: `
events:
  checking:
    from: sheet p. 1
    read_at: checking clearance
    inlet_opens: 3 BTDC
`,
	Good: `
events:
  checking:
    read_at: checking clearance
    inlet_opens:
      claims:
        handbook: {is: 3 BTDC, from: handbook p. 8}
        sheet: {is: 3 BTDC, from: sheet p. 1}
`,
}
