package history

import (
	"encoding/hex"
	"errors"
	"time"

	"fourmarks.example/data/claims"
	"fourmarks.example/data/commits"
)

// The form in which an index is kept, with nothing in it that can be left out.

type keptIndex struct {
	Head    keptHash             `json:"head"`
	CutOff  string               `json:"cut_off,omitempty"`
	IDs     []string             `json:"ids"`
	Now     []string             `json:"now,omitempty"`
	Paths   []string             `json:"paths"`
	Moments []keptMoment         `json:"moments"`
	Claims  []keptClaim          `json:"claims"`
	Blobs   map[keptHash]version `json:"blobs"`
}

// keptHash is a hash in hexadecimal.
type keptHash commits.Hash

func (h keptHash) MarshalText() ([]byte, error) { return hex.AppendEncode(nil, h[:]), nil }

func (h *keptHash) UnmarshalText(b []byte) error {
	if len(b) != 2*len(h) {
		return errors.New("this is no hash")
	}
	_, err := hex.Decode(h[:], b)
	return err
}

type keptPlace struct {
	Path string    `json:"p,omitempty"`
	Blob *keptHash `json:"b,omitempty"`
}

type keptMoment struct {
	Commit  keptHash    `json:"c"`
	Name    string      `json:"n"`
	Email   string      `json:"e"`
	When    time.Time   `json:"w"`
	Message string      `json:"m"`
	CutOff  bool        `json:"x,omitempty"`
	At      keptPlace   `json:"at"`
	Parents []keptPlace `json:"of,omitempty"`
}

type keptClaim struct {
	Pointer   string         `json:"p"`
	Key       string         `json:"k,omitempty"`
	Kind      claims.Kind    `json:"t,omitempty"`
	Variant   string         `json:"v,omitempty"`
	Path      string         `json:"w,omitempty"`
	Printed   string         `json:"i,omitempty"`
	Source    string         `json:"s,omitempty"`
	Locator   string         `json:"l,omitempty"`
	Inherited bool           `json:"h,omitempty"`
	Note      string         `json:"n,omitempty"`
	Quote     string         `json:"q,omitempty"`
	SeenOn    string         `json:"o,omitempty"`
	SeenBy    string         `json:"b,omitempty"`
	Aside     bool           `json:"a,omitempty"`
	SetAside  string         `json:"r,omitempty"`
	Other     []claims.Other `json:"x,omitempty"`
	Empty     bool           `json:"e,omitempty"`
}

func keep(x *index) keptIndex {
	k := keptIndex{Head: keptHash(x.head), CutOff: x.cutOff, IDs: x.ids, Now: x.now, Paths: x.paths, Blobs: map[keptHash]version{}}
	for _, m := range x.moments {
		one := keptMoment{Commit: keptHash(m.commit), Name: m.author.Name, Email: m.author.Email, When: m.author.When, Message: m.message, CutOff: m.cutOff, At: keepPlace(m.at)}
		for _, p := range m.parents {
			one.Parents = append(one.Parents, keepPlace(p))
		}
		k.Moments = append(k.Moments, one)
	}
	for _, c := range x.archive.claims {
		k.Claims = append(k.Claims, keptClaim{c.Pointer, c.Key, c.Kind, c.Variant, c.Path, c.Printed, c.Source, c.Locator, c.Inherited,
			c.Note, c.Quote, c.SeenOn, c.SeenBy, c.Aside, c.SetAside, c.Other, c.Empty})
	}
	for blob, v := range x.archive.versions {
		k.Blobs[keptHash(blob)] = v
	}
	return k
}

func keepPlace(p place) keptPlace {
	if p.isNowhere() {
		return keptPlace{}
	}
	blob := keptHash(p.blob)
	return keptPlace{p.path, &blob}
}

// index returns what was kept; false when it does not hold together.
func (k keptIndex) index() (*index, bool) {
	x := &index{head: commits.Hash(k.Head), cutOff: k.CutOff, ids: k.IDs, now: k.Now, paths: k.Paths, archive: newArchive()}
	for _, m := range k.Moments {
		one := moment{commit: commits.Hash(m.Commit), author: commits.Person{Name: m.Name, Email: m.Email, When: m.When}, message: m.Message, cutOff: m.CutOff, at: m.At.place()}
		for _, p := range m.Parents {
			one.parents = append(one.parents, p.place())
		}
		x.moments = append(x.moments, one)
	}
	for _, c := range k.Claims {
		x.archive.claims = append(x.archive.claims, claims.Claim{ID: claims.ID{Pointer: c.Pointer, Key: c.Key}, Kind: c.Kind, Variant: c.Variant, Path: c.Path,
			Printed: c.Printed, Source: c.Source, Locator: c.Locator, Inherited: c.Inherited, Note: c.Note, Quote: c.Quote, SeenOn: c.SeenOn, SeenBy: c.SeenBy,
			Aside: c.Aside, SetAside: c.SetAside, Other: c.Other, Empty: c.Empty})
	}
	for blob, v := range k.Blobs {
		for _, at := range v.Claims {
			if at < 0 || at >= len(k.Claims) {
				return nil, false
			}
		}
		x.archive.versions[commits.Hash(blob)] = v
	}
	return x, len(x.ids) > 0
}

func (p keptPlace) place() place {
	if p.Blob == nil {
		return place{}
	}
	return place{p.Path, commits.Hash(*p.Blob)}
}
