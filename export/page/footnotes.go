package page

import (
	"strconv"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"
)

// footnotes renders footnotes with ids that are plain names; the library's own
// hold a colon, which a style sheet or a checker stumbles over.
type footnotes struct{}

// RegisterFuncs takes the place of the library's functions for the same nodes.
func (footnotes) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(east.KindFootnoteLink, func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if f := n.(*east.FootnoteLink); entering {
			number := strconv.Itoa(f.Index)
			return put(w, `<sup id="`, footnoteFrom(f.Index, f.RefIndex), `"><a href="#footnote-`, number, `" role="doc-noteref">`, number, `</a></sup>`)
		}
		return ast.WalkContinue, nil
	})
	reg.Register(east.KindFootnoteBacklink, func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if f := n.(*east.FootnoteBacklink); entering {
			return put(w, ` <a href="#`, footnoteFrom(f.Index, f.RefIndex), `" role="doc-backlink">↩&#xfe0e;</a>`)
		}
		return ast.WalkContinue, nil
	})
	reg.Register(east.KindFootnote, func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			return put(w, `<li id="footnote-`, strconv.Itoa(n.(*east.Footnote).Index), `">`, "\n")
		}
		return put(w, "</li>\n")
	})
	reg.Register(east.KindFootnoteList, func(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			return put(w, `<div class="footnotes" role="doc-endnotes">`, "\n<ol>\n")
		}
		return put(w, "</ol>\n</div>\n")
	})
}

// footnoteFrom is the id of the place that refers to a footnote, the ref-th of
// several.
func footnoteFrom(index, ref int) string {
	id := "footnote-from-" + strconv.Itoa(index)
	if ref > 0 {
		id += "-" + strconv.Itoa(ref)
	}
	return id
}

func put(w util.BufWriter, parts ...string) (ast.WalkStatus, error) {
	for _, p := range parts {
		if _, err := w.WriteString(p); err != nil {
			return ast.WalkStop, err
		}
	}
	return ast.WalkContinue, nil
}
