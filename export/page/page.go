package page

import (
	"bytes"
	"crypto/sha256"
	_ "embed" // template, style and script
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strings"

	"sideport/annotate"
	"sideport/export/caption"
	"sideport/export/figure"
	"sideport/export/words"
	"sideport/timeline/source"
)

//go:embed page.html.tmpl
var pageText string

//go:embed page.css
var pageStyle string

//go:embed page.js
var pageScript string

// Track is one set of captions that the page carries.
type Track struct {
	Language string // BCP 47
	Label    string // as the viewer reads it
	Kind     string // captions for the spoken word, subtitles for steps and values
	Hidden   bool   // off until the viewer turns it on
	Cues     []caption.Cue
}

// Options is what a page needs beside the Case.
type Options struct {
	// VideoFile is the name of the video beside index.html; empty means a page
	// without video. A folder in it is dropped.
	VideoFile string
	// Steps and Speech are the tracks; the first speech track is printed too.
	Steps, Speech []Track
	// Findings of the case. Which of them the page shows is the Case's
	// page.findings; those about files, clocks and privacy are never shown.
	Findings []source.Finding
}

// Write writes index.html for a resolved case. The same case and options give the
// same bytes. Errors are those of w.
func Write(w io.Writer, c *annotate.Case, opt Options) error {
	return write(w, buildView(c, opt))
}

// write renders a view: the template in three parts with the drawings between.
func write(w io.Writer, v *view) error {
	v.Style, v.Script = template.CSS(pageStyle+figure.CSS()), template.JS(pageScript)
	v.Policy = policy(pageStyle+figure.CSS(), pageScript)
	v.Caution = words.Caution
	tmpl, err := template.New("page").Funcs(template.FuncMap{
		"t":        v.say,
		"userlang": func() string { return v.UserLang },
		"uilang":   func() string { return v.uiLang() },
	}).Parse(pageText)
	if err != nil {
		return fmt.Errorf("reading the page template: %w", err)
	}
	var out bytes.Buffer
	part := func(name string) {
		if err == nil {
			err = tmpl.ExecuteTemplate(&out, name, v)
		}
	}
	part("top")
	if err == nil && len(v.Key) > 0 {
		err = figure.EyeSVG(&out, *v.Eye, figure.Options{IDPrefix: "eye"})
	}
	part("afterEye")
	if err == nil && v.Ribbon != nil {
		err = figure.RibbonSVG(&out, *v.Ribbon, figure.Options{IDPrefix: "edit"})
	}
	part("afterRibbon")
	if err != nil {
		return fmt.Errorf("building the page: %w", err)
	}
	// The Case's texts come here printable; what a character reference of the notes
	// or a caller's own text still hides is left out of the page as a whole.
	if _, err := w.Write(tidy([]byte(source.Printable(out.String())))); err != nil {
		return fmt.Errorf("writing the page: %w", err)
	}
	return nil
}

// policy is the page's Content Security Policy: one style, one script, media from
// beside the page, nothing else.
func policy(style, script string) string {
	return strings.Join([]string{
		"default-src 'none'",
		"script-src " + hash(script),
		"style-src " + hash(style),
		"img-src data:",
		"media-src 'self' data: blob:",
		"base-uri 'none'",
		"form-action 'none'",
	}, "; ")
}

func hash(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// tidy drops the white space that template lines leave at line ends.
func tidy(page []byte) []byte {
	lines := bytes.Split(page, []byte("\n"))
	for i, l := range lines {
		lines[i] = bytes.TrimRight(l, " \t")
	}
	return bytes.Join(lines, []byte("\n"))
}
