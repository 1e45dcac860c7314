package settle

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/data/changes"
	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// write makes the text in which the claims are set aside.
func (s *Settlement) write(f *schema.File, because string) error {
	all := s.Figure.At.Node.Get("claims")
	fix := &lint.Fix{}
	for _, c := range s.Aside {
		w := writer{doc: f.Doc, because: because, asJSON: all.Entries[0].Key.Style == text.DoubleQuoted}
		fix.Edits = append(fix.Edits, w.aside(all.Get(c.Key)))
	}
	after, err := run.Apply(f.Doc.Source, fix)
	s.After = after
	return err
}

// writer puts the reason into claims of a document.
type writer struct {
	doc     *text.Doc
	because string
	asJSON  bool
}

// aside returns the edit that sets a claim aside, in the form the claim has.
func (w writer) aside(claim *text.Node) lint.Edit {
	switch {
	case claim.Kind != text.Map:
		return lint.Edit{Start: claim.Span.Start, End: claim.Span.End, Text: "{" + w.key("is") + w.print(claim) + ", " + w.reason(true) + "}"}
	case claim.Flow:
		at := claim.Entries[len(claim.Entries)-1].Value.Span.End
		return lint.Edit{Start: at, End: at, Text: ", " + w.reason(true)}
	}
	return w.line(claim)
}

// line returns the edit that puts a line of its own behind a map in a block.
func (w writer) line(claim *text.Node) lint.Edit {
	source := w.doc.Source
	at := w.doc.Extent(&claim.Entries[len(claim.Entries)-1]).End
	first := claim.Entries[0].Key.Span.Start
	start := bytes.LastIndexAny(source[:first], "\r\n") + 1
	end := lineEnd(source)
	line := string(source[start:first]) + w.reason(false)
	if at == 0 || source[at-1] != '\n' && source[at-1] != '\r' {
		return lint.Edit{Start: at, End: at, Text: end + line} // the last line of the file has no end
	}
	return lint.Edit{Start: at, End: at, Text: line + end}
}

// lineEnd is how the first line of a text ends.
func lineEnd(source []byte) string {
	i := bytes.IndexAny(source, "\r\n")
	switch {
	case i < 0 || source[i] == '\n':
		return "\n"
	case i+1 < len(source) && source[i+1] == '\n':
		return "\r\n"
	}
	return "\r"
}

func (w writer) key(key string) string {
	if w.asJSON {
		return `"` + key + `": `
	}
	return key + ": "
}

func (w writer) reason(flow bool) string { return w.key("set_aside") + w.spelled(w.because, flow) }

func (w writer) spelled(s string, flow bool) string {
	if w.asJSON {
		return text.Quote(s)
	}
	return text.Spell(s, flow)
}

// print is a bare print as it stands in braces.
func (w writer) print(claim *text.Node) string {
	switch {
	case claim.Kind == text.List:
		items := make([]string, len(claim.Items))
		for i, item := range claim.Items {
			items[i] = w.print(item)
		}
		return "[" + strings.Join(items, ", ") + "]"
	case claim.Style == text.Plain && claim.Resolved() != text.String:
		return claim.Text // a number: it has no quotes now and needs none
	}
	return w.spelled(claim.Text, true)
}

// verify holds the new text to what it should say: every claim and every other
// value as before, but for those set aside, and every comment.
func (s *Settlement) verify(f *schema.File, d Decision) error {
	after := schema.ReadFile(f.Name, s.After)
	if problems := after.Doc.Problems; len(problems) > 0 {
		return fmt.Errorf("the reason cannot be written into %s: %s; word it otherwise", f.Name, problems[0].Message)
	}
	all := changes.Between(claims.Of(lint.EngineFile, f), claims.Of(lint.EngineFile, after))
	var keys []string
	for _, c := range all {
		b := *c.Claim()
		if c.Before == nil || c.What() != changes.SetAside {
			return fmt.Errorf("%s is left as it is: the claim %s of %s would not only be set aside", f.Name, b.Key, b.Path)
		}
		b = *c.Before
		b.Aside, b.SetAside = true, d.Because
		if !claims.Same(&b, c.After) {
			return fmt.Errorf("%s is left as it is: more of the claim %s of %s would change", f.Name, b.Key, b.Path)
		}
		keys = append(keys, b.Key)
	}
	var want []string
	for _, c := range s.Aside {
		want = append(want, c.Key)
	}
	if slices.Sort(keys); !slices.Equal(keys, slices.Sorted(slices.Values(want))) || !slices.Equal(comments(f.Doc), comments(after.Doc)) {
		return errors.New(f.Name + " is left as it is: something else in it would change")
	}
	return s.settled(f, after, d)
}

// settled holds the figure in the new text to being settled, and notes where the
// reason stands.
func (s *Settlement) settled(f, after *schema.File, d Decision) error {
	_, was := schema.DecodeEngine(f)
	base, problems := schema.DecodeEngine(after)
	if len(problems) > len(was) {
		return fmt.Errorf("%s is left as it is: it would be less in order than before: %s", f.Name, problems[len(problems)-1].Message)
	}
	d.Figure = s.Figure.Path
	fig, err := figureOf(base, d)
	if err != nil {
		return err
	}
	if standing := schema.StandingOf(fig, base.Sources.Get); standing != schema.Settled {
		return fmt.Errorf("%s is left as it is: %s would be %s, not settled", f.Name, fig.Path, standing)
	}
	for _, c := range fig.Claims {
		if slices.ContainsFunc(s.Aside, func(o *schema.Claim) bool { return o.Key == c.Key }) {
			line, _ := c.SetAside.At.Position()
			s.Lines = append(s.Lines, line)
		}
	}
	return nil
}

func comments(d *text.Doc) []string {
	var all []string
	for _, c := range d.Comments {
		all = append(all, string(d.Source[c.Span.Start:c.Span.End]))
	}
	slices.Sort(all)
	return all
}
