//go:build !js

package branch

import (
	"errors"
	"fmt"
	"os"

	"fourmarks.example/data/merge"
	"fourmarks.example/data/merge/lines"
)

// Driver does the part of a merge of one file that git leaves to a program: it
// reads three versions from the files that git names and puts the result into
// the file of ours, last of all and as a whole. It returns why the result is not
// to be taken as it is; nil only where it was merged by its figures and read
// again, or, being no file of a dataset, by its lines.
//
// Where the figures conflict, or a version cannot be read (git itself leaves
// markers in the base of crosswise merges), the text set out is that of a merge
// by lines with markers.
func Driver(base, ours, theirs, path string, markers int) error {
	var texts [3][]byte
	for i, name := range []string{base, ours, theirs} {
		var err error
		if texts[i], err = os.ReadFile(name); err != nil {
			return fmt.Errorf("a version of %s cannot be read: %w", path, err)
		}
	}
	info, err := os.Stat(ours)
	if err != nil {
		return fmt.Errorf("a version of %s cannot be read: %w", path, err)
	}
	text, why := driven(path, texts, markers)
	if err := replace(ours, text, info.Mode().Perm()); err != nil {
		return errors.Join(why, fmt.Errorf("the result of %s cannot be written: %w", path, err))
	}
	return why
}

// driven merges three versions of a file and says why the result is not final.
func driven(path string, texts [3][]byte, markers int) ([]byte, error) {
	sides := [2][]byte{texts[1], texts[2]}
	_, _, known := place(path)
	why := errors.New("both sides changed the same lines")
	if known {
		var text []byte
		if text, sides, why = byFigures(path, texts); why == nil {
			return text, nil
		}
	}
	pieces := lines.Merge(texts[0], sides[0], sides[1])
	if text, clean := lines.Clean(pieces); clean {
		if !known {
			why = nil
		}
		return text, why
	}
	return lines.Marked(pieces, lines.Labels{Base: "before", Ours: "ours", Theirs: "theirs"}, max(markers, lines.MarkerSize)), why
}

// byFigures merges a file of a dataset. With an error it returns the two texts
// that it comes to, each with the conflicts settled for one side.
func byFigures(path string, texts [3][]byte) (text []byte, sides [2][]byte, why error) {
	sides = [2][]byte{texts[1], texts[2]}
	defer func() {
		// git takes a program that fails for one that left a conflict, with what
		// it has: markers are to be there in that case too.
		if fault := recover(); fault != nil {
			text, why = nil, fmt.Errorf("it cannot be merged by its figures: %v", fault)
		}
	}()
	kind, _, _ := place(path)
	result, err := merge.Documents(kind, path, merge.Base{Text: texts[0]}, texts[1], texts[2])
	if err != nil {
		return nil, sides, fmt.Errorf("it cannot be merged by its figures: %w", err)
	}
	if len(result.Conflicts) == 0 {
		return result.Text, sides, nil
	}
	why = errors.New(said(result.Conflicts))
	if other, err := merge.Documents(kind, path, merge.Base{Text: texts[0]}, texts[2], texts[1]); err == nil {
		sides = [2][]byte{result.Text, other.Text}
	}
	return nil, sides, why
}
