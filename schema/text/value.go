package text

import (
	"encoding/json"
	"math/big"
	"strconv"
	"strings"
)

// Type is what a scalar stands for in the YAML 1.2 core schema.
type Type uint8

const (
	String Type = iota
	Null
	Bool
	Integer
	Float
)

const (
	longestNumber  = 64  // characters
	widestExponent = 200 // of ten, either way
)

// Resolved tells which type the core schema of YAML 1.2.2, 10.3.2, gives a
// scalar. What is quoted, a block of text, a map or a list is String; so are
// infinity, not-a-number and numbers out of bounds, which Parse reports. An
// absent value is Null.
func (n *Node) Resolved() Type {
	if n.Absent {
		return Null
	}
	if n.Kind != Scalar || n.Style != Plain {
		return String
	}
	switch n.Text {
	case "", "~", "null", "Null", "NULL":
		return Null
	case "true", "True", "TRUE", "false", "False", "FALSE":
		return Bool
	}
	t, fault := numberType(n.Text)
	if fault != "" {
		return String
	}
	return t
}

// Value returns the document as the values encoding/json would make of it,
// with json.Number for numbers; nil for a document without root. Of duplicate
// keys the first counts.
func (d *Doc) Value() any { return d.Root.Value() }

// Value is Doc.Value for the part of the document below n, which may be nil.
func (n *Node) Value() any { return n.ValueWithout(nil) }

// ValueWithout is Value without the entries whose values are marked, by their
// Index, in left. It may be nil.
func (n *Node) ValueWithout(left []bool) any {
	switch {
	case n == nil:
		return nil
	case n.Kind == Map:
		m := make(map[string]any, len(n.Entries))
		for i := range n.Entries {
			e := &n.Entries[i]
			if _, twice := m[e.Key.Text]; !twice && (left == nil || !left[e.Value.Index]) {
				m[e.Key.Text] = e.Value.ValueWithout(left)
			}
		}
		return m
	case n.Kind == List:
		l := make([]any, len(n.Items))
		for i, item := range n.Items {
			l[i] = item.ValueWithout(left)
		}
		return l
	}
	switch n.Resolved() {
	case Null:
		return nil
	case Bool:
		return n.Text[0]|0x20 == 't'
	case Integer:
		return json.Number(jsonInteger(n.Text))
	case Float:
		return json.Number(jsonFloat(n.Text))
	}
	return n.Text
}

// checkNumber reports a value that would be a number, were it finite and
// bounded, and returns whether all is well.
func (p *parser) checkNumber(n *Node) bool {
	if n.Kind != Scalar || n.Style != Plain || n.Text == "" {
		return true
	}
	_, fault := numberType(n.Text)
	if fault != "" {
		p.report(n.Span, fault)
	}
	return fault == ""
}

// numberType returns Integer or Float for the text of a number, String for
// any other, and what makes a number unfit for use.
func numberType(s string) (Type, string) {
	digits := unsigned(s)
	switch digits {
	case ".inf", ".Inf", ".INF", ".nan", ".NaN", ".NAN":
		return String, "this value is no finite number: write a figure, or put it in quotes if it is a text"
	}
	t, exponent := decimalType(digits)
	switch {
	case strings.HasPrefix(s, "0x") && run(s[2:], isHex) == len(s)-2 && len(s) > 2,
		strings.HasPrefix(s, "0o") && run(s[2:], isOctal) == len(s)-2 && len(s) > 2:
		t = Integer
	case t == String:
		return String, ""
	}
	if len(s) > longestNumber {
		return t, "this number is longer than " + strconv.Itoa(longestNumber) + " characters: put it in quotes if it is a text"
	}
	if e, err := strconv.Atoi(exponent); exponent != "" && (err != nil || e > widestExponent || e < -widestExponent) {
		return t, "the exponent of this number is beyond " + strconv.Itoa(widestExponent) + ": put it in quotes if it is a text"
	}
	return t, ""
}

// unsigned cuts off one leading sign.
func unsigned(s string) string {
	if s[0] == '+' || s[0] == '-' {
		return s[1:]
	}
	return s
}

// decimalType returns the type of an unsigned decimal number and the text of
// its exponent, String for any other text.
func decimalType(s string) (t Type, exponent string) {
	t = Integer
	whole := run(s, isDigit)
	i, fraction := whole, 0
	if i < len(s) && s[i] == '.' {
		t = Float
		fraction = run(s[i+1:], isDigit)
		i += 1 + fraction
	}
	if whole+fraction == 0 {
		return String, ""
	}
	if i+1 < len(s) && s[i]|0x20 == 'e' {
		t = Float
		exponent = s[i+1:]
		digits := unsigned(exponent)
		if digits == "" || run(digits, isDigit) < len(digits) {
			return String, ""
		}
		return t, exponent
	}
	if i < len(s) {
		return String, ""
	}
	return t, ""
}

// run returns how many bytes at the start of s are of a kind.
func run(s string, kind func(byte) bool) int {
	for i := range len(s) {
		if !kind(s[i]) {
			return i
		}
	}
	return len(s)
}

func isOctal(c byte) bool { return '0' <= c && c <= '7' }

// jsonInteger writes an integer of the core schema as JSON has it.
func jsonInteger(s string) string {
	if len(s) > 2 && (s[1] == 'x' || s[1] == 'o') {
		base := 16
		if s[1] == 'o' {
			base = 8
		}
		i, _ := new(big.Int).SetString(s[2:], base)
		return i.String()
	}
	return minus(s) + withoutZeros(unsigned(s))
}

// jsonFloat writes a float of the core schema as JSON has it: with a digit on
// either side of the point, or no point.
func jsonFloat(s string) string {
	digits := unsigned(s)
	whole := run(digits, isDigit)
	rest := digits[whole:]
	if strings.HasPrefix(rest, ".") && run(rest[1:], isDigit) == 0 {
		rest = rest[1:]
	}
	return minus(s) + withoutZeros(digits[:whole]) + rest
}

func minus(s string) string {
	if s[0] == '-' {
		return "-"
	}
	return ""
}

// withoutZeros drops the leading zeros that JSON does not allow.
func withoutZeros(digits string) string {
	digits = strings.TrimLeft(digits, "0")
	if digits == "" {
		return "0"
	}
	return digits
}
