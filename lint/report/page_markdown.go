package report

import (
	"fmt"
	"io"
	"strings"

	"fourmarks.example/lint"
)

// MarkdownPage writes the page of a rule in GitHub Flavored Markdown, with the
// same sections as Page.
func MarkdownPage(w io.Writer, r *lint.Rule) error {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n\n`%s`, %s\n", markdown(r.Title), r.Name, r.Level)
	section := func(title, text string) {
		if text != "" {
			fmt.Fprintf(&b, "\n## %s\n\n%s\n", title, text)
		}
	}
	section("What it checks", markdown(r.Checks))
	section("Why it matters", markdown(r.Why))
	if formulas := strings.Join(Formulas(r), "\n"); formulas != "" {
		section("Formula", fenced("text", formulas))
	}
	section("Where it is from", markdown(r.Basis))
	section("Wrong", fenced("yaml", r.Bad))
	section("Right", fenced("yaml", r.Good))
	section("Keeping a finding", markdown(r.Accepting))
	if r.Engine != nil || r.Relations != nil { // what a file says of itself is mended, not kept
		fmt.Fprintf(&b, "\n%s\n", fenced("yaml", "accepted:\n  events.checking:  # the figure or section the finding is about\n    "+r.Name+": why it is kept"))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// fenced is a text as a block of code, with a fence longer than any in it.
func fenced(language, text string) string {
	fence := "```"
	for strings.Contains(text, fence) {
		fence += "`"
	}
	return fence + language + "\n" + strings.Trim(text, "\n") + "\n" + fence
}

// markdownMarks keeps Markdown from taking a character of a paragraph for a mark.
var markdownMarks = strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "<", `\<`, "&", `\&`, "~", `\~`, "|", `\|`)

// markdown is a paragraph that Markdown shows as it stands, but for `code`
// between backticks, which stays code.
func markdown(s string) string {
	parts := strings.Split(Inert(s), "`")
	for i := range parts {
		if i%2 == 0 {
			parts[i] = markdownMarks.Replace(parts[i])
		}
	}
	return strings.Join(parts, "`")
}
