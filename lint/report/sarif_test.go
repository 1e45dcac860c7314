package report_test

import (
	"encoding/json"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
)

func sarif(t require.TestingT, res run.Result, book []*lint.Rule, source func(string) ([]byte, error)) string {
	var b strings.Builder
	require.NoError(t, report.SARIF(&b, res, book, source))
	return b.String()
}

// sarifSchema is the schema that OASIS published for SARIF 2.1.0; its draft of
// JSON Schema is the one it names, draft 4.
func sarifSchema(t *testing.T) *jsonschema.Schema {
	const url = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
	f, err := os.Open("testdata/sarif-schema-2.1.0.json")
	require.NoError(t, err)
	defer f.Close()
	c := jsonschema.NewCompiler()
	c.AssertFormat = true
	c.LoadURL = nil
	require.NoError(t, c.AddResource(url, f))
	schema, err := c.Compile(url)
	require.NoError(t, err)
	return schema
}

// anyJSON is a JSON text as its values.
func anyJSON(t require.TestingT, text string) map[string]any {
	var value map[string]any
	d := json.NewDecoder(strings.NewReader(text))
	d.UseNumber()
	require.NoError(t, d.Decode(&value))
	return value
}

// sarifRun is what the tests look at in the one run of a log.
type sarifRun struct {
	Tool struct {
		Driver struct {
			Rules []struct {
				ID                   string
				Help                 struct{ Text, Markdown string }
				DefaultConfiguration struct{ Level string }
			}
		}
	}
	ColumnKind string
	Results    []struct {
		RuleID              string
		RuleIndex           *int
		Level               string
		Message             struct{ Text string }
		Locations           []struct{ PhysicalLocation sarifPlace }
		RelatedLocations    []struct{ Message struct{ Text string } }
		PartialFingerprints map[string]string
		Suppressions        []struct{ Kind, Justification string }
		Fixes               []struct {
			ArtifactChanges []struct {
				Replacements []struct {
					DeletedRegion   sarifRegion
					InsertedContent struct{ Text string }
				}
			}
		}
		Properties struct{ Suspects []lint.Suspect }
	}
}

type sarifPlace struct {
	ArtifactLocation struct{ URI string }
	Region           sarifRegion
}

type sarifRegion struct{ StartLine, StartColumn, EndLine, EndColumn int }

func readSARIF(t require.TestingT, text string) sarifRun {
	var log struct{ Runs []sarifRun }
	require.NoError(t, json.Unmarshal([]byte(text), &log))
	require.Len(t, log.Runs, 1)
	return log.Runs[0]
}

func TestSARIF(t *testing.T) {
	out := sarif(t, result(), []*lint.Rule{swept()}, source)
	golden(t, "findings.sarif", out)
	require.NoError(t, sarifSchema(t).Validate(anyJSON(t, out)))
	got := readSARIF(t, out)
	assert.Equal(t, "unicodeCodePoints", got.ColumnKind)
	require.Len(t, got.Results, 3)
	assert.Equal(t, slip().Suspects[0].Printed, got.Results[0].Properties.Suspects[0].Printed)
	assert.Equal(t, 230.0, *got.Results[0].Properties.Suspects[0].MustBe.Low)
	assert.NotNil(t, got.Results[0].Suppressions)
	assert.Empty(t, got.Results[0].Suppressions, "an empty list says that the result stands")
	require.Len(t, got.Results[2].Suppressions, 1)
	assert.Equal(t, "inSource", got.Results[2].Suppressions[0].Kind)
	assert.Equal(t, "both sheets print it", got.Results[2].Suppressions[0].Justification)
}

// The whole rule book is described, and the description is valid; a finding
// points at its rule.
func TestSARIFOfTheBook(t *testing.T) {
	book := rules.All()
	f := slip()
	f.Rule = book[3].Name
	out := sarif(t, run.Result{Findings: []*lint.Finding{f}}, book, nil)
	require.NoError(t, sarifSchema(t).Validate(anyJSON(t, out)))
	got := readSARIF(t, out)
	require.Len(t, got.Tool.Driver.Rules, len(book))
	for i, r := range got.Tool.Driver.Rules {
		assert.Equal(t, book[i].Name, r.ID)
		assert.Equal(t, book[i].Level.String(), r.DefaultConfiguration.Level)
		assert.Contains(t, r.Help.Text, book[i].Title)
		assert.Contains(t, r.Help.Markdown, "## What it checks\n\n")
	}
	require.NotNil(t, got.Results[0].RuleIndex)
	assert.Equal(t, 3, *got.Results[0].RuleIndex)
	assert.Empty(t, readSARIF(t, sarif(t, run.Result{}, nil, nil)).Results)
}

// A schema that lets everything pass would prove nothing.
func TestTheSARIFSchemaRefuses(t *testing.T) {
	schema := sarifSchema(t)
	out := sarif(t, result(), nil, source)
	for what, change := range map[string][2]string{
		"a level there is not": {`"level": "error"`, `"level": "fatal"`},
		"a line before one":    {`"startLine": 10`, `"startLine": 0`},
		"an unknown key":       {`"columnKind"`, `"columnsort"`},
		"another version":      {`"version": "2.1.0"`, `"version": "2.0.0"`},
		"a wrong suppression":  {`"kind": "inSource"`, `"kind": "inFile"`},
	} {
		require.Contains(t, out, change[0])
		assert.Error(t, schema.Validate(anyJSON(t, strings.Replace(out, change[0], change[1], 1))), what)
	}
}

// The edits of a fix, applied by lines and columns, are the edits in bytes.
func TestSARIFFixes(t *testing.T) {
	text := "\ufeffé: ½ in\r\nb: 標 2\nc: 3"
	edits := []lint.Edit{{Start: 3, End: 5, Text: "e"}, {Start: strings.Index(text, "標"), End: strings.Index(text, " 2\n") + 3, Text: ""}, {Start: len(text), End: len(text), Text: "\n"}}
	f := &lint.Finding{Rule: "form/x", File: "f", Line: 1, Column: 1, Message: "m", Fix: &lint.Fix{Title: "t", Edits: edits}}
	read := func(string) ([]byte, error) { return []byte(text), nil }
	out := sarif(t, run.Result{Findings: []*lint.Finding{f}}, nil, read)
	require.NoError(t, sarifSchema(t).Validate(anyJSON(t, out)))
	replacements := readSARIF(t, out).Results[0].Fixes[0].ArtifactChanges[0].Replacements
	require.Len(t, replacements, len(edits))
	assert.Equal(t, sarifRegion{1, 1, 1, 2}, replacements[0].DeletedRegion, "a byte order mark counts for nothing")
	assert.Equal(t, sarifRegion{2, 4, 3, 1}, replacements[1].DeletedRegion, "columns count characters, and the line end goes with the line")
	assert.Equal(t, sarifRegion{3, 5, 3, 5}, replacements[2].DeletedRegion)
	assert.Equal(t, "\n", replacements[2].InsertedContent.Text)

	gone := func(string) ([]byte, error) { return nil, errors.New("gone") }
	assert.Empty(t, readSARIF(t, sarif(t, run.Result{Findings: []*lint.Finding{f}}, nil, gone)).Results[0].Fixes)
}

func TestSARIFFileNames(t *testing.T) {
	for name, want := range map[string]string{
		"data/engines/a b/c#d?.yaml": "data/engines/a%20b/c%23d%3F.yaml",
		"./data/x.yaml":              "data/x.yaml",
		"a:b.yaml":                   "./a:b.yaml",
		"/srv/data/x.yaml":           "file:///srv/data/x.yaml",
		"C:/data/x.yaml":             "file:///C:/data/x.yaml",
		"é.yaml":                     "%C3%A9.yaml",
	} {
		f := &lint.Finding{Rule: "form/x", File: name, Line: 1, Column: 1, Message: "m"}
		got := readSARIF(t, sarif(t, run.Result{Findings: []*lint.Finding{f}}, nil, nil))
		assert.Equal(t, want, got.Results[0].Locations[0].PhysicalLocation.ArtifactLocation.URI)
	}
}

// A fingerprint follows the file, what the finding is about and the rule; it
// does not follow the line or the numbers in the message.
func TestSARIFFingerprints(t *testing.T) {
	prints := func(findings ...*lint.Finding) (all []string) {
		for _, r := range readSARIF(t, sarif(t, run.Result{Findings: findings}, nil, nil)).Results {
			require.Len(t, r.PartialFingerprints, 1)
			for _, print := range r.PartialFingerprints {
				all = append(all, print)
			}
		}
		return all
	}
	moved, twin := slip(), slip()
	moved.Line, moved.EndLine, moved.Message = 99, 99, "in other words"
	assert.Equal(t, prints(slip()), prints(moved))
	two := prints(slip(), twin)
	assert.NotEqual(t, two[0], two[1], "two of one name are told apart")
	for what, change := range map[string]func(*lint.Finding){
		"file":    func(f *lint.Finding) { f.File = "other.yaml" },
		"path":    func(f *lint.Finding) { f.Path = "events.running" },
		"rule":    func(f *lint.Finding) { f.Rule = "events/overlap" },
		"variant": func(f *lint.Finding) { f.Variant = "series-2" },
	} {
		f := slip()
		change(f)
		assert.NotEqual(t, prints(slip()), prints(f), what)
	}
}

func TestSARIFIsInert(t *testing.T) {
	schema := sarifSchema(t)
	for name, s := range hostileTexts() {
		t.Run(name, func(t *testing.T) {
			out := sarif(t, filledWith(s), nil, nil)
			harmless(t, strings.ReplaceAll(out, "\n", ""))
			require.NoError(t, schema.Validate(anyJSON(t, out)))
			got := readSARIF(t, out)
			require.Len(t, got.Results, 4)
			for _, r := range got.Results {
				for _, text := range []string{r.Message.Text, r.RelatedLocations[0].Message.Text} {
					harmless(t, text)
					assert.NotContains(t, text, "](", "no link")
					assert.NotContains(t, strings.NewReplacer("{{", "", "}}", "").Replace(text), "{", "no placeholder")
				}
				for _, suspect := range r.Properties.Suspects {
					harmless(t, suspect.Printed+suspect.Slip+suspect.Likely+suspect.Pointer+suspect.MustBe.Unit)
				}
			}
			harmless(t, got.Results[3].Suppressions[0].Justification)
		})
	}
}
