package text

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestTokenSoup checks the laws of FuzzParse on texts put together from the
// pieces YAML is made of, which reach further than random bytes.
func TestTokenSoup(t *testing.T) {
	block := rapid.SampledFrom([]string{
		"\n", "\n", "\n", "\n  ", "\n  ", "\n    ", "\n ", "\r\n", "\r", " ", "  ", "\t", "a", "b", "x y", "½", "0", "45 mm", "1.5",
		": ", ": ", ": ", ":", ":\n", "- ", "- ", "-", "? ", "?", ", ", ",", "[", "]", "{", "}", "'", "\"", "''", "\\", "\\n", "\\x41",
		"#", " #", " # c\n", "|", ">", "|\n", ">\n", "|-\n  ", ">+\n  ", "|2\n", "|1-\n", "&a ", "*a", "! ", "---", "...", "\n---\n", "%",
		"<<", "\n=======\n", "@", "`", "key: ", "other: ", "a: b\n", "- c\n", "~", "null", "\uFEFF",
	})
	flow := rapid.SampledFrom([]string{
		"a", "b", "0", "½", " ", " ", "\n ", "\n", "\t", ": ", ": ", ":", ", ", ",", "[", "]", "[]", "{", "}", "{}", "'", "''", "\"", "\"c\"", "'d'",
		"-", "- ", "?", "? ", "#", " # c\n ", "|", "%", "&", "a: ", "b: ", ", c: 1", "x y",
	})
	literal := rapid.SampledFrom([]string{"|", ">", "+", "-", "1", "2", "\n", "\n", "\n ", "\n  ", " ", "  ", "\t", "a", "a b", "#", " # c", "- ", "b: ", "\r\n", "---"})
	rapid.Check(t, func(t *rapid.T) {
		pieces, start, end := block, "", ""
		switch rapid.IntRange(0, 3).Draw(t, "kind") {
		case 0:
			pieces, start, end = flow, "k: {", "}"
		case 1:
			pieces, start, end = flow, "[", "]\n"
		case 2:
			pieces, start = literal, "k: |"
		}
		source := start + strings.Join(rapid.SliceOfN(pieces, 0, 30).Draw(t, "pieces"), "") + end
		checkAgainstLibrary(t, []byte(source))
	})
}

// written is a document in the making: what is to be read, and how.
type written struct {
	t *rapid.T
	b strings.Builder
}

// TestGeneratedDocuments writes random trees in random notation and checks
// that they are read as meant, here and by the library.
func TestGeneratedDocuments(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := &written{t: t}
		w.gap(0)
		want := w.block(0, 0)
		d := Parse([]byte(w.b.String()), DefaultLimits())
		require.Empty(t, messages(d), "%s", w.b.String())
		require.Equal(t, want, outline(d.Root), "%s", w.b.String())
		checkAgainstLibrary(t, d.Source)
	})
}

func (w *written) chance(percent int) bool {
	return rapid.IntRange(1, 100).Draw(w.t, "chance") <= percent
}

func (w *written) indent(n int) { w.b.WriteString(strings.Repeat(" ", n)) }

// gap writes what may stand between two lines.
func (w *written) gap(indent int) {
	for w.chance(15) {
		switch rapid.IntRange(0, 2).Draw(w.t, "gap") {
		case 0:
			w.b.WriteString("\n")
		case 1:
			w.b.WriteString("   \n")
		case 2:
			w.indent(indent)
			w.b.WriteString("# own: comment\n")
		}
	}
}

// end ends a line.
func (w *written) end() {
	if w.chance(10) {
		w.b.WriteString("  # beside: it")
	}
	w.b.WriteString(rapid.SampledFrom([]string{"\n", "\n", "\n", " \n", "\r\n"}).Draw(w.t, "end"))
}

// block writes a block map or list whose lines start in column, the first of
// them with the indentation already written up to from. It returns its
// outline.
func (w *written) block(column, from int) string {
	var members []string
	isMap := w.chance(70)
	for i := range rapid.IntRange(1, 4).Draw(w.t, "members") {
		w.indent(column - from)
		from = 0
		if isMap {
			key := fmt.Sprintf("%s %d", rapid.StringMatching(`[a-z]{1,5}`).Draw(w.t, "key"), i)
			w.b.WriteString(key + ":")
			members = append(members, key+": "+w.value(column, true))
		} else {
			w.b.WriteString("-")
			members = append(members, w.value(column, false))
		}
		w.gap(column)
	}
	if isMap {
		return "{" + strings.Join(members, ", ") + "}"
	}
	return "[" + strings.Join(members, ", ") + "]"
}

// value writes a value after a colon or dash, with the line end, and returns
// its outline.
func (w *written) value(column int, ofMap bool) string {
	deep := column >= 9
	switch choice := rapid.IntRange(0, 9).Draw(w.t, "value"); {
	case choice == 0:
		w.end()
		return "~"
	case choice <= 2 && !deep:
		w.end()
		step := rapid.IntRange(1, 4).Draw(w.t, "step")
		w.gap(column + step)
		return w.block(column+step, 0)
	case choice == 3 && !deep && !ofMap:
		step := rapid.IntRange(1, 3).Draw(w.t, "step")
		w.indent(step)
		return w.block(column+1+step, column+1+step)
	case choice == 4:
		w.b.WriteString(" ")
		text := w.flow(column, 0)
		w.end()
		return text
	case choice == 5:
		return w.literal(column)
	}
	w.b.WriteString(" ")
	text := w.scalar(column)
	w.end()
	return text
}

// words draws the words of a text that is plain in any place.
func (w *written) words() []string {
	word := rapid.SampledFrom([]string{
		"52½", "ABDC", ".004\"", "52°30'", "±", "3", "-1", "a:b", "x#y", "it's", "010", "&c", "~1", "in", "é", "!", "?", "@home",
	})
	words := rapid.SliceOfN(word, 1, 5).Draw(w.t, "words")
	if strings.ContainsAny(words[0][:1], "&!?@-~") {
		words[0] = "w"
	}
	if len(words) > 1 && words[0] == "w" {
		words[0] = "No."
	}
	return words
}

// join writes words on one line or several, indented further than column.
func (w *written) join(words []string, column int) string {
	text := words[0]
	w.b.WriteString(words[0])
	for _, word := range words[1:] {
		lines := 0
		if w.chance(15) {
			lines = rapid.IntRange(1, 3).Draw(w.t, "lines")
		}
		if lines == 0 {
			w.b.WriteString(" " + word)
			text += " " + word
			continue
		}
		w.b.WriteString(strings.Repeat("\n", lines))
		w.indent(column + rapid.IntRange(1, 3).Draw(w.t, "more"))
		w.b.WriteString(word)
		if lines == 1 {
			text += " " + word
		} else {
			text += strings.Repeat("\n", lines-1) + word
		}
	}
	return text
}

// scalar writes a plain or quoted text.
func (w *written) scalar(column int) string {
	switch rapid.IntRange(0, 3).Draw(w.t, "style") {
	case 0:
		w.b.WriteString("\"")
		words := w.words()
		for i := range words {
			words[i] = strings.ReplaceAll(words[i], "\"", "”")
		}
		text := w.join(append(words, "z"), column)
		w.b.WriteString("\\t\\\"\\u00bd, [: #\"")
		return fmt.Sprintf("%q", text+"\t\"½, [: #")
	case 1:
		w.b.WriteString("'")
		words := w.words()
		for i := range words {
			words[i] = strings.ReplaceAll(words[i], "'", "’")
		}
		text := w.join(words, column)
		w.b.WriteString("'' - {#'")
		return fmt.Sprintf("%q", text+"' - {#")
	}
	return w.join(w.words(), column)
}

// flow writes a value in brackets, on one line or several.
func (w *written) flow(column, depth int) string {
	space := func() {
		switch {
		case w.chance(10):
			w.b.WriteString("\n")
			w.indent(column + 2)
		case w.chance(5):
			w.b.WriteString(" # in: here\n")
			w.indent(column + 1)
		case w.chance(50):
			w.b.WriteString(" ")
		}
	}
	isMap := w.chance(50)
	brackets := "[]"
	if isMap {
		brackets = "{}"
	}
	w.b.WriteString(brackets[:1])
	var members []string
	count := rapid.IntRange(0, 3).Draw(w.t, "members")
	for i := range count {
		space()
		member := ""
		if isMap {
			key := fmt.Sprintf("k%d", i)
			w.b.WriteString(key + ": ")
			member = key + ": "
		}
		if depth < 3 && w.chance(30) {
			member += w.flow(column, depth+1)
		} else {
			member += w.scalar(column)
		}
		members = append(members, member)
		space()
		if i < count-1 {
			w.b.WriteString(", ")
		}
	}
	if count > 0 && w.chance(10) {
		w.b.WriteString(",")
	}
	space()
	w.b.WriteString(brackets[1:])
	return brackets[:1] + strings.Join(members, ", ") + brackets[1:]
}

// literal writes a block of text and works out by itself what it must mean.
func (w *written) literal(column int) string {
	header, mark := "|", ""
	if w.chance(50) {
		header = ">"
	}
	step := rapid.IntRange(1, 3).Draw(w.t, "step")
	lines := rapid.SliceOfN(rapid.SampledFrom([]string{"one", "two: x", "# three", "", " deeper", "- 4"}), 1, 6).Draw(w.t, "lines")
	lines = append(lines, "last")
	if first := strings.TrimLeft(strings.Join(lines, "\n"), "\n"); strings.HasPrefix(first, " ") {
		mark = fmt.Sprint(step)
	}
	chomp := rapid.SampledFrom([]string{"", "-", "+"}).Draw(w.t, "chomp")
	w.b.WriteString(" " + header + mark + chomp + "\n")
	for _, line := range lines {
		if line != "" {
			w.indent(column + step)
		}
		w.b.WriteString(line + "\n")
	}
	after := rapid.IntRange(0, 2).Draw(w.t, "after")
	w.b.WriteString(strings.Repeat("\n", after))
	text := strings.Join(lines, "\n")
	if header == ">" {
		text = foldedText(lines)
	}
	switch chomp {
	case "":
		text += "\n"
	case "+":
		text += strings.Repeat("\n", 1+after)
	}
	// A gap after would belong to a text that keeps its line ends.
	w.b.WriteString(strings.Repeat(" ", column) + "#\n")
	return fmt.Sprintf("%q", text)
}

// foldedText folds lines by the words of YAML 1.2.2, 8.1.3: a line end between
// two lines that both start at the indentation becomes a space, or is dropped
// when empty lines follow; around a deeper line everything stays.
func foldedText(lines []string) string {
	text, empty, last := "", 0, ""
	for i, line := range lines {
		switch {
		case line == "":
			empty++
			continue
		case last == "":
			text += strings.Repeat("\n", empty)
		case strings.HasPrefix(last, " ") || strings.HasPrefix(line, " "):
			text += strings.Repeat("\n", empty+1)
		case empty > 0:
			text += strings.Repeat("\n", empty)
		case i > 0:
			text += " "
		}
		text += line
		last, empty = line, 0
	}
	return text
}
