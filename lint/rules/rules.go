// Package rules is the rule book: every check of the linter with its page, its
// examples and its code in one place, one file a family.
//
// To add a rule, write a lint.Rule in the file of its family and name it in
// that family's list. The tests hold every rule to the contract: its page is
// complete, its bad example raises it, its good example does not.
package rules

import (
	"slices"
	"sync"

	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
)

// All returns every rule, family by family.
func All() []*lint.Rule { return slices.Clone(whole()) }

// whole is the rule book, put together once. It is set here because a rule may
// ask for the book it stands in.
var whole func() []*lint.Rule

func init() {
	whole = sync.OnceValue(func() []*lint.Rule {
		return slices.Concat(form(), events(), clearances(), drives(), marks(), order(), size(), ignition(), checks(), sources(), variants(), safety())
	})
}

// Network returns an engine's figures with every relation of the rule book
// between them, for what they may derive.
func Network(e *schema.Engine) *relation.Network {
	n := relation.NewNetwork(e)
	for _, r := range whole() {
		if r.Relations != nil {
			n.For(r.Name)
			r.Relations(n)
		}
	}
	return n
}

const commonPractice = "common practice, no source"
