package page_test

import (
	"bytes"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// parse reads a page as a browser does.
func parse(t testing.TB, raw []byte) *html.Node {
	t.Helper()
	doc, err := html.Parse(bytes.NewReader(raw))
	if err != nil {
		t.Fatalf("parsing the page: %v", err)
	}
	return doc
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// all lists the elements that pass a test, in document order.
func all(n *html.Node, ok func(*html.Node) bool) (out []*html.Node) {
	for d := range n.Descendants() {
		if d.Type == html.ElementNode && ok(d) {
			out = append(out, d)
		}
	}
	return out
}

func byName(n *html.Node, name string) []*html.Node {
	return all(n, func(n *html.Node) bool { return n.Data == name })
}

func byClass(n *html.Node, class string) []*html.Node {
	return all(n, func(n *html.Node) bool {
		return strings.Contains(" "+attr(n, "class")+" ", " "+class+" ")
	})
}

func byID(n *html.Node, id string) *html.Node {
	found := all(n, func(n *html.Node) bool { return attr(n, "id") == id })
	if len(found) == 0 {
		return nil
	}
	return found[0]
}

// content is the text inside a node, white space folded.
func content(n *html.Node) string {
	if n == nil {
		return ""
	}
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data + " ")
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}
