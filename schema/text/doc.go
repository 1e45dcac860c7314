// Package text reads the restricted YAML 1.2 in which engine and source files
// are written, and says where everything stands: the byte span of every key,
// value and comment, to lines, columns and JSON Pointers and back. JSON is
// read as the subset of YAML that it is.
//
// Decoding, canonical form, fixes, merge and the editor server share this one
// layer. It knows nothing of engines: which keys mean what, and whether an
// empty value is allowed, is decided above.
//
// The reader is tolerant. What it refuses becomes a [Problem] with its span,
// and reading goes on at the next line of the same or lower indentation, so
// that the rest of a broken file stays usable. A Doc without Problems is valid
// YAML 1.2 with the same keys and texts.
//
// Refused, though YAML has them: anchors, aliases, tags, merge keys,
// directives, several documents (one leading `---` is allowed), keys that are
// not one line of text, duplicate keys, tabs as indentation, infinite and
// not-a-number values, numbers beyond 64 characters or an exponent of 200.
// Refused as unsafe to show: control characters, written out or escaped.
//
// A Doc and its nodes may be read from many goroutines; nothing changes them
// after Parse.
package text

import "sync"

// Kind tells the three shapes of a Node apart.
type Kind uint8

const (
	Scalar Kind = iota // one text
	Map                // keys with values
	List               // values in order
)

// Style is the notation of a scalar.
type Style uint8

const (
	Plain        Style = iota // bare text
	SingleQuoted              // 'text'
	DoubleQuoted              // "text"
	Literal                   // | and indented lines, line ends kept
	Folded                    // > and indented lines, line ends folded to spaces
)

// Span is a half-open range of bytes in the source.
type Span struct{ Start, End int }

// Node is a key or a value.
type Node struct {
	// Span of a scalar holds its quotes or block header. That of a block map
	// runs from its first key, that of a block list from its first dash, to
	// the end of its last value. No trailing blank, line end or comment is in.
	Span Span
	// Text is the content of a scalar with quotes, escapes and folding
	// resolved. Plain text stays as written: `010` is "010".
	Text    string
	Entries []Entry // of a map, in file order, duplicates included
	Items   []*Node // of a list
	Kind    Kind
	Style   Style // of a scalar
	Flow    bool  // written in braces or brackets
	Absent  bool  // a scalar that is not there: empty span after colon or dash
	Index   int32 // in the document, from 0: no two nodes share one; see Doc.Nodes
}

// Entry is a key of a map with its value. Neither is ever nil.
type Entry struct {
	Key   *Node
	Value *Node
}

// Comment runs from its `#` to the end of the line.
type Comment struct {
	Span Span
	Own  bool // alone on its line
}

// Problem says in one sentence what is wrong in Span and what to do.
type Problem struct {
	Span    Span
	Message string
}

// Limits bound what Parse reads. A value of zero or less means the default.
type Limits struct {
	Bytes int // length of the file
	Depth int // collections inside one another; beyond 1000 counts as 1000
}

// DefaultLimits are one mebibyte and 32 levels.
func DefaultLimits() Limits { return Limits{Bytes: 1 << 20, Depth: 32} }

// Doc is one file as read.
type Doc struct {
	Source   []byte
	Root     *Node // nil when nothing could be read
	Comments []Comment
	Problems []Problem // by position; a note at the end when there are more than are listed

	// Nodes is how many nodes there are, at most: what a slice by Index must hold.
	Nodes int

	lines []int // offset at which each line starts

	attachOnce sync.Once
	attached   *attachments
}

// Get returns the value of key, the first if there are several. It is nil
// when n is nil, not a map, or without that key.
func (n *Node) Get(key string) *Node {
	if e := n.Entry(key); e != nil {
		return e.Value
	}
	return nil
}

// Entry returns the entry of key under the same terms as Get.
func (n *Node) Entry(key string) *Entry {
	if n == nil {
		return nil
	}
	for i := range n.Entries {
		if n.Entries[i].Key.Text == key {
			return &n.Entries[i]
		}
	}
	return nil
}
