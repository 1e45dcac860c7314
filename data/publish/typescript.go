package publish

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/data/release"
)

const typesFile = "release.d.ts"

// shape is the part of JSON Schema that the published schema uses.
type shape struct {
	Ref         string   `json:"$ref"`
	Description string   `json:"description"`
	Type        typeSet  `json:"type"`
	Enum        []string `json:"enum"`
	AnyOf       []shape  `json:"anyOf"`
	Items       *shape   `json:"items"`
	Required    []string `json:"required"`
	Properties  members  `json:"properties"`
	Keys        *shape   `json:"propertyNames"`
	Additional  *shape   `json:"additionalProperties"`
	Definitions members  `json:"$defs"`
}

// typeSet is one type or several.
type typeSet []string

func (t *typeSet) UnmarshalJSON(b []byte) error {
	if b[0] == '[' {
		return json.Unmarshal(b, (*[]string)(t))
	}
	*t = make([]string, 1)
	return json.Unmarshal(b, &(*t)[0])
}

// members are the members of an object in the order of the schema.
type members []member

type member struct {
	name string
	is   shape
}

func (m *members) UnmarshalJSON(b []byte) error {
	d := json.NewDecoder(bytes.NewReader(b))
	if _, err := d.Token(); err != nil { // the brace
		return err
	}
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return err
		}
		var is shape
		if err := d.Decode(&is); err != nil {
			return err
		}
		*m = append(*m, member{name.(string), is})
	}
	return nil
}

// typescript is the published schema as declarations of TypeScript: an interface
// for each object, with the descriptions.
func typescript() (string, error) {
	var schema shape
	if err := json.Unmarshal(release.Schema, &schema); err != nil {
		return "", fmt.Errorf("the published schema: %w", err)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "// The published format %s: made from release.schema.json.\n", release.Version)
	for _, d := range schema.Definitions {
		fmt.Fprintf(&b, "\n/** %s */\n", d.is.Description)
		if d.is.Properties == nil {
			fmt.Fprintf(&b, "export type %s = %s;\n", d.name, d.is.typescript())
			continue
		}
		fmt.Fprintf(&b, "export interface %s {\n", d.name)
		for _, p := range d.is.Properties {
			if p.is.Description != "" {
				fmt.Fprintf(&b, "  /** %s */\n", p.is.Description)
			}
			mark := "?"
			if slices.Contains(d.is.Required, p.name) {
				mark = ""
			}
			fmt.Fprintf(&b, "  %q%s: %s;\n", p.name, mark, p.is.typescript())
		}
		b.WriteString("}\n")
	}
	return b.String(), nil
}

// typescript is the type of a value.
func (s shape) typescript() string {
	switch {
	case s.Ref != "":
		return strings.TrimPrefix(s.Ref, "#/$defs/")
	case len(s.AnyOf) > 0:
		return s.union(len(s.AnyOf), func(i int) string { return s.AnyOf[i].typescript() })
	case len(s.Enum) > 0:
		return s.union(len(s.Enum), func(i int) string { return fmt.Sprintf("%q", s.Enum[i]) })
	}
	return s.union(len(s.Type), func(i int) string {
		switch s.Type[i] {
		case "integer":
			return "number"
		case "array":
			return s.Items.typescript() + "[]"
		case "object":
			if s.Keys != nil {
				return "{ [key in " + s.Keys.typescript() + "]?: " + s.Additional.typescript() + " }"
			}
			return "{ [key: string]: " + s.Additional.typescript() + " }"
		}
		return s.Type[i]
	})
}

func (s shape) union(n int, of func(int) string) string {
	parts := make([]string, n)
	for i := range parts {
		parts[i] = of(i)
	}
	return strings.Join(parts, " | ")
}
