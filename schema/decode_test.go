package schema

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/schema/text"
)

const head = "format: 1\nengine: penhallow/light-six\ntitle: Penhallow Light Six\n"

func decode(t *testing.T, body string) (*Engine, []Problem) {
	t.Helper()
	return DecodeEngine(ReadFile("penhallow/light-six.yaml", []byte(head+body)))
}

// A problem is told once, at its place, in a sentence that says what to do and
// holds nothing of the validator's own language.
func TestProblems(t *testing.T) {
	for name, c := range map[string]struct {
		body string
		kind ProblemKind
		line int
		says []string
	}{
		"unknown key, near one": {"size:\n  stoke: 4 in\n", UnknownKey, 5, []string{"`stoke`", "did you mean `stroke`?"}},
		"unknown key of another section": {"size:\n  firing_order: 1-3-4-2\n", UnknownKey, 5,
			[]string{"`firing_order`", "it belongs in `layout`"}},
		"unknown key at the top":  {"colour: green\n", UnknownKey, 4, []string{"`colour`", "the engine file"}},
		"unknown key in a figure": {"size:\n  bore: {is: 3 in, nota: x}\n", UnknownKey, 5, []string{"`nota`", "did you mean `note`?"}},
		"unread figure":           {"size:\n  bore: wide\n", UnreadFigure, 5, []string{"size.bore", "wide", "a length with its unit"}},
		"no unit":                 {"size:\n  bore: 68\n", UnreadFigure, 5, []string{"size.bore", "a length with its unit"}},
		"wrong unit":              {"checks:\n  compression: 80 mm\n", WrongUnit, 5, []string{"checks.compression", "a length", "a pressure"}},
		"empty figure":            {"size:\n  bore:\n", NoValue, 5, []string{"size.bore", "unknown, not given, none, illegible"}},
		"empty section":           {"size:\n", NoValue, 4, []string{"`size` is empty"}},
		"section as one value":    {"size: big\n", Violation, 4, []string{"`size` holds keys of its own"}},
		"word not of the list": {"layout:\n  cycle: fourstroke\n", Violation, 5,
			[]string{"four-stroke or two-stroke", "did you mean `four-stroke`?"}},
		"both is and claims": {"size:\n  bore:\n    is: 3 in\n    claims: {a: {is: 3 in}}\n", Violation, 6, []string{"both `is` and `claims`"}},
		"claim without a print": {"size:\n  bore:\n    claims:\n      handbook: {note: x}\n", NoValue, 7,
			[]string{"says nothing", "`is:`"}},
		"claim whose source differs": {"size:\n  bore:\n    claims:\n      handbook: {is: 3 in, from: sheet p. 1}\n", Violation, 7,
			[]string{"`handbook`", "`sheet`"}},
		"removed in the base":      {"size:\n  bore: removed\n", Violation, 5, []string{"only in a variant's change"}},
		"change of what may not":   {"variants:\n  b:\n    change: {title: X}\n", UnknownKey, 6, []string{"`title`"}},
		"bad id":                   {"size: {bore: 3 in}\nengine_: x\n", UnknownKey, 5, []string{"did you mean `engine`?"}},
		"duplicate key":            {"size: {bore: 3 in}\nsize: {bore: 3 in}\n", Unreadable, 5, []string{"size"}},
		"alias":                    {"size: &a {bore: 3 in}\n", Unreadable, 4, nil},
		"split by a comma":         {"clearances:\n  running: {inlet: 0,45 mm}\n", Unreadable, 5, []string{"comma"}},
		"a list where keys belong": {"size: [1, 2]\n", Violation, 4, []string{"`size` holds keys of its own"}},
		"a name no one can cite":   {"events:\n  \"a\\tb\": {inlet_opens: 3 BTDC}\n", Violation, 5, []string{"key"}},
	} {
		t.Run(name, func(t *testing.T) {
			_, problems := decode(t, c.body)
			require.NotEmpty(t, problems)
			var found *Problem
			for i := range problems {
				if problems[i].Kind == c.kind {
					found = &problems[i]
					break
				}
			}
			require.NotNil(t, found, "got %+v", problems)
			line, column := found.At.Position()
			assert.Equal(t, c.line, line, found.Message)
			assert.Positive(t, column)
			for _, s := range c.says {
				assert.Contains(t, found.Message, s)
			}
			for _, p := range problems {
				assert.NotContains(t, p.Message, "\n")
				for _, internal := range []string{"#/", "$ref", "additionalProperties", "anyOf", "jsonschema", "does not validate", "propertyNames", "(?:"} {
					assert.NotContains(t, p.Message, internal, "a validator's own words")
				}
			}
			assert.LessOrEqual(t, len(problems), 2, "one slip is told once: %+v", problems)
		})
	}
}

func TestMissingKeys(t *testing.T) {
	_, problems := DecodeEngine(ReadFile("x.yaml", []byte("format: 1\ntitle: X\n")))
	require.Len(t, problems, 1)
	assert.Equal(t, "`engine` is missing; the engine file needs it", problems[0].Message)
	_, problems = DecodeEngine(ReadFile("x.yaml", []byte("format: 2\nengine: a/b\ntitle: X\n")))
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].Message, "`format` must be 1")
	_, problems = DecodeEngine(ReadFile("x.yaml", []byte("format: 1\nengine: A B\ntitle: X\n")))
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].Message, "penhallow/light-six")
}

// A variant is the base with figures laid over it: each changed figure brings
// its own source, the others keep theirs.
func TestVariantsAreOverlays(t *testing.T) {
	e, problems := decode(t, `
made: 1926-1931
events:
  checking:
    from: sheet-4 p. 1
    inlet_opens: 3 BTDC
    inlet_closes: 48 ABDC
    overlap: 13
drives:
  camshaft:
    from: sheet-4 p. 2
    wheels:
      crankshaft: {teeth: 28}
      camshaft: {teeth: 56}
variants:
  series-2:
    made: 1929-1931
    numbers: {from: LS3001, to: LS4750}
    change:
      events:
        checking:
          inlet_closes: {is: 52 ABDC, from: sheet-7}
          overlap: removed
        running:
          from: sheet-8
          inlet_opens: 12 BTDC
      drives: {camshaft: {wheels: {idler: {teeth: 45, from: sheet-7}}}}
`)
	require.Empty(t, problems)
	require.Len(t, e.All(), 2)
	v := e.All()[1]
	assert.Equal(t, "series-2", v.Variant)
	assert.Equal(t, "1929-1931", v.Made.Text)
	assert.Equal(t, "LS3001", v.Identify.Numbers.From.Text)
	assert.Nil(t, e.Identify, "the base is untouched")

	closes := v.Figure("events.checking.inlet_closes")
	assert.Equal(t, "52 ABDC", closes.Text())
	assert.Equal(t, "sheet-7", closes.First().From.String())
	assert.True(t, closes.Changed)
	assert.Equal(t, "/variants/series-2/change/events/checking/inlet_closes", closes.At.Pointer())

	opens := v.Figure("events.checking.inlet_opens")
	assert.Equal(t, "sheet-4 p. 1", opens.First().From.String())
	assert.False(t, opens.Changed)
	assert.Equal(t, "/events/checking/inlet_opens", opens.At.Pointer())

	assert.Nil(t, v.Figure("events.checking.overlap"))
	require.Len(t, v.Removed(), 1)
	assert.True(t, v.Removed()[0].Existed)
	assert.Equal(t, "sheet-8", v.Figure("events.running.inlet_opens").First().From.Source)
	assert.NotNil(t, v.Figure("drives.camshaft.wheels.idler.teeth"))
	assert.NotNil(t, v.Figure("drives.camshaft.wheels.crankshaft.teeth"))
	assert.Equal(t, "48 ABDC", e.Figure("events.checking.inlet_closes").Text(), "the base is untouched")
	assert.Nil(t, e.Figure("events.running.inlet_opens"))
}

// A source of the base never speaks for a figure that a change wrote.
func TestChangeWithoutSourceIsUnsourced(t *testing.T) {
	e, problems := decode(t, "size: {from: sheet, bore: 3 in}\nvariants: {b: {change: {size: {bore: 4 in}}}}\n")
	require.Empty(t, problems)
	assert.False(t, e.All()[1].Figure("size.bore").First().From.Given())
}

func TestFormsOfAFigure(t *testing.T) {
	e, problems := decode(t, `
size:
  from: handbook p. 6
  bore: 2 15/16 in
  stroke: {is: 4 1/2 in, from: sheet p. 2, note: measured too, quote: '4½"', seen: {on: 2025-03-02, by: a keeper}}
  swept_volume:
    claims:
      handbook: {is: 2998 cc, from: handbook p. 7}
      brochure: 3.0 L
      club#2: {is: 2988 cc, set_aside: misprint}
  rod_centres: unknown
layout: {throws: [0, 180, 180, 0], cylinders: 4}
cams: {inlet: {table: {"-10": 1 mm, "0": 2 mm, "10": 1 mm}}}
`)
	require.Empty(t, problems)
	assert.Equal(t, "handbook p. 6", e.Size.Bore.First().From.String())
	stroke := e.Size.Stroke.First()
	assert.Equal(t, []string{"sheet p. 2", "measured too", `4½"`, "2025-03-02", "a keeper"},
		[]string{stroke.From.String(), stroke.Note.Text, stroke.Quote.Text, stroke.SeenOn.Text, stroke.SeenBy.Text})
	v := e.Size.SweptVolume
	require.Len(t, v.Claims, 3)
	assert.Equal(t, "handbook p. 7", v.Claims[0].From.String())
	assert.Equal(t, "brochure", v.Claims[1].From.String())
	assert.Equal(t, "club", v.Claims[2].From.Source)
	assert.False(t, v.Claims[2].Stands())
	assert.Nil(t, e.Size.RodCentres.First(), "a word for absence is no value")
	assert.Equal(t, "unknown", string(e.Size.RodCentres.Claims[0].Printed.Absence))
	assert.Len(t, e.Layout.Throws.First().Printed.List, 4)
	require.Len(t, e.Cams[0].Value.Table, 3)
	assert.Equal(t, "cams.inlet.table.-10", e.Cams[0].Value.Table[0].Value.Path)
}

func TestStanding(t *testing.T) {
	e, problems := decode(t, `
sources:
  works: {title: Drawing, grade: works}
  book: {title: Handbook, grade: maker, copies: works}
  club: {title: Note, grade: later, copies: book}
  stamp: {title: Flywheel, grade: stamp}
size:
  bore: {claims: {works: 3 in, book: 3 in, club: 3 in}}
  stroke: {claims: {works: 4 in, stamp: 4.0 in}}
  rod_centres: {claims: {works: 8 in, stamp: 9 in}}
  swept_volume: {claims: {works: 1853 cc, stamp: {is: 1900 cc, set_aside: bored out}}}
  chamber_volume: 100 cc
  compression_ratio: unknown
`)
	require.Empty(t, problems)
	lookup := Register(e.Sources.Get)
	for path, want := range map[string]Standing{
		"bore": SingleSource, "stroke": Confirmed, "rod_centres": Disputed,
		"swept_volume": Settled, "chamber_volume": Unsourced, "compression_ratio": Absent,
	} {
		assert.Equal(t, want.String(), StandingOf(e.Figure("size."+path), lookup).String(), path)
	}
	assert.Equal(t, "works", lookup.Root("club"))
}

func TestCircleOfCopiesEnds(t *testing.T) {
	e, _ := decode(t, "sources:\n  a: {title: A, grade: later, copies: b}\n  b: {title: B, grade: later, copies: a}\n")
	lookup := Register(e.Sources.Get)
	assert.Equal(t, "a", lookup.Root("a"))
	assert.Equal(t, "a", lookup.Root("b"))
}

func TestMovedIDs(t *testing.T) {
	moves, problems := DecodeMoved(ReadFile("moved.yaml", []byte(
		"a/old: {to: a/new, because: renamed}\na/both: {to: [a/one, a/old], because: two engines}\nx/y: {to: x/y, because: circle}\n")))
	require.Empty(t, problems)
	now, err := Follow("a/both", moves)
	require.NoError(t, err)
	assert.Equal(t, []string{"a/one", "a/new"}, now)
	_, err = Follow("x/y", moves)
	assert.ErrorContains(t, err, "circle")
	_, problems = DecodeMoved(ReadFile("moved.yaml", []byte("a/b: {to: c/d}\n")))
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].Message, "because")
}

func TestNumberRanges(t *testing.T) {
	read := func(from, to string) NumberRange {
		n := &Numbers{From: Word{Text: from, At: Place{Node: e()}}, To: Word{Text: to, At: Place{Node: e()}}}
		r, err := n.Range()
		require.NoError(t, err)
		return r
	}
	r := read("LS1001", "LS4750")
	assert.True(t, r.Contains("ls 1001"))
	assert.True(t, r.Contains("LS-4750"))
	assert.False(t, r.Contains("LS4751"))
	assert.False(t, r.Contains("LT2000"))
	assert.True(t, r.Overlaps(read("LS4750", "LS5000")))
	assert.False(t, r.Overlaps(read("LS4751", "unknown")))
	assert.EqualValues(t, 2, r.Gap(read("LS4753", "LS5000")))
	assert.True(t, read("LS100", "unknown").Contains("LS99999"))
	_, err := (&Numbers{From: Word{Text: "LS9", At: Place{Node: e()}}, To: Word{Text: "LT10", At: Place{Node: e()}}}).Range()
	assert.ErrorContains(t, err, "do not share their letters")
}

// What the decoder vouches for need not pass the schema: so whatever value of an
// engine file is spoilt, either the decoder or the gate has something to say, or
// the whole file passes the whole schema.
func TestSpoiltValuesAreToldOrValid(t *testing.T) {
	source, err := os.ReadFile("../data/engines/penhallow/light-six.yaml")
	require.NoError(t, err)
	told := 0
	for i, n := range values(ReadFile("a/b.yaml", source).Doc.Root) {
		for j, spoilt := range []string{"{}", "[]", "1", "removed", `""`, "{claims: {a: {is: 1}}}"} {
			if (i+j)%3 > 0 { // each value in two ways, which is quick and leaves no kind of value out
				continue
			}
			text := string(source[:n.Span.Start]) + spoilt + string(source[n.Span.End:])
			f := ReadFile("penhallow/light-six.yaml", []byte(text))
			if _, problems := DecodeEngine(f); len(problems) > 0 {
				told++
				continue
			}
			assert.NoError(t, engineGate().Validate(f.Doc.Value()), "line %d: %s", strings.Count(text[:n.Span.Start], "\n")+1, spoilt)
		}
	}
	assert.NotZero(t, told)
}

// values lists the values of a tree below its root.
func values(n *text.Node) []*text.Node {
	below := slices.Clone(n.Items)
	for _, e := range n.Entries {
		below = append(below, e.Value)
	}
	all := below
	for _, b := range below {
		all = append(all, values(b)...)
	}
	return all
}

// The decoder never panics and always names a place, whatever it is given.
func FuzzDecodeEngine(f *testing.F) {
	f.Add(head + "size: {bore: 3 in}\nvariants: {b: {change: {size: removed}}}\n")
	f.Add(head + "events: {a: {from: x, inlet_opens: {claims: {x: {is: 3 BTDC, set_aside: y}}}}}\n")
	f.Add(head + "cams: {inlet: {table: {\"0\": 1 mm}}}\naccepted: {size: {size/swept-volume: because}}\n")
	f.Add("{}")
	f.Add("[]")
	f.Add("format: {a: b}\nengine: []\ntitle:\n")
	f.Add("variants: {a: {change: {drives: {x: removed, y: {wheels: {z: removed}}}}}}")
	f.Fuzz(func(t *testing.T, text string) {
		e, problems := DecodeEngine(ReadFile("a/b.yaml", []byte(text)))
		for _, p := range problems {
			line, column := p.At.Position()
			if line < 1 || column < 1 || strings.TrimSpace(p.Message) == "" {
				t.Fatalf("a problem without place or words: %+v", p)
			}
		}
		doc := ReadFile("a/b.yaml", []byte(text)).Doc
		if len(problems) == 0 && engineGate().Validate(doc.Value()) != nil {
			t.Fatalf("the schema refuses what the decoder passes: %v", engineGate().Validate(doc.Value()))
		}
		for _, one := range e.All() {
			for _, fig := range one.Figures() {
				if one.Figure(fig.Path) == nil || len(fig.Claims) == 0 && fig.At.IsZero() {
					t.Fatalf("figure %s cannot be found again", fig.Path)
				}
			}
		}
		DecodeSource(ReadFile("a.yaml", []byte(text)))
		DecodeMoved(ReadFile("moved.yaml", []byte(text)))
	})
}

func e() *text.Node { return &text.Node{} }
