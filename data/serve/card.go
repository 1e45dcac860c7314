package serve

import (
	"fmt"
	"regexp"
	"strings"

	"fourmarks.example/lint/report"
)

// card is a text to be read in an editor: Markdown, or plain where that is all
// that the editor shows.
type card struct {
	strings.Builder
	markdown bool
}

// newCard returns a card in the first of the formats that an editor takes, which
// is plain text when it says nothing (MarkupKind, LSP 3.17).
func newCard(formats []string) *card {
	return &card{markdown: len(formats) > 0 && formats[0] == "markdown"}
}

func (c *card) markup() markup {
	kind := "plaintext"
	if c.markdown {
		kind = "markdown"
	}
	return markup{Kind: kind, Value: strings.TrimSpace(c.String())}
}

// heading starts a part of the card.
func (c *card) heading(format string, args ...any) {
	s := c.inert(fmt.Sprintf(format, args...))
	if c.markdown {
		s = "**" + s + "**"
	}
	c.WriteString("\n" + s + "\n\n")
}

// line writes a paragraph of one line.
func (c *card) line(format string, args ...any) {
	c.WriteString(c.inert(fmt.Sprintf(format, args...)) + "\n\n")
}

// item writes an item of a list, and below it what more there is to say of it.
func (c *card) item(first string, more ...string) {
	lineEnd := "\n"
	if c.markdown {
		lineEnd = "  \n" // or the lines would run together
	}
	c.WriteString("- " + c.inert(first))
	for _, m := range more {
		c.WriteString(lineEnd + "  " + c.inert(m))
	}
	c.WriteString("\n")
}

// end ends a list.
func (c *card) end() { c.WriteString("\n") }

// inert is a text that is shown and does nothing: in Markdown a file could have
// it fetch a picture, or hide where a link leads.
func (c *card) inert(s string) string {
	s = report.Inert(s)
	if !c.markdown {
		return s
	}
	s = everywhere.ReplaceAllString(s, `\$0`)
	return atStart.ReplaceAllString(s, `$1\$2`)
}

// What Markdown acts on: anywhere in a line, and at its start.
var (
	everywhere = regexp.MustCompile("[\\\\`*_\\[\\]<>&~|$]")
	atStart    = regexp.MustCompile(`^( *[0-9]*)([-+#=.)])`)
)
