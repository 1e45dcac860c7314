package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
	"fourmarks.example/schema/text"
)

// judged is what judge is asked: a contribution or an engine's file, and the
// files of the dataset that have to do with it: the engine's own, if it has one,
// and the sources that it names.
type judged struct {
	Text  string `json:"text"`
	Files []file `json:"files"`
}

// judge says what the linter finds in a file that somebody is writing, as the
// JSON of `fourmarks lint --json`. Of a contribution the engine is judged as it
// would be if what is contributed were right and stood in place of what is known;
// what the linter finds of the engine in any case is left out.
func judge(question []byte) ([]byte, error) {
	var q judged
	if err := json.Unmarshal(question, &q); err != nil {
		return nil, fmt.Errorf("the question cannot be read: %w", err)
	}
	doc := text.Parse([]byte(q.Text), text.DefaultLimits())
	if doc.Root.Get("contribution") == nil {
		return q.engine(doc)
	}
	if len(doc.Problems) > 0 {
		p := doc.Problems[0]
		line, _ := doc.Position(p.Span.Start)
		return nil, fmt.Errorf("line %d of the contribution: %s", line, p.Message)
	}
	return q.contribution(doc)
}

// engine judges an engine's file; the dataset's own version of it stands back.
func (q judged) engine(doc *text.Doc) ([]byte, error) {
	in := file{Name: engineName(scalar(doc.Root, "engine")), Text: q.Text}
	res, err := linted(append(q.sources(), in))
	return written(res, err)
}

func engineName(id string) string { return "engines/" + id + ".yaml" }

// contribution judges the engine as contributed to.
func (q judged) contribution(doc *text.Doc) ([]byte, error) {
	id := scalar(doc.Root, "engine")
	if id == "" {
		return nil, errors.New("the contribution names no engine")
	}
	name := engineName(id)
	known := run.Result{}
	base := file{Name: name, Text: "format: 1\nengine: " + text.Spell(id, false) + "\n"}
	if i := slices.IndexFunc(q.Files, func(f file) bool { return f.Name == name }); i >= 0 {
		base = q.Files[i]
		var err error
		if known, err = linted(append(q.sources(), base)); err != nil {
			return nil, err
		}
	}
	with, err := contributed(base.Text, doc)
	if err != nil {
		return nil, err
	}
	res, err := linted(append(q.sources(), file{Name: name, Text: with}))
	res.Findings = slices.DeleteFunc(res.Findings, func(f *lint.Finding) bool {
		return slices.ContainsFunc(known.Findings, func(k *lint.Finding) bool {
			return k.Rule == f.Rule && k.Variant == f.Variant && k.Message == f.Message
		})
	})
	return written(res, err)
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
