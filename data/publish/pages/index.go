package pages

import (
	"cmp"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/data/release"
	"fourmarks.example/schema"
)

const (
	// cardsPerFile is how many engines a file of cards holds.
	cardsPerFile = 64
	// rangesPerFile bounds a file of engine numbers.
	rangesPerFile = 4096
)

// index is what the page that finds engines looks in, written so that a browser
// fetches only the part that a word, a year or a number leads to. Engines are
// counted from 0 in the order of their ids.
//
//   - find/words-<key>.js has for each word of a key (see [release.Key]) the
//     engines so called, and the engines whose remarks have it.
//   - find/numbers-<key>-<n>.js has ranges of engine numbers.
//   - find/years.js has the first and last year of every engine.
//   - find/cards-<n>.js has what a list of engines shows of each.
//   - find/index.js says which of these there are.
type index struct {
	put    func(name string, content []byte) error
	words  map[string]*postings
	ranges []numberRange
	years  []byte
	cards  []card
	count  int
}

// postings are the engines that have a word, in ascending order.
type postings struct{ names, remarks []int }

// card is what a list of engines shows of one: id, title, years, numbers, and
// for each variant its name, title, years and numbers.
type card struct {
	ID       string     `json:"id"`
	Title    string     `json:"t"`
	Made     string     `json:"m,omitempty"`
	Numbers  string     `json:"n,omitempty"`
	Variants []cardPart `json:"v,omitempty"`
}

type cardPart struct {
	Name    string `json:"k"`
	Title   string `json:"t,omitempty"`
	Made    string `json:"m,omitempty"`
	Numbers string `json:"n,omitempty"`
}

// numberRange is a range of engine numbers of one engine or variant.
type numberRange struct {
	schema.NumberRange
	engine  int
	variant string
}

func newIndex(put func(string, []byte) error) *index {
	return &index{put: put, words: map[string]*postings{}}
}

// entered is what an engine is found by.
type entered struct {
	card           card
	names, remarks []string // words
	ranges         []numberRange
	first, last    int // years
}

// enter gathers by what an engine is found.
func enter(e *release.Engine, read *schema.Engine) entered {
	is := entered{card: card{ID: e.ID, Title: e.Title, Made: e.Made, Numbers: numbersText(e.Numbers)}, first: e.First, last: lastYear(e.Dates)}
	names, remarks := e.ID+" "+e.Title+" "+e.AlsoCalled, e.Looks
	if read.Identify != nil {
		is.number(read.Identify.Numbers, "")
		remarks += " " + found(e.Numbers)
	}
	for _, v := range read.Variants {
		is.number(v.Value.Numbers, v.Name)
	}
	for _, v := range e.Variants {
		is.card.Variants = append(is.card.Variants, cardPart{Name: v.Name, Title: v.Title, Made: v.Made, Numbers: numbersText(v.Numbers)})
		names += " " + v.Name + " " + v.Title
		remarks += " " + found(v.Numbers)
		if v.First != 0 {
			is.first, is.last = min(cmp.Or(is.first, v.First), v.First), max(is.last, lastYear(v.Dates))
		}
	}
	is.names, is.remarks = release.Words(names), release.Words(remarks)
	return is
}

func (e *entered) number(n *schema.Numbers, variant string) {
	if r, err := n.Range(); err == nil && r.Given() { // the linter says what is wrong with others
		e.ranges = append(e.ranges, numberRange{NumberRange: r, variant: variant})
	}
}

// add enters an engine; engines come in the order of their ids.
func (x *index) add(e entered) error {
	for _, word := range e.names {
		x.enter(&x.posted(word).names)
	}
	for _, word := range e.remarks {
		x.enter(&x.posted(word).remarks)
	}
	for _, r := range e.ranges {
		r.engine = x.count
		x.ranges = append(x.ranges, r)
	}
	last := e.last
	if len(e.ranges) > 0 {
		last |= hasNumbers
	}
	x.years = binary.LittleEndian.AppendUint16(x.years, uint16(e.first))
	x.years = binary.LittleEndian.AppendUint16(x.years, uint16(last))
	x.cards = append(x.cards, e.card)
	x.count++
	if len(x.cards) == cardsPerFile {
		return x.writeCards()
	}
	return nil
}

func (x *index) posted(word string) *postings {
	p := x.words[word]
	if p == nil {
		p = &postings{}
		x.words[word] = p
	}
	return p
}

// enter adds the engine that is being added to a list, once.
func (x *index) enter(list *[]int) {
	if n := len(*list); n == 0 || (*list)[n-1] != x.count {
		*list = append(*list, x.count)
	}
}

// hasNumbers is added to the last year of an engine whose numbers are known.
const hasNumbers = 1 << 14

func lastYear(d release.Dates) int {
	if d.First != 0 && d.Last == 0 {
		return schema.OpenYear
	}
	return d.Last
}

// bounds are the least first and greatest last number of a file; nil is open.
type bounds [2]*int64

// directory is find/index.js.
type directory struct {
	Engines      int                 `json:"engines"`
	CardsPerFile int                 `json:"cards"`
	Words        []string            `json:"words"`
	Numbers      map[string][]bounds `json:"numbers"`
}

// close writes what is not yet written.
func (x *index) close() error {
	d := directory{Engines: x.count, CardsPerFile: cardsPerFile, Words: []string{}, Numbers: map[string][]bounds{}}
	var err error
	if len(x.cards) > 0 {
		err = x.writeCards()
	}
	if err == nil {
		err = x.writeWords(&d)
	}
	if err == nil {
		err = x.writeNumbers(&d)
	}
	if err == nil {
		err = x.script("find/years", base64.StdEncoding.EncodeToString(x.years))
	}
	if err == nil {
		err = x.script("find/index", d)
	}
	return err
}

func (x *index) writeCards() error {
	n := (x.count - 1) / cardsPerFile
	err := x.script(fmt.Sprintf("find/cards-%d", n), x.cards)
	x.cards = x.cards[:0]
	return err
}

func (x *index) writeWords(d *directory) error {
	files := map[string]map[string]string{}
	for word, p := range x.words {
		key := release.Key(word)
		if files[key] == nil {
			files[key] = map[string]string{}
		}
		files[key][word] = steps(p.names) + " " + steps(p.remarks)
	}
	for key := range files {
		d.Words = append(d.Words, key)
	}
	slices.Sort(d.Words)
	for _, key := range d.Words {
		if err := x.script("find/words-"+key, files[key]); err != nil {
			return err
		}
	}
	return nil
}

func (x *index) writeNumbers(d *directory) error {
	slices.SortStableFunc(x.ranges, func(a, b numberRange) int {
		return cmp.Or(cmp.Compare(release.Key(a.Letters), release.Key(b.Letters)), cmp.Compare(a.Letters, b.Letters), cmp.Compare(a.First, b.First))
	})
	for rest := x.ranges; len(rest) > 0; {
		key := release.Key(rest[0].Letters)
		n := 1
		for n < len(rest) && n < rangesPerFile && release.Key(rest[n].Letters) == key {
			n++
		}
		rows := make([][5]any, n)
		for i, r := range rest[:n] {
			first, last := r.ends()
			rows[i] = [5]any{r.Letters, first, last, r.engine, r.variant}
		}
		if err := x.script(fmt.Sprintf("find/numbers-%s-%d", key, len(d.Numbers[key])), rows); err != nil {
			return err
		}
		d.Numbers[key] = append(d.Numbers[key], boundsOf(rest[:n]))
		rest = rest[n:]
	}
	return nil
}

// ends are the first and last number; nil is open.
func (r numberRange) ends() (first, last *int64) {
	if !r.OpenLow {
		first = &r.First
	}
	if !r.OpenTop {
		last = &r.Last
	}
	return first, last
}

func boundsOf(ranges []numberRange) (b bounds) {
	b[0], b[1] = ranges[0].ends()
	for _, r := range ranges[1:] {
		first, last := r.ends()
		if b[0] != nil && (first == nil || *first < *b[0]) {
			b[0] = first
		}
		if b[1] != nil && (last == nil || *last > *b[1]) {
			b[1] = last
		}
	}
	return b
}

// digits are the 64 digits of steps.
const digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"

// steps writes ascending numbers as the step from each to the next, less one,
// in digits of five bits, the least first; the sixth bit says that more follow.
func steps(numbers []int) string {
	var b strings.Builder
	before := -1
	for _, n := range numbers {
		step := n - before - 1
		for ; step >= 32; step >>= 5 {
			b.WriteByte(digits[32|step&31])
		}
		b.WriteByte(digits[step])
		before = n
	}
	return b.String()
}

func numbersText(n *release.Numbers) string {
	switch {
	case n == nil || n.From == "" && n.To == "":
		return ""
	case n.To == "":
		return "from " + n.From
	case n.From == "":
		return "up to " + n.To
	}
	return n.From + " to " + n.To
}

// script writes a value as a script of the pages.
func (x *index) script(name string, value any) error {
	f, err := scriptFile(name, value)
	if err != nil {
		return err
	}
	return x.put(f.name, f.content)
}

// scriptFile is a value as a script that hands it over under its name: a page
// that lies in a folder may load scripts, and nothing else.
func scriptFile(name string, value any) (file, error) {
	b, err := json.Marshal([]any{name, value}) // which escapes what could end a script
	if err != nil {
		return file{}, fmt.Errorf("%s: %w", name, err)
	}
	return file{"pages/" + name + ".js", fmt.Appendf(nil, "fourmarks.give(%s)\n", b[1:len(b)-1])}, nil
}
