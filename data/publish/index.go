package publish

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"fourmarks.example/data/release"
	"fourmarks.example/schema"
)

// entriesPerShard is how many engines stand in one file of entries.
const entriesPerShard = 500

// indexForm gathers by which words and numbers engines are found. It is what
// grows with the dataset: some bytes for each word of each engine.
type indexForm struct {
	folder  *Folder
	number  int
	shard   []release.Entry
	words   map[string][]int
	numbers []release.Range
}

func newIndex(f *Folder) (Form, error) {
	return &indexForm{folder: f, words: map[string][]int{}}, nil
}

// found is what one engine is found by.
type found struct {
	entry   release.Entry
	words   []string
	numbers []release.Range
}

func (x *indexForm) Prepare(p *Prepared) (any, error) {
	is := p.Entry
	words := release.Words(is.ID + " " + is.Title + " " + is.AlsoCalled + " " + is.Looks)
	for _, v := range is.Variants {
		words = append(words, release.Words(v.Name+" "+v.Title)...)
	}
	slices.Sort(words)
	return found{entry: is, words: slices.Compact(words), numbers: ranges(p.Engine)}, nil
}

// ranges are the engine numbers of an engine and of those variants that have
// their own.
func ranges(e *schema.Engine) []release.Range {
	var all []release.Range
	var base schema.NumberRange
	for _, one := range e.All() {
		if one.Identify == nil {
			continue
		}
		r, err := one.Identify.Numbers.Range()
		if err != nil || !r.Given() || r == base {
			continue // the linter says why a range cannot be read
		}
		if one == e {
			base = r
		}
		is := release.Range{Letters: strings.Clone(r.Letters), Variant: strings.Clone(one.Variant)}
		if !r.OpenLow {
			is.First = &r.First
		}
		if !r.OpenTop {
			is.Last = &r.Last
		}
		all = append(all, is)
	}
	return all
}

func (x *indexForm) Add(prepared any) error {
	is := prepared.(found)
	for _, w := range is.words {
		x.words[w] = append(x.words[w], x.number)
	}
	for _, r := range is.numbers {
		r.Engine = x.number
		x.numbers = append(x.numbers, r)
	}
	x.shard = append(x.shard, is.entry)
	x.number++
	if len(x.shard) == entriesPerShard {
		return x.endShard()
	}
	return nil
}

func (x *indexForm) endShard() error {
	if len(x.shard) == 0 {
		return nil
	}
	name := fmt.Sprintf("index/entries-%d.json", (x.number-1)/entriesPerShard)
	err := putJSON(x.folder, name, x.shard)
	x.shard = x.shard[:0]
	return err
}

func (x *indexForm) End(*Whole) error {
	if err := x.endShard(); err != nil {
		return err
	}
	byKey := map[string]map[string][]int{}
	for word, engines := range x.words {
		key := release.Key(word)
		if byKey[key] == nil {
			byKey[key] = map[string][]int{}
		}
		byKey[key][word] = engines
	}
	ranges := map[string][]release.Range{}
	for _, r := range x.numbers {
		ranges[release.Key(r.Letters)] = append(ranges[release.Key(r.Letters)], r)
	}
	is := release.Index{Format: release.Version, Engines: x.number, PerShard: entriesPerShard,
		Words: append([]string{}, slices.Sorted(maps.Keys(byKey))...), Numbers: append([]string{}, slices.Sorted(maps.Keys(ranges))...)}
	for _, key := range is.Words {
		if err := putJSON(x.folder, "index/words-"+key+".json", byKey[key]); err != nil {
			return err
		}
	}
	for _, key := range is.Numbers {
		if err := putJSON(x.folder, "index/numbers-"+key+".json", ranges[key]); err != nil {
			return err
		}
	}
	return putJSON(x.folder, "index.json", is)
}

func (x *indexForm) Close() error { return nil }
