package report

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
)

// CI writes each finding as an annotation of its line, in the workflow commands
// that GitHub and the servers that follow it read from a job's output, and then
// a plain summary. Such a server shows only the first few of each level.
func CI(w io.Writer, res run.Result) error {
	out := bufio.NewWriter(w)
	for _, f := range res.Findings {
		place := fmt.Sprintf("file=%s,line=%d,col=%d", commandProperty(f.File), f.Line, f.Column)
		if f.EndLine > f.Line {
			place = fmt.Sprintf("file=%s,line=%d,endLine=%d", commandProperty(f.File), f.Line, f.EndLine)
		}
		fmt.Fprintf(out, "::%s %s,title=%s::%s\n", commandOf[f.Level], place, commandProperty(f.Rule), commandData(strings.Join(details(f), "\n")))
	}
	fmt.Fprintln(out, inAll(res))
	return out.Flush()
}

var commandOf = [...]string{lint.Note: "notice", lint.Warning: "warning", lint.Error: "error"}

// details are the lines that tell a finding in full, all harmless to show.
func details(f *lint.Finding) []string {
	lines := []string{sentence(stated(f))}
	for _, s := range f.Working {
		lines = append(lines, Inert(s))
	}
	heading, suspicion := Suspicion(f)
	for _, s := range suspicion {
		if heading != "" {
			s = "Suspect: " + s
		}
		lines = append(lines, sentence(Inert(s)))
	}
	return append(lines, "More: fourmarks explain "+Inert(f.Rule))
}

var (
	dataEscapes     = strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A")
	propertyEscapes = strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A", ":", "%3A", ",", "%2C")
)

// commandData is a text as the message of a workflow command, its lines kept.
// Doubled number signs, with which older commands start anywhere on a line, are
// parted.
func commandData(lines string) string {
	for strings.Contains(lines, "##") {
		lines = strings.ReplaceAll(lines, "##", "# #")
	}
	return dataEscapes.Replace(lines)
}

// commandProperty is a text of a file as one property of a workflow command.
func commandProperty(s string) string { return propertyEscapes.Replace(Inert(s)) }
