package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/data/merge"
	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// judged is what judge is asked: a contribution or an engine's file, and the
// files of the dataset that have to do with it: the engine's own, if it has one,
// and the sources that it names.
type judged struct {
	Text  string `json:"text"`
	Files []file `json:"files"`
}

// judgement is the linter's word on a file that somebody is writing.
type judgement struct {
	// Findings and Summary are those of `fourmarks lint --json`.
	lintReport
	// Refused says, line by line, what keeps a contribution from being merged.
	Refused []string `json:"refused"`
	// Conflicts are the figures of which the dataset says something else from the
	// same source.
	Conflicts []string `json:"conflicts"`
}

type lintReport struct {
	Findings json.RawMessage `json:"findings"`
	Summary  json.RawMessage `json:"summary"`
}

// judge says what the linter finds in a file that somebody is writing. Of a
// contribution the engine is judged twice: as a merge leaves it, and as it would
// be if what is contributed were right and stood alone, for a slip beside the
// right figure is but a dispute. What the linter finds of the engine in any case
// is left out.
func judge(question []byte) ([]byte, error) {
	var q judged
	if err := json.Unmarshal(question, &q); err != nil {
		return nil, fmt.Errorf("the question cannot be read: %w", err)
	}
	written := schema.ReadFile("contribution", []byte(q.Text))
	if !schema.IsContribution(written) {
		in := file{Name: engineName(scalar(written.Doc.Root, "engine")), Text: q.Text}
		res, err := linted(append(q.sources(), in))
		return answer(res, err, judgement{})
	}
	if problems := written.Doc.Problems; len(problems) > 0 {
		line, _ := written.Doc.Position(problems[0].Span.Start)
		return nil, fmt.Errorf("line %d of the contribution: %s", line, problems[0].Message)
	}
	return q.contribution(written)
}

func engineName(id string) string { return "engines/" + id + ".yaml" }

// contribution judges the engine as contributed to.
func (q judged) contribution(f *schema.File) ([]byte, error) {
	id := scalar(f.Doc.Root, "engine")
	if id == "" {
		return nil, errors.New("the contribution names no engine")
	}
	name := engineName(id)
	var known run.Result
	base := file{Name: name, Text: "format: 1\nengine: " + text.Spell(id, false) + "\n"}
	if i := slices.IndexFunc(q.Files, func(f file) bool { return f.Name == name }); i >= 0 {
		base = q.Files[i]
		var err error
		if known, err = linted(append(q.sources(), base)); err != nil {
			return nil, err
		}
	}
	with, err := contributed(base.Text, f.Doc)
	if err != nil {
		return nil, err
	}
	res, err := linted(append(q.sources(), file{Name: name, Text: with}))
	if err != nil {
		return nil, err
	}
	res.Findings = fresh(res.Findings, known.Findings)
	var is judgement
	merged, err := merge.Contribution(f, q.find)
	if err != nil {
		is.Refused = strings.Split(err.Error(), "\n")
		return answer(res, nil, is)
	}
	sources := q.sources()
	for _, a := range merged[1:] {
		sources = append(sources, file{Name: "sources/" + a.ID + ".yaml", Text: string(a.Text), Context: true})
	}
	for _, a := range merged {
		for _, c := range a.Conflicts {
			is.Conflicts = append(is.Conflicts, c.Path)
		}
	}
	left, err := linted(append(sources, file{Name: name, Text: string(merged[0].Text)}))
	res.Findings = append(res.Findings, fresh(left.Findings, slices.Concat(known.Findings, res.Findings))...)
	return answer(res, err, is)
}

// fresh are the findings that are not known already.
func fresh(all, known []*lint.Finding) []*lint.Finding {
	return slices.DeleteFunc(all, func(f *lint.Finding) bool {
		return slices.ContainsFunc(known, func(k *lint.Finding) bool {
			return k.Rule == f.Rule && k.Variant == f.Variant && k.Message == f.Message
		})
	})
}

// answer writes a judgement with the report of a run in it.
func answer(res run.Result, err error, is judgement) ([]byte, error) {
	found, err := written(res, err)
	if err != nil {
		return nil, err
	}
	if err := json.Unmarshal(found, &is.lintReport); err != nil {
		return nil, err
	}
	is.Refused, is.Conflicts = append([]string{}, is.Refused...), append([]string{}, is.Conflicts...)
	return json.Marshal(is)
}

// find looks up a file of the dataset; nil where the question holds none.
func (q judged) find(kind lint.InputKind, id string) ([]byte, error) {
	name := engineName(id)
	if kind == lint.SourceFile {
		name = "sources/" + id + ".yaml"
	}
	i := slices.IndexFunc(q.Files, func(f file) bool { return f.Name == name })
	if i < 0 {
		return nil, nil
	}
	return []byte(q.Files[i].Text), nil
}

// sources are the files of the question that are there for what they say of others.
func (q judged) sources() []file {
	var all []file
	for _, f := range q.Files {
		if strings.HasPrefix(f.Name, "sources/") {
			f.Context = true
			all = append(all, f)
		}
	}
	return all
}

func linted(files []file) (run.Result, error) {
	inputs := make([]lint.Input, len(files))
	for i, f := range files {
		inputs[i] = f.input()
	}
	return run.Lint(context.Background(), inputs, run.Options{Rules: rules.All()})
}

func written(res run.Result, err error) ([]byte, error) {
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = report.JSON(&out, res)
	return out.Bytes(), err
}

// scalar is the text of a key's value, "" where it has none.
func scalar(n *text.Node, key string) string {
	if v := n.Get(key); v != nil && v.Kind == text.Scalar {
		return v.Text
	}
	return ""
}
