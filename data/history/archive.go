package history

import (
	"context"
	"fmt"

	"fourmarks.example/data/claims"
	"fourmarks.example/data/commits"
)

// archive holds what the versions of a file say, by their blobs. Versions have
// most claims in common, and each is held once.
type archive struct {
	claims   []claims.Claim
	versions map[commits.Hash]version

	index map[string]int // of claims, by all that they say; filled when first needed
}

func newArchive() *archive { return &archive{versions: map[commits.Hash]version{}} }

// fill reads the versions that are not there yet.
func (a *archive) fill(ctx context.Context, r *commits.Repository, blobs []commits.Hash) error {
	var missing []commits.Hash
	wanted := map[commits.Hash]bool{commits.None: true} // what is nowhere says nothing
	for _, blob := range blobs {
		if _, there := a.versions[blob]; !there && !wanted[blob] {
			wanted[blob] = true
			missing = append(missing, blob)
		}
	}
	records := make([]record, len(missing))
	err := spread(ctx, r, len(missing), worthVersions, func(r *commits.Repository) func(int) error {
		return func(i int) error {
			b, err := r.Blob(missing[i], readLimit)
			records[i] = extract(b)
			return err
		}
	})
	if err != nil {
		return err
	}
	for i, blob := range missing {
		a.versions[blob] = a.add(records[i])
	}
	return nil
}

func (a *archive) add(r record) version {
	if a.index == nil {
		a.index = make(map[string]int, len(a.claims))
		for i := range a.claims {
			a.index[identity(&a.claims[i])] = i
		}
	}
	v := version{Claims: make([]int, len(r.claims)), Disputed: r.disputed, Unread: r.unread}
	for i := range r.claims {
		key := identity(&r.claims[i])
		at, known := a.index[key]
		if !known {
			at = len(a.claims)
			a.claims = append(a.claims, r.claims[i])
			a.index[key] = at
		}
		v.Claims[i] = at
	}
	return v
}

// identity is all that a claim says, in one text.
func identity(c *claims.Claim) string {
	var other string
	if len(c.Other) > 0 {
		other = fmt.Sprintf("%q", c.Other)
	}
	flags := [...]byte{byte(c.Kind), 0, 0, 0}
	for i, set := range []bool{c.Inherited, c.Aside, c.Empty} {
		if set {
			flags[i+1] = 1
		}
	}
	const apart = "\x00" // in no text of a file
	return c.Pointer + apart + c.Key + apart + c.Variant + apart + c.Path + apart + c.Printed + apart + c.Source + apart + c.Locator + apart +
		c.Note + apart + c.Quote + apart + c.SeenOn + apart + c.SeenBy + apart + c.SetAside + apart + other + apart + string(flags[:])
}

// apart returns the claims of two versions where they are not all the same: every
// claim that is made of a figure of which something is said in one version alone.
func (a *archive) apart(was, is version) (before, after []claims.Claim) {
	const inWas, inIs = 1, 2
	in := make([]byte, len(a.claims))
	for _, at := range was.Claims {
		in[at] |= inWas
	}
	for _, at := range is.Claims {
		in[at] |= inIs
	}
	differs := map[string]bool{}
	for at, where := range in {
		if where == inWas || where == inIs {
			differs[a.claims[at].Pointer] = true
		}
	}
	if len(differs) == 0 {
		return nil, nil
	}
	return a.at(differs, was), a.at(differs, is)
}

// at returns the claims of a version at some pointers.
func (a *archive) at(pointers map[string]bool, v version) []claims.Claim {
	var all []claims.Claim
	for _, at := range v.Claims {
		if c := a.claims[at]; pointers[c.Pointer] {
			all = append(all, c)
		}
	}
	return all
}

// setsAside reports whether a claim of a figure is set aside in a version.
func (a *archive) setsAside(v version, f figure) bool {
	for _, at := range v.Claims {
		if c := &a.claims[at]; c.Aside && c.Path == f.Path && c.Variant == f.Variant {
			return true
		}
	}
	return false
}
