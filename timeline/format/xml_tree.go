package format

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"

	"sideport/timeline/source"
)

// xmlElement is an element with the text that stands in it outside its children.
// Attributes, comments and instructions are not kept.
type xmlElement struct {
	name     string
	at       int    // of its opening bracket
	text     []byte // from the first character on that is no space
	textAt   int    // of the first character of text that is no space, else at
	children []*xmlElement
}

// Elements deeper than these are passed over. The deepest that means something in a
// chapter file is a title, three below its chapter.
const deepestElement = 64

const xmlStandard = "W3C, Extensible Markup Language (XML) 1.0"

// readXML returns the outermost element. A document that is not well-formed is
// reported and read up to the fault, as the standard allows no more: elements still
// open there end there. What stands outside the outermost element is reported and not
// read. A document type is passed over without being followed, so that no entities are
// known but the five of the standard. Cost is one pass.
func readXML(src *source.Source, report source.Report) *xmlElement {
	text := src.Text()
	d := xml.NewDecoder(bytes.NewReader(text))
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil } // decoded before
	b := xmlBuilder{src: src, report: report}
	for {
		at := int(d.InputOffset())
		token, err := d.Token()
		switch {
		case errors.Is(err, io.EOF):
			return b.root
		case err != nil:
			report(source.Finding{
				Pos: src.Pos(int(d.InputOffset())), Severity: source.Error, Rule: "read/syntax", Source: xmlStandard,
				Message: "the document is not well-formed XML; it is read up to here: " + xmlFault(err),
			})
			return b.root
		}
		b.add(token, at)
	}
}

// xmlFault is what encoding/xml says without its own line number.
func xmlFault(err error) string {
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) {
		return syntax.Msg
	}
	return err.Error()
}

// xmlBuilder puts tokens into a tree.
type xmlBuilder struct {
	src    *source.Source
	report source.Report
	root   *xmlElement
	open   []*xmlElement
	deep   int // how many elements are open below the deepest kept
	said   bool

	strayed bool // that something stands outside the outermost element is said
}

func (b *xmlBuilder) add(token xml.Token, at int) {
	switch t := token.(type) {
	case xml.StartElement:
		b.start(t.Name.Local, at)
	case xml.EndElement:
		if b.deep > 0 {
			b.deep--
		} else {
			b.open = b.open[:len(b.open)-1]
		}
	case xml.CharData:
		if n := len(b.open); n > 0 && b.deep == 0 {
			b.open[n-1].addText(t, at)
		} else if lead := skipSpace(t, 0); n == 0 && lead < len(t) {
			b.outside("text stands outside the outermost element", at+lead)
		}
	}
}

func (b *xmlBuilder) start(name string, at int) {
	if len(b.open) == deepestElement {
		b.deep++
		if !b.said {
			b.said = true
			b.report(source.Finding{
				Pos: b.src.Pos(at), Severity: source.Error, Rule: "read/syntax",
				Message: fmt.Sprintf("elements lie more than %d deep in each other; what is deeper is not read", deepestElement),
			})
		}
		return
	}
	e := &xmlElement{name: name, at: at, textAt: at}
	if n := len(b.open); n > 0 {
		b.open[n-1].children = append(b.open[n-1].children, e)
	} else if b.root == nil {
		b.root = e
	} else {
		b.outside("a second element stands beside the outermost one", at)
	}
	b.open = append(b.open, e)
}

// outside reports what stands ahead of the outermost element or behind it, the first
// of it. The decoder lets it pass.
func (b *xmlBuilder) outside(what string, at int) {
	if b.strayed {
		return
	}
	b.strayed = true
	b.report(source.Finding{
		Pos: b.src.Pos(at), Severity: source.Error, Rule: "read/syntax", Source: xmlStandard,
		Message: "the document is not well-formed XML: " + what + "; it is not read",
	})
}

// addText adds character data that begins at a place of the text. Where a reference
// stands for white space in front, the place is that of the data's beginning.
func (e *xmlElement) addText(text []byte, at int) {
	if len(e.text) == 0 {
		lead := skipSpace(text, 0)
		if text = text[lead:]; len(text) == 0 {
			return
		}
		e.textAt = at + lead
	}
	e.text = append(e.text, text...)
}

// first is the first child of a name, or nil.
func (e *xmlElement) first(name string) *xmlElement {
	for _, c := range e.children {
		if c.name == name {
			return c
		}
	}
	return nil
}

// value is the text of the first child of a name, without space around it.
func (e *xmlElement) value(name string) string {
	if c := e.first(name); c != nil {
		return string(bytes.Trim(c.text, asciiSpace))
	}
	return ""
}
