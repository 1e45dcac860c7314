package report_test

import (
	"encoding/xml"
	"io"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/run"
)

func junit(t require.TestingT, res run.Result, files []string) string {
	var b strings.Builder
	require.NoError(t, report.JUnit(&b, res, files))
	return b.String()
}

// element is any XML element.
type element struct {
	XMLName  xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Children []element  `xml:",any"`
	Text     string     `xml:",chardata"`
}

func (e element) attr(name string) string {
	for _, a := range e.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func readXML(t require.TestingT, s string) element {
	d := xml.NewDecoder(strings.NewReader(s))
	var root element
	require.NoError(t, d.Decode(&root))
	_, err := d.Token()
	if err == nil { // the line end after the root
		_, err = d.Token()
	}
	require.ErrorIs(t, err, io.EOF, "one root and nothing after it")
	return root
}

// xsdElement is what the schema says of one element: its attributes, and its
// children in their order.
type xsdElement struct {
	Name string `xml:"name,attr"`
	Type string `xml:"type,attr"`
	Body struct {
		Attributes []struct {
			Name string `xml:"name,attr"`
			Use  string `xml:"use,attr"`
		} `xml:"attribute"`
		Children []struct {
			Ref string `xml:"ref,attr"`
			Max string `xml:"maxOccurs,attr"`
		} `xml:"sequence>element"`
	} `xml:"complexType"`
}

// junitSchema reads the schema: of XML Schema it uses no more than elements
// with attributes and sequences.
func junitSchema(t *testing.T) map[string]xsdElement {
	b, err := os.ReadFile("testdata/junit.xsd")
	require.NoError(t, err)
	var schema struct {
		Elements []xsdElement `xml:"element"`
	}
	require.NoError(t, xml.Unmarshal(b, &schema))
	all := map[string]xsdElement{}
	for _, e := range schema.Elements {
		all[e.Name] = e
	}
	require.Len(t, all, 10)
	return all
}

// conforms requires that an element and all below it are as the schema has them.
func conforms(t require.TestingT, schema map[string]xsdElement, e element) {
	is, known := schema[e.XMLName.Local]
	require.True(t, known, "there is no element %s", e.XMLName.Local)
	allowed := map[string]bool{}
	for _, a := range is.Body.Attributes {
		allowed[a.Name] = true
		if a.Use == "required" {
			require.True(t, slices.ContainsFunc(e.Attrs, func(has xml.Attr) bool { return has.Name.Local == a.Name }), "%s lacks %s", is.Name, a.Name)
		}
	}
	for _, a := range e.Attrs {
		require.True(t, allowed[a.Name.Local], "%s has no attribute %s", is.Name, a.Name.Local)
	}
	at := 0
	for _, child := range e.Children {
		for at < len(is.Body.Children) && is.Body.Children[at].Ref != child.XMLName.Local {
			at++
		}
		require.Less(t, at, len(is.Body.Children), "%s has no %s, or not here", is.Name, child.XMLName.Local)
		if is.Body.Children[at].Max != "unbounded" {
			at++
		}
		conforms(t, schema, child)
	}
}

func TestJUnit(t *testing.T) {
	out := junit(t, result(), []string{"sources/sheet.yaml", "engines/penhallow/light-six.yaml"})
	golden(t, "junit.xml", out)
	root := readXML(t, out)
	conforms(t, junitSchema(t), root)
	require.Len(t, root.Children, 2, "a suite for each file")
	engine, clean := root.Children[0], root.Children[1]
	assert.Equal(t, []string{"3", "1", "0", "1"}, []string{engine.attr("tests"), engine.attr("failures"), engine.attr("errors"), engine.attr("skipped")})
	assert.Equal(t, "sources/sheet.yaml", clean.attr("name"))
	require.Len(t, clean.Children, 1)
	assert.Empty(t, clean.Children[0].Children, "the case of a clean file passes")
}

// A note does not fail a build, an error and a warning do.
func TestJUnitFailsAsTheRunDoes(t *testing.T) {
	for level, failures := range map[lint.Level]string{lint.Note: "0", lint.Warning: "1", lint.Error: "1"} {
		res := run.Result{Findings: []*lint.Finding{{Rule: "form/x", Level: level, File: "f", Line: 1, Column: 1, Message: "m"}}}
		assert.Equal(t, failures, readXML(t, junit(t, res, nil)).attr("failures"), level)
	}
}

func TestJUnitNamesStayWhenLinesMove(t *testing.T) {
	namesOf := func(findings ...*lint.Finding) (names []string) {
		for _, c := range readXML(t, junit(t, run.Result{Findings: findings}, nil)).Children[0].Children {
			names = append(names, c.attr("name"))
		}
		return names
	}
	a, b := slip(), slip()
	b.Line++
	before := namesOf(a, b)
	assert.Equal(t, []string{"events/inlet-duration events.checking", "events/inlet-duration events.checking #2"}, before)
	a.Line, b.Line = a.Line+7, b.Line+7
	assert.Equal(t, before, namesOf(a, b))
}

func TestJUnitIsInert(t *testing.T) {
	schema := junitSchema(t)
	for name, s := range hostileTexts() {
		t.Run(name, func(t *testing.T) {
			res := filledWith(s)
			root := readXML(t, junit(t, res, names(res.Findings)))
			conforms(t, schema, root)
			require.Len(t, root.Children, 1)
			suite := root.Children[0]
			require.Len(t, suite.Children, len(res.Findings)+len(res.Accepted))
			assert.Equal(t, report.Inert(s), suite.attr("name"))
			for _, c := range suite.Children {
				assert.Equal(t, report.Inert(s), c.attr("classname"))
				harmless(t, c.attr("name"))
				for _, told := range c.Children {
					harmless(t, told.attr("message"))
					harmless(t, strings.ReplaceAll(told.Text, "\n", ""))
				}
			}
			last := suite.Children[len(suite.Children)-1]
			assert.Equal(t, report.Inert(s), last.Children[0].Text, "the reason")
		})
	}
}
