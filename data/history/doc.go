// Package history tells who set each figure of an engine, when, and on which
// evidence, from the commits of the git repository that its dataset lies in. No
// git program is needed.
//
// An engine is followed by its id through the names that its file had, and
// through the ids that the record of moved ids gives it. Where branches were
// merged a figure counts as set only if it is then as in none of them.
//
// Reading files and comparing their claims takes most of the time, so what was
// read is kept in the repository's common folder; see [Dataset.Of].
package history

import (
	"fmt"
	"path"
	"slices"
	"strings"
	"time"

	"fourmarks.example/data/changes"
	"fourmarks.example/schema"
)

// History is what became of an engine, commit by commit, the oldest first.
type History struct {
	Engine string `json:"engine"`
	// Was are the ids that it had before.
	Was []string `json:"was"`
	// Now are the ids that took its place, where it was split or merged into another.
	Now   []string `json:"now"`
	Steps []Step   `json:"steps"`
}

// Step is a commit that says something else of an engine than those before it.
type Step struct {
	Commit  string    `json:"commit"`
	Author  string    `json:"author"`
	Email   string    `json:"email"`
	When    time.Time `json:"when"`
	Message string    `json:"message"`
	// Contributors are those whom the message credits beside the author.
	Contributors []string `json:"contributors"`
	// Merge says that the commit joins others: what it says is then as in none of
	// them.
	Merge bool `json:"merge"`
	// CutOff says that the clone is shallow and its history ends here: the figures
	// stood then, and who set them is not known.
	CutOff bool `json:"cut_off"`
	// Fate is New or Gone where the engine came or went; File is where it stands
	// or stood, MovedFrom where it stood before.
	Fate      changes.Fate `json:"fate"`
	File      string       `json:"file"`
	MovedFrom string       `json:"moved_from"`
	// Unread says why the file cannot be read in full.
	Unread  string           `json:"unread"`
	Figures []changes.Figure `json:"figures"`
	Words   []changes.Word   `json:"words"`
}

// Subject is the first line of the step's message.
func (s Step) Subject() string {
	first, _, _ := strings.Cut(strings.TrimSpace(s.Message), "\n")
	return first
}

// Only keeps what concerns a figure, a section, or a part of either; of a
// variant, if one is named. Steps that say nothing of it are left out.
func (h *History) Only(wanted, variant string) error {
	wanted = strings.TrimSpace(wanted)
	key := strings.ReplaceAll(wanted, " ", "_")
	var known []string
	fits := func(path, of string) bool {
		known = append(known, path, path[strings.LastIndexByte(path, '.')+1:])
		within := func(part string) bool { return strings.Contains("."+path+".", "."+part+".") }
		return (variant == "" || of == variant) && (wanted == "" || within(wanted) || within(key))
	}
	for i := range h.Steps {
		s := &h.Steps[i]
		s.Figures = slices.DeleteFunc(s.Figures, func(f changes.Figure) bool { return !fits(f.Path, f.Variant) })
		s.Words = slices.DeleteFunc(s.Words, func(w changes.Word) bool { return !fits(w.Path, w.Variant) })
	}
	h.Steps = slices.DeleteFunc(h.Steps, func(s Step) bool { return len(s.Figures)+len(s.Words) == 0 })
	if len(h.Steps) > 0 {
		return nil
	}
	of := h.Engine
	if variant != "" {
		of += " " + variant
	}
	slices.Sort(known)
	if near := schema.Nearest(key, slices.Compact(known), 3); len(near) > 0 {
		return fmt.Errorf("the history of %s has no figure %q; near to it: %s", of, wanted, strings.Join(near, ", "))
	}
	return fmt.Errorf("the history of %s has no figure %q", of, wanted)
}

// extensions are those that the file of an engine may have, the usual one first.
var extensions = []string{".yaml", ".yml", ".json"}

// filesOf lists where in a repository the files of ids would lie.
func filesOf(root string, ids []string) []string {
	var all []string
	for _, id := range ids {
		for _, ext := range extensions {
			all = append(all, path.Join(root, "engines", id+ext))
		}
	}
	return all
}
