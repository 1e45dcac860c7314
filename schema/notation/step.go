package notation

import "strings"

// Step is one line of a working: what is worked out, the formula in words, the
// same with the numbers in it, and what it comes to, as far as each says
// something new. A step of one part is a sentence.
type Step []string

// String joins the parts by equals signs.
func (s Step) String() string { return strings.Join(s, " = ") }

// say is a step that is a sentence.
func say(words ...string) Step { return Step{strings.Join(words, " ")} }
