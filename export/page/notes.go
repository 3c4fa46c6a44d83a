package page

import (
	"bytes"
	"html/template"
	"net/url"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// notes are the sections of a Markdown text, each of them HTML.
type notes struct {
	general  template.HTML   // before the first heading, under headings of no step, and footnotes
	sections []template.HTML // by the index attach returned
}

// readNotes renders Markdown in safe mode. attach says which section a level-2
// heading opens, counted from 0, or -1 for general text; sections is how many
// there are.
func readNotes(markdown []byte, sections int, attach func(heading string) int) notes {
	md := goldmark.New(goldmark.WithExtensions(
		extension.NewTable(extension.WithTableCellAlignMethod(extension.TableCellAlignNone)),
		extension.Strikethrough,
		extension.Linkify,
		extension.Footnote,
		extension.DefinitionList,
	), goldmark.WithRendererOptions(renderer.WithNodeRenderers(util.Prioritized(footnotes{}, 100))))
	doc := md.Parser().Parse(text.NewReader(markdown))
	tame(doc, markdown)
	parts := make([][]ast.Node, sections)
	var general []ast.Node
	at := -1
	for n := doc.FirstChild(); n != nil; n = n.NextSibling() {
		switch h := n.(type) {
		case *ast.Heading:
			if h.Level <= 2 {
				at = -1
				if h.Level == 2 {
					at = attach(plainText(h, markdown))
				}
				if at >= 0 {
					continue // the step's own heading stands in its place
				}
			}
		case *east.FootnoteList:
			at = -1
		}
		if at >= 0 {
			parts[at] = append(parts[at], n)
		} else {
			general = append(general, n)
		}
	}
	out := notes{sections: make([]template.HTML, sections)}
	for i, nodes := range parts {
		out.sections[i] = noteHTML(md.Renderer(), markdown, nodes, 4)
	}
	out.general = noteHTML(md.Renderer(), markdown, general, 3)
	return out
}

// noteHTML is the one place that marks HTML as safe: it is the output of the
// Markdown renderer in its safe mode. Headings start at the level given and skip
// none.
func noteHTML(r renderer.Renderer, markdown []byte, nodes []ast.Node, level int) template.HTML {
	var b bytes.Buffer
	last, base := level-1, 0
	for _, n := range nodes {
		walk(n, func(n ast.Node) {
			if h, ok := n.(*ast.Heading); ok {
				if base == 0 {
					base = h.Level
				}
				h.Level = min(max(level+h.Level-base, level), last+1, 6)
				last = h.Level
			}
		})
		if err := r.Render(&b, markdown, n); err != nil {
			panic("page: rendering notes into memory: " + err.Error())
		}
	}
	return template.HTML(b.String())
}

// tame takes out of the tree what has no place on the page: pictures, which are
// not copied, become their text; links that lead elsewhere than the web, mail or
// the page lose their link; alignment becomes a class, as styles are not allowed.
func tame(doc ast.Node, markdown []byte) {
	var links []ast.Node
	var images []*ast.Image
	walk(doc, func(n ast.Node) {
		switch n := n.(type) {
		case *ast.Image:
			images = append(images, n)
		case *ast.Link:
			if !safeTarget(string(n.Destination)) {
				links = append(links, n)
			}
		case *ast.AutoLink:
			if !safeTarget(string(n.URL(markdown))) {
				links = append(links, n)
			}
		case *east.TableCell:
			switch n.Alignment {
			case east.AlignRight:
				n.SetAttributeString("class", []byte("end"))
			case east.AlignCenter:
				n.SetAttributeString("class", []byte("middle"))
			}
		}
	})
	for _, n := range links {
		parent := n.Parent()
		if auto, ok := n.(*ast.AutoLink); ok {
			parent.ReplaceChild(parent, n, ast.NewString(auto.Label(markdown)))
			continue
		}
		for c := n.FirstChild(); c != nil; c = n.FirstChild() {
			parent.InsertBefore(parent, n, c)
		}
		parent.RemoveChild(parent, n)
	}
	for _, n := range images {
		parent := n.Parent()
		parent.ReplaceChild(parent, n, ast.NewString([]byte("["+plainText(n, markdown)+"]")))
	}
}

func safeTarget(target string) bool {
	u, err := url.Parse(target)
	if err != nil {
		return false
	}
	switch strings.ToLower(u.Scheme) {
	case "http", "https", "mailto":
		return true
	case "":
		return strings.HasPrefix(target, "#") && len(target) > 1
	}
	return false
}

func walk(n ast.Node, visit func(ast.Node)) {
	visit(n)
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		walk(c, visit)
	}
}

// plainText is the text of a node without markup.
func plainText(n ast.Node, markdown []byte) string {
	var b strings.Builder
	walk(n, func(n ast.Node) {
		switch n := n.(type) {
		case *ast.Text:
			b.Write(n.Segment.Value(markdown))
			if n.SoftLineBreak() || n.HardLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(n.Value)
		}
	})
	return strings.TrimSpace(b.String())
}
