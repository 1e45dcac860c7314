package report

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
)

// OneLine writes each finding on one line, as the error parsers of editors read
// it: file:line:column: level: message [rule].
func OneLine(w io.Writer, res run.Result) error {
	out := bufio.NewWriter(w)
	for _, f := range res.Findings {
		fmt.Fprintf(out, "%s:%d:%d: %s: %s [%s]\n", nameBeforeColon(f.File), f.Line, f.Column, f.Level, stated(f), Inert(f.Rule))
	}
	return out.Flush()
}

// stated is the message of a finding and the variant in which it holds, on one line.
func stated(f *lint.Finding) string {
	message := Inert(strings.TrimSpace(f.Message))
	if f.Variant != "" {
		message += " (variant " + Inert(f.Variant) + ")"
	}
	return message
}

// nameBeforeColon is a file's name in which a colon, which would end it, is
// written out. That of a drive stays.
func nameBeforeColon(name string) string {
	drive := ""
	if hasDrive(name) {
		drive, name = name[:2], name[2:]
	}
	return drive + strings.ReplaceAll(Inert(name), ":", `\u{3A}`)
}
