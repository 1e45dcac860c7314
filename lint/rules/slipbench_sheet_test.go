package rules_test

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"

	"go.yaml.in/yaml/v4"
)

// An engine file as the benchmark reads it: from the tree of the YAML library,
// figure by figure, each claim with the place of its text.

// scalar is one printed text of a figure, where it stands in the file.
type scalar struct {
	text         string
	line, column int
	quoted       byte // ' or ", 0 for a plain scalar
	// inList is set for a scalar that is one of a list.
	inList bool
}

// claim is what one source prints of a figure: one text, or a list of them.
type claim struct {
	scalars []scalar
	aside   bool
}

func (c claim) text() string {
	var all []string
	for _, p := range c.scalars {
		all = append(all, p.text)
	}
	return strings.Join(all, ", ")
}

// printedFigure is a figure of the file: pointer is its place there, path what it is a
// figure of, which is the same but in a variant's change.
type printedFigure struct {
	pointer string
	path    string
	// of says how its prints are read; nil when the oracle has no relation for it.
	of     *quantity
	claims []claim
}

// layer is the base of an engine, or a variant laid over it: figures and words
// by path, and the names of sections in the order of the file.
type layer struct {
	name    string
	figures map[string]*printedFigure
	words   map[string]string
	order   map[string][]string
}

// sheet is an engine file.
type sheet struct {
	name    string
	text    string
	lines   []int // where each line begins
	layers  []*layer
	figures []*printedFigure // in the order of the file
}

// patterns of paths, a star standing for one name. What a figure's print is
// comes with its path; nil for figures that the oracle has no relation for.
type pattern struct {
	path *regexp.Regexp
	of   *quantity
}

var (
	angleQ    = &quantity{bare: "°", nothing: big.NewRat(1, 2)}
	positionQ = &quantity{event: true, nothing: big.NewRat(1, 2)}
	movementQ = &quantity{event: true, apart: true}
	rimQ      = &quantity{event: true, along: "rim"}
	nominalQ  = &quantity{known: nominal}
	gapQ      = &quantity{nothing: big.NewRat(254, 20000)}
	volumeQ   = &quantity{grouped: true}
	numberQ   = &quantity{bare: "1"}
	countQ    = &quantity{bare: "1", known: counted}
	rpmQ      = &quantity{bare: "rpm", grouped: true}
	speedQ    = &quantity{grouped: true}
	ratioQ    = &quantity{bare: "1", known: geared}
	listQ     = &quantity{}
)

var patterns = func() []pattern {
	var all []pattern
	add := func(of *quantity, paths ...string) {
		for _, p := range paths {
			re := regexp.QuoteMeta(p)
			re = strings.ReplaceAll(re, `\*`, `[^/]+`)
			all = append(all, pattern{regexp.MustCompile("^/" + re + "$"), of})
		}
	}
	add(positionQ, "events/*/inlet_opens", "events/*/inlet_closes", "events/*/exhaust_opens", "events/*/exhaust_closes",
		"events/*/inlet_lobe_centre", "events/*/exhaust_lobe_centre",
		"marks/*/stamps/*/angle", "marks/*/stamps/*/teeth", "ignition/fixed", "ignition/advance", "ignition/fully_retarded")
	add(movementQ, "marks/*/tooth_step")
	add(rimQ, "marks/*/stamps/*/rim")
	add(angleQ, "events/*/inlet_duration", "events/*/exhaust_duration", "events/*/overlap", "events/*/lobe_separation",
		"drives/*/tooth_step", "drives/*/coupling/step", "drives/*/coupling/crank_step", "ignition/range")
	add(nominalQ, "size/bore", "size/stroke", "size/rod_centres", "marks/*/rim_diameter")
	add(gapQ, "clearances/*/inlet", "clearances/*/exhaust", "clearances/*/felt", "marks/*/stamps/*/clearance_stamped")
	add(volumeQ, "size/swept_volume", "size/chamber_volume")
	add(numberQ, "size/taxable_horsepower", "size/compression_ratio")
	add(rpmQ, "size/rated_speed")
	add(speedQ, "size/piston_speed")
	add(countQ, "layout/cylinders", "drives/*/wheels/*/teeth", "drives/*/marks_meet_after", "marks/*/ring_teeth", "ignition/sparks_per_turn")
	add(ratioQ, "drives/*/speed")
	add(listQ, "layout/firing_order", "layout/firing_intervals", "drives/*/coupling/rings")
	// Figures of which the oracle knows no relation.
	add(nil, "layout/bank_angle", "layout/throws", "layout/banks", "layout/rocker_ratio", "size/cylinder_offset", "size/rated_power",
		"clearances/*/inlet_taken_up", "clearances/*/exhaust_taken_up",
		"expansion/parts/*/length", "expansion/parts/*/coefficient", "expansion/parts/*/rise", "lifts/inlet", "lifts/exhaust", "events/*/cylinder",
		"cams/*/follower_radius", "cams/*/base_radius", "cams/*/flank_radius", "cams/*/nose_radius", "cams/*/lift", "cams/*/rise",
		"cams/*/ramp_height", "cams/*/ramp_length", "cams/*/table/*",
		"drives/*/wheels/*/pitch_diameter", "drives/*/wheels/*/pitch_angle", "drives/*/wheels/*/keyways", "drives/*/wheels/*/offset_keys",
		"drives/*/teeth/helix", "drives/*/teeth/pressure_angle", "drives/*/teeth/normal_pitch", "drives/*/teeth/centre_distance",
		"drives/*/teeth/shaft_angle", "drives/*/teeth/backlash", "drives/*/chain/pitch", "drives/*/chain/pitches", "drives/*/chain/rows",
		"drives/*/sliding_home/travel", "drives/*/sliding_home/by", "marks/*/stamps/*/cylinder", "marks/*/stamps/*/companion",
		"ignition/contact_gap", "ignition/plug_gap", "checks/compression", "checks/compression_spread", "checks/vacuum", "checks/oil_pressure",
		"checks/speed", "checks/altitude", "setting/adjustments/*/on_the_rock", "setting/adjustments/*/fully_open",
		"setting/adjustments/*/crank", "setting/adjustments/*/cylinder")
	return all
}()

// patternOf returns what is known of the figure at a path; false for what is no figure.
func patternOf(path string) (pattern, bool) {
	for _, p := range patterns {
		if p.path.MatchString(path) {
			return p, true
		}
	}
	return pattern{}, false
}

// readSheet reads an engine file.
func readSheet(name, text string) (*sheet, error) {
	var doc yaml.Node
	if err := yaml.Unmarshal([]byte(text), &doc); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	s := &sheet{name: name, text: text, lines: []int{0}}
	for i := range text {
		if text[i] == '\n' {
			s.lines = append(s.lines, i+1)
		}
	}
	base := &layer{figures: map[string]*printedFigure{}, words: map[string]string{}, order: map[string][]string{}}
	root := doc.Content[0]
	s.walk(base, root, "", "")
	s.layers = append(s.layers, base)
	variants := valueOf(root, "variants")
	if variants == nil {
		return s, nil
	}
	for i := 0; i+1 < len(variants.Content); i += 2 {
		key, body := variants.Content[i].Value, variants.Content[i+1]
		over := base.copied(key)
		if change := valueOf(body, "change"); change != nil {
			s.walk(over, change, "", "/variants/"+escaped(key)+"/change")
		}
		s.layers = append(s.layers, over)
	}
	return s, nil
}

func (l *layer) copied(name string) *layer {
	c := &layer{name: name, figures: map[string]*printedFigure{}, words: map[string]string{}, order: map[string][]string{}}
	for path, f := range l.figures {
		c.figures[path] = f
	}
	for path, w := range l.words {
		c.words[path] = w
	}
	for path, names := range l.order {
		c.order[path] = names
	}
	return c
}

func valueOf(n *yaml.Node, key string) *yaml.Node {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return n.Content[i+1]
		}
	}
	return nil
}

func escaped(key string) string {
	return strings.ReplaceAll(strings.ReplaceAll(key, "~", "~0"), "/", "~1")
}

// walk takes the figures and words below a node into a layer. prefix is where
// the node of the path stands in the file.
func (s *sheet) walk(l *layer, n *yaml.Node, path, prefix string) {
	switch path {
	case "/variants", "/sources", "/accepted":
		return
	}
	if p, ok := patternOf(path); ok {
		f := &printedFigure{pointer: prefix + path, path: path, of: p.of, claims: s.claims(n)}
		l.figures[path] = f
		if len(f.claims) == 1 && f.claims[0].text() == "removed" {
			delete(l.figures, path)
		}
		s.figures = append(s.figures, f)
		return
	}
	if n.Kind != yaml.MappingNode {
		l.words[path] = n.Value
		return
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := escaped(n.Content[i].Value)
		if !hasName(l.order[path], key) {
			l.order[path] = append(l.order[path][:len(l.order[path]):len(l.order[path])], key)
		}
		s.walk(l, n.Content[i+1], path+"/"+key, prefix)
	}
}

func hasName(names []string, name string) bool {
	for _, n := range names {
		if n == name {
			return true
		}
	}
	return false
}

func (s *sheet) claims(n *yaml.Node) []claim {
	if n.Kind != yaml.MappingNode {
		return []claim{{scalars: scalarsOf(n)}}
	}
	if is := valueOf(n, "is"); is != nil {
		return []claim{{scalars: scalarsOf(is), aside: valueOf(n, "set_aside") != nil}}
	}
	var all []claim
	if claims := valueOf(n, "claims"); claims != nil {
		for i := 1; i < len(claims.Content); i += 2 {
			all = append(all, s.claims(claims.Content[i])...)
		}
	}
	return all
}

func scalarsOf(n *yaml.Node) []scalar {
	if n.Kind == yaml.SequenceNode {
		var all []scalar
		for _, c := range n.Content {
			all = append(all, scalarsOf(c)...)
		}
		for i := range all {
			all[i].inList = true
		}
		return all
	}
	p := scalar{text: n.Value, line: n.Line, column: n.Column}
	switch n.Style &^ yaml.TaggedStyle {
	case yaml.SingleQuotedStyle:
		p.quoted = '\''
	case yaml.DoubleQuotedStyle:
		p.quoted = '"'
	}
	return []scalar{p}
}

// standing are the texts of a figure's claims that are not set aside.
func (f *printedFigure) standing() []string {
	var all []string
	for _, c := range f.claims {
		if !c.aside {
			all = append(all, c.text())
		}
	}
	return all
}

// raw is how a text stands in the file, in quotes where the print has them, and
// where without them it would be taken for something else.
func (p scalar) raw(text string) string {
	quoted := p.quoted
	if quoted == 0 && text != p.text && (strings.Contains(text, ",") && !strings.Contains(p.text, ",") || strings.ContainsAny(text[:1], `,'"`)) {
		quoted = '"'
	}
	switch quoted {
	case '\'':
		return "'" + strings.ReplaceAll(text, "'", "''") + "'"
	case '"':
		return `"` + strings.ReplaceAll(strings.ReplaceAll(text, `\`, `\\`), `"`, `\"`) + `"`
	}
	return text
}

// span is where a print stands in the file's text; an error if it does not.
func (s *sheet) span(p scalar) (start, end int, err error) {
	start = s.lines[p.line-1]
	for range p.column - 1 {
		start += len(string([]rune(s.text[start:min(start+4, len(s.text))])[:1]))
	}
	end = start + len(p.raw(p.text))
	if end > len(s.text) || s.text[start:end] != p.raw(p.text) {
		return 0, 0, fmt.Errorf("%s:%d:%d: %q is not found there", s.name, p.line, p.column, p.text)
	}
	return start, end, nil
}
