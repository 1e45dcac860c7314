package rules_test

import (
	"cmp"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
)

func (a answer) String() string {
	return [...]string{"holds", "contradicts", "unreadable", "unknown"}[a]
}

// tell puts all that became of a slip in one line, its parts between tabs.
func (o outcome) tell() string {
	var which []string
	for _, m := range []struct {
		is   bool
		name string
	}{{o.modelled, "modelled"}, {o.only, "only"}, {o.undecided, "undecided"}, {o.first, "first"}, {o.three, "three"}} {
		if m.is {
			which = append(which, m.name)
		}
	}
	return strings.Join([]string{o.bench.richness(), o.bench.group, o.slip.kind, o.oracle.String(), strings.Join(which, " "),
		strings.Join(o.raised, " "), o.slip.String(), strings.Join(o.suspects, "; ")}, "\t")
}

var named = regexp.MustCompile(`/(events|clearances|marks|drives|cams|parts|wheels|stamps|adjustments|table)/[^/]+`)

// figureOf is what a slip is of, names left out: events inlet opens.
func figureOf(o outcome) string {
	path := named.ReplaceAllString(o.slip.places[0].figure.path, "/$1")
	return strings.NewReplacer("/", " ", "_", " ").Replace(path[1:])
}

// table prints the tallies of outcomes by a key, in the order given or else that
// of the keys.
func table(title string, all []outcome, order []string, by func(outcome) string) string {
	tallies := map[string]*tally{}
	for _, o := range all {
		k := by(o)
		if tallies[k] == nil {
			tallies[k] = &tally{}
		}
		tallies[k].add(o)
	}
	if order == nil {
		order = slices.Sorted(maps.Keys(tallies))
	}
	var b strings.Builder
	fmt.Fprintf(&b, "\n| %s | made | revealable | revealed | of all made | first | among three | only one | it first | else revealed |\n", title)
	b.WriteString("| --- |" + strings.Repeat(" ---: |", 9) + "\n")
	for _, k := range order {
		x := tallies[k]
		if x == nil {
			continue
		}
		fmt.Fprintf(&b, "| %s | %d | %d | %s | %s | %s | %s | %d | %s | %s |\n", k, x.injected, x.revealable,
			share(x.both, x.revealable), share(x.revealed, x.injected), share(x.first, x.told), share(x.three, x.told),
			x.only, share(x.onlyFirst, x.only), x.elsewhere())
	}
	return b.String()
}

// elsewhere tells of the slips that the oracle cannot say a contradiction of.
func (t *tally) elsewhere() string {
	var parts []string
	for _, p := range []struct {
		k, n int
		what string
	}{{t.harmlessRevealed, t.harmless, "holding"}, {t.unmodelledRevealed, t.unmodelled, "not modelled"}, {t.unreadableRevealed, t.unreadable, "no print"}} {
		if p.n > 0 {
			parts = append(parts, fmt.Sprintf("%d of %d %s", p.k, p.n, p.what))
		}
	}
	if t.unknown > 0 {
		parts = append(parts, fmt.Sprintf("%d undecided", t.unknown))
	}
	return strings.Join(parts, ", ")
}

var prints = []string{"rich", "middling", "sparse"}

func report(all []outcome) string {
	groups := []string{demoGroup, tunedOn, keptOut, madeTuning, madeKeptOut}
	var each []string
	for _, g := range groups {
		for _, p := range prints {
			each = append(each, g+"; "+p)
		}
	}
	return table("slip", all, slipKinds, func(o outcome) string { return o.slip.kind }) +
		table("print", all, prints, func(o outcome) string { return o.bench.richness() }) +
		table("engines", all, groups, func(o outcome) string { return o.bench.group }) +
		table("engines; print", all, each, func(o outcome) string { return o.bench.group + "; " + o.bench.richness() }) +
		table("figure", all, nil, figureOf) +
		table("all", all, nil, func(outcome) string { return "all slips" })
}

// reached is the table of the goals.
func reached(all []outcome, falseFindings int) string {
	var b strings.Builder
	b.WriteString("\n| goal | prints | at least | of | measured | of those kept out of tuning | measured |\n| --- | --- | ---: | ---: | ---: | ---: | ---: |\n")
	fmt.Fprintf(&b, "| findings above a note on clean files | all | none | | %d | | |\n", falseFindings)
	apart := slices.DeleteFunc(slices.Clone(all), func(o outcome) bool { return o.bench.group != keptOut && o.bench.group != madeKeptOut })
	for _, g := range goals {
		k, n := g.count(all)
		fmt.Fprintf(&b, "| %s | %s | %.0f %% | %d of %d | %s |", g.what, cmp.Or(g.print, "all"), 100*g.least, k, n, share(k, n))
		k, n = g.count(apart)
		fmt.Fprintf(&b, " %d of %d | %s |\n", k, n, share(k, n))
	}
	return b.String()
}

// silent lists the slips that the prints reveal and the linter does not.
func silent(all []outcome) string {
	var b strings.Builder
	for _, o := range all {
		if o.oracle == contradicts && !o.revealed() {
			fmt.Fprintf(&b, "- %s", o.slip)
			if len(o.noted) > 0 {
				fmt.Fprintf(&b, " (noted: %s)", strings.Join(o.noted, ", "))
			}
			b.WriteString("\n")
		}
	}
	if b.Len() == 0 {
		return ""
	}
	return "\nRevealable, and not revealed:\n\n" + b.String()
}

// passedOver lists the slips where one figure alone can restore everything and
// another is suspected first.
func passedOver(all []outcome) string {
	var b strings.Builder
	for _, o := range all {
		if o.only && !o.first {
			fmt.Fprintf(&b, "- %s: %s\n", o.slip, cmp.Or(strings.Join(o.suspects, "; "), "no suspect"))
		}
	}
	if b.Len() == 0 {
		return ""
	}
	return "\nOne figure alone can restore everything, and it is not the first suspect:\n\n" + b.String()
}

// page is SLIPS.md.
func page(f *field, all []outcome, falseFindings, oneIn int) string {
	var b strings.Builder
	b.WriteString(pageHead)
	made := "All slips were made"
	if oneIn > 1 {
		made = fmt.Sprintf("Of all slips one in %d was made, drawn by a hash of its words", oneIn)
	}
	fmt.Fprintf(&b, "%s: %d in %d engines.\n", made, len(all), len(f.engines))
	b.WriteString(reached(all, falseFindings))
	b.WriteString(silent(all))
	b.WriteString(passedOver(all))
	b.WriteString(pageColumns)
	b.WriteString(report(all))
	b.WriteString("\n## Engines\n\n")
	for _, g := range []string{demoGroup, tunedOn, keptOut} {
		var ids []string
		for _, e := range f.engines {
			if e.group == g {
				ids = append(ids, e.id)
			}
		}
		fmt.Fprintf(&b, "- %s: %s\n", g, strings.Join(ids, ", "))
	}
	for _, g := range []struct {
		name   string
		series int
	}{{madeTuning, tuningSeries}, {madeKeptOut, keptOutSeries}} {
		n := 0
		for _, e := range f.engines {
			if e.group == g.name {
				n++
			}
		}
		fmt.Fprintf(&b, "- %s: %d engines of series %d\n", g.name, n, g.series)
	}
	b.WriteString("\nLeft out:\n\n")
	for _, l := range f.left {
		fmt.Fprintf(&b, "- %s\n", l)
	}
	return b.String()
}

const pageHead = `# How slips are found

Every ordinary slip of a transcriber is made in every figure of every clean engine, in the text as it is printed; the file is linted; and what
the linter says is held against what it could know. This page is written by the benchmark itself:

    go test ./lint/rules -run SlipBenchmark                                    # a sample, holding the goals that are reached
    go test ./lint/rules -run SlipBenchmark -slips 8 -v                        # one slip in eight, and the tables
    go test ./lint/rules -run SlipBenchmark -slips 6 -timeout 3h -update       # one slip in six, and this page; -slips all for all
    go test ./lint/rules -run SlipBenchmark -slips all -slipped penhallow/twelve -told slips.tsv   # one engine, each slip on a line

An oracle that shares no code with the linter says which slips the prints reveal: it reads the prints with a reader of its own, restates the
relations as formulas, and decides exactly whether anything within what the prints stand for satisfies them all (rational simplex for sums;
logarithms for products; cut-up ranges of rim, stroke and rod for lengths that turn into angles).
It does not know cam profiles, bands and proportions of custom, helical wheels, chains, throws, expansion, cranking pressure, nor offset
cylinders. What the linter reveals there counts neither for nor against it.

How ordinary each slip is was settled on the demonstration dataset, two thirds of the published engines and one series of engines that never
were. Every third published engine and 200 made engines of another series were kept out of that, and are reported apart; the series was drawn
anew after the last change of rules and ranking. Which engines these are stands at the end.

## Goals

Shares are in per cent, with Wilson's 95 % interval. Every slip counts once.
`

const pageColumns = `
## Tables

- *revealable*: the prints contradict one another. *revealed*: of these, with a finding above a note. *of all made*: of all slips, revealable or not.
- *first*, *among three*: of those revealed, the figure that slipped is the first suspect of a finding, or among its first three, and what it must be
  holds what it was. Of two figures interchanged, either counts.
- *only one*: slips of one figure where no other figure could alone restore everything, by the oracle. *it first*: of these.
- *else revealed*: of slips that leave all relations holding, that are of figures the oracle has no relation for, and that leave no print of the kind.
- A print is rich when ten or more relations apply, all their figures being printed, and sparse when four or fewer do.
`
