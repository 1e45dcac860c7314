//go:build !js

package branch_test

import (
	"bytes"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/claims"
	"fourmarks.example/data/commits/gittest"
	"fourmarks.example/data/merge/branch"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

var (
	contributors = flag.Int("contributors", 20, "how many branches the stress test merges")
	enginesOf    = flag.Int("engines", 40, "over how many engines")
	seedOf       = flag.Uint64("seed", 1, "of its random edits and orders")
)

// model is what a file says, kept apart from how it is written, so that what a
// merge is to come to can be worked out here without merging any text: by claim,
// a figure and a source, the print; and by section its source.
type model struct {
	prints map[claim]string
	from   map[string]string
}

type claim struct{ section, figure, source string }

var sections = map[string][]string{
	"clearances.running": {"inlet", "exhaust"},
	"events.checking":    {"inlet_opens", "inlet_closes", "exhaust_opens", "exhaust_closes", "inlet_duration", "exhaust_duration", "overlap"},
}

func (m model) clone() model { return model{maps.Clone(m.prints), maps.Clone(m.from)} }

// text writes an engine. Which of a figure's claims inherits the source of its
// section follows from the model, so that one change can alter many lines.
func (m model) text(id string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "format: 1\nengine: %s\ntitle: Engine %s  # as its plate has it\n", id, id)
	for _, section := range []string{"clearances.running", "events.checking"} {
		outer, inner, _ := strings.Cut(section, ".")
		fmt.Fprintf(&b, "\n%s:\n  %s:\n    from: %s\n", outer, inner, m.from[section])
		if outer == "clearances" {
			b.WriteString("    measured_at: valve\n    engine: cold\n")
		} else {
			b.WriteString("    read_at: checking clearance\n")
		}
		for _, figure := range sections[section] {
			m.figure(&b, section, figure)
		}
	}
	b.WriteString("\nsources:\n")
	known := map[string]bool{"sheet": true, "handbook": true}
	for c := range m.prints {
		known[c.source] = true
	}
	for _, s := range slices.Sorted(maps.Keys(known)) {
		fmt.Fprintf(&b, "  %s: {type: document, title: Of %s, grade: maker, rights: facts only}\n", s, s)
	}
	return b.String()
}

func (m model) figure(b *strings.Builder, section, figure string) {
	var said []claim
	for c := range m.prints {
		if c.section == section && c.figure == figure {
			said = append(said, c)
		}
	}
	slices.SortFunc(said, func(a, b claim) int { return strings.Compare(a.source, b.source) })
	switch {
	case len(said) == 0:
	case len(said) == 1 && said[0].source == m.from[section]:
		fmt.Fprintf(b, "    %s: %s\n", figure, m.prints[said[0]])
	case len(said) == 1:
		fmt.Fprintf(b, "    %s: {is: %s, from: %s}\n", figure, m.prints[said[0]], said[0].source)
	default:
		fmt.Fprintf(b, "    %s:\n      claims:\n", figure)
		for _, c := range said {
			fmt.Fprintf(b, "        %s: {is: %s}\n", c.source, m.prints[c])
		}
	}
}

func random(pick func(int) int, figure string) string {
	switch {
	case figure == "inlet" || figure == "exhaust":
		return fmt.Sprintf("%d thou", 2+pick(30))
	case strings.HasSuffix(figure, "duration"):
		return fmt.Sprint(180 + pick(120))
	case figure == "overlap":
		return fmt.Sprint(pick(60))
	}
	return fmt.Sprintf("%d %s", 1+pick(80), []string{"BTDC", "ATDC", "BBDC", "ABDC"}[pick(4)])
}

func randomModel(pick func(int) int) model {
	m := model{map[claim]string{}, map[string]string{}}
	for _, section := range slices.Sorted(maps.Keys(sections)) {
		m.from[section] = "sheet"
		for _, figure := range sections[section] {
			if pick(8) > 0 {
				m.prints[claim{section, figure, "sheet"}] = random(pick, figure)
			}
		}
	}
	return m
}

// edit changes a model as a contributor would: a figure of their own source
// beside another, one where there was none, a print put right, one taken out,
// another default source of a section, or another source of all its figures.
func edit(m model, by string, pick func(int) int) {
	section := slices.Sorted(maps.Keys(sections))[pick(2)]
	figure := sections[section][pick(len(sections[section]))]
	sheet := claim{section, figure, "sheet"}
	switch kind := pick(20); {
	case kind < 9:
		m.prints[claim{section, figure, by}] = random(pick, figure)
	case kind < 12:
		if _, there := m.prints[sheet]; !there {
			m.prints[sheet] = random(pick, figure)
		}
	case kind < 16:
		if _, there := m.prints[sheet]; there {
			m.prints[sheet] = random(pick, figure)
		}
	case kind < 17:
		delete(m.prints, sheet)
	case kind < 18:
		m.from[section] = "handbook" // the figures keep their own
	case m.from[section] == "sheet":
		m.from[section] = "handbook" // and it is where they were read
		for _, figure := range sections[section] {
			c := claim{section, figure, "sheet"}
			if print, there := m.prints[c]; there {
				delete(m.prints, c)
				m.prints[claim{section, figure, "handbook"}] = print
			}
		}
	}
}

// key names a value of an engine across all files.
type key struct {
	engine string
	claim
}

// values flattens a model; the source of a section counts as a value of it.
func (m model) values(engine string) map[key]string {
	all := map[key]string{}
	for c, print := range m.prints {
		all[key{engine, c}] = print
	}
	for section, from := range m.from {
		all[key{engine, claim{section: section}}] = from
	}
	return all
}

// world is the repository of the stress test, with what everybody wrote.
type world struct {
	*gittest.Work
	base    map[string]model
	changed []map[key]string // by contributor; what is taken out is ""
}

func newWorld(t *testing.T) *world {
	pick := rand.New(rand.NewPCG(*seedOf, 1)).IntN
	w := &world{Work: gittest.New(t), base: map[string]model{}}
	var in bytes.Buffer
	file := func(id, text string) {
		fmt.Fprintf(&in, "M 100644 inline data/engines/%s.yaml\ndata %d\n%s\n", id, len(text), text)
	}
	in.WriteString("commit refs/heads/main\nmark :1\ncommitter A keeper <keeper@fourmarks.example> 1700000000 +0000\ndata 4\nbase\n")
	var ids []string
	for i := range *enginesOf {
		id := fmt.Sprintf("maker-%d/engine-%d", i%20, i)
		ids = append(ids, id)
		w.base[id] = randomModel(pick)
		file(id, w.base[id].text(id))
	}
	for i := range *contributors {
		name := fmt.Sprintf("c%d", i)
		fmt.Fprintf(&in, "commit refs/heads/%s\ncommitter %s <%s@fourmarks.example> %d +0000\ndata 1\nc\nfrom :1\n", name, name, name, 1_700_000_001+i)
		changed := map[key]string{}
		for range 1 + pick(6) {
			id := ids[pick(len(ids))]
			m := w.base[id].clone()
			for range 1 + pick(3) {
				edit(m, name, pick)
			}
			for k := range changed { // of an engine taken up twice the second edit counts
				if k.engine == id {
					delete(changed, k)
				}
			}
			maps.Copy(changed, differences(w.base[id].values(id), m.values(id)))
			file(id, m.text(id))
		}
		w.changed = append(w.changed, changed)
	}
	w.GitWith(in.Bytes(), "fast-import", "--quiet")
	w.Git("reset", "-q", "--hard")
	return w
}

func differences(base, is map[key]string) map[key]string {
	changed := map[key]string{}
	for k, v := range is {
		if base[k] != v {
			changed[k] = v
		}
	}
	for k := range base {
		if _, there := is[k]; !there {
			changed[k] = ""
		}
	}
	return changed
}

// contested are the values that two contributors changed differently.
func (w *world) contested() map[key]bool {
	first, contested := map[key]string{}, map[key]bool{}
	for _, changed := range w.changed {
		for k, v := range changed {
			if was, twice := first[k]; twice && was != v {
				contested[k] = true
			}
			first[k] = v
		}
	}
	return contested
}

// tally counts what became of the branches.
type tally struct{ merged, refused, textual, faulty, faults int }

// mergeAll merges branches in an order into a new branch, and holds every merge
// and every refusal to the model. It returns what the files say in the end.
func (w *world) mergeAll(name string, order []int, count *tally) map[key]string {
	w.Git("branch", name, "main")
	base := map[key]string{}
	for id, m := range w.base {
		maps.Copy(base, m.values(id))
	}
	want := maps.Clone(base)
	settled := map[key]string{} // what has been changed so far
	for _, i := range order {
		m, err := merge(w.Work, fmt.Sprintf("c%d", i), name)
		against := map[string]bool{}
		for k, v := range w.changed[i] {
			was, changed := settled[k]
			if changed && was != v && !(was == "" && readElsewhere(k, base, want)) && !(v == "" && readElsewhere(k, base, w.changed[i])) {
				against[k.engine+" "+k.section+"."+or(k.figure, "from")] = true
			}
		}
		named := map[string]bool{}
		for _, f := range m.Conflicts() {
			require.NotNil(w.T, f.Figures, "%s: %s", f.Path, f.Conflict.Why)
			for _, c := range f.Figures.Conflicts {
				named[strings.TrimSuffix(strings.TrimPrefix(f.Path, "data/engines/"), ".yaml")+" "+c.Path] = true
			}
		}
		assert.Equal(w.T, against, named, "branch %d: what is in conflict is named, and nothing else", i)
		if len(against) > 0 {
			count.refused++
			require.ErrorContains(w.T, err, "in conflict")
			continue
		}
		require.NoError(w.T, err)
		count.merged++
		for k, v := range w.changed[i] {
			if was, changed := settled[k]; changed && v == "" {
				v = was // what others put right meanwhile stays
			}
			settled[k], want[k] = v, v
			if v == "" {
				delete(want, k)
			}
		}
		w.listed(m, i, want)
	}
	is := w.says(name)
	assert.Empty(w.T, differences(want, is), "%s: every claim of every branch merged, and nothing else", name)
	return is
}

// readElsewhere reports whether a side has given a figure a claim that it did not
// have: a claim it took out was then replaced, and not denied.
func readElsewhere(k key, base, side map[key]string) bool {
	for other, v := range side {
		_, had := base[other]
		if !had && v != "" && other.engine == k.engine && other.section == k.section && other.figure == k.figure {
			return true
		}
	}
	return false
}

// listed holds the list of what was taken out to what the contributor took out.
func (w *world) listed(m *branch.Merge, i int, want map[key]string) {
	for _, f := range m.Files {
		if f.Figures == nil {
			continue
		}
		var gone []string
		for _, r := range f.Figures.Removed {
			gone = append(gone, r.Path+" "+r.Source)
		}
		engine := strings.TrimSuffix(strings.TrimPrefix(f.Path, "data/engines/"), ".yaml")
		for k, v := range w.changed[i] {
			if _, stays := want[k]; k.engine == engine && v == "" && !stays {
				assert.Contains(w.T, gone, k.section+"."+k.figure+" "+k.source)
			}
		}
	}
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// says reads what all engines say at a revision.
func (w *world) says(rev string) map[key]string {
	all := map[key]string{}
	for id, text := range w.texts(rev) {
		for _, c := range claims.Of(lint.EngineFile, schema.ReadFile(id, []byte(text))) {
			section := strings.TrimSuffix(c.Path, ".from")
			if i := strings.LastIndex(c.Path, "."); i > 0 && c.Kind == claims.Print {
				all[key{id, claim{c.Path[:i], c.Path[i+1:], c.Source}}] = c.Printed
			} else if c.Kind == claims.From {
				all[key{id, claim{section: section}}] = c.Printed
			}
		}
	}
	return all
}

func (w *world) texts(rev string) map[string]string {
	all := map[string]string{}
	for _, id := range slices.Sorted(maps.Keys(w.base)) {
		all[id] = w.Git("show", rev+":data/engines/"+id+".yaml") + "\n"
	}
	return all
}

// plainly merges the same branches by git alone and counts what it stops at and
// what it gets wrong without a word.
func (w *world) plainly(order []int, count *tally) {
	w.Git("checkout", "-q", "-b", "by-lines", "main")
	for _, i := range order {
		if _, err := w.Try(nil, "merge", "-q", "--no-ff", "--no-edit", fmt.Sprintf("c%d", i)); err != nil {
			w.Git("merge", "--abort")
			count.textual++
			continue
		}
		count.merged++
		if faults, err := branch.Audit(w.T.Context(), open(w.Work), mustResolve(w.Work, "HEAD")); assert.NoError(w.T, err) && len(faults) > 0 {
			count.faulty++
			count.faults += len(faults)
		}
	}
}

// TestStress merges the branches of many contributors, with edits that are apart
// and such as meet, in several orders. What has to come out is worked out on the
// model and not by merging text: nothing is lost, paired otherwise or made up, all
// that conflicts is named, and the branches that nobody contests come to the same
// texts, once tidied, in any order. Then git merges the same branches by lines.
//
// The whole of it: go test ./data/merge/branch -run Stress -contributors 200 -engines 500 -v -timeout 30m
func TestStress(t *testing.T) {
	w := newWorld(t)
	pick := rand.New(rand.NewPCG(*seedOf, 2))
	contested := w.contested()
	var calm, all []int
	for i, changed := range w.changed {
		all = append(all, i)
		if !slices.ContainsFunc(slices.Collect(maps.Keys(changed)), func(k key) bool { return contested[k] }) {
			calm = append(calm, i)
		}
	}
	var tidied []map[string]string
	var figures, lines, quiet tally
	for round := range 3 {
		name := fmt.Sprintf("calm-%d", round)
		w.mergeAll(name, shuffled(pick, calm), &quiet)
		texts := w.texts(name)
		for id, text := range texts {
			b, err := schema.Tidy([]byte(text))
			require.NoError(t, err)
			texts[id] = string(b)
		}
		tidied = append(tidied, texts)
		for id, text := range texts {
			assert.Equal(t, tidied[0][id], text, "round %d: %s", round, id)
		}
	}
	assert.Zero(t, quiet.refused)
	order := shuffled(pick, all)
	w.mergeAll("all", order, &figures)
	w.plainly(order, &lines)
	w.Sound()
	t.Logf("%d branches, %d engines, %d branches uncontested", len(all), len(w.base), len(calm))
	t.Logf("                       by figures   by lines (git merge)")
	t.Logf("merged                 %10d   %8d", figures.merged, lines.merged)
	t.Logf("stopped, named figures %10d   %8s", figures.refused, "-")
	t.Logf("stopped, lines         %10s   %8d", "-", lines.textual)
	t.Logf("merged with faults     %10d   %8d", 0, lines.faulty)
	t.Logf("figures lost or mixed  %10d   %8d", 0, lines.faults)
}

func shuffled(pick *rand.Rand, of []int) []int {
	order := slices.Clone(of)
	pick.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
	return order
}
