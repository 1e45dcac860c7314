// Package run lints a dataset: it reads every file, runs every rule over it on
// all cores, applies acceptances, and returns the findings in an order that does
// not depend on the machine.
package run

import (
	"cmp"
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
)

// Options says how to run.
type Options struct {
	Rules []*lint.Rule
	// Workers is how many files are linted at once; 0 means one for each core.
	Workers int
}

// Result is what a run found.
type Result struct {
	Findings []*lint.Finding
	// Accepted are findings kept by an acceptance, with its reason.
	Accepted []Accepted
	Files    int
	Engines  int
	Rules    int
}

// Accepted is a finding that the file keeps, and why.
type Accepted struct {
	Finding *lint.Finding
	Reason  string
}

// Count returns how many findings have a level.
func (r Result) Count(level lint.Level) int {
	n := 0
	for _, f := range r.Findings {
		if f.Level == level {
			n++
		}
	}
	return n
}

// Failed reports whether an error or warning stands.
func (r Result) Failed() bool { return r.Count(lint.Error)+r.Count(lint.Warning) > 0 }

// Lint runs the rules over the inputs. It stops early, with the context's
// error, when the context is cancelled.
func Lint(ctx context.Context, inputs []lint.Input, o Options) (Result, error) {
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	r := &runner{options: o, rules: sorted(o.Rules)}
	sources := slices.DeleteFunc(slices.Clone(inputs), func(i lint.Input) bool { return i.Kind != lint.SourceFile })
	others := slices.DeleteFunc(slices.Clone(inputs), func(i lint.Input) bool { return i.Kind == lint.SourceFile })
	outcomes := make([]outcome, len(sources)+len(others))
	if err := r.each(ctx, sources, outcomes, r.source); err != nil {
		return Result{}, err
	}
	r.register = register(outcomes[:len(sources)])
	if err := r.each(ctx, others, outcomes[len(sources):], r.file); err != nil {
		return Result{}, err
	}
	return r.result(inputs, outcomes), nil
}

// runner holds what all workers read.
type runner struct {
	options  Options
	rules    byKind
	register sourceRegister
}

// outcome is what came of one file.
type outcome struct {
	findings []*lint.Finding
	accepted []Accepted
	source   *lint.Registered
	engine   *lint.Summary
	moves    []schema.Move
	checked  bool
}

// byKind sorts the rules by what they look at.
type byKind struct {
	file, engine, relations, dataset, afterwards []*lint.Rule
	named                                        map[string]*lint.Rule
}

func sorted(rules []*lint.Rule) byKind {
	k := byKind{named: make(map[string]*lint.Rule, len(rules))}
	for _, r := range rules {
		k.named[r.Name] = r
		switch {
		case r.File != nil:
			k.file = append(k.file, r)
		case r.Engine != nil:
			k.engine = append(k.engine, r)
		case r.Relations != nil:
			k.relations = append(k.relations, r)
		case r.Dataset != nil:
			k.dataset = append(k.dataset, r)
		case r.Afterwards != nil:
			k.afterwards = append(k.afterwards, r)
		}
	}
	return k
}

// each works through the inputs on all workers; outcomes[i] belongs to inputs[i].
// A rule that panics does so here, where the caller can deal with it, and not on
// a goroutine of its own, where nobody could.
func (r *runner) each(ctx context.Context, inputs []lint.Input, outcomes []outcome, work func(lint.Input) outcome) error {
	next := make(chan int)
	var wg sync.WaitGroup
	var mistake atomic.Value
	one := func(i int) {
		defer func() {
			if p := recover(); p != nil {
				mistake.CompareAndSwap(nil, fmt.Sprintf("checking %s: %v\n%s", inputs[i].Name, p, debug.Stack()))
			}
		}()
		outcomes[i] = work(inputs[i])
	}
	for range min(r.options.Workers, len(inputs)) {
		wg.Go(func() {
			for i := range next {
				one(i)
			}
		})
	}
	err := ctx.Err() // a select with two ready cases takes either
	for i := 0; i < len(inputs) && err == nil; i++ {
		select {
		case next <- i:
			err = ctx.Err()
		case <-ctx.Done():
			err = ctx.Err()
		}
	}
	close(next)
	wg.Wait()
	if m := mistake.Load(); m != nil {
		panic(m)
	}
	return err
}

// read reads and indexes a file. What keeps it from being read is a problem of
// the file like any other.
func read(in lint.Input) (*schema.File, []schema.Problem) {
	b, err := in.Read()
	f := schema.ReadFile(in.Name, b)
	if err != nil {
		f = schema.ReadFile(in.Name, nil)
		return f, []schema.Problem{{Kind: schema.Unreadable, At: schema.Place{File: f}, Message: err.Error()}}
	}
	return f, nil
}

func (r *runner) source(in lint.Input) outcome {
	if in.Context && in.Record != nil {
		return outcome{source: registered(in, in.Record())}
	}
	f, problems := read(in)
	var s *schema.Source
	if problems == nil {
		s, problems = schema.DecodeSource(f)
	}
	out := outcome{source: registered(in, s)}
	if in.Context {
		return out
	}
	out.checked = true
	pass := lint.Pass{File: f, Problems: problems, Source: s, ID: in.ID}
	out.findings = r.files(pass)
	return out
}

// registered returns the entry of a source in the register, nil without a title.
func registered(in lint.Input, s *schema.Source) *lint.Registered {
	if s == nil || !s.Title.Given() {
		return nil
	}
	return &lint.Registered{ID: in.ID, Source: s, At: lint.SpotOf(s.At), Context: in.Context}
}

func (r *runner) files(pass lint.Pass) []*lint.Finding {
	var found []*lint.Finding
	one := pass.With(nil, func(f *lint.Finding) { found = append(found, f) })
	for _, rule := range r.rules.file {
		rule.File(one.Next(rule))
	}
	return found
}

func (r *runner) file(in lint.Input) outcome {
	if in.Context {
		return outcome{}
	}
	f, problems := read(in)
	out := outcome{checked: true}
	if in.Kind == lint.MovedFile {
		if problems == nil {
			out.moves, problems = schema.DecodeMoved(f)
		}
		out.findings = r.files(lint.Pass{File: f, Problems: problems, Moves: out.moves})
		return out
	}
	if problems != nil {
		out.findings = r.files(lint.Pass{File: f, Problems: problems})
		return out
	}
	e, problems := schema.DecodeEngine(f)
	pass := lint.Pass{File: f, Problems: problems, Engine: e, Base: e, Dataset: r.register, ID: in.ID}
	found := r.files(pass)
	for _, one := range e.All() {
		pass.Engine = one
		found = append(found, fresh(found, r.engine(pass))...)
	}
	pass.Engine = e
	out.findings, out.accepted = r.accept(pass, found)
	out.engine = lint.Summarize(e, in.ID)
	return out
}

// engine runs the rules over the base or one variant.
func (r *runner) engine(pass lint.Pass) []*lint.Finding {
	var found []*lint.Finding
	report := func(f *lint.Finding) { found = append(found, f) }
	network := relation.NewNetwork(pass.Engine)
	for _, rule := range r.rules.relations {
		network.For(rule.Name)
		rule.Relations(network)
	}
	for _, c := range network.Check() {
		found = append(found, conflict(pass.Engine, network, r.rules.named[c.Broken[0].Rule], c))
	}
	pass.Relations = network
	one := pass.With(nil, report)
	for _, rule := range r.rules.engine {
		rule.Engine(one.Next(rule))
	}
	return found
}

// fresh drops the findings of a variant that the base has already: the same
// rule, place and words.
func fresh(known, found []*lint.Finding) []*lint.Finding {
	type key struct {
		rule, message string
		line, column  int
	}
	has := map[key]bool{}
	for _, f := range known {
		has[key{f.Rule, f.Message, f.Line, f.Column}] = true
	}
	return slices.DeleteFunc(found, func(f *lint.Finding) bool { return has[key{f.Rule, f.Message, f.Line, f.Column}] })
}

// accept takes out the findings that the engine's file keeps, and looks at the
// acceptances themselves.
func (r *runner) accept(pass lint.Pass, found []*lint.Finding) (left []*lint.Finding, kept []Accepted) {
	outcomes := make([]lint.Outcome, len(pass.Engine.Accepted))
	for i, a := range pass.Engine.Accepted {
		outcomes[i] = lint.Outcome{Acceptance: a, Ran: r.rules.named[a.Rule] != nil}
	}
	for _, f := range found {
		i := slices.IndexFunc(outcomes, func(o lint.Outcome) bool { return o.Rule == f.Rule && o.Reason != "" && covers(o.Path, f) })
		if i < 0 {
			left = append(left, f)
			continue
		}
		outcomes[i].Findings++
		kept = append(kept, Accepted{Finding: f, Reason: outcomes[i].Reason})
	}
	pass.Outcomes = outcomes
	for _, rule := range r.rules.afterwards {
		rule.Afterwards(pass.With(rule, func(f *lint.Finding) { left = append(left, f) }))
	}
	return left, kept
}

// covers reports whether an acceptance at a path keeps a finding: about that
// path, below it, or with a suspect at or below it.
func covers(path string, f *lint.Finding) bool {
	within := func(p string) bool { return p == path || strings.HasPrefix(p, path+".") }
	return within(f.Path) || slices.ContainsFunc(f.Suspects, func(s lint.Suspect) bool { return within(s.Path) })
}

// result gathers the outcomes and runs the rules over the whole.
func (r *runner) result(inputs []lint.Input, outcomes []outcome) Result {
	res := Result{Rules: len(r.options.Rules)}
	var pass lint.DatasetPass
	for _, in := range inputs {
		if in.Context && in.Kind == lint.EngineFile {
			pass.Others = append(pass.Others, in.ID)
		}
	}
	for _, o := range outcomes {
		res.Findings = append(res.Findings, o.findings...)
		res.Accepted = append(res.Accepted, o.accepted...)
		if o.source != nil {
			pass.Sources = append(pass.Sources, *o.source)
		}
		if o.engine != nil {
			pass.Engines = append(pass.Engines, *o.engine)
			res.Engines++
		}
		pass.Moves = append(pass.Moves, o.moves...)
		if o.checked {
			res.Files++
		}
	}
	slices.SortFunc(pass.Engines, func(a, b lint.Summary) int { return cmp.Compare(a.At.File, b.At.File) })
	slices.SortFunc(pass.Sources, func(a, b lint.Registered) int { return cmp.Compare(a.ID, b.ID) })
	for _, rule := range r.rules.dataset {
		rule.Dataset(pass.With(rule, func(f *lint.Finding) { res.Findings = append(res.Findings, f) }))
	}
	slices.SortStableFunc(res.Findings, order)
	slices.SortStableFunc(res.Accepted, func(a, b Accepted) int { return order(a.Finding, b.Finding) })
	return res
}

// order is by file, line, column, rule, variant, message.
func order(a, b *lint.Finding) int {
	return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column),
		cmp.Compare(a.Rule, b.Rule), cmp.Compare(a.Variant, b.Variant), cmp.Compare(a.Message, b.Message))
}

// sourceRegister is the shared register of sources.
type sourceRegister map[string]*schema.Source

func register(outcomes []outcome) sourceRegister {
	reg := sourceRegister{}
	for _, o := range outcomes {
		if o.source != nil && o.source.ID != "" {
			reg[o.source.ID] = o.source.Source
		}
	}
	return reg
}

// Source returns a record of the register.
func (s sourceRegister) Source(id string) (*schema.Source, bool) {
	source, ok := s[id]
	return source, ok
}
