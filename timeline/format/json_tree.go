package format

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"sideport/timeline/source"
)

// The limits that keep a hostile text from costing more than a good one.
const (
	maxJSONDepth = 200
	maxJSONNodes = 2_000_000
)

// node is one value of a JSON text with its place.
type node struct {
	at   int
	kind byte // '{' '[' 's' for a string, 'n' for a number, 't' 'f' '0' for true, false and null
	text string
	keys map[string]*node // of an object; of a key written twice the first
	list []*node          // of an array
}

// key is a member of an object, or nil.
func (n *node) key(name string) *node {
	if n == nil || n.kind != '{' {
		return nil
	}
	return n.keys[name]
}

// words is a string, or empty.
func (n *node) words() string {
	if n == nil || n.kind != 's' {
		return ""
	}
	return n.text
}

// items are the elements of an array, or none.
func (n *node) items() []*node {
	if n == nil || n.kind != '[' {
		return nil
	}
	return n.list
}

// jsonTree reads a JSON text, in which NaN, Infinity and -Infinity may stand for
// numbers. A key that an object has twice is reported. A text that is none, or is beyond
// the limits, is reported where reading stops, and there is no tree.
func jsonTree(src *source.Source, report source.Report) *node {
	text := withoutNaN(src.Text())
	p := &jsonParser{src: src, report: report, text: text, dec: json.NewDecoder(bytes.NewReader(text))}
	p.dec.UseNumber()
	root, err := p.value(0)
	if err == nil {
		if _, more := p.dec.Token(); more == nil {
			p.at, err = int(p.dec.InputOffset()), errors.New("text stands behind the end")
		}
	}
	if err == nil {
		return root
	}
	f := source.Finding{Pos: src.Pos(p.at), Severity: source.Error, Rule: "read/syntax", Source: jsonStandard}
	var limit limitError
	if errors.As(err, &limit) {
		f.Rule, f.Source = "read/too-large", ""
	}
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		f.Pos = src.Pos(int(max(syntax.Offset, 1)) - 1)
	}
	if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
		f.Pos, err = src.Pos(len(text)), errors.New("it ends too early")
	}
	f.Message = "the text is not JSON that can be read, and nothing of it is: " + err.Error()
	report(f)
	return nil
}

// limitError is a limit of this reader that a text goes beyond.
type limitError string

func (e limitError) Error() string { return string(e) }

type jsonParser struct {
	src    *source.Source
	report source.Report
	text   []byte
	dec    *json.Decoder
	at     int // of the value read last
	nodes  int
}

// value reads the next value with all that it holds.
func (p *jsonParser) value(depth int) (*node, error) {
	p.at = p.next()
	n := &node{at: p.at}
	if p.nodes++; p.nodes > maxJSONNodes {
		return nil, limitError(fmt.Sprintf("it holds more than %d values", maxJSONNodes))
	}
	if depth > maxJSONDepth {
		return nil, limitError(fmt.Sprintf("it is nested more than %d deep", maxJSONDepth))
	}
	token, err := p.dec.Token()
	if err != nil {
		return nil, err
	}
	switch v := token.(type) {
	case json.Delim:
		n.kind = byte(v)
		return n, p.fill(n, depth)
	case string:
		n.kind, n.text = 's', v
	case json.Number:
		n.kind, n.text = 'n', v.String()
	case bool:
		n.kind = 'f'
		if v {
			n.kind = 't'
		}
	default:
		n.kind = '0'
	}
	return n, nil
}

// fill reads the members of an object or the elements of an array.
func (p *jsonParser) fill(n *node, depth int) error {
	for p.dec.More() {
		name := ""
		if n.kind == '{' {
			token, err := p.dec.Token()
			if err != nil {
				return err
			}
			name, _ = token.(string) // the decoder lets no other key pass
		}
		v, err := p.value(depth + 1)
		if err != nil {
			return err
		}
		if n.kind == '[' {
			n.list = append(n.list, v)
			continue
		}
		if n.keys == nil {
			n.keys = map[string]*node{}
		}
		if _, again := n.keys[name]; again {
			reportTwice(p.src.Pos(v.at), p.report)
			continue
		}
		n.keys[name] = v
	}
	_, err := p.dec.Token()
	return err
}

// next is where the next value begins.
func (p *jsonParser) next() int {
	return nextJSON(p.text, int(p.dec.InputOffset()))
}

// withoutNaN is a JSON text with the words NaN, Infinity and -Infinity, where they
// stand outside strings, replaced by strings of the same length: they are no JSON and
// no time, and every place keeps its offset.
func withoutNaN(text []byte) []byte {
	out := text
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case '"':
			for i++; i < len(text) && text[i] != '"'; i++ {
				if text[i] == '\\' {
					i++
				}
			}
		case 'N', 'I', '-':
			for _, word := range []string{"NaN", "Infinity", "-Infinity"} {
				if !bytes.HasPrefix(text[i:], []byte(word)) {
					continue
				}
				if &out[0] == &text[0] {
					out = bytes.Clone(text)
				}
				blank := bytes.Repeat([]byte(" "), len(word))
				blank[0], blank[len(word)-1] = '"', '"'
				copy(out[i:], blank)
				i += len(word) - 1
				break
			}
		}
	}
	return out
}
