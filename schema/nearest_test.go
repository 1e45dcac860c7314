package schema_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fourmarks.example/schema"
)

func TestNearest(t *testing.T) {
	known := []string{"events/overlap", "events/inlet-duration", "size/swept-volume", "form/unknown-key"}
	for word, want := range map[string][]string{
		"events/overlop":       {"events/overlap"},
		"event/inlet-duration": {"events/inlet-duration"},
		"EVENTS/OVERLAP":       {"events/overlap"},
		"volume":               {"size/swept-volume"},
		"events":               {"events/overlap", "events/inlet-duration"},
		"xyzzy":                nil,
		"":                     nil,
	} {
		assert.Equal(t, want, schema.Nearest(word, known, 3), word)
	}
	assert.Len(t, schema.Nearest("e", known, 2), 2, "never more than asked for")
}
