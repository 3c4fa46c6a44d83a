package figure_test

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
)

// element is one SVG element as any XML reader sees it.
type element struct {
	name, part string // part is the data-part of the group around it
	attr       map[string]string
	text       string
}

func (e element) number(t testing.TB, name string) float64 {
	t.Helper()
	var f float64
	if _, err := fmt.Sscan(e.attr[name], &f); err != nil {
		t.Fatalf("<%s %s=%q>: %v", e.name, name, e.attr[name], err)
	}
	return f
}

// points are the end points of a path's segments, in order, and its arc radii.
func (e element) points(t testing.TB) (points [][2]float64, radii []float64) {
	t.Helper()
	d := e.attr["d"]
	for d != "" {
		n := strings.IndexAny(d[1:], "MLACZ") + 1
		if n == 0 {
			n = len(d)
		}
		var f []float64
		for field := range strings.FieldsSeq(d[1:n]) {
			var v float64
			if _, err := fmt.Sscan(field, &v); err != nil {
				t.Fatalf("path %q: %v", d, err)
			}
			f = append(f, v)
		}
		if d[0] == 'A' {
			radii = append(radii, f[0])
		}
		if len(f) >= 2 {
			points = append(points, [2]float64{f[len(f)-2], f[len(f)-1]})
		}
		d = d[n:]
	}
	return points, radii
}

// parse reads a drawing with the standard library's XML reader, which fails the
// test when the drawing is not well-formed.
func parse(t testing.TB, svg string) []element {
	t.Helper()
	var out []element
	part, depth := "", 0
	dec := xml.NewDecoder(strings.NewReader(svg))
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatalf("not well-formed: %v\n%s", err, svg)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			e := element{name: tok.Name.Local, attr: map[string]string{}}
			for _, a := range tok.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			if e.name == "g" {
				part = e.attr["data-part"]
			}
			e.part = part
			out = append(out, e)
			depth++
		case xml.EndElement:
			if depth--; tok.Name.Local == "g" {
				part = ""
			}
		case xml.CharData:
			if len(out) > 0 {
				out[len(out)-1].text += strings.TrimSpace(string(tok))
			}
		}
	}
}
