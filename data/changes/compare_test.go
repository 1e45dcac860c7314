package changes_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/changes"
	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
)

// dataset makes the inputs of a dataset from the texts of its files by name.
func dataset(files map[string]string) []lint.Input {
	var all []lint.Input
	for name, source := range files {
		in := lint.Input{Name: name, Read: func() ([]byte, error) { return []byte(source), nil }}
		stem := strings.TrimSuffix(name, ".yaml")
		switch {
		case name == "moved.yaml":
			in.Kind = lint.MovedFile
		case strings.HasPrefix(name, "sources/"):
			in.Kind, in.ID = lint.SourceFile, strings.TrimPrefix(stem, "sources/")
		default:
			in.ID = strings.TrimPrefix(stem, "engines/")
		}
		all = append(all, in)
	}
	return all
}

// with is a dataset with some files replaced; an empty text takes one out.
func with(files map[string]string, other ...string) map[string]string {
	all := map[string]string{}
	for name, source := range files {
		all[name] = source
	}
	for i := 0; i < len(other); i += 2 {
		all[other[i]] = other[i+1]
		if other[i+1] == "" {
			delete(all, other[i])
		}
	}
	return all
}

func compare(t *testing.T, before, after map[string]string) *changes.Report {
	t.Helper()
	r, err := changes.Compare(context.Background(), dataset(before), dataset(after), rules.All())
	require.NoError(t, err)
	return r
}

func text(t *testing.T, r *changes.Report) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, changes.Text(&b, r, 80))
	for l := range strings.Lines(b.String()) {
		assert.LessOrEqual(t, len([]rune(l)), 81, l)
	}
	return b.String()
}

const four = `format: 1
engine: marlowe/four
title: Marlowe Four
layout: {from: handbook p. 4, cycle: four-stroke, cylinders: 4}
clearances: {checking: {from: sheet line 1, measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou}}
events:
  checking:
    from: sheet line 3
    read_at: checking clearance
    inlet_opens: 3 BTDC
    inlet_closes: 48 ABDC
    inlet_duration: 231
    overlap: {claims: {sheet: 13, handbook: 15}}
variants:
  late: {title: later series, change: {layout: {cylinders: {is: 4, from: handbook p. 5}}}}
`

var files = map[string]string{
	"engines/marlowe/four.yaml": four,
	"sources/handbook.yaml":     "type: book\ntitle: Handbook\ngrade: maker\nrights: public domain\n",
	"sources/sheet.yaml":        "type: document\ntitle: Setting sheet\ngrade: works\nrights: public domain\n",
}

func edited(replace ...string) map[string]string {
	return with(files, "engines/marlowe/four.yaml", strings.NewReplacer(replace...).Replace(four))
}

func TestCompareOneEngine(t *testing.T) {
	const head = "marlowe/four  Marlowe Four\n  engines/marlowe/four.yaml\n"
	for name, c := range map[string]struct {
		before, after map[string]string
		want          string
	}{
		"nothing": {files, edited("inlet_opens: 3 BTDC", "inlet_opens:   '3 BTDC' # so"), ""},
		"a figure, which breaks a relation": {files, edited("48 ABDC", "84 ABDC"), head + `  events.checking.inlet_closes
    changed   48 ABDC → 84 ABDC [sheet line 3]
    inherited by late
  Newly broken:
    error events/inlet-duration: inlet duration does not fit: 231 ≠ 180 + 3 +
      84, which comes to 266 to 268; most likely inlet closes 84 ABDC is a slip
      for 48 ABDC (digits transposed)
`},
		"and mends it": {edited("48 ABDC", "84 ABDC"), files, head + `  events.checking.inlet_closes
    changed   84 ABDC → 48 ABDC [sheet line 3]
    inherited by late
  Mended:
    error events/inlet-duration: inlet duration does not fit: 231 ≠ 180 + 3 +
      84, which comes to 266 to 268; most likely inlet closes 84 ABDC is a slip
      for 48 ABDC (digits transposed)
`},
		"what is broken stays broken when its numbers change": {edited("48 ABDC", "84 ABDC"), edited("48 ABDC", "85 ABDC"), head + `  events.checking.inlet_closes
    changed   84 ABDC → 85 ABDC [sheet line 3]
    inherited by late
`},
		"a finding accepted": {edited("48 ABDC", "84 ABDC"), edited("48 ABDC", "84 ABDC", "variants:", "accepted: {events.checking: {events/inlet-duration: both print it}}\nvariants:"), head + `  accepted.events.checking.events/inlet-duration: both print it
  Accepted since:
    error events/inlet-duration: inlet duration does not fit: 231 ≠ 180 + 3 +
      84, which comes to 266 to 268; most likely inlet closes 84 ABDC is a slip
      for 48 ABDC (digits transposed); accepted: both print it
`},
		"a disagreement opens": {files, edited("inlet_opens: 3 BTDC", "inlet_opens: {claims: {sheet: {is: 3 BTDC, from: sheet line 3}, handbook: {is: 5 BTDC, from: handbook p. 9, note: by eye}}}"), head + `  events.checking.inlet_opens
    added     5 BTDC [handbook p. 9]
              note: by eye
    inherited by late
    the claims now disagree
`},
		"a disagreement is settled": {files, edited("handbook: 15", "handbook: {is: 15, set_aside: misprint}"), head + `  events.checking.overlap
    set aside 15 [handbook]
              set aside: misprint
    inherited by late
    the disagreement is ended: settled
`},
		"a claim taken out": {files, edited("{claims: {sheet: 13, handbook: 15}}", "{is: 13, from: sheet}"), head + `  events.checking.overlap
    removed   15 [handbook]
    inherited by late
    the disagreement is ended: single-source
`},
		"a variant goes its own way": {files, edited("cylinders: {is: 4, from: handbook p. 5}", "cylinders: {is: 4, from: handbook p. 5}}, events: {checking: {overlap: {is: 14, from: sheet}}"), head + `  events.checking.overlap of late
    added     14 [sheet]
    had from the base until now: 13 [sheet], 15 [handbook]
    the disagreement is ended: single-source
`},
		"and comes back": {files, edited("layout: {cylinders: {is: 4, from: handbook p. 5}}", "layout: {rocker_ratio: {is: 1.2, from: handbook p. 5}}"), head + `  layout.rocker_ratio of late
    added     1.2 [handbook p. 5]
    absent → single-source
  layout.cylinders of late
    removed   4 [handbook p. 5]
    has from the base now: 4 [handbook p. 4]
`},
		"the source of a section": {files, edited("from: sheet line 3", "from: sheet line 4"), head + `  events.checking.inlet_opens
    sourced   3 BTDC [sheet line 3] → [sheet line 4]
    inherited by late
  events.checking.inlet_closes
    sourced   48 ABDC [sheet line 3] → [sheet line 4]
    inherited by late
  events.checking.inlet_duration
    sourced   231 [sheet line 3] → [sheet line 4]
    inherited by late
`},
		"a word on which figures hang": {files, edited("read_at: checking clearance", "read_at: not given"), head + `  events.checking.read_at: checking clearance → not given
  Newly broken:
    warning clearances/without-events: the checking clearance is given, and no
      events are read at it; add them, or say at which clearance the events are
      read
`},
		"a text that cannot be read": {files, edited("overlap: {", "overlap: {{"), head + "  cannot be read in full now: line 13: "},
	} {
		t.Run(name, func(t *testing.T) {
			got := text(t, compare(t, c.before, c.after))
			if strings.HasSuffix(c.want, ": ") { // how the reader words a fault is its own business
				got = got[:min(len(got), len(c.want))]
			}
			assert.Equal(t, c.want, got)
		})
	}
}

func renamed(id string) string { return strings.Replace(four, "marlowe/four", id, 1) }

func TestCompareDatasets(t *testing.T) {
	moved := func(from, to string) string { return from + ": {to: " + to + ", because: the makers say so}\n" }
	for name, c := range map[string]struct {
		before, after map[string]string
		want          []string // lines that are there
	}{
		"a new engine": {files, with(files, "engines/marlowe/six.yaml", renamed("marlowe/six")),
			[]string{"marlowe/six  Marlowe Four", "  new", "    added     3 BTDC [sheet line 3]"}},
		"an engine gone": {files, with(files, "engines/marlowe/four.yaml", ""),
			[]string{"marlowe/four  Marlowe Four", "  removed", "    removed   3 BTDC [sheet line 3]"}},
		"an engine renamed": {files, with(files, "engines/marlowe/four.yaml", "", "engines/marlowe/10.yaml", renamed("marlowe/10"), "moved.yaml", moved("marlowe/four", "marlowe/10")),
			[]string{"marlowe/10  Marlowe Four", "  was marlowe/four: the makers say so; moved from engines/marlowe/four.yaml", "moved.yaml", "  added",
				"  marlowe/four.to: marlowe/10", "  marlowe/four.because: the makers say so"}},
		"renamed twice": {files, with(files, "engines/marlowe/four.yaml", "", "engines/a/b.yaml", renamed("a/b"), "moved.yaml", moved("marlowe/four", "marlowe/10")+moved("marlowe/10", "a/b")),
			[]string{"a/b  Marlowe Four", "  was marlowe/four: the makers say so; moved from engines/marlowe/four.yaml"}},
		"renamed without a record of it": {files, with(files, "engines/marlowe/four.yaml", "", "engines/marlowe/10.yaml", renamed("marlowe/10")),
			[]string{"marlowe/10  Marlowe Four", "  new", "marlowe/four  Marlowe Four", "  removed"}},
		"an entry split": {files, with(files, "engines/marlowe/four.yaml", "", "engines/a/b.yaml", renamed("a/b"), "engines/a/c.yaml", renamed("a/c"), "moved.yaml", moved("marlowe/four", "[a/b, a/c]")),
			[]string{"a/b  Marlowe Four", "  new, in the place of marlowe/four: the makers say so", "  removed, now a/b, a/c: the makers say so"}},
		"two entries merged": {with(files, "engines/a/b.yaml", renamed("a/b")), with(files, "engines/marlowe/four.yaml", strings.Replace(four, "3 BTDC", "4 BTDC", 1), "moved.yaml", moved("a/b", "marlowe/four")),
			[]string{"a/b  Marlowe Four", "  removed, now marlowe/four: the makers say so", "  holds now what was a/b: the makers say so", "    changed   3 BTDC → 4 BTDC [sheet line 3]"}},
		"only another folder": {files, with(files, "engines/marlowe/four.yaml", "", "engines/old/four.yaml", four),
			[]string{"marlowe/four  Marlowe Four", "  moved from engines/marlowe/four.yaml"}},
		"a source": {files, with(files, "sources/sheet.yaml", files["sources/sheet.yaml"]+"copies: handbook\n"),
			[]string{"sources/sheet.yaml", "  copies: handbook"}},
		"a source gone": {files, with(files, "sources/sheet.yaml", ""), []string{"sources/sheet.yaml", "  removed", "  grade: taken out: works"}},
	} {
		t.Run(name, func(t *testing.T) {
			lines := strings.Split(text(t, compare(t, c.before, c.after)), "\n")
			at := 0
			for _, want := range c.want {
				for at < len(lines) && lines[at] != want {
					at++
				}
				require.Less(t, at, len(lines), "%q is not in\n%s", want, strings.Join(lines, "\n"))
			}
		})
	}
}

func TestCompareLeavesContextAlone(t *testing.T) {
	before, after := dataset(files), dataset(edited("48 ABDC", "84 ABDC"))
	for i := range after {
		after[i].Context = true
	}
	r, err := changes.Compare(context.Background(), before, after, rules.All())
	require.NoError(t, err)
	assert.True(t, r.Empty())
}

func TestCompareStopsAndRefuses(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := changes.Compare(ctx, dataset(files), dataset(edited("48", "49")), nil)
	require.ErrorIs(t, err, context.Canceled)

	round := with(files, "engines/marlowe/four.yaml", "", "moved.yaml", "marlowe/four: {to: a/b, because: x}\na/b: {to: marlowe/four, because: x}\n")
	_, err = changes.Compare(context.Background(), dataset(files), dataset(round), nil)
	require.ErrorContains(t, err, "in a circle")

	unread := dataset(files)
	for i := range unread {
		if unread[i].Kind == lint.EngineFile {
			unread[i].Read = func() ([]byte, error) { return nil, errors.New("the file may not be read") }
		}
	}
	r, err := changes.Compare(context.Background(), dataset(files), unread, nil)
	require.NoError(t, err)
	assert.Equal(t, []string{"now: the file may not be read"}, r.Engines[0].Unread)
}
