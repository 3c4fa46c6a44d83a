package figure

import (
	_ "embed" // the template and the style sheet
	"fmt"
	"html/template"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

//go:embed drawing.svg.tmpl
var drawingText string

//go:embed figure.css
var styleText string

// CSS is the style sheet that gives drawings inside an HTML page their colours,
// from the custom properties --ink, --soft, --accent, --tint and --paper of the
// page.
func CSS() string { return styleText }

// drawingTemplate is parsed anew for every drawing: a parsed template is mutable
// state, and one costs well under a millisecond.
func drawingTemplate() *template.Template {
	return template.Must(template.New("drawing").Parse(drawingText))
}

// tone names a colour by what it is for.
type tone string

const (
	none   tone = "none"
	ink    tone = "ink"
	soft   tone = "soft"
	accent tone = "accent"
	tint   tone = "tint"
	paper  tone = "paper"
)

// Colours of a standalone drawing, each as #rrggbb; an empty or malformed one
// takes its default.
type Colours struct{ Ink, Soft, Accent, Tint, Paper string }

func (c Colours) of(t tone) string {
	given, fallback := "", "none"
	switch t {
	case ink:
		given, fallback = c.Ink, "#1d2329"
	case soft:
		given, fallback = c.Soft, "#5a646d"
	case accent:
		given, fallback = c.Accent, "#0a5c66"
	case tint:
		given, fallback = c.Tint, "#eceae4"
	case paper:
		given, fallback = c.Paper, "#ffffff"
	}
	if len(given) == 7 && given[0] == '#' && strings.Trim(given[1:], "0123456789abcdefABCDEF") == "" {
		return given
	}
	return fallback
}

// Weights of lines in user units.
const (
	hair   = 1.2
	fine   = 2.0
	normal = 3.0
	heavy  = 5.5
)

// mark is one SVG element. Numbers are strings already, so that every byte of a
// drawing is decided in one place.
type mark struct {
	Shape                  string // path, circle, rect or text
	D                      string
	X, Y, R, W, H          string
	Text, Anchor, Size     string
	Font                   string
	Class                  string
	Fill, Stroke           string
	FillOpacity            string
	StrokeWidth, Dash, Cap string
	fill, stroke           tone
}

type group struct {
	Part, Basis string
	Marks       []mark
}

// drawing collects groups in user units and knows the box they fill.
type drawing struct {
	groups []group
	box
}

// box is a rectangle in user units; the zero box holds the origin only.
type box struct{ minX, minY, maxX, maxY float64 }

func newDrawing() *drawing { return &drawing{} }

func (d *drawing) group(part, basis string, marks ...mark) {
	d.groups = append(d.groups, group{Part: part, Basis: basis, Marks: marks})
}

func (b *box) cover(x, y float64) {
	b.minX, b.maxX = min(b.minX, x), max(b.maxX, x)
	b.minY, b.maxY = min(b.minY, y), max(b.maxY, y)
}

func (b *box) coverBox(o box) {
	b.cover(o.minX, o.minY)
	b.cover(o.maxX, o.maxY)
}

// write prints the drawing over its box.
func (d *drawing) write(w io.Writer, opt Options, class, title, desc string) error {
	width, height := d.maxX-d.minX, d.maxY-d.minY
	data := struct {
		Standalone      bool
		Class, ViewBox  string
		Width, Height   string
		ID, Title, Desc string
		Groups          []group
	}{
		Standalone: opt.Standalone, Class: class,
		ViewBox: fmt.Sprintf("%s %s %s %s", num(d.minX), num(d.minY), num(width), num(height)),
		ID:      idPart(opt.IDPrefix), Title: clean(title), Desc: clean(desc), Groups: d.groups,
	}
	if opt.Width > 0 {
		data.Width = strconv.Itoa(opt.Width)
		data.Height = strconv.Itoa(int(math.Round(float64(opt.Width) * height / width)))
	}
	if opt.Standalone {
		data.Class = ""
	}
	for g := range data.Groups {
		for i := range data.Groups[g].Marks {
			data.Groups[g].Marks[i].colour(opt)
		}
	}
	if err := drawingTemplate().Execute(w, data); err != nil {
		return fmt.Errorf("writing the drawing: %w", err)
	}
	return nil
}

// colour turns tones into attributes, or into classes where a style sheet gives
// the colours.
func (m *mark) colour(opt Options) {
	m.Text = clean(m.Text)
	if !opt.Standalone {
		m.Class = fmt.Sprintf("f-%s s-%s", m.fill, m.stroke)
		return
	}
	m.Fill, m.Stroke = opt.Colours.of(m.fill), opt.Colours.of(m.stroke)
	if m.Shape == "text" {
		m.Font = "sans-serif"
	}
}

// line gives a shape its line: the weight, and the dash of how it is known.
func (m mark) line(t tone, weight float64, basis Basis) mark {
	m.stroke, m.StrokeWidth = t, num(weight)
	switch basis {
	case Assumed:
		m.Dash, m.Cap = "0.1 7", "round"
	case Estimated, Derived:
		m.Dash = "13 8"
	}
	return m
}

func (m mark) filled(t tone) mark { m.fill = t; return m }

func (m mark) opacity(share float64) mark { m.FillOpacity = num(share); return m }

func path(d string) mark { return mark{Shape: "path", D: d, fill: none, stroke: none} }

func circle(x, y, r float64) mark {
	return mark{Shape: "circle", X: num(x), Y: num(y), R: num(r), fill: none, stroke: none}
}

func rect(x, y, w, h float64) mark {
	return mark{Shape: "rect", X: num(x), Y: num(y), W: num(w), H: num(h), fill: none, stroke: none}
}

func text(x, y, size float64, anchor string, t tone, s string) mark {
	return mark{Shape: "text", X: num(x), Y: num(y), Size: num(size), Anchor: anchor, Text: s, fill: t, stroke: none}
}

func segment(x1, y1, x2, y2 float64) mark {
	return path(fmt.Sprintf("M%s %sL%s %s", num(x1), num(y1), num(x2), num(y2)))
}

// num prints a coordinate with at most two decimals and never as -0.
func num(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// idPart keeps what is safe in an id and gives an empty prefix a name.
func idPart(prefix string) string {
	id := strings.Map(func(r rune) rune {
		if r == '-' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' {
			return r
		}
		return -1
	}, prefix)
	if id == "" || id[0] == '-' || id[0] <= '9' {
		id = "figure" + id
	}
	return id
}

// clean drops the characters that no XML document can hold, even escaped.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if r < 0x20 && r != '\t' && r != '\n' || r == utf8.RuneError || r == 0xFFFE || r == 0xFFFF {
			return -1
		}
		return r
	}, s)
}
