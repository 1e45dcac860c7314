package text

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"
)

// library reads source with go.yaml.in/yaml/v4, an independent reader of YAML
// 1.2, against which this package is checked.
func library(source []byte) (*yaml.Node, error) {
	var document yaml.Node
	if err := yaml.Unmarshal(source, &document); err != nil {
		return nil, err
	}
	if document.Kind != yaml.DocumentNode || len(document.Content) != 1 {
		return nil, fmt.Errorf("no document")
	}
	return document.Content[0], nil
}

// difference says where our tree and the library's first differ, "" if
// nowhere.
func difference(d *Doc, n *Node, theirs *yaml.Node, path string) string {
	line, column := d.Position(n.Span.Start)
	switch {
	case n.Kind == Map && theirs.Kind == yaml.MappingNode:
		if len(n.Entries)*2 != len(theirs.Content) {
			return fmt.Sprintf("%s: %d entries, library %d", path, len(n.Entries), len(theirs.Content)/2)
		}
		for i, e := range n.Entries {
			if diff := difference(d, e.Key, theirs.Content[2*i], path+"/key"); diff != "" {
				return diff
			}
			if diff := difference(d, e.Value, theirs.Content[2*i+1], path+"/"+e.Key.Text); diff != "" {
				return diff
			}
		}
	case n.Kind == List && theirs.Kind == yaml.SequenceNode:
		if len(n.Items) != len(theirs.Content) {
			return fmt.Sprintf("%s: %d items, library %d", path, len(n.Items), len(theirs.Content))
		}
		for i, item := range n.Items {
			if diff := difference(d, item, theirs.Content[i], fmt.Sprintf("%s/%d", path, i)); diff != "" {
				return diff
			}
		}
	case n.Kind == Scalar && theirs.Kind == yaml.ScalarNode:
		if n.Absent {
			if theirs.Tag != "!!null" || theirs.Value != "" {
				return fmt.Sprintf("%s: absent, library %q", path, theirs.Value)
			}
			return ""
		}
		if n.Text != theirs.Value {
			return fmt.Sprintf("%s: %q, library %q", path, n.Text, theirs.Value)
		}
		if style := styles[n.Style]; theirs.Style != style {
			return fmt.Sprintf("%s: style %v, library %v", path, style, theirs.Style)
		}
	default:
		return fmt.Sprintf("%s: kind %v, library %v", path, n.Kind, theirs.Kind)
	}
	if line != theirs.Line || column != theirs.Column {
		return fmt.Sprintf("%s: at %d:%d, library %d:%d", path, line, column, theirs.Line, theirs.Column)
	}
	return ""
}

var styles = map[Style]yaml.Style{
	Plain: 0, SingleQuoted: yaml.SingleQuotedStyle, DoubleQuoted: yaml.DoubleQuotedStyle,
	Literal: yaml.LiteralStyle, Folded: yaml.FoldedStyle,
}

// outline writes a tree in one line, to be compared with what a case expects.
func outline(n *Node) string {
	var b strings.Builder
	var write func(n *Node)
	write = func(n *Node) {
		switch {
		case n == nil:
			b.WriteString("nothing")
		case n.Absent:
			b.WriteString("~")
		case n.Kind == Map:
			b.WriteString("{")
			for i, e := range n.Entries {
				if i > 0 {
					b.WriteString(", ")
				}
				write(e.Key)
				b.WriteString(": ")
				write(e.Value)
			}
			b.WriteString("}")
		case n.Kind == List:
			b.WriteString("[")
			for i, item := range n.Items {
				if i > 0 {
					b.WriteString(", ")
				}
				write(item)
			}
			b.WriteString("]")
		case n.Style == Plain:
			b.WriteString(n.Text)
		default:
			fmt.Fprintf(&b, "%q", n.Text)
		}
	}
	write(n)
	return b.String()
}

func messages(d *Doc) []string {
	var all []string
	for _, p := range d.Problems {
		line, column := d.Position(p.Span.Start)
		all = append(all, fmt.Sprintf("%d:%d %s", line, column, p.Message))
	}
	return all
}

func TestReadsAsTheLibraryDoes(t *testing.T) {
	for _, source := range accepted {
		t.Run("", func(t *testing.T) {
			d := Parse([]byte(source), DefaultLimits())
			require.Empty(t, messages(d), "%s", source)
			theirs, err := library([]byte(source))
			require.NoError(t, err, "%q", source)
			assert.Empty(t, difference(d, d.Root, theirs, ""), "%q read as %s", source, outline(d.Root))
		})
	}
}
