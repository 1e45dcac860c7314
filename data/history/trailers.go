package history

import (
	"slices"
	"strings"
)

// crediting are the trailers that name somebody who had a hand in a commit beside
// its author; fourmarks merge writes the first of them.
var crediting = []string{"contributed-by", "co-authored-by"}

// contributors returns those whom a commit's message credits in its trailers: the
// lines `Key: value` that make up its last paragraph.
func contributors(message string) []string {
	message = strings.TrimSpace(message)
	last := message[strings.LastIndex(message, "\n\n")+1:]
	names := []string{}
	if last == message {
		return names // the subject is no trailer
	}
	for line := range strings.Lines(strings.TrimSpace(last)) {
		key, name, ok := strings.Cut(strings.TrimSpace(line), ": ")
		if !ok || strings.ContainsAny(key, " \t") {
			return []string{} // a sentence stands among them: it is a paragraph like others
		}
		if name = strings.TrimSpace(name); slices.Contains(crediting, strings.ToLower(key)) && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}
