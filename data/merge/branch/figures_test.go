//go:build !js

package branch_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// four is an invented engine with two sources of its own.
const four = `format: 1
engine: marlowe/four
title: Marlowe Four
clearances:
  running:
    from: handbook p. 3
    measured_at: valve
    engine: cold
    inlet: 4 thou
    exhaust: 6 thou
events:
  checking:
    from: sheet
    cylinder: 1
    read_at: checking clearance
    inlet_opens: 3 BTDC
    inlet_closes: 48 ABDC
sources:
  handbook: {type: book, title: Handbook, grade: maker, rights: facts only}
  sheet: {type: document, title: Sheet, grade: works, rights: facts only}
`

func with(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(four) }

const at = "data/engines/marlowe/four.yaml"

func TestFiguresMerge(t *testing.T) {
	cases := map[string]struct{ base, ours, theirs, want string }{
		"neighbouring figures":           {four, with("inlet: 4 thou", "inlet: 5 thou"), with("exhaust: 6 thou", "exhaust: 7 thou"), with("inlet: 4 thou", "inlet: 5 thou", "exhaust: 6 thou", "exhaust: 7 thou")},
		"neighbouring events":            {four, with("3 BTDC", "4 BTDC"), with("48 ABDC", "49 ABDC"), with("3 BTDC", "4 BTDC", "48 ABDC", "49 ABDC")},
		"the same figure alike":          {four, with("48 ABDC", "49 ABDC"), with("48 ABDC", "49 ABDC"), with("48 ABDC", "49 ABDC")},
		"both took a figure out":         {four, with("    inlet_closes: 48 ABDC\n", ""), with("    inlet_closes: 48 ABDC\n", ""), with("    inlet_closes: 48 ABDC\n", "")},
		"a figure out, another changed":  {four, with("    inlet_closes: 48 ABDC\n", ""), with("3 BTDC", "4 BTDC"), with("    inlet_closes: 48 ABDC\n", "", "3 BTDC", "4 BTDC")},
		"a comment and a figure":         {four, with("48 ABDC", "48 ABDC  # twice"), with("3 BTDC", "4 BTDC"), with("48 ABDC", "48 ABDC  # twice", "3 BTDC", "4 BTDC")},
		"the same engine added by both":  {"", four, four, four},
		"an engine added by both, apart": {"", with("    exhaust: 6 thou\n", ""), with("    inlet_closes: 48 ABDC\n", ""), four},
		"an engine added and left alone": {"", four, "", four},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			for _, swapped := range []bool{false, true} {
				state := func(text, x string) files {
					f := files{"x": x}
					if text != "" {
						f[at] = text
					}
					return f
				}
				ours, theirs := c.ours, c.theirs
				if swapped {
					ours, theirs = theirs, ours
				}
				w := parted(t, state(c.base, "x"), state(ours, "y"), state(theirs, "x"))
				_, err := merge(w, "theirs", "")
				require.NoError(t, err)
				holds(w, state(c.want, "y"))
			}
		})
	}
}

// A figure stays with its source: what one side adds from its own source stands
// beside what the other says.
func TestTwoSourcesOfOneFigure(t *testing.T) {
	ours := with("inlet_closes: 48 ABDC", "inlet_closes: {claims: {sheet: {is: 48 ABDC}, handbook: {is: 46 ABDC}}}")
	theirs := with("from: sheet\n", "from: handbook p. 9\n", "inlet_opens: 3 BTDC", "inlet_opens: {is: 3 BTDC, from: sheet}", "inlet_closes: 48 ABDC", "inlet_closes: {is: 48 ABDC, from: sheet}")
	w := parted(t, files{at: four}, files{at: ours}, files{at: theirs})
	_, err := merge(w, "theirs", "")
	require.NoError(t, err)
	text := w.Read(at)
	assert.Contains(t, text, "from: handbook p. 9\n", "the section's source is theirs")
	assert.Contains(t, text, "sheet: {is: 48 ABDC}")
	assert.Contains(t, text, "handbook: {is: 46 ABDC}")
	assert.Contains(t, text, "inlet_opens: {is: 3 BTDC, from: sheet}")
}

func TestFiguresConflict(t *testing.T) {
	cases := map[string]struct{ base, ours, theirs, says string }{
		"the same figure two ways":        {four, with("48 ABDC", "49 ABDC"), with("48 ABDC", "50 ABDC"), "events.checking.inlet_closes"},
		"a figure out and changed":        {four, with("    inlet_closes: 48 ABDC\n", ""), with("48 ABDC", "50 ABDC"), "events.checking.inlet_closes"},
		"an engine added two ways":        {"", four, with("48 ABDC", "50 ABDC"), "events.checking.inlet_closes"},
		"a file that cannot be read":      {four, with("3 BTDC", "4 BTDC"), with("title: Marlowe Four", "title: Marlowe Four\ntitle: Twice"), "it cannot be merged by its figures"},
		"markers in a file":               {four, with("3 BTDC", "4 BTDC"), with("title: Marlowe Four", "<<<<<<< a\ntitle: Marlowe Four\n=======\ntitle: Five\n>>>>>>> b"), "it cannot be merged by its figures"},
		"no file of figures on one side":  {four, with("3 BTDC", "4 BTDC"), "\xff\xfe\x00", "it cannot be merged by its figures"},
		"an engine removed and changed":   {four, "", with("48 ABDC", "50 ABDC"), "it was removed on our side and changed on theirs"},
		"the meaning of a section twice":  {four, with("read_at: checking clearance", "read_at: running clearance"), with("read_at: checking clearance", "read_at: 1 mm lift at valve"), "events.checking.read_at"},
		"a figure's source on both sides": {four, with("48 ABDC", "{is: 48 ABDC, from: handbook p. 1}"), with("48 ABDC", "{is: 48 ABDC, from: handbook p. 2}"), "events.checking.inlet_closes"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			state := func(text string) files {
				f := files{"x": "x"}
				if text != "" {
					f[at] = text
				}
				return f
			}
			w := parted(t, state(c.base), state(c.ours), state(c.theirs))
			before := w.State()
			m, err := merge(w, "theirs", "")
			require.Error(t, err)
			assert.Contains(t, conflicts(m)[at], c.says)
			assert.Equal(t, before, w.State())
		})
	}
}

// Laid out, only what is in conflict stands between markers; all else is merged.
func TestALaidOutFigure(t *testing.T) {
	w := parted(t, files{at: four}, files{at: with("inlet: 4 thou", "inlet: 5 thou", "48 ABDC", "49 ABDC")}, files{at: with("exhaust: 6 thou", "exhaust: 7 thou", "48 ABDC", "50 ABDC")})
	m, err := plan(w, "theirs")
	require.NoError(t, err)
	require.NoError(t, m.Leave(t.Context(), "m"))
	assert.Equal(t, with("inlet: 4 thou", "inlet: 5 thou", "exhaust: 6 thou", "exhaust: 7 thou",
		"    inlet_closes: 48 ABDC\n", "<<<<<<< main\n    inlet_closes: 49 ABDC\n||||||| before\n    inlet_closes: 48 ABDC\n=======\n    inlet_closes: 50 ABDC\n>>>>>>> theirs\n"), w.Read(at))
	w.Git("merge", "--abort")
}

// Where the work tree has other line ends than are stored, it has them still after
// a merge and in what is laid out, and nothing is stored with them.
func TestLineEndsOfTheWorkTree(t *testing.T) {
	attributes := "*.yaml text eol=crlf\n"
	crlf := func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") }
	w := parted(t, files{".gitattributes": attributes, at: crlf(four)},
		files{".gitattributes": attributes, at: crlf(with("inlet: 4 thou", "inlet: 5 thou"))}, files{".gitattributes": attributes, at: crlf(with("exhaust: 6 thou", "exhaust: 7 thou"))})
	_, err := merge(w, "theirs", "")
	require.NoError(t, err)
	merged := with("inlet: 4 thou", "inlet: 5 thou", "exhaust: 6 thou", "exhaust: 7 thou")
	holds(w, files{".gitattributes": attributes, at: crlf(merged)})
	assert.Equal(t, merged, w.Git("show", "HEAD:"+at)+"\n")

	w.Git("branch", "-f", "theirs")
	w.Write(at, crlf(strings.Replace(merged, "48 ABDC", "49 ABDC", 1)))
	w.Commit()
	w.Git("checkout", "-q", "theirs")
	w.Write(at, crlf(strings.Replace(merged, "48 ABDC", "50 ABDC", 1)))
	w.Commit()
	w.Git("checkout", "-q", "main")
	m, err := plan(w, "theirs")
	require.NoError(t, err)
	require.NoError(t, m.Leave(t.Context(), "m"))
	text := w.Read(at)
	assert.Contains(t, text, "<<<<<<< main\r\n    inlet_closes: 49 ABDC\r\n")
	assert.Equal(t, strings.Count(text, "\n"), strings.Count(text, "\r\n"))
	w.Git("merge", "--abort")
	assert.Empty(t, w.Git("status", "--porcelain"))
}

// Line ends that are stored stay as they are, mixed ones too, and so do a byte
// order mark and a last line without an end.
func TestLineEndsThatAreStored(t *testing.T) {
	for name, form := range map[string]func(string) string{
		"CRLF":                   func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") },
		"mixed":                  func(s string) string { return strings.Replace(s, "engine: cold\n", "engine: cold\r\n", 1) },
		"a mark":                 func(s string) string { return "\ufeff" + s },
		"no end":                 func(s string) string { return strings.TrimSuffix(s, "\n") },
		"blank lines at the end": func(s string) string { return s + "\n\n" },
	} {
		w := parted(t, files{at: form(four)}, files{at: form(with("inlet: 4 thou", "inlet: 5 thou"))}, files{at: form(with("3 BTDC", "4 BTDC"))})
		_, err := merge(w, "theirs", "")
		if assert.NoError(t, err, name) {
			assert.Equal(t, form(with("inlet: 4 thou", "inlet: 5 thou", "3 BTDC", "4 BTDC")), w.Read(at), name)
		}
	}
}

// An engine that one side moved and the other changed is one engine.
func TestAMovedEngineIsMergedByItsFigures(t *testing.T) {
	const to = "data/engines/marlowe/four-litre.yaml"
	moved := with("engine: marlowe/four", "engine: marlowe/four-litre", "inlet: 4 thou", "inlet: 5 thou", "title: Marlowe Four", "title: Marlowe Four Litre, as its plate has it, and as every print names it")
	record := "marlowe/four: {to: marlowe/four-litre, because: of its plate}\n"
	w := parted(t, files{at: four}, files{to: moved, "data/moved.yaml": record}, files{at: with("exhaust: 6 thou", "exhaust: 7 thou")})
	_, err := merge(w, "theirs", "")
	require.NoError(t, err)
	holds(w, files{to: strings.Replace(moved, "exhaust: 6 thou", "exhaust: 7 thou", 1), "data/moved.yaml": record})
}

// Bases that disagree about one figure do not stand in the way of others.
func TestCrosswiseMergesOfFigures(t *testing.T) {
	settled := func(rest ...string) files {
		return files{at: with(append([]string{"48 ABDC", "49 ABDC", "3 BTDC", "4 BTDC"}, rest...)...), "x": "x"}
	}
	w := crossed(t, files{at: four, "x": "x"}, files{at: with("48 ABDC", "49 ABDC"), "x": "x"}, files{at: with("48 ABDC", "50 ABDC", "3 BTDC", "4 BTDC"), "x": "x"},
		settled("inlet: 4 thou", "inlet: 5 thou"), settled("exhaust: 6 thou", "exhaust: 7 thou"))
	_, err := merge(w, "theirs", "")
	require.NoError(t, err)
	holds(w, settled("inlet: 4 thou", "inlet: 5 thou", "exhaust: 6 thou", "exhaust: 7 thou"))
}
