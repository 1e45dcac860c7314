package report_test

import (
	"slices"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
)

// injected are texts by which a file could try to speak in the report's own
// voice: workflow commands, ends of XML, Markdown, placeholders, formatting.
var injected = map[string]string{
	"workflow command":       "::error file=a.yaml,line=1::injected",
	"command on a new line":  "x\n::error::injected",
	"command after a return": "x\r\n::add-mask::injected",
	"command written out":    "x%0A::error::injected %250A",
	"command of old form":    "x ##[error]injected ###[add-mask]injected",
	"property":               "a,line=7,title=b:c",
	"end of XML text":        "]]></failure><testcase name='x'/>&lt;&#10;\"'",
	"end of CDATA":           "<![CDATA[ ]]]]><![CDATA[>",
	"comment":                "<!-- -- -->",
	"link":                   "[click](https://example.com) and [2](1)",
	"image":                  "![x](javascript:alert(1))",
	"HTML":                   "<script>alert(1)</script>",
	"placeholder":            "{0} {{1}} %s %!d",
	"path":                   "a:1:1: error: injected [form/x]",
	"JSON":                   `"},{"ruleId":"x`,
}

// hostileTexts are all texts that a report has to make harmless, by name.
func hostileTexts() map[string]string {
	all := map[string]string{}
	for name, s := range hostile {
		all[name] = s
	}
	for name, s := range injected {
		all[name] = s
	}
	return all
}

// filledWith is a run in which every text that a file has a hand in is s.
func filledWith(s string) run.Result {
	one := func(level lint.Level) *lint.Finding {
		f := slip()
		f.Level, f.File, f.Message, f.Variant, f.Path, f.Pointer = level, s, s, s, s, s
		f.Working, f.Figures = []string{s, s}, []string{s}
		for i := range f.Suspects {
			f.Suspects[i] = lint.Suspect{Path: s, Pointer: s, Printed: s, Slip: s, Likely: s, MustBe: lint.MustBe{Unit: s}}
		}
		for i := range f.Related {
			f.Related[i].File, f.Related[i].Message = s, s
		}
		f.Fix = &lint.Fix{Title: s, Edits: []lint.Edit{{Start: 0, End: 0, Text: s}}}
		return f
	}
	return run.Result{Findings: []*lint.Finding{one(lint.Error), one(lint.Warning), one(lint.Note)},
		Accepted: []run.Accepted{{Finding: one(lint.Warning), Reason: s}}, Files: 1, Engines: 1, Rules: 2}
}

// withoutSpaces is a text without anything that a report may add or take.
func withoutSpaces(s string) string { return strings.Join(strings.Fields(s), "") }

func names(findings []*lint.Finding) []string {
	var all []string
	for _, f := range findings {
		if !slices.Contains(all, f.File) {
			all = append(all, f.File)
		}
	}
	return all
}
