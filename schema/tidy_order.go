package schema

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"

	"fourmarks.example/schema/text"
)

// keyOrder is the order of the keys of a map, and of the maps below it. A nil
// order leaves everything as the file has it.
type keyOrder struct {
	rank  map[string]int       // place of each known key; nil where the file chooses the keys
	below map[string]*keyOrder // by key
	each  *keyOrder            // of every entry, where the file chooses the keys
}

// under returns the order of the value of a key.
func (o *keyOrder) under(key string) *keyOrder {
	switch {
	case o == nil:
		return nil
	case o.each != nil:
		return o.each
	}
	return o.below[key]
}

// sort returns the entries in order; unknown keys stand behind the known ones.
func (o *keyOrder) sort(entries []text.Entry) []text.Entry {
	if o == nil || o.rank == nil {
		return entries
	}
	rank := func(e text.Entry) int {
		if r, known := o.rank[e.Key.Text]; known {
			return r
		}
		return len(o.rank)
	}
	compare := func(a, b text.Entry) int { return rank(a) - rank(b) }
	if slices.IsSortedFunc(entries, compare) {
		return entries
	}
	return slices.SortedStableFunc(slices.Values(entries), compare)
}

// orderOf returns the order for a file, told by what its root holds: an engine
// file names its engine and format, a contribution is called one, the record of moved ids holds ids with a
// slash, anything else is a source.
func orderOf(root *text.Node) *keyOrder {
	orders := keyOrders()
	switch {
	case root.Get("contribution") != nil:
		return orders.contribution
	case root.Get("engine") != nil || root.Get("format") != nil:
		return orders.engine
	case len(root.Entries) > 0 && strings.Contains(root.Entries[0].Key.Text, "/"):
		return orders.moved
	}
	return orders.source
}

type fileOrders struct{ engine, source, moved, contribution *keyOrder }

var keyOrders = sync.OnceValue(func() fileOrders {
	b := orderBuilder{keys: schemaKeys(), done: map[*plan]*keyOrder{}}
	return fileOrders{
		engine: b.section(planFor[Engine]()),
		source: b.section(planFor[Source]()),
		moved:  &keyOrder{each: &keyOrder{rank: ranks("to", "because", "note")}},

		contribution: b.section(planFor[Contribution]()),
	}
})

// orderBuilder turns the plans of sections into orders.
type orderBuilder struct {
	keys map[string]jsonKeys // of each definition of the JSON Schema
	done map[*plan]*keyOrder
}

func (b orderBuilder) section(p *plan) *keyOrder {
	if o := b.done[p]; o != nil {
		return o
	}
	o := &keyOrder{rank: ranks(b.keys[p.section]...), below: map[string]*keyOrder{}}
	b.done[p] = o
	for _, f := range p.fields {
		switch f.shape {
		case figureShape:
			o.below[f.key] = figureOrder()
		case sectionShape:
			o.below[f.key] = b.section(f.elem)
		case groupShape:
			o.below[f.key] = &keyOrder{each: b.section(f.elem)}
		case tableShape:
			o.below[f.key] = &keyOrder{each: figureOrder()}
		case changeShape:
			o.below[f.key] = b.section(planFor[Engine]())
		}
	}
	return o
}

// figureOrder is the order of a figure's keys, the same for every kind of
// figure; a claim has them too, but for the last.
func figureOrder() *keyOrder {
	seen := &keyOrder{rank: ranks("on", "by")}
	order := &keyOrder{rank: ranks("is", "from", "note", "quote", "seen", "set_aside", "claims"), below: map[string]*keyOrder{"seen": seen}}
	order.below["claims"] = &keyOrder{each: order}
	return order
}

func ranks(keys ...string) map[string]int {
	rank := make(map[string]int, len(keys))
	for i, k := range keys {
		rank[k] = i
	}
	return rank
}

// jsonKeys are the keys of a JSON object in the order written.
type jsonKeys []string

// UnmarshalJSON reads the keys of an object and skips their values.
func (k *jsonKeys) UnmarshalJSON(object []byte) error {
	d := json.NewDecoder(bytes.NewReader(object))
	if _, err := d.Token(); err != nil {
		return err
	}
	for d.More() {
		key, err := d.Token()
		if err != nil {
			return err
		}
		*k = append(*k, fmt.Sprint(key))
		if err := d.Decode(&json.RawMessage{}); err != nil {
			return err
		}
	}
	return nil
}

// schemaKeys returns the keys of every definition of the schemas, in the
// order in which the schemas list them.
func schemaKeys() map[string]jsonKeys {
	type definition struct {
		Properties jsonKeys `json:"properties"`
	}
	var engine, source, contribution struct {
		definition
		Defs map[string]definition `json:"$defs"`
	}
	for _, s := range []struct {
		text []byte
		into any
	}{{engineSchema, &engine}, {sourceSchema, &source}, {contributionSchema, &contribution}} {
		if err := json.Unmarshal(s.text, s.into); err != nil {
			panic(fmt.Sprintf("an embedded schema cannot be read: %v", err))
		}
	}
	keys := map[string]jsonKeys{
		"engine": engine.Properties, "source": source.Properties,
		"contribution": contribution.Properties, "contributed": contribution.Defs["contributed"].Properties,
	}
	for name, d := range engine.Defs {
		if len(d.Properties) > 0 {
			keys[name] = d.Properties
		}
	}
	return keys
}
