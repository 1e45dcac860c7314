package store

import (
	"cmp"
	"context"
	"runtime"
	"slices"
	"sync"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// Entry is what tells one engine from others, as a person would look for it.
type Entry struct {
	ID         string             `json:"engine"`
	Title      string             `json:"title"`
	Made       string             `json:"made"`
	AlsoCalled string             `json:"also_called"`
	Looks      string             `json:"looks"`
	Numbers    Numbers            `json:"numbers"`
	Variants   []Series           `json:"variants"`
	File       string             `json:"file"`
	rangeOf    schema.NumberRange // of the base
}

// Series is a variant of an engine, with what tells it from the others.
type Series struct {
	Name    string  `json:"variant"`
	Title   string  `json:"title"`
	Made    string  `json:"made"`
	Numbers Numbers `json:"numbers"`
	rangeOf schema.NumberRange
}

// Numbers are the engine numbers as the file gives them.
type Numbers struct {
	From  string `json:"from"`
	To    string `json:"to"`
	Found string `json:"found"`
}

// Given reports whether any number is given.
func (n Numbers) Given() bool { return n.From != "" || n.To != "" }

// Catalogue is which engines a dataset holds, and which ids it no longer uses.
type Catalogue struct {
	Entries []Entry // by id
	Moves   []schema.Move
	// Unread are the names of the engine files that could not be read.
	Unread []string
}

// ReadCatalogue reads of each engine file what tells the engine from others,
// not its figures, on all cores. It stops early, with the context's error, when
// the context is cancelled.
func ReadCatalogue(ctx context.Context, inputs []lint.Input) (*Catalogue, error) {
	entries := make([]*Entry, len(inputs))
	next := make(chan int)
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				entries[i] = readEntry(inputs[i])
			}
		})
	}
	c := &Catalogue{}
	for i, in := range inputs {
		switch {
		case ctx.Err() != nil:
		case in.Kind == lint.EngineFile:
			next <- i
		case in.Kind == lint.MovedFile:
			if b, err := in.Read(); err == nil {
				moves, _ := schema.DecodeMoved(schema.ReadFile(in.Name, b))
				c.Moves = append(c.Moves, moves...)
			}
		}
	}
	close(next)
	wg.Wait()
	for i, e := range entries {
		switch {
		case e != nil:
			c.Entries = append(c.Entries, *e)
		case inputs[i].Kind == lint.EngineFile:
			c.Unread = append(c.Unread, inputs[i].Name)
		}
	}
	slices.SortStableFunc(c.Entries, func(a, b Entry) int { return cmp.Compare(a.ID, b.ID) })
	return c, ctx.Err()
}

// readEntry returns nil for a file that names no engine.
func readEntry(in lint.Input) *Entry {
	b, err := in.Read()
	if err != nil {
		return nil
	}
	f := schema.ReadFile(in.Name, b)
	root := f.Doc.Root
	id := words(root.Get("engine"))
	if id == "" {
		return nil
	}
	identify := root.Get("identify")
	e := &Entry{ID: id, File: in.Name, Title: words(root.Get("title")), Made: words(root.Get("made")),
		AlsoCalled: words(identify.Get("also_called")), Looks: words(identify.Get("looks"))}
	e.Numbers, e.rangeOf = numbers(f, identify.Get("numbers"))
	variants := root.Get("variants")
	if variants == nil {
		return e
	}
	for _, v := range variants.Entries {
		s := Series{Name: v.Key.Text, Title: words(v.Value.Get("title")), Made: words(v.Value.Get("made"))}
		s.Numbers, s.rangeOf = numbers(f, v.Value.Get("numbers"))
		e.Variants = append(e.Variants, s)
	}
	return e
}

// words returns the text of a scalar, "" for anything else.
func words(n *text.Node) string {
	if n == nil || n.Kind != text.Scalar {
		return ""
	}
	return n.Text
}

func numbers(f *schema.File, n *text.Node) (Numbers, schema.NumberRange) {
	word := func(key string) schema.Word {
		at := n.Get(key)
		if words(at) == "" {
			return schema.Word{}
		}
		return schema.Word{Text: at.Text, At: schema.Place{File: f, Node: at}}
	}
	printed := schema.Numbers{From: word("from"), To: word("to"), Found: word("found")}
	r, err := printed.Range()
	if err != nil {
		r = schema.NumberRange{} // the linter says why; here it only cannot help
	}
	return Numbers{From: printed.From.Text, To: printed.To.Text, Found: printed.Found.Text}, r
}
