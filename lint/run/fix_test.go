package run_test

import (
	"context"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

const head = "format: 1\nengine: example/example\ntitle: Example\n"

// volume is a part of an engine file in which nothing is wrong.
const volume = `layout:
  from: handbook p. 6
  cylinders: 4
size:
  from: handbook p. 6
  bore: 3 in
  stroke: 4 in
  swept_volume: 113.1 cu in
sources:
  handbook: {title: Instruction book, issued: 1927, grade: maker}
`

func engineFile(text string) []lint.Input {
	return []lint.Input{{Name: "engines/example/example.yaml", ID: "example/example", Read: func() ([]byte, error) { return []byte(text), nil }}}
}

func fix(t require.TestingT, inputs []lint.Input, book []*lint.Rule) ([]run.Fixed, error) {
	return run.Fix(context.Background(), inputs, run.Options{Rules: book, Workers: 1})
}

// fixedText is the text that fixing an engine file gives.
func fixedText(t require.TestingT, source string) string {
	fixed, err := fix(t, engineFile(source), rules.All())
	require.NoError(t, err)
	if len(fixed) == 0 {
		return source
	}
	require.Len(t, fixed, 1)
	require.Equal(t, source, string(fixed[0].Before))
	require.NotEmpty(t, fixed[0].Titles)
	return string(fixed[0].After)
}

func TestFix(t *testing.T) {
	for name, c := range map[string]struct{ source, want string }{
		"nothing to do": {head + volume, head + volume},
		"the layout of the text": {
			head + strings.Replace(volume, "  bore: 3 in", "  bore:    3 in  ", 1),
			head + volume,
		},
		"an acceptance that keeps nothing, alone": {
			head + volume + "accepted:\n  size:\n    size/swept-volume: both handbooks print it\n",
			head + volume,
		},
		"an acceptance that keeps nothing, in braces": {
			head + volume + "accepted: {size: {size/swept-volume: both handbooks print it}}\n",
			head + volume,
		},
		"an acceptance that keeps nothing beside one that does": {
			head + strings.Replace(volume, "113.1", "131.1", 1) + "accepted:\n  size:\n    size/swept-volume: both handbooks print it\n    size/rod-ratio: once thought wrong\n",
			head + strings.Replace(volume, "113.1", "131.1", 1) + "accepted:\n  size:\n    size/swept-volume: both handbooks print it\n",
		},
		"the same in braces, last": {
			head + strings.Replace(volume, "113.1", "131.1", 1) + "accepted:\n  size: {size/swept-volume: both print it, size/rod-ratio: once thought wrong}\n",
			head + strings.Replace(volume, "113.1", "131.1", 1) + "accepted:\n  size: {size/swept-volume: both print it}\n",
		},
		"the same in braces, first": {
			head + strings.Replace(volume, "113.1", "131.1", 1) + "accepted:\n  size: {size/rod-ratio: once thought wrong, size/swept-volume: both print it}\n",
			head + strings.Replace(volume, "113.1", "131.1", 1) + "accepted:\n  size: {size/swept-volume: both print it}\n",
		},
		"two acceptances of one place that keep nothing": {
			head + volume + "accepted:\n  size: {size/swept-volume: both print it, size/rod-ratio: once thought wrong}\n  layout: {order/throws: as drawn}\n",
			head + volume,
		},
		"a place whose acceptances all keep nothing beside one that does": {
			head + strings.Replace(volume, "113.1", "131.1", 1) + "accepted:\n  size: {size/swept-volume: both print it}\n  layout: {order/throws: as drawn, order/intervals: as drawn}\n",
			head + strings.Replace(volume, "113.1", "131.1", 1) + "accepted:\n  size: {size/swept-volume: both print it}\n",
		},
		"an acceptance with a remark stays": {
			head + volume + "accepted:\n  # asked of the works in 1961\n  size: {size/swept-volume: both handbooks print it}\n",
			head + volume + "accepted:\n  # asked of the works in 1961\n  size: {size/swept-volume: both handbooks print it}\n",
		},
		"an acceptance stays while a figure cannot be read": {
			head + strings.Replace(volume, "bore: 3 in", "bore: 3 of them", 1) + "accepted:\n  size: {size/swept-volume: both handbooks print it}\n",
			head + strings.Replace(volume, "bore: 3 in", "bore: 3 of them", 1) + "accepted:\n  size: {size/swept-volume: both handbooks print it}\n",
		},
		"an acceptance stays while a source is not known": {
			head + strings.Replace(volume, "  handbook:", "  sheet:", 1) + "accepted:\n  size: {size/swept-volume: both handbooks print it}\n",
			head + strings.Replace(volume, "  handbook:", "  sheet:", 1) + "accepted:\n  size: {size/swept-volume: both handbooks print it}\n",
		},
		"a key in another section": {
			head + strings.Replace(strings.Replace(volume, "  stroke: 4 in\n", "", 1), "  cylinders: 4\n", "  cylinders: 4\n  # measured too\n  stroke: 4 in  # by the tape\n", 1),
			head + strings.Replace(volume, "  stroke: 4 in\n", "  # measured too\n  stroke: 4 in  # by the tape\n", 1),
		},
		"two keys in another section": {
			head + strings.Replace(strings.Replace(volume, "  stroke: 4 in\n  swept_volume: 113.1 cu in\n", "", 1), "  cylinders: 4\n", "  cylinders: 4\n  swept_volume: 113.1 cu in\n  stroke: 4 in\n", 1),
			head + volume,
		},
		"a key of no section": {
			"stroke: {is: 4 in, from: handbook p. 7}\n" + head + strings.Replace(volume, "  stroke: 4 in\n", "", 1),
			head + strings.Replace(volume, "  stroke: 4 in\n", "  stroke: {is: 4 in, from: handbook p. 7}\n", 1),
		},
		"a key whose section names another source stays": {
			head + strings.Replace(strings.Replace(volume, "  stroke: 4 in\n", "", 1), "p. 6\n  cylinders: 4\n", "p. 5\n  cylinders: 4\n  stroke: 4 in\n", 1),
			head + strings.Replace(strings.Replace(volume, "  stroke: 4 in\n", "", 1), "p. 6\n  cylinders: 4\n", "p. 5\n  cylinders: 4\n  stroke: 4 in\n", 1),
		},
		"a key that its own section has too stays": {
			head + strings.Replace(volume, "  cylinders: 4\n", "  cylinders: 4\n  stroke: 5 in\n", 1),
			head + strings.Replace(volume, "  cylinders: 4\n", "  cylinders: 4\n  stroke: 5 in\n", 1),
		},
		"a key that could not be read there stays": {
			head + strings.Replace(strings.Replace(volume, "  stroke: 4 in\n", "", 1), "  cylinders: 4\n", "  cylinders: 4\n  stroke: four\n", 1),
			head + strings.Replace(strings.Replace(volume, "  stroke: 4 in\n", "", 1), "  cylinders: 4\n", "  cylinders: 4\n  stroke: four\n", 1),
		},
		"a key that would leave nothing behind stays": {
			head + "checks:\n  stroke: {is: 4 in, from: handbook p. 7}\n" + strings.Replace(volume, "  stroke: 4 in\n", "", 1),
			"", // wherever the sections stand, the key is still where it was
		},
	} {
		t.Run(name, func(t *testing.T) {
			got := fixedText(t, c.source)
			if c.want == "" {
				assert.Contains(t, got, "checks:\n  stroke: {is: 4 in, from: handbook p. 7}\n")
				return
			}
			assert.Equal(t, c.want, got)
			assert.Equal(t, got, fixedText(t, got), "fixing twice is fixing once")
		})
	}
}

// The last line of a file may have no line end, and lines may end as elsewhere.
func TestFixKeepsLinesApart(t *testing.T) {
	source := head + "layout:\n  from: handbook p. 6\n  cylinders: 4\n  stroke: 4 in\nsources:\n  handbook: {title: Instruction book, issued: 1927, grade: maker}\nsize:\n  from: handbook p. 6\n  bore: 3 in"
	want := head + "layout:\n  from: handbook p. 6\n  cylinders: 4\nsize:\n  from: handbook p. 6\n  bore: 3 in\n  stroke: 4 in\nsources:\n  handbook: {title: Instruction book, issued: 1927, grade: maker}\n"
	assert.Equal(t, want, fixedText(t, source))
	assert.Equal(t, want, fixedText(t, strings.ReplaceAll(source, "\n", "\r\n")))
}

func TestFixLeavesContextAlone(t *testing.T) {
	inputs := engineFile("title: Example\nformat: 1\nengine: example/example\n")
	inputs[0].Context = true
	fixed, err := fix(t, inputs, rules.All())
	require.NoError(t, err)
	assert.Empty(t, fixed)
}

func TestFixSeveralFiles(t *testing.T) {
	var inputs []lint.Input
	for _, name := range []string{"engines/b.yaml", "engines/a.yaml", "engines/clean.yaml"} {
		source := "title: T\nformat: 1\nengine: a/b\n"
		if strings.HasSuffix(name, "clean.yaml") {
			source = "format: 1\nengine: a/b\ntitle: T\n"
		}
		inputs = append(inputs, lint.Input{Name: name, Read: func() ([]byte, error) { return []byte(source), nil }})
	}
	fixed, err := fix(t, inputs, rules.All())
	require.NoError(t, err)
	require.Len(t, fixed, 2)
	assert.Equal(t, []string{"engines/a.yaml", "engines/b.yaml"}, []string{fixed[0].Name, fixed[1].Name})
	assert.Equal(t, []string{"write the file in canonical form"}, fixed[0].Titles)
}

// offering is a rule whose fix for a text is what offer says; nil for none.
func offering(name string, offer func(source string) *lint.Fix) *lint.Rule {
	return &lint.Rule{Name: name, File: func(p *lint.Pass) {
		if f := offer(string(p.File.Doc.Source)); f != nil {
			p.Report(schema.Place{File: p.File, Node: p.File.Doc.Root}, "wrong").Fix = f
		}
	}}
}

// replacing offers to replace the first place where a text stands.
func replacing(name, what, with string) *lint.Rule {
	return offering(name, func(source string) *lint.Fix {
		i := strings.Index(source, what)
		if i < 0 {
			return nil
		}
		return &lint.Fix{Title: name, Edits: []lint.Edit{{Start: i, End: i + len(what), Text: with}}}
	})
}

// Fixes that would do harm are refused, and nothing is fixed.
func TestFixRefuses(t *testing.T) {
	at := func(start, end int, with string) *lint.Rule {
		return offering("test/edit", func(string) *lint.Fix {
			return &lint.Fix{Title: "an edit", Edits: []lint.Edit{{Start: start, End: end, Text: with}}}
		})
	}
	source := head + volume + "# 52½ ABDC\n"
	for name, c := range map[string]struct {
		rule *lint.Rule
		says string
	}{
		"another figure":                 {replacing("test/figure", "3 in", "4 in"), "would be lost or changed"},
		"another print of one value":     {replacing("test/print", "3 in", "3.0 in"), "would be lost or changed"},
		"a figure in quotes":             {replacing("test/quotes", "3 in", `"3 in"`), "would be lost or changed"},
		"a figure less":                  {replacing("test/less", "  bore: 3 in\n", ""), "would be lost or changed"},
		"a figure more":                  {replacing("test/more", "  stroke", "  rod_centres: 9 in\n  stroke"), "would come from nowhere"},
		"another source":                 {replacing("test/source", "from: handbook p. 6\n  bore", "from: handbook p. 7\n  bore"), "would be lost or changed"},
		"a source from the next section": {replacing("test/section", "  from: handbook p. 6\n  bore", "  bore"), "would be lost or changed"},
		"figures that change places": {offering("test/swap", func(s string) *lint.Fix {
			b, c := strings.Index(s, "3 in"), strings.Index(s, "4 in")
			if b > c {
				return nil
			}
			return &lint.Fix{Title: "swap", Edits: []lint.Edit{{Start: b, End: b + 4, Text: "4 in"}, {Start: c, End: c + 4, Text: "3 in"}}}
		}), "the figure size.bore: 3 in [handbook p. 6] would be lost or changed"},
		"a comment less":     {replacing("test/comment", "# 52½ ABDC\n", ""), "the comment # 52½ ABDC would be lost"},
		"a file broken":      {replacing("test/broken", "title: Example", "title: [Example"), "could not be read any more"},
		"a key to nowhere":   {replacing("test/key", "  cylinders:", "  cilinders:"), "would be lost or changed"},
		"beyond the end":     {at(len(source), len(source)+1, ""), "does not fit the file"},
		"before the start":   {at(-1, 0, ""), "does not fit the file"},
		"backwards":          {at(5, 4, ""), "does not fit the file"},
		"within a character": {at(strings.Index(source, "½")+1, len(source), "\n"), "does not fit the file"},
		"edits over one another": {offering("test/over", func(string) *lint.Fix {
			return &lint.Fix{Title: "over", Edits: []lint.Edit{{Start: 0, End: 4, Text: "a"}, {Start: 3, End: 6, Text: "b"}}}
		}), "two changes touch the same part"},
		"no end": {offering("test/more-blank-lines", func(s string) *lint.Fix {
			return &lint.Fix{Title: "another line", Edits: []lint.Edit{{Start: len(s), End: len(s), Text: "\n"}}}
		}), "after 50 rounds there is still something to fix in engines/example/example.yaml"},
		"to and fro": {offering("test/to-and-fro", func(s string) *lint.Fix {
			if strings.HasSuffix(s, "\n\n") {
				return &lint.Fix{Title: "fro", Edits: []lint.Edit{{Start: len(s) - 1, End: len(s)}}}
			}
			return &lint.Fix{Title: "to", Edits: []lint.Edit{{Start: len(s), End: len(s), Text: "\n"}}}
		}), "there is still something to fix"},
	} {
		t.Run(name, func(t *testing.T) {
			fixed, err := fix(t, engineFile(source), []*lint.Rule{c.rule})
			require.ErrorContains(t, err, c.says)
			assert.ErrorContains(t, err, "nothing is fixed")
			assert.Empty(t, fixed)
		})
	}
}

// What one rule offers is made in one go where its fixes leave one another
// alone, one that is offered twice is made once, and what only goes alone is
// made alone. The rules have their turns by level, then by name.
func TestFixesTogether(t *testing.T) {
	fixed, err := fix(t, engineFile("format: 1 \nengine: a/b \ntitle: T  \n"), []*lint.Rule{
		replacing("test/title", "title: T ", "title: T"), replacing("test/format", "format: 1 ", "format: 1"), replacing("test/engine", "engine: a/b ", "engine: a/b"),
	})
	require.NoError(t, err)
	require.Len(t, fixed, 1)
	assert.Equal(t, "format: 1\nengine: a/b\ntitle: T\n", string(fixed[0].After))
	assert.Equal(t, []string{"test/engine", "test/format", "test/title", "test/title"}, fixed[0].Titles)

	several := func(source string, fixes ...*lint.Fix) (string, []string) {
		rounds := 0
		rule := &lint.Rule{Name: "test/several", Level: lint.Warning, File: func(p *lint.Pass) {
			if string(p.File.Doc.Source) != source {
				return
			}
			rounds++
			for _, f := range fixes {
				p.Report(schema.Place{File: p.File, Node: p.File.Doc.Root}, "wrong").Fix = f
			}
		}}
		fixed, err := fix(t, engineFile(source), []*lint.Rule{rule, replacing("test/less-grave", "nothing", "")})
		require.NoError(t, err)
		require.Len(t, fixed, 1)
		require.Equal(t, 2, rounds, "once to see what there is to fix, once to fix it")
		return string(fixed[0].After), fixed[0].Titles
	}
	edits := func(title string, e ...lint.Edit) *lint.Fix { return &lint.Fix{Title: title, Edits: e} }
	blank := lint.Edit{Start: 4, End: 5}
	after, titles := several("a: 1 \nb: 2 \n", edits("one", blank), edits("again", blank), edits("other", lint.Edit{Start: 10, End: 11}))
	assert.Equal(t, "a: 1\nb: 2\n", after)
	assert.Equal(t, []string{"one", "other"}, titles)

	// Each moves the one comment, and both at once would double it.
	source := "a: 1\n# x\nb: 2\n"
	after, titles = several(source, edits("up", lint.Edit{Start: 0, End: 0, Text: "# x\n"}, lint.Edit{Start: 5, End: 9}), edits("down", lint.Edit{Start: 14, End: 14, Text: "# x\n"}))
	assert.Equal(t, "# x\na: 1\nb: 2\n", after)
	assert.Equal(t, []string{"up"}, titles)
}

func TestApply(t *testing.T) {
	edit := func(start, end int, with string) *lint.Fix {
		return &lint.Fix{Edits: []lint.Edit{{Start: start, End: end, Text: with}}}
	}
	after, err := run.Apply([]byte("abcdef"), edit(4, 5, ""), edit(0, 1, "A"), edit(2, 2, "-"))
	require.NoError(t, err)
	assert.Equal(t, "Ab-cdf", string(after))
	_, err = run.Apply([]byte("abcdef"), edit(2, 2, "-"), edit(2, 2, "+"))
	assert.Error(t, err, "which comes first?")
	after, err = run.Apply([]byte("abcdef"), edit(2, 2, "-"), edit(2, 3, "C"))
	require.NoError(t, err)
	assert.Equal(t, "ab-Cdef", string(after))
}

func TestFixStopsWhenCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := run.Fix(ctx, engineFile("title: T\nformat: 1\n"), run.Options{Rules: rules.All()})
	assert.ErrorIs(t, err, context.Canceled)
}

func TestFixOfAFileThatCannotBeRead(t *testing.T) {
	inputs := engineFile("")
	inputs[0].Read = func() ([]byte, error) { return nil, errors.New("gone") }
	fixed, err := fix(t, inputs, rules.All())
	require.NoError(t, err, "the linter says so; there is nothing to fix")
	assert.Empty(t, fixed)
}

// prints lists every figure of a file: base and variants, place, claim, print
// and source, in their order.
func prints(name, source string) []string {
	e, _ := schema.DecodeEngine(schema.ReadFile(name, []byte(source)))
	var all []string
	for _, one := range e.All() {
		for _, f := range one.Figures() {
			for _, c := range f.Claims {
				all = append(all, fmt.Sprint(one.Variant, "|", f.Path, "|", c.Key, "|", c.Printed.Text, "|", c.From))
			}
		}
	}
	slices.Sort(all)
	return all
}

// figureTexts lists what stands as a figure, or would if its key were known: all
// scalars below the sections of figures.
func figureTexts(source string) []string {
	var all []string
	text.Parse([]byte(source), text.DefaultLimits()).Walk(func(path text.Path, n *text.Node) bool {
		if len(path) == 1 && path[0] == "accepted" {
			return false
		}
		if n.Kind == text.Scalar {
			all = append(all, n.Text)
		}
		return true
	})
	slices.Sort(all)
	return all
}

// Whatever a file holds, fixing it changes no figure, and fixing it again
// changes nothing.
func TestFixNeverChangesAFigure(t *testing.T) {
	var texts, lines []string
	for _, r := range rules.All() {
		for _, in := range slices.Concat(lint.ExampleInputs(r.Bad), lint.ExampleInputs(r.Good)) {
			b, err := in.Read()
			require.NoError(t, err)
			texts = append(texts, string(b))
			lines = append(lines, strings.Split(string(b), "\n")...)
		}
	}
	for range len(texts) / 3 { // where keys can go astray
		texts = append(texts, head+volume, head+volume+"ignition: # sparks\n  from: handbook p. 6\n  kind: magneto\naccepted:\n  size: {size/swept-volume: why, size/rod-ratio: why}\n")
	}
	astray := []string{"  rod_centres: 9 in", "  rated_speed: 3000 rpm  # so", "  advance: 38 BTDC", "  bank_angle: {is: 90, from: handbook p. 9}", "chamber_volume: {is: 3 cu in, from: handbook}",
		"    arrangement: in-line", "  compression_ratio: 5.2", "  piston_speed: unknown", "accepted: {size: {size/swept-volume: why}}", "  size: {size/rod-ratio: why}", "# remark", "    # remark", ""}
	indent := regexp.MustCompile(`^ *`)
	fixes := 0
	rapid.Check(t, func(rt *rapid.T) {
		l := strings.Split(rapid.SampledFrom(texts).Draw(rt, "example"), "\n")
		for range rapid.IntRange(0, 6).Draw(rt, "changes") {
			i := rapid.IntRange(0, len(l)-1).Draw(rt, "line")
			switch rapid.IntRange(0, 7).Draw(rt, "change") {
			case 0:
				l = slices.Insert(l, i, rapid.SampledFrom(lines).Draw(rt, "other line"))
			case 1, 2:
				l = slices.Insert(l, i, rapid.SampledFrom(astray).Draw(rt, "line astray"))
			case 3:
				l = slices.Delete(l, i, i+1)
				l = append(l, "")
			case 4: // indented otherwise
				l[i] = indent.ReplaceAllString(l[i], strings.Repeat(" ", rapid.IntRange(0, 6).Draw(rt, "indent")))
			case 5: // moved elsewhere
				j := rapid.IntRange(0, len(l)-1).Draw(rt, "to")
				l[i], l[j] = l[j], l[i]
			case 6:
				l[i] += rapid.SampledFrom([]string{" ", "  # remark", "\r", " \t"}).Draw(rt, "behind")
			case 7:
				l[i] = strings.Replace(l[i], ": ", ":   ", 1)
			}
		}
		source := strings.Join(l, "\n")
		got := fixedText(rt, source)
		if got != source {
			fixes++
		}
		require.Equal(rt, figureTexts(source), figureTexts(got))
		after := prints("x.yaml", got)
		for _, p := range prints("x.yaml", source) {
			i := slices.Index(after, p)
			require.GreaterOrEqual(rt, i, 0, "lost: %s", p)
			after = slices.Delete(after, i, i+1)
		}
		require.Equal(rt, got, fixedText(rt, got), "fixing twice is fixing once")
	})
	require.Positive(t, fixes, "nothing was fixed, so nothing was tried")
}
