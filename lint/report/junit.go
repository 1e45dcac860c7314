package report

import (
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
)

// JUnit writes the findings as JUnit XML, the form in which build servers take
// test results. A file is a test suite and a finding a test case named by its
// rule and what it is about, so that a case keeps its name when lines move.
// Errors and warnings fail; a note passes and is told in the output of its
// case; an accepted finding is skipped, with its reason. A file in which nothing
// was found has one case that passes. Files are the names of all files checked.
func JUnit(w io.Writer, res run.Result, files []string) error {
	j := junitWriter{suites: map[string]*junitSuite{}}
	for _, name := range files {
		j.suite(name)
	}
	for _, f := range res.Findings {
		j.add(f, junitCase{})
	}
	for _, a := range res.Accepted {
		j.add(a.Finding, junitCase{Skipped: &junitOutcome{Text: Inert(a.Reason)}})
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	e := xml.NewEncoder(w)
	e.Indent("", "  ")
	if err := e.Encode(j.all()); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

type junitWriter struct {
	suites map[string]*junitSuite
	order  []string
}

// suite returns the suite of a file.
func (j *junitWriter) suite(file string) *junitSuite {
	if s, ok := j.suites[file]; ok {
		return s
	}
	s := &junitSuite{Name: Inert(file), names: map[string]int{}}
	j.suites[file] = s
	j.order = append(j.order, file)
	return s
}

// add makes a case of a finding; one already skipped stays so.
func (j *junitWriter) add(f *lint.Finding, c junitCase) {
	s := j.suite(f.File)
	c.ClassName, c.Name = s.Name, s.nameOf(f)
	told := fmt.Sprintf("%s:%d:%d\n%s", s.Name, f.Line, f.Column, strings.Join(details(f), "\n"))
	switch {
	case c.Skipped != nil:
		s.Skipped++
		c.Output = told
	case f.Level == lint.Note:
		c.Output = told
	default:
		s.Failures++
		c.Failure = &junitOutcome{Type: f.Level.String(), Message: stated(f), Text: told}
	}
	s.Cases = append(s.Cases, c)
}

// nameOf names a finding within its file; several of one name are numbered.
func (s *junitSuite) nameOf(f *lint.Finding) string {
	name := f.Rule
	if f.Path != "" {
		name += " " + f.Path
	}
	if f.Variant != "" {
		name += " (variant " + f.Variant + ")"
	}
	name = Inert(name)
	s.names[name]++
	if n := s.names[name]; n > 1 {
		name = fmt.Sprintf("%s #%d", name, n)
	}
	return name
}

func (j *junitWriter) all() junitSuites {
	slices.Sort(j.order)
	all := junitSuites{Name: "fourmarks lint"}
	for _, file := range j.order {
		s := j.suites[file]
		if len(s.Cases) == 0 {
			s.Cases = []junitCase{{Name: "nothing found", ClassName: s.Name}}
		}
		s.Tests = len(s.Cases)
		all.Tests += s.Tests
		all.Failures += s.Failures
		all.Suites = append(all.Suites, s)
	}
	return all
}

// What follows is the part of the format that is written: what the schemas that
// Jenkins has published since 2010 have in common.

type junitSuites struct {
	XMLName  xml.Name      `xml:"testsuites"`
	Name     string        `xml:"name,attr"`
	Tests    int           `xml:"tests,attr"`
	Failures int           `xml:"failures,attr"`
	Errors   int           `xml:"errors,attr"`
	Suites   []*junitSuite `xml:"testsuite"`
}

type junitSuite struct {
	Name     string      `xml:"name,attr"`
	Tests    int         `xml:"tests,attr"`
	Failures int         `xml:"failures,attr"`
	Errors   int         `xml:"errors,attr"`
	Skipped  int         `xml:"skipped,attr"`
	Cases    []junitCase `xml:"testcase"`

	names map[string]int // how often a name was given to a case
}

type junitCase struct {
	Name      string        `xml:"name,attr"`
	ClassName string        `xml:"classname,attr"`
	Skipped   *junitOutcome `xml:"skipped"`
	Failure   *junitOutcome `xml:"failure"`
	Output    string        `xml:"system-out,omitempty"`
}

type junitOutcome struct {
	Type    string `xml:"type,attr,omitempty"`
	Message string `xml:"message,attr,omitempty"`
	Text    string `xml:",chardata"`
}
