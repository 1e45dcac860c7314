//go:build !js

package commits

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/go-git/go-git/v5/plumbing"
)

// Commit is a state of the whole repository with what it came from.
type Commit struct {
	Hash      Hash
	Tree      Hash
	Parents   []Hash // none for a first commit, and none where CutOff
	CutOff    bool   // the clone is shallow and its history ends here
	Author    Person
	Committer Person
	Message   string // as it is stored
}

// Person is who did something, and when.
type Person struct {
	Name, Email string
	When        time.Time
}

// headerLimit bounds what is read of a commit or tag.
const headerLimit = 1 << 20

// Commit reads a commit.
func (r *Repository) Commit(h Hash) (Commit, error) {
	kind, b, err := r.object(h, headerLimit)
	if err != nil {
		return Commit{}, err
	}
	if kind != plumbing.CommitObject {
		return Commit{}, fmt.Errorf("%s is a %s, not a commit", h, kind)
	}
	head, message, _ := bytes.Cut(b, []byte("\n\n"))
	c := Commit{Hash: h, Message: string(message)}
	for line := range bytes.Lines(head) {
		key, value, _ := strings.Cut(strings.TrimSuffix(string(line), "\n"), " ")
		switch key {
		case "tree":
			c.Tree = plumbing.NewHash(value)
		case "parent":
			c.Parents = append(c.Parents, plumbing.NewHash(value))
		case "author":
			c.Author = person(value)
		case "committer":
			c.Committer = person(value)
		}
	}
	if c.Tree == None {
		return Commit{}, fmt.Errorf("the commit %s has no tree", h)
	}
	cut, err := r.Shallow()
	if err != nil {
		return Commit{}, err
	}
	if cut[h] {
		c.Parents, c.CutOff = nil, true
	}
	return c, nil
}

// person reads "name <email> seconds zone". What cannot be read stays empty, as
// a commit with a damaged date is a commit still.
func person(s string) Person {
	name, rest, _ := strings.Cut(s, "<")
	at := strings.LastIndexByte(rest, '>')
	if at < 0 {
		return Person{Name: strings.TrimSpace(name)}
	}
	p := Person{Name: strings.TrimSpace(name), Email: rest[:at]}
	seconds, zone, _ := strings.Cut(strings.TrimSpace(rest[at+1:]), " ")
	if n, err := strconv.ParseInt(seconds, 10, 64); err == nil {
		p.When = time.Unix(n, 0).In(location(zone))
	}
	return p
}

// location reads a zone such as +0130.
func location(zone string) *time.Location {
	n, err := strconv.Atoi(zone)
	if err != nil || n == 0 {
		return time.UTC
	}
	return time.FixedZone("", (n/100*60+n%100)*60)
}

// Shallow returns the commits at which the history of a shallow clone ends.
func (r *Repository) Shallow() (map[Hash]bool, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.cut != nil {
		return r.cut, nil
	}
	hashes, err := r.storage.Shallow()
	if err != nil {
		return nil, fmt.Errorf("the repository cannot be read: %w", err)
	}
	r.cut = make(map[Hash]bool, len(hashes))
	for _, h := range hashes {
		r.cut[h] = true
	}
	return r.cut, nil
}

// peeled returns the commit that an object is, or that a tag names.
func (r *Repository) peeled(h Hash) (Hash, error) {
	for range 10 { // a tag of a tag of a tag…
		kind, b, err := r.object(h, headerLimit)
		switch {
		case err != nil:
			return None, fmt.Errorf("%w%s", err, r.cutOff())
		case kind == plumbing.CommitObject:
			return h, nil
		case kind != plumbing.TagObject:
			return None, fmt.Errorf("%s is a %s, not a commit", h, kind)
		}
		first, _, _ := strings.Cut(string(b), "\n")
		of, ok := strings.CutPrefix(first, "object ")
		if !ok || !plumbing.IsHash(of) {
			return None, fmt.Errorf("the tag %s names nothing", h)
		}
		h = plumbing.NewHash(of)
	}
	return None, fmt.Errorf("the tag %s leads to no commit", h)
}
