package text

import (
	"sort"
	"strconv"
	"strings"
)

// Path names a place in the tree from the root down: keys, and for lists the
// index from 0 in decimal. The root is the empty path.
type Path []string

var pointerEscapes = strings.NewReplacer("~", "~0", "/", "~1")

// String is the JSON Pointer (RFC 6901) of the path.
func (p Path) String() string {
	var b strings.Builder
	for _, step := range p {
		b.WriteByte('/')
		_, _ = pointerEscapes.WriteString(&b, step) // a Builder never fails
	}
	return b.String()
}

// Escape writes one step of a path as a JSON Pointer has it.
func Escape(step string) string { return pointerEscapes.Replace(step) }

// ParsePointer is the inverse of Path.String; false when pointer is no JSON
// Pointer.
func ParsePointer(pointer string) (Path, bool) {
	if pointer == "" {
		return Path{}, true
	}
	if pointer[0] != '/' {
		return nil, false
	}
	steps := strings.Split(pointer[1:], "/")
	for i, step := range steps {
		for j := strings.IndexByte(step, '~'); j >= 0; {
			if j+1 >= len(step) || step[j+1] != '0' && step[j+1] != '1' {
				return nil, false
			}
			next := strings.IndexByte(step[j+2:], '~')
			if next < 0 {
				break
			}
			j += 2 + next
		}
		steps[i] = strings.ReplaceAll(strings.ReplaceAll(step, "~1", "/"), "~0", "~")
	}
	return steps, true
}

// Find returns the value at a JSON Pointer, nil when there is none. Of
// duplicate keys the first counts.
func (d *Doc) Find(pointer string) *Node {
	path, ok := ParsePointer(pointer)
	if !ok {
		return nil
	}
	return d.Root.At(path)
}

// At returns the value below n at path, nil when there is none or n is nil.
func (n *Node) At(path Path) *Node {
	for _, step := range path {
		if n == nil {
			return nil
		}
		if n.Kind == List {
			n = n.item(step)
		} else {
			n = n.Get(step)
		}
	}
	return n
}

func (n *Node) item(step string) *Node {
	i, err := strconv.Atoi(step)
	if err != nil || i < 0 || i >= len(n.Items) || strconv.Itoa(i) != step {
		return nil
	}
	return n.Items[i]
}

// Pointer returns the JSON Pointer of a node of this document; that of a key
// is its value's. It is "" for the root and for a node from elsewhere. The
// time taken grows with the depth and the logarithm of the width of the tree;
// to visit many nodes, Walk is cheaper.
func (d *Doc) Pointer(n *Node) string {
	if n == nil {
		return ""
	}
	path, found := d.descend(n.Span.Start, n)
	if found != n {
		return ""
	}
	return path.String()
}

// NodeAt returns the innermost node at a byte offset and its path. On a key it
// is the key, with the path of its value; between key and value it is the
// value; between the children of a map or list it is that map or list; just
// after a scalar it is still the scalar. It is nil when there is no root or
// the offset lies outside it.
func (d *Doc) NodeAt(offset int) (Path, *Node) {
	if d.Root == nil || offset < d.Root.Span.Start || offset > d.Root.Span.End {
		return nil, nil
	}
	return d.descend(offset, nil)
}

// descend follows the children that hold offset as far as target, or as far
// as there are any.
func (d *Doc) descend(offset int, target *Node) (path Path, n *Node) {
	for n = d.Root; n != nil && n != target; {
		key, child, step := n.childAt(offset)
		switch {
		case child == nil:
			return path, n
		case key != nil && (key == target || target == nil && offset <= key.Span.End):
			return append(path, step), key
		}
		path = append(path, step)
		n = child
	}
	return path, n
}

// childAt returns the last child of n that starts at or before offset, nil
// when offset lies after its end.
func (n *Node) childAt(offset int) (key, value *Node, step string) {
	if n.Kind == List {
		i := sort.Search(len(n.Items), func(i int) bool { return n.Items[i].Span.Start > offset }) - 1
		if i < 0 || offset > n.Items[i].Span.End {
			return nil, nil, ""
		}
		return nil, n.Items[i], strconv.Itoa(i)
	}
	i := sort.Search(len(n.Entries), func(i int) bool { return n.Entries[i].Key.Span.Start > offset }) - 1
	if i < 0 || offset > max(n.Entries[i].Key.Span.End, n.Entries[i].Value.Span.End) {
		return nil, nil, ""
	}
	e := &n.Entries[i]
	return e.Key, e.Value, e.Key.Text
}

// Walk visits every value, parents first and in file order. Nothing below a
// node for which visit returns false is visited. The path is only valid during
// the call: copy it, or take its String.
func (d *Doc) Walk(visit func(path Path, n *Node) bool) {
	if d.Root != nil {
		walk(nil, d.Root, visit)
	}
}

func walk(path Path, n *Node, visit func(Path, *Node) bool) {
	if !visit(path, n) {
		return
	}
	for i := range n.Entries {
		walk(append(path, n.Entries[i].Key.Text), n.Entries[i].Value, visit)
	}
	for i, item := range n.Items {
		walk(append(path, strconv.Itoa(i)), item, visit)
	}
}
