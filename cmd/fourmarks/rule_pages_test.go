package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint/report"
)

// The pages of all rules stand in one document, to be read where there is no
// program at hand. With -update it is written anew.
func TestRulePagesAreCurrent(t *testing.T) {
	path := filepath.Join(root(t), "lint", "rules", "RULES.md")
	want := rulePages(t)
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(want), 0o644))
	}
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	if want != string(got) { // a difference of thousands of lines helps nobody
		t.Errorf("%s is not what the rule book says; run go test ./cmd/fourmarks -run RulePages -update", path)
	}
	for _, link := range regexp.MustCompile(`\]\(#([^)]*)\)`).FindAllStringSubmatch(want, -1) {
		assert.Equal(t, 1, strings.Count(want, `<a id="`+link[1]+`">`), "the link to %s leads nowhere, or to two places", link[1])
	}
}

// rulePages is the rule book as one Markdown document, family by family: what
// rules there are, then their pages.
func rulePages(t *testing.T) string {
	book, err := explained()
	require.NoError(t, err)
	var families []string
	lists, pages := map[string]string{}, map[string]string{}
	for _, r := range book {
		family := r.Family()
		if lists[family] == "" {
			families = append(families, family)
		}
		var page bytes.Buffer
		require.NoError(t, report.MarkdownPage(&page, r))
		title, _, _ := strings.Cut(strings.TrimPrefix(page.String(), "# "), "\n")
		lists[family] += fmt.Sprintf("| [%s](#%s) | %s | %s |\n", r.Name, r.Name, r.Level, title)
		pages[family] += fmt.Sprintf("\n<a id=\"%s\"></a>\n\n%s", r.Name, deeper(page.String()))
	}
	var b strings.Builder
	fmt.Fprintf(&b, "# The rule book\n\n%d rules in %d families: what each checks, why it matters at the bench, where it\n"+
		"is from, and when a finding may be kept. `fourmarks explain RULE` shows the same\npage. This document is made from the rules; to change it, change them.\n\n",
		len(book), len(families))
	for _, family := range families {
		fmt.Fprintf(&b, "- [%s](#%s)\n", family, family)
	}
	for _, family := range families {
		fmt.Fprintf(&b, "\n<a id=\"%s\"></a>\n\n## %s\n\n| rule | level | what is wrong |\n| --- | --- | --- |\n%s%s", family, family, lists[family], pages[family])
	}
	return b.String()
}

// deeper puts the headings of a page below that of its family; what looks like a
// heading within a block of code is none.
func deeper(page string) string {
	var b strings.Builder
	block := ""
	for line := range strings.Lines(page) {
		switch mark := strings.TrimRight(line, "abcdefghijklmnopqrstuvwxyz\n"); {
		case block == "" && strings.HasPrefix(mark, "```"):
			block = mark
		case block != "" && strings.TrimSpace(line) == block:
			block = ""
		case block == "" && strings.HasPrefix(line, "#"):
			b.WriteString("##")
		}
		b.WriteString(line)
	}
	return b.String()
}
