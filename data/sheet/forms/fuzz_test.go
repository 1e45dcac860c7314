package forms_test

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"fourmarks.example/data/cautions"
	"fourmarks.example/data/sheet"
	"fourmarks.example/data/sheet/forms"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// Whatever a file says, its sheet is made in every form without a fault, with the
// cautions, as JSON and XML that can be read, and with labels apart.
func FuzzSheetOfAnyFile(f *testing.F) {
	demo, err := store.OpenEmbedded()
	if err != nil {
		f.Fatal(err)
	}
	real, err := store.Open(published)
	if err != nil {
		f.Fatal(err)
	}
	for _, in := range append(demo, real...) {
		if in.Kind == lint.EngineFile {
			b, err := in.Read()
			if err != nil {
				f.Fatal(err)
			}
			f.Add(string(b), "1500 ft", "15 in", 2)
		}
	}
	f.Fuzz(func(t *testing.T, file, altitude, diameter string, cylinder int) {
		e, _ := schema.DecodeEngine(schema.ReadFile("engines/made/up.yaml", []byte(file)))
		if e == nil {
			return
		}
		for _, one := range e.All() {
			s, err := sheet.Make(one, func(string) (*schema.Source, bool) { return nil, false },
				sheet.Options{Altitude: altitude, RimDiameter: diameter, Disc: diameter, Cylinder: cylinder})
			if err != nil {
				if s, err = sheet.Make(one, func(string) (*schema.Source, bool) { return nil, false }, sheet.Options{}); err != nil {
					t.Fatalf("without options a sheet can be made of every file: %v", err)
				}
			}
			checkForms(t, s)
		}
	})
}

func checkForms(t *testing.T, s *sheet.Sheet) {
	if _, err := json.Marshal(s); err != nil {
		t.Fatal(err)
	}
	text := words(forms.Text(forms.Of(s), 80))
	drawing := ""
	if d, ok := s.DiagramAlone(); ok {
		drawing = d.SVG()
		dec := xml.NewDecoder(strings.NewReader(drawing))
		for {
			if _, err := dec.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%v in %s", err, drawing)
			}
		}
		for i, a := range d.Labels {
			for _, b := range d.Labels[i+1:] {
				if a.Box.Meets(b.Box) {
					t.Fatalf("%q meets %q", a.Lines, b.Lines)
				}
			}
		}
	}
	var html strings.Builder
	if err := forms.HTML(&html, forms.Of(s), drawing); err != nil {
		t.Fatal(err)
	}
	for _, c := range cautions.General() {
		if !strings.Contains(text, words(c.Text)) {
			t.Fatalf("%q is not said", c.Text)
		}
	}
}
