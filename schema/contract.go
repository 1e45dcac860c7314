package schema

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"sync"

	"github.com/santhosh-tekuri/jsonschema/v5"

	"fourmarks.example/schema/figure"
)

//go:embed engine.schema.json
var engineSchema []byte

//go:embed source.schema.json
var sourceSchema []byte

//go:embed readings.schema.json
var readingsSchema []byte

//go:embed contribution.schema.json
var contributionSchema []byte

const (
	engineSchemaURL       = "https://fourmarks.example/schema/engine-1.json"
	sourceSchemaURL       = "https://fourmarks.example/schema/source-1.json"
	readingsSchemaURL     = "https://fourmarks.example/schema/readings-1.json"
	contributionSchemaURL = "https://fourmarks.example/schema/contribution-1.json"
)

// schemaTexts holds the text of every schema by its address.
var schemaTexts = map[string][]byte{engineSchemaURL: engineSchema, sourceSchemaURL: sourceSchema, readingsSchemaURL: readingsSchema, contributionSchemaURL: contributionSchema}

// EngineSchema returns the JSON Schema of an engine file.
func EngineSchema() []byte { return bytes.Clone(engineSchema) }

// SourceSchema returns the JSON Schema of a source file.
func SourceSchema() []byte { return bytes.Clone(sourceSchema) }

// ReadingsSchema returns the JSON Schema of a file of readings.
func ReadingsSchema() []byte { return bytes.Clone(readingsSchema) }

// ContributionSchema returns the JSON Schema of a contribution file.
func ContributionSchema() []byte { return bytes.Clone(contributionSchema) }

// The schemas, each made ready to validate when it is first needed.
var (
	engineGate       = compiled(engineSchemaURL)
	sourceGate       = compiled(sourceSchemaURL)
	readingsGate     = compiled(readingsSchemaURL)
	contributionGate = compiled(contributionSchemaURL)
)

func compiled(url string) func() *jsonschema.Schema {
	return sync.OnceValue(func() *jsonschema.Schema {
		c := jsonschema.NewCompiler()
		c.Draft = jsonschema.Draft2020
		c.LoadURL = func(url string) (io.ReadCloser, error) {
			text, ok := schemaTexts[url]
			if !ok {
				return nil, fmt.Errorf("no schema %s is embedded", url)
			}
			return io.NopCloser(bytes.NewReader(text)), nil
		}
		return c.MustCompile(url)
	})
}

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
	Types      types               `json:"type"`
}

// types are the types that a value may have: one word or a list of them.
type types []string

func (t *types) UnmarshalJSON(b []byte) error {
	var one string
	if json.Unmarshal(b, &one) == nil {
		*t = types{one}
		return nil
	}
	return json.Unmarshal(b, (*[]string)(t))
}

// contract is the part of the schemas that messages, completion and pages need:
// every section's keys with their titles and choices.
type contract struct {
	// sections maps a section's definition name ("engine", "layout", …) to it.
	sections map[string]definition
	// change holds the keys that a variant may change.
	change map[string]Property
	// measured names the sections that only a file of readings has.
	measured map[string]bool
}

var readContract = sync.OnceValue(func() contract {
	var engine, source, readings, contribution struct {
		definition
		Defs map[string]definition `json:"$defs"`
	}
	for _, s := range []struct {
		text []byte
		into any
	}{{engineSchema, &engine}, {sourceSchema, &source}, {readingsSchema, &readings}, {contributionSchema, &contribution}} {
		if err := json.Unmarshal(s.text, s.into); err != nil {
			panic(fmt.Sprintf("an embedded schema cannot be read: %v", err))
		}
	}
	sections := engine.Defs
	sections["engine"] = engine.definition
	sections["source"] = source.definition
	sections["contribution"] = contribution.definition
	sections["contributed"] = contribution.Defs["contributed"]
	readings.Defs["readings"] = readings.definition
	measured := map[string]bool{}
	for name, def := range readings.Defs {
		sections[name], measured[name] = def, true
	}
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
	return contract{sections: sections, change: variant.Defs.Variant.Properties.Change.Properties, measured: measured}
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
	if _, name, refers := strings.Cut(p.Ref, "#/$defs/"); refers {
		kind := c.sections[name]
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
