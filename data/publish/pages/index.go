package pages

import (
	"cmp"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"fourmarks.example/data/release"
	"fourmarks.example/schema"
)

const (
	// cardsPerFile is how many engines a file of cards holds.
	cardsPerFile = 256
	// rangesPerFile bounds a file of engine numbers.
	rangesPerFile = 4096
	// keyLetters is how many letters of a word name the file that it stands in.
	keyLetters = 2
)

// index is what the page that finds engines looks in, written so that a browser
// fetches only the part that a word, a year or a number leads to. Engines are
// counted from 0 in the order of their ids.
//
//   - find/words-<key>.js has for each word that begins with the two letters of
//     the key the engines so called, and the engines whose remarks have it.
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

// add enters an engine; engines come in the order of their ids.
func (x *index) add(of Engine) error {
	e := of.Published
	c := card{ID: e.ID, Title: e.Title, Made: e.Made, Numbers: numbersText(e.Numbers)}
	names := []string{e.ID, e.Title, e.AlsoCalled}
	remarks := []string{e.Looks}
	first, last := e.First, lastYear(e.Dates)
	numbered := false
	if i := of.File.Identify; i != nil {
		numbered = x.enterNumbers(i.Numbers, "", &remarks)
	}
	for _, v := range of.File.Variants {
		numbered = x.enterNumbers(v.Value.Numbers, v.Name, &remarks) || numbered
	}
	for _, v := range e.Variants {
		c.Variants = append(c.Variants, cardPart{Name: v.Name, Title: v.Title, Made: v.Made, Numbers: numbersText(v.Numbers)})
		names = append(names, v.Name, v.Title)
		if v.First != 0 {
			first, last = min(cmp.Or(first, v.First), v.First), max(last, lastYear(v.Dates))
		}
	}
	x.enterWords(names, func(p *postings) *[]int { return &p.names })
	x.enterWords(remarks, func(p *postings) *[]int { return &p.remarks })
	x.years = binary.LittleEndian.AppendUint16(x.years, uint16(first))
	if numbered {
		last |= hasNumbers
	}
	x.years = binary.LittleEndian.AppendUint16(x.years, uint16(last))
	x.cards = append(x.cards, c)
	x.count++
	if len(x.cards) == cardsPerFile {
		return x.writeCards()
	}
	return nil
}

// hasNumbers is added to the last year of an engine whose numbers are known.
const hasNumbers = 1 << 14

func lastYear(d release.Dates) int {
	if d.First != 0 && d.Last == 0 {
		return schema.OpenYear
	}
	return d.Last
}

// enterNumbers enters a range of numbers and reports whether there is one.
func (x *index) enterNumbers(n *schema.Numbers, variant string, remarks *[]string) bool {
	if n == nil {
		return false
	}
	*remarks = append(*remarks, n.Found.Text)
	r, err := n.Range()
	if err != nil || !r.Given() { // the linter says what is wrong with it
		return false
	}
	x.ranges = append(x.ranges, numberRange{r, x.count, variant})
	return true
}

func (x *index) enterWords(texts []string, list func(*postings) *[]int) {
	for _, text := range texts {
		for _, word := range words(text) {
			p := x.words[word]
			if p == nil {
				p = &postings{}
				x.words[word] = p
			}
			l := list(p)
			if n := len(*l); n == 0 || (*l)[n-1] != x.count {
				*l = append(*l, x.count)
			}
		}
	}
}

// words splits a text into words of letters or figures, in small letters.
func words(s string) []string {
	return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsNumber(r) })
}

// keyOf is what names the file that a word stands in.
func keyOf(word string) string {
	n := 0
	for i := range word {
		if n == keyLetters {
			return word[:i]
		}
		n++
	}
	return word
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
		key := keyOf(word)
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
		if err := x.script("find/words-"+fileName(key), files[key]); err != nil {
			return err
		}
	}
	return nil
}

func (x *index) writeNumbers(d *directory) error {
	slices.SortStableFunc(x.ranges, func(a, b numberRange) int {
		return cmp.Or(cmp.Compare(keyOf(a.Letters), keyOf(b.Letters)), cmp.Compare(a.Letters, b.Letters), cmp.Compare(a.First, b.First))
	})
	for rest := x.ranges; len(rest) > 0; {
		key := keyOf(rest[0].Letters)
		n := 1
		for n < len(rest) && n < rangesPerFile && keyOf(rest[n].Letters) == key {
			n++
		}
		rows := make([][5]any, n)
		for i, r := range rest[:n] {
			first, last := r.ends()
			rows[i] = [5]any{r.Letters, first, last, r.engine, r.variant}
		}
		if err := x.script(fmt.Sprintf("find/numbers-%s-%d", fileName(key), len(d.Numbers[key])), rows); err != nil {
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
