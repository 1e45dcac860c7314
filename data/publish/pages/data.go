package pages

import (
	"slices"
	"strings"

	"fourmarks.example/schema"
)

// engineData is what scripts are given of an engine: its figures, to compare
// them with another's, and the text of its file and of the sources that it
// names, to check what is contributed.
type engineData struct {
	ID     string       `json:"id"`
	Title  string       `json:"title"`
	Series []seriesData `json:"series"`
	Files  []textFile   `json:"files"`
	// Sources are the ids by which the file names its sources.
	Sources []string `json:"sources"`
}

type seriesData struct {
	Variant string           `json:"variant"`
	Title   string           `json:"title"`
	Made    string           `json:"made"`
	Page    string           `json:"page"`
	Figures []comparedFigure `json:"figures"`
}

// comparedFigure is path, section, name, standing, and the print in the units
// that a reader may choose.
type comparedFigure struct {
	Path     string `json:"path"`
	Section  string `json:"section"`
	Name     string `json:"name"`
	Standing string `json:"standing"`
	Printed  string `json:"printed"`
	Metric   string `json:"metric,omitempty"`
	Inch     string `json:"inch,omitempty"`
}

// textFile is a file of the dataset by its name in it.
type textFile struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

func dataOf(e engine, all []series) engineData {
	d := engineData{ID: e.Published.ID, Title: e.Published.Title, Files: textsOf(e), Sources: []string{}}
	for _, s := range e.Published.Sources {
		d.Sources = append(d.Sources, citationOf(s.ID, "").Name)
	}
	for _, s := range all {
		one := seriesData{Variant: s.Variant, Title: s.FullTitle(), Made: s.Made, Page: s.File, Figures: []comparedFigure{}}
		for _, g := range s.Groups {
			for _, in := range g.Sections {
				for _, f := range in.Figures {
					one.Figures = append(one.Figures, comparedFigure{f.Path, strings.TrimSuffix(g.Title+": "+in.Title, ": "), f.Name, f.Standing, inDispute(f), f.Is.Metric, f.Is.Inch})
				}
			}
		}
		d.Series = append(d.Series, one)
	}
	return d
}

// inDispute is a figure's print; of one in dispute, every print.
func inDispute(f figure) string {
	if len(f.Disputed) == 0 {
		return f.Is.Printed
	}
	var all []string
	for _, c := range f.Disputed {
		all = append(all, c.Printed)
	}
	return strings.Join(all, " or ")
}

// textsOf returns the engine's file and those of the sources that it names, and
// of what these copy.
func textsOf(e engine) []textFile {
	files := []textFile{{"engines/" + e.Published.ID + ".yaml", textOf(e.Engine.File())}}
	var ids []string
	for _, c := range e.Engine.Citations() {
		ids = append(ids, c.Source)
	}
	for i := 0; i < len(ids); i++ {
		s, ok := e.Register(ids[i])
		if _, own := e.Engine.Sources.Get(ids[i]); own || !ok || slices.Contains(ids[:i], ids[i]) {
			continue
		}
		files = append(files, textFile{"sources/" + ids[i] + ".yaml", textOf(s.At.File)})
		if s.Copies.Given() {
			ids = append(ids, s.Copies.Text)
		}
	}
	return files
}

func textOf(f *schema.File) string {
	if f == nil || f.Doc == nil {
		return ""
	}
	return string(f.Doc.Source)
}
