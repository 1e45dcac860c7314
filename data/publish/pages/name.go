package pages

import (
	"fmt"
	"strings"
)

// fileName turns any text into a file's name that every file system and every
// address takes as it stands: small letters, digits and hyphens stay, all else
// is written as an underscore and two hexadecimal digits for each byte. No two
// texts share a name, and none leads out of its folder.
func fileName(s string) string {
	var b strings.Builder
	for _, c := range []byte(s) {
		if 'a' <= c && c <= 'z' || '0' <= c && c <= '9' || c == '-' {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "_%02x", c)
		}
	}
	return b.String()
}

// engineName is the name of an engine's files below a folder of the pages, and,
// where it is of a variant, of the variant's: maker/model, maker/model.variant.
func engineName(id, variant string) string {
	maker, model, _ := strings.Cut(id, "/")
	name := fileName(maker) + "/" + fileName(model)
	if variant != "" {
		name += "." + fileName(variant)
	}
	return name
}

// anchor is a path as the fragment of an address: the path itself, but for
// blanks, which no fragment may hold.
func anchor(path string) string { return strings.Join(strings.Fields(path), "~") }
