package yamldoc

import (
	"errors"
	"fmt"
	"strings"

	"sideport/timeline/source"

	"go.yaml.in/yaml/v4"
)

// Kind is the shape of a Node.
type Kind int

// The kinds. Empty is a missing or null value.
const (
	Empty Kind = iota
	Scalar
	Sequence
	Mapping
)

// Node is one value of a YAML text with its place and its path from the root,
// such as steps[0].values.rhexis-diameter.
type Node struct {
	raw  *yaml.Node
	src  *source.Source
	Path string
}

// Parse reads a text as one YAML document. Bad syntax is one read/syntax error;
// an empty text gives a Node of kind Empty.
func Parse(src *source.Source, report source.Report) (Node, bool) {
	var doc yaml.Node
	if len(strings.TrimSpace(string(src.Text()))) == 0 {
		return Node{src: src}, true
	}
	if err := yaml.Load(src.Text(), &doc); err != nil {
		report(syntaxFinding(src, err))
		return Node{src: src}, false
	}
	root := &doc
	if doc.Kind == yaml.DocumentNode && len(doc.Content) > 0 {
		root = doc.Content[0]
	}
	n := Node{raw: root, src: src}
	return n, n.refuseAliases(report)
}

func syntaxFinding(src *source.Source, err error) source.Finding {
	f := source.Finding{Pos: src.Whole(), Severity: source.Error, Rule: "read/syntax", Message: err.Error()}
	var at *yaml.LoadError
	var several *yaml.LoadErrors
	if errors.As(err, &several) && len(several.Errors) > 0 {
		at = several.Errors[0]
	}
	if at != nil || errors.As(err, &at) {
		f.Pos = src.PosAt(at.Mark.Line, at.Mark.Column)
		f.Message = at.Message
	}
	f.Message = "the YAML cannot be read here: " + strings.TrimSpace(f.Message)
	return f
}

func (n Node) refuseAliases(report source.Report) bool {
	ok := true
	var walk func(*yaml.Node)
	walk = func(r *yaml.Node) {
		if r.Anchor != "" || r.Kind == yaml.AliasNode {
			ok = false
			report(source.Finding{
				Pos: n.src.PosAt(r.Line, r.Column), Severity: source.Error, Rule: "read/alias",
				Message: "anchors (&name) and aliases (*name) are not read",
			})
			return
		}
		for _, c := range r.Content {
			walk(c)
		}
	}
	if n.raw != nil {
		walk(n.raw)
	}
	return ok
}

// Kind is the shape of the value.
func (n Node) Kind() Kind {
	if n.raw == nil {
		return Empty
	}
	switch n.raw.Kind {
	case yaml.MappingNode:
		return Mapping
	case yaml.SequenceNode:
		return Sequence
	case yaml.ScalarNode:
		if n.raw.Tag == "!!null" {
			return Empty
		}
		return Scalar
	}
	return Empty
}

// Value is the text of a scalar, without quotes; empty for other kinds.
func (n Node) Value() string {
	if n.Kind() != Scalar {
		return ""
	}
	return n.raw.Value
}

// Pos is where the value begins.
func (n Node) Pos() source.Pos {
	if n.raw == nil {
		return n.src.Whole()
	}
	return n.src.PosAt(n.raw.Line, n.raw.Column)
}

// Text is the scalar with its place, without control characters and marks that turn
// the direction of writing.
func (n Node) Text() Text {
	return Text{Value: source.Printable(n.Value()), Pos: n.Pos(), Path: n.Path, Set: n.Kind() == Scalar}
}

// Items are the elements of a sequence, or n itself when it is a lone value.
func (n Node) Items() []Node {
	switch n.Kind() {
	case Empty:
		return nil
	case Sequence:
		items := make([]Node, len(n.raw.Content))
		for i, c := range n.raw.Content {
			items[i] = Node{raw: c, src: n.src, Path: fmt.Sprintf("%s[%d]", n.Path, i)}
		}
		return items
	}
	return []Node{{raw: n.raw, src: n.src, Path: n.Path + "[0]"}}
}

// Pair is one entry of a mapping.
type Pair struct {
	Key   Text
	Value Node
}

// Pairs are the entries of a mapping in file order. A key written twice is
// reported as read/duplicate-key and its first value is kept.
func (n Node) Pairs(report source.Report) []Pair {
	if n.Kind() != Mapping {
		return nil
	}
	first := map[string]source.Pos{}
	var pairs []Pair
	for i := 0; i+1 < len(n.raw.Content); i += 2 {
		key := Node{raw: n.raw.Content[i], src: n.src, Path: n.Path}
		name := key.raw.Value
		path := name
		if n.Path != "" {
			path = n.Path + "." + name
		}
		if at, twice := first[name]; twice {
			report(source.Finding{
				Pos: key.Pos(), Path: path, Severity: source.Error, Rule: "read/duplicate-key",
				Message: fmt.Sprintf("the key %q stands twice; the first one is read", name),
				Related: []source.Related{{Pos: at, Message: "first written here"}},
			})
			continue
		}
		first[name] = key.Pos()
		pairs = append(pairs, Pair{
			Key:   Text{Value: name, Pos: key.Pos(), Path: path, Set: true},
			Value: Node{raw: n.raw.Content[i+1], src: n.src, Path: path},
		})
	}
	return pairs
}

// Fault reports an error at n.
func (n Node) Fault(report source.Report, rule, format string, args ...any) {
	report(source.Finding{
		Pos: n.Pos(), Path: n.Path, Severity: source.Error, Rule: rule,
		Message: fmt.Sprintf(format, args...),
	})
}

// Text is a scalar as it was written, with its place. Set tells a missing value
// from an empty one.
type Text struct {
	Value string
	Pos   source.Pos
	Path  string
	Set   bool
}

// String is the scalar's text.
func (t Text) String() string { return t.Value }
