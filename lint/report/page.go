package report

import (
	"bufio"
	"io"
	"slices"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
)

// Page writes the page of a rule for people: what it checks and why, the
// formula and its source, a bad and a good example, when to accept a finding.
func Page(w io.Writer, r *lint.Rule, width int) error {
	if width <= 0 {
		width = 80
	}
	t := &texter{out: bufio.NewWriter(w), width: max(width, leastWidth)}
	t.wrapped(0, r.Title)
	t.line("%s, %s", r.Name, r.Level)
	t.section("What it checks", r.Checks)
	t.section("Why it matters", r.Why)
	t.section("Formula", Formulas(r)...)
	t.section("Where it is from", r.Basis)
	t.example("Wrong", r.Bad)
	t.example("Right", r.Good)
	t.section("Keeping a finding", r.Accepting)
	if r.Engine != nil || r.Relations != nil { // what a file says of itself is mended, not kept
		t.line("")
		t.line("    accepted:")
		t.line("      events.checking:  # the figure or section the finding is about")
		t.line("        %s: why it is kept", r.Name)
	}
	return t.out.Flush()
}

func (t *texter) section(title string, paragraphs ...string) {
	if strings.Join(paragraphs, "") == "" {
		return
	}
	t.line("")
	t.line("%s", title)
	for _, p := range paragraphs {
		t.wrapped(2, p)
	}
}

// example writes a part of a file as it stands: broken lines would be another text.
func (t *texter) example(title, text string) {
	t.line("")
	t.line("%s", title)
	for _, line := range strings.Split(strings.Trim(text, "\n"), "\n") {
		t.line("%s", strings.TrimRight("    "+Inert(line), " "))
	}
}

// Formulas returns the arithmetic of a rule in words: as the rule gives it, or
// for a rule of relations as they stand for its good example.
func Formulas(r *lint.Rule) []string {
	if r.Formula != "" || r.Relations == nil {
		return []string{r.Formula}
	}
	var formulas []string
	for _, in := range lint.ExampleInputs(r.Good) {
		b, err := in.Read()
		if err != nil || in.Kind != lint.EngineFile {
			continue
		}
		e, _ := schema.DecodeEngine(schema.ReadFile(in.Name, b))
		n := relation.NewNetwork(e)
		n.For(r.Name)
		r.Relations(n)
		for _, one := range n.Relations() {
			if f := one.Formula(); !slices.Contains(formulas, f) {
				formulas = append(formulas, f)
			}
		}
	}
	return formulas
}
