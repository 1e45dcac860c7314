package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// refused are documents with what must be said of them, each Problem as
// line:column and words of the sentence, and what is read all the same.
var refused = []struct {
	name, source string
	problems     []string
	read         string
}{
	{"anchor and alias", "a: &x 1\nb: *x\nc: 3\n",
		[]string{"1:4 anchors", "2:4 aliases"}, "{a: 1, b: ~, c: 3}"},
	{"alias bomb", "a: &a [x, x]\nb: &b [*a, *a]\n",
		[]string{"1:4 anchors", "2:4 anchors", "2:8 aliases", "2:12 aliases"}, "{a: [x, x], b: [~, ~]}"},
	{"anchor above a map", "a: &x\n  b: 1\nc: 2\n", []string{"1:4 anchors"}, "{a: {b: 1}, c: 2}"},
	{"tag", "a: !!str 010\n! b: 1\n", []string{"1:4 tags", "2:1 tags"}, "{a: 010, b: 1}"},
	{"tag before a key of a list item", "- !t a: 1\n  b: 2\n", []string{"1:3 tags"}, "[{a: 1, b: 2}]"},
	{"merge key", "a:\n  <<: {b: 1}\n  c: 2\n", []string{"2:3 merge keys"}, "{a: {<<: {b: 1}, c: 2}}"},
	{"two documents", "a: 1\n---\nb: 2\n", []string{"2:1 one document"}, "{a: 1, b: 2}"},
	{"document end", "a: 1\n...\n", []string{"2:1 one document"}, "{a: 1}"},
	{"text after the dashes", "--- a: 1\nb: 2\n", []string{"1:1 one document"}, "{b: 2}"},
	{"two leading dashes", "---\n---\na: 1\n", []string{"2:1 one document"}, "{a: 1}"},
	{"directive", "%YAML 1.2\n---\na: 1\n", []string{"1:1 directive"}, "{a: 1}"},
	{"tabs", "a:\n\tb: 1\n\tc: 2\nd: 3\n", []string{"2:1 use spaces", "3:1 use spaces"}, "{a: {b: 1, c: 2}, d: 3}"},
	{"tab after spaces", "a:\n  \tb: 1\n", []string{"2:3 use spaces"}, "{a: {b: 1}}"},
	{"tab in brackets", "a: [1,\n\t2]\n", []string{"2:1 use spaces"}, "{a: [1, 2]}"},
	{"tab after a dash", "-\ta: 1\n", []string{"1:2 tab after the dash"}, "[{a: 1}]"},
	{"duplicate", "a: 1\nb: 2\n'a': 3\n", []string{"3:1 `a` stands on line 1 and again on line 3"}, `{a: 1, b: 2, "a": 3}`},
	{"duplicate in braces", "a: {b: 1, c: 2, b: 3}\n", []string{"1:17 `b` stands on line 1 and again on line 1"}, "{a: {b: 1, c: 2, b: 3}}"},
	{"long duplicate", strings.Repeat("½", 50) + ": 1\n" + strings.Repeat("½", 50) + ": 2\n",
		[]string{"2:1 `" + strings.Repeat("½", 40) + "…` stands on"}, "{" + strings.Repeat("½", 50) + ": 1, " + strings.Repeat("½", 50) + ": 2}"},
	{"duplicate of control characters", "a\x1bb: 1\na\x1bb: 2\n",
		[]string{"1:2 U+001B", "2:1 `a\ufffdb` stands on", "2:2 U+001B"}, "{a\x1bb: 1, a\x1bb: 2}"},
	{"complex key", "? a\n: b\nc: d\n", []string{"1:1 question mark"}, "~"},
	{"complex key among others", "a: 1\n? b\n: c\nd: 2\n", []string{"2:1 question mark", "3:1 no key stands before"}, "{a: 1, : c, d: 2}"},
	{"list as key", "[a]: b\n", []string{"1:1 one line of text"}, "[a]"},
	{"map as key in braces", "a: {{b: c}: d}\n", []string{"1:5 one line of text"}, "{a: {{b: c}: d}}"},
	{"key over two lines", "a: {b\n  c: d}\n", []string{"1:5 no value", "2:3 comma is missing"}, "{a: {b: ~, c: d}}"},
	{"quoted key over two lines", "a: {'b\n  c': d}\n", []string{"1:5 on one line with its colon"}, `{a: {"b c": d}}`},
	{"colon on the next line", "a: {b\n  : c}\n", []string{"1:5 on one line with its colon"}, "{a: {b: c}}"},
	{"no key", "a: 1\n: 2\n", []string{"2:1 no key stands before"}, "{a: 1, : 2}"},
	{"long key", strings.Repeat("k", 1025) + ": 1\n", []string{"1:1 longer than 1024"}, "{" + strings.Repeat("k", 1025) + ": 1}"},
	{"latin-1", "a: 52\xbd ABDC\nb: 1\n", []string{"1:6 not UTF-8"}, "{a: 52\xbd ABDC, b: 1}"},
	{"NUL", "a: x\x00y\nb: 1\n", []string{"1:5 U+0000"}, "{a: x\x00y, b: 1}"},
	{"control", "a: \x1b[2J\nb: 1\x7f\n", []string{"1:4 U+001B", "2:5 U+007F"}, "{a: \x1b[2J, b: 1\x7f}"},
	{"next line", "a: b\u0085c\n", []string{"1:5 line separator"}, "{a: b\u0085c}"},
	{"line separator", "a: b\u2028c\n", []string{"1:5 line separator"}, "{a: b\u2028c}"},
	{"second byte order mark", "a: \ufeffb\n", []string{"1:4 byte order mark"}, "{a: \ufeffb}"},
	{"UTF-16", "\xff\xfea\x00:\x00", []string{"1:1 UTF-16"}, "nothing"},
	{"binary", "\x7fELF" + strings.Repeat("\x01\x00", 40), []string{"1:1 not a text file"}, "nothing"},
	{"empty", "", []string{"1:1 the file is empty"}, "nothing"},
	{"only comments", "# a\n\n# b\n", []string{"4:1 the file is empty"}, "nothing"},
	{"unclosed double quote", "a: \"b\nc: 1\n", []string{`1:4 add the closing "`}, `{a: "b", c: 1}`},
	{"unclosed single quote over lines", "a:\n  b: 'c\n    d\n  e: 1\nf: 2\n", []string{`2:6 add the closing '`}, `{a: {b: "c", e: 1}, f: 2}`},
	{"unclosed quote before blanks", "a: 'b  \nc: 1\n", []string{`1:4 add the closing '`}, `{a: "b", c: 1}`},
	{"unclosed quote in the first line", "\"a: 1\nb: 2\n", []string{`1:1 add the closing "`}, "{b: 2}"},
	{"unclosed quoted key", "a: 1\n\"b: 2\nc: 3\n", []string{`2:1 add the closing "`}, "{a: 1, c: 3}"},
	{"unclosed quote in braces", "a: {b: \"c, d: e}\nf: 1\n", []string{`1:8 add the closing "`}, `{a: {b: "c, d: e}"}, f: 1}`},
	{"unclosed quote in JSON", "{\n\"a\": 1,\n\"b\": \"c,\n}\n", []string{`3:6 add the closing "`}, `{"a": 1, "b": "c,"}`},
	{"unclosed bracket", "a: [1, 2\nb: 3\n", []string{"1:4 add the ]"}, "{a: [1, 2], b: 3}"},
	{"unclosed brace", "a:\n  b: {c: 1,\n    d: 2\n  e: 3\n", []string{"2:6 add the }"}, "{a: {b: {c: 1, d: 2}, e: 3}}"},
	{"unclosed inside another", "a: {b: [1, 2\nc: 3\n", []string{"1:8 add the ]"}, "{a: {b: [1, 2]}, c: 3}"},
	{"unclosed while typing", "a: {b\nc: 3\n", []string{"1:4 add the }"}, "{a: {b: ~}, c: 3}"},
	{"wrong bracket", "a: {b: [1, 2}\nc: 3\n", []string{"1:13 [ is closed by }"}, "{a: {b: [1, 2]}, c: 3}"},
	{"wrong bracket alone", "a: [1, 2}\nc: 3\n", []string{"1:9 [ is closed by }"}, "{a: [1, 2], c: 3}"},
	{"bracket too far out", "a:\n  b: {\n    c: 1\n  }\nd: 2\n", []string{"4:3 indent it"}, "{a: {b: {c: 1}}, d: 2}"},
	{"text after a bracket", "a: [1] in\nb: 2\n", []string{"1:8 text follows the closing bracket"}, "{a: [1], b: 2}"},
	{"text after a quote", "bore: \"2 15/16\"\"\nb: 2\n", []string{"1:16 text follows the closing quote"}, `{bore: "2 15/16", b: 2}`},
	{"comment without space", "a: \"1\"# c\nb: [2]#d\n", []string{"1:7 a space before its #", "2:7 a space before its #"}, `{a: "1", b: [2]}`},
	{"missing comma", "a: [1\n  \"b\": 2]\nb: {c: 1 d: 2}\n", []string{"2:3 comma is missing", "2:3 braces of its own", "3:11 a second colon"}, `{a: [1, {"b": 2}], b: {c: 1 d}}`},
	{"doubled comma", "a: [1,, 2]\nb: [,]\n", []string{"1:7 before this comma", "2:5 before this comma"}, "{a: [1, 2], b: []}"},
	{"no space after the colon", "a: {b:1}\nc: {d:[1]}\n", []string{"1:5 with a space after the colon", "2:6 no space"}, "{a: {b:1: ~}, c: {d: [1]}}"},
	{"entry in a list", "a: [b: 1, c]\n", []string{"1:5 braces of its own"}, "{a: [{b: 1}, c]}"},
	{"dash in brackets", "a: [- 1]\n", []string{"1:5 a - alone"}, "{a: [- 1]}"},
	{"question mark in brackets", "a: {? b: 1, c: ? }\nd: [?]\n", []string{"1:5 a ? alone", "1:16 a ? alone", "2:5 a ? alone"}, "{a: {? b: 1, c: ?}, d: [?]}"},
	{"not a number", "a: .nan\nb: -.Inf\nc: [.inf]\n", []string{"1:4 no finite number", "2:4 no finite number", "3:5 no finite number"}, "{a: .nan, b: -.Inf, c: [.inf]}"},
	{"wide exponent", "a: 1e999999999\nb: 1e-201\nc: 1e200\n", []string{"1:4 exponent", "2:4 exponent"}, "{a: 1e999999999, b: 1e-201, c: 1e200}"},
	{"long number", "a: " + strings.Repeat("1", 65) + "\n", []string{"1:4 longer than 64"}, "{a: " + strings.Repeat("1", 65) + "}"},
	{"merge conflict", "a: 1\n<<<<<<< ours\nb: 2\n||||||| base\nb: 3\n=======\nb: 4\n>>>>>>> theirs\nc: 5\n",
		[]string{"2:1 unresolved merge", "4:1 unresolved merge", "6:1 unresolved merge", "8:1 unresolved merge"}, "{a: 1, b: 2, b: 3, b: 4, c: 5}"},
	{"merge conflict in JSON", "{\n\"a\": 1,\n<<<<<<< ours\n\"b\": 2\n=======\n\"b\": 3\n>>>>>>> theirs\n}\n",
		[]string{"3:1 unresolved merge", "5:1 unresolved merge", "7:1 unresolved merge"}, `{"a": 1, "b": 2, "b": 3}`},
	{"merge conflict deep inside", "a:\n  b:\n    c: x\n<<<<<<< ours\n      y\n=======\n>>>>>>> theirs\n    d: 1\n",
		[]string{"4:1 unresolved merge", "5:7 stands further in", "6:1 unresolved merge", "7:1 unresolved merge"}, "{a: {b: {c: x, d: 1}}}"},
	{"entry further in", "a: 1\n   b: 2\nc: 3\n", []string{"2:4 further in"}, "{a: 1, b: 2, c: 3}"},
	{"entry between two columns", "a:\n    b: 1\n  c: 2\nd: 3\n", []string{"3:3 lines up with none"}, "{a: {b: 1, c: 2}, d: 3}"},
	{"continued text looks like an entry", "a: 4 thou\n  b: 6 thou\n", []string{"2:3 further in"}, "{a: 4 thou, b: 6 thou}"},
	{"continued text looks like an item", "a: first\n  - second\nb: 1\n", []string{"2:3 list item stands among"}, "{a: first, b: 1}"},
	{"text after a comment", "a: first # c\n  second\nb: 1\n", []string{"2:3 further in"}, "{a: first, b: 1}"},
	{"no colon", "a: 1\nb 2\nc: 3\n", []string{"2:1 no `key: value`"}, "{a: 1, c: 3}"},
	{"no colon in the first line", "a 1\nb: 2\n", []string{"1:1 no `key: value`"}, "{b: 2}"},
	{"no colon in the first line of a map", "a:\n  b 1\n  c: 2\n", []string{"2:3 no `key: value`"}, "{a: {c: 2}}"},
	{"no space after a colon", "a: 1\nb:2\nc: 3\n", []string{"2:1 a colon and a space"}, "{a: 1, c: 3}"},
	{"no-break space", "a: 1\nb:\u00a02\nc: 3\n", []string{"2:2 no-break space"}, "{a: 1, c: 3}"},
	{"two colons", "a: b: c\nd: 1\n", []string{"1:5 second colon"}, "{a: b: c, d: 1}"},
	{"two colons in braces", "a: {b: c: d, e: 1}\n", []string{"1:9 second colon"}, "{a: {b: c, e: 1}}"},
	{"list on the line of its key", "a: - 1\nb: 2\n", []string{"1:4 a list cannot start"}, "{a: - 1, b: 2}"},
	{"question as value", "a: ? b\nc: 1\n", []string{"1:4 question mark"}, "{a: ? b, c: 1}"},
	{"item among entries", "a: 1\n- b\nc: 2\n", []string{"2:1 list item stands among"}, "{a: 1, c: 2}"},
	{"bracket as key", "a: 1\n[b]\nc: 2\n", []string{"2:1 bracket stands where a key"}, "{a: 1, c: 2}"},
	{"entry among items", "a:\n  - 1\n  b: 2\n  - 3\nc: 4\n", []string{"3:3 no list item"}, "{a: [1, 3], c: 4}"},
	{"dash in another column", "a:\n  - 1\n    - 2\n - 3\nb: 4\n", []string{"3:5 dash lines up with none", "4:2 dash lines up with none"}, "{a: [1, 2, 3], b: 4}"},
	{"reserved starts", "a: @b\nc: `d\ne: %f\n,g: 1\n", []string{"1:4 start with @", "2:4 start with `", "3:4 start with %", "4:1 start with ,"}, "{a: @b, c: `d, e: %f, ,g: 1}"},
	{"block of text in brackets", "a: [|, b]\n", []string{"1:5 start with |"}, "{a: [|, b]}"},
	{"bad escapes", `a: "\q \x4 \ud83d\ude00 \0 \e \u0085 \N"` + "\nb: 1\n",
		[]string{"1:5 write it twice", "1:8 takes 2 hexadecimal", "1:12 stands for no character", "1:18 stands for no character",
			"1:25 control character", "1:28 control character", "1:31 control character", "1:38 control character"}, `{a: "\\q      ", b: 1}`},
	{"text after a block header", "a: | b\n  c\nd: 1\n", []string{"1:6 begin it on the next line"}, `{a: "c\n", d: 1}`},
	{"blank line wider than the text", "a: |\n     \n  b\nc: 1\n", []string{"2:1 more spaces than the text"}, `{a: "   \nb\n", c: 1}`},
	{"tab where a block is indented", "a: |\n\t\n  b\n", []string{"2:1 use spaces", "3:3 further in"}, `{a: ""}`},
	{"block of text too far out", "a: |\n    b\n  c\nd: 1\n", []string{"3:3 further in"}, `{a: "b\n", d: 1}`},
	{"blanks at the end of a kept block", "a: |+\n  b\n ", []string{"3:1 delete them, or end the line"}, `{a: "b\n"}`},
	{"text after a whole file of JSON", "{a: 1}\nb: 2 # c\n# d\n", []string{"2:1 text follows the closing bracket"}, "{a: 1}"},
	{"text after a scalar", "'a'\n'b'\n", []string{"2:1 write `key: value` on every line"}, `"a"`},
	{"decimal comma in braces", "a: {inlet: 0,45 mm, exhaust: 0,5 mm}\n",
		[]string{"1:14 the comma splits `0,45 mm`", "1:32 the comma splits `0,5 mm`"}, "{a: {inlet: 0, 45 mm: ~, exhaust: 0, 5 mm: ~}}"},
	{"decimal comma without unit", "a: {inlet: 0,45}\n", []string{"1:14 the comma splits `0,45`"}, "{a: {inlet: 0, 45: ~}}"},
	{"comma and no value", "a: {inlet: 0, 45 mm}\n", []string{"1:15 this entry has no value"}, "{a: {inlet: 0, 45 mm: ~}}"},
	{"decimal comma in a list", "a: [0,45 mm, 0,5 mm]\n", []string{"1:5 the comma splits `0,45 mm`", "1:14 the comma splits `0,5 mm`"}, "{a: [0, 45 mm, 0, 5 mm]}"},
	{"too deep in brackets", "a: " + strings.Repeat("[", 40) + strings.Repeat("]", 40) + "\nb: 1\n",
		[]string{"1:35 more than 32 levels"}, "{a: " + strings.Repeat("[", 31) + "~" + strings.Repeat("]", 31) + ", b: 1}"},
	{"too deep in dashes", "a:\n  " + strings.Repeat("- ", 40) + "x\nb: 1\n",
		[]string{"2:65 more than 32 levels"}, "{a: " + strings.Repeat("[", 31) + "~" + strings.Repeat("]", 31) + ", b: 1}"},
	{"too deep in maps", nest(40) + "b: 1\n", []string{"33:33 more than 32 levels"},
		"{" + strings.Repeat("k: {", 31) + "k: ~" + strings.Repeat("}", 31) + ", b: 1}"},
}

// nest writes maps inside one another.
func nest(depth int) string {
	var b strings.Builder
	for i := range depth {
		b.WriteString(strings.Repeat(" ", i) + "k:\n")
	}
	return b.String()
}

func TestRefused(t *testing.T) {
	for _, c := range refused {
		t.Run(c.name, func(t *testing.T) {
			d := Parse([]byte(c.source), DefaultLimits())
			requireSound(t, d)
			assert.Equal(t, c.read, outline(d.Root))
			said := messages(d)
			require.Len(t, said, len(c.problems), "%q", said)
			for i, want := range c.problems {
				place, words, _ := strings.Cut(want, " ")
				assert.True(t, strings.HasPrefix(said[i], place+" "), "%q at %s", said[i], place)
				assert.Contains(t, said[i], words)
			}
		})
	}
}

// TestProblemsTellWhatToDo holds every sentence to the same form: what is
// wrong, a colon, what to do.
func TestProblemsTellWhatToDo(t *testing.T) {
	for _, c := range refused {
		for _, p := range Parse([]byte(c.source), DefaultLimits()).Problems {
			assert.Contains(t, p.Message, ": ")
			assert.NotContains(t, p.Message, "\n")
			assert.False(t, strings.HasSuffix(p.Message, "."), p.Message)
		}
	}
}

func TestLimits(t *testing.T) {
	d := Parse([]byte("a: 1\nb: 2\n"), Limits{Bytes: 9})
	require.Equal(t, []string{"1:1 the file is 10 bytes long, the limit is 9: split it"}, messages(d))
	assert.Nil(t, d.Root)

	assert.Empty(t, Parse([]byte("a: 1\nb: 2\n"), Limits{Bytes: 10}).Problems)
	assert.Empty(t, Parse([]byte("a: [1]"), Limits{Depth: 2}).Problems)
	assert.Len(t, Parse([]byte("a: [1]"), Limits{Depth: 1}).Problems, 1)
	assert.Empty(t, Parse([]byte(strings.Repeat("[", 1000)+strings.Repeat("]", 1000)), Limits{Depth: 1 << 40}).Problems)
	assert.Len(t, Parse([]byte(strings.Repeat("[", 1001)+strings.Repeat("]", 1001)), Limits{Depth: 1 << 40}).Problems, 1)

	assert.Len(t, Parse(make([]byte, 1<<20+1), Limits{}).Problems, 1)
}

func TestManyProblems(t *testing.T) {
	d := Parse([]byte(strings.Repeat("a b\n", 500)+"c: d\n"+strings.Repeat("e f\n", 500)), DefaultLimits())
	require.Len(t, d.Problems, mostListed+1)
	assert.Equal(t, "401 more problems are not listed: mend those above first", d.Problems[mostListed].Message)
	assert.Equal(t, "{c: d}", outline(d.Root))
}

// TestLongHostileFiles reads 128 KiB of each. A reader that
// took time in the square of the length would not come back before the test
// is given up.
func TestLongHostileFiles(t *testing.T) {
	before := []string{"", "k:\n  ", "{a: ", "a: 'x\n", "- "}
	pieces := []string{
		"[", "{a: ", "- ", "[\n", "a: [\n", "a: \"\n", "\"", "'", "\"\\", "\\\"", "? ", "a: b\n", "{\"a\": b, ", "a: |\n", "a: |+\n\n",
		"a\n", " a\n", "&a ", "\n", " ", "\t", "#\n", "\n # c\n\n", "a: # c\n", "- # c\n", "<<<<<<< x\n", "---\n", "a, ", "0,1 mm,", "[],",
		"a:\n a:\n  a:\n", "a: {\n}\n", "\x00", "\xff", "½", "k: 1\nl: 2\n", ": ", "''", "&a\n", "- - -\n", "1",
	}
	for _, start := range before {
		for _, piece := range pieces {
			source := start + strings.Repeat(piece, (1<<17)/len(piece))
			d := Parse([]byte(source), DefaultLimits())
			d.Tail()
			assert.LessOrEqual(t, len(d.Problems), mostListed+1)
		}
	}
}
