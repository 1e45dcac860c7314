package schema

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"sync"

	"github.com/santhosh-tekuri/jsonschema/v5"

	"fourmarks.example/schema/figure"
)

//go:embed engine.schema.json
var engineSchema []byte

//go:embed source.schema.json
var sourceSchema []byte

const (
	engineSchemaURL = "https://fourmarks.example/schema/engine-1.json"
	sourceSchemaURL = "https://fourmarks.example/schema/source-1.json"
)

// EngineSchema returns the JSON Schema of an engine file.
func EngineSchema() []byte { return bytes.Clone(engineSchema) }

// SourceSchema returns the JSON Schema of a source file.
func SourceSchema() []byte { return bytes.Clone(sourceSchema) }

// compiled is the pair of schemas ready to validate.
type compiled struct{ engine, source *jsonschema.Schema }

var compile = sync.OnceValue(func() compiled {
	c := jsonschema.NewCompiler()
	c.Draft = jsonschema.Draft2020
	c.LoadURL = nil
	for url, text := range map[string][]byte{engineSchemaURL: engineSchema, sourceSchemaURL: sourceSchema} {
		if err := c.AddResource(url, bytes.NewReader(text)); err != nil {
			panic(fmt.Sprintf("the embedded schema %s cannot be read: %v", url, err))
		}
	}
	return compiled{engine: c.MustCompile(engineSchemaURL), source: c.MustCompile(sourceSchemaURL)}
})

// Property is what the schema says of one key.
type Property struct {
	Title       string   `json:"title"`
	Description string   `json:"description"`
	Examples    []any    `json:"examples"`
	Enum        []string `json:"enum"`
	Ref         string   `json:"$ref"`
	Pattern     string   `json:"pattern"`
	Const       any      `json:"const"`
}

type definition struct {
	Property
	Properties map[string]Property `json:"properties"`
	Required   []string            `json:"required"`
}

// contract is the part of the two schemas that messages, completion and pages
// need: every section's keys with their titles and choices.
type contract struct {
	// sections maps a section's definition name ("engine", "layout", …) to it.
	sections map[string]definition
	// change holds the keys that a variant may change.
	change map[string]Property
}

var readContract = sync.OnceValue(func() contract {
	var engine, source struct {
		definition
		Defs map[string]definition `json:"$defs"`
	}
	for _, s := range []struct {
		text []byte
		into any
	}{{engineSchema, &engine}, {sourceSchema, &source}} {
		if err := json.Unmarshal(s.text, s.into); err != nil {
			panic(fmt.Sprintf("an embedded schema cannot be read: %v", err))
		}
	}
	sections := engine.Defs
	sections["engine"] = engine.definition
	sections["source"] = source.definition
	var variant struct {
		Defs struct {
			Variant struct {
				Properties struct{ Change definition } `json:"properties"`
			} `json:"variant"`
		} `json:"$defs"`
	}
	if err := json.Unmarshal(engineSchema, &variant); err != nil {
		panic(fmt.Sprintf("the embedded engine schema cannot be read: %v", err))
	}
	return contract{sections: sections, change: variant.Defs.Variant.Properties.Change.Properties}
})

// Describe returns what the schema says of a key of a section, named as in the
// JSON Schema ("engine", "event_set", …); figures' keys inherit the title,
// description and examples of their kind where they have none of their own.
func Describe(section, key string) (Property, bool) {
	c := readContract()
	p, ok := c.sections[section].Properties[key]
	if !ok {
		return Property{}, false
	}
	const defs = "#/$defs/"
	if len(p.Ref) > len(defs) && p.Ref[:len(defs)] == defs {
		kind := c.sections[p.Ref[len(defs):]]
		if p.Title == "" {
			p.Title = kind.Title
		}
		if p.Description == "" {
			p.Description = kind.Description
		}
		if len(p.Examples) == 0 {
			p.Examples = kind.Examples
		}
	}
	return p, true
}

// figurePattern is the pattern of a print in the JSON Schema: what the reader
// of its kind admits, or the word by which a variant takes a figure away.
func figurePattern(kind figure.Kind) string { return "^removed$|" + kind.Pattern() }
