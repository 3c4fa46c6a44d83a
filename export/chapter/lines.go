package chapter

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"regexp"
	"strings"
	"time"

	"sideport/export/caption"
	"sideport/export/words"
)

// shortest is the least distance of two lines that video sites accept: common
// practice, no source.
const shortest = 10 * time.Second

// line is one entry of the list of lines, at a whole second.
type line struct {
	at     time.Duration
	titles []string
	has    map[string]bool // of titles
}

// WriteLines writes l as a list that video sites read from a description: a time
// and a title a line, the first at 0:00, strictly ascending, at least 10 s apart
// and from the end. Chapters nearer than that share a line. When the first
// chapter starts within 10 s it takes 0:00, else an entry goes in front. All
// lines have hours when the video lasts an hour. Sites want three lines or more;
// a shorter list is written all the same.
//
// Source: common practice, no source.
func WriteLines(w io.Writer, l List) error {
	roots, err := arrange(l)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	writeLines(out, lines(roots, l), l.Total)
	return out.Flush()
}

func writeLines(out *bufio.Writer, list []line, total time.Duration) {
	for _, e := range list {
		h, m, s := int(e.at/time.Hour), int(e.at/time.Minute), int(e.at/time.Second)%60
		if total >= time.Hour {
			fmt.Fprintf(out, "%d:%02d:%02d %s\n", h, m%60, s, strings.Join(e.titles, "; "))
		} else {
			fmt.Fprintf(out, "%d:%02d %s\n", m, s, strings.Join(e.titles, "; "))
		}
	}
}

func lines(roots []*node, l List) []line {
	w := words.Get(l.Language)
	var out []line
	for _, c := range flat(roots) {
		at, title := c.From.Truncate(time.Second), cmp.Or(plainTitle(c.Title), w.T("chapter.untitled"))
		switch last := len(out) - 1; {
		case last < 0 && at < shortest:
			out = append(out, newLine(0, title))
		case last < 0:
			out = append(out, newLine(0, w.T("chapter.intro")), newLine(at, title))
		case at-out[last].at < shortest:
			out[last].add(title)
		default:
			out = append(out, newLine(at, title))
		}
	}
	if n := len(out); n > 1 && l.Total-out[n-1].at < shortest {
		for _, title := range out[n-1].titles {
			out[n-2].add(title)
		}
		out = out[:n-1]
	}
	return out
}

func newLine(at time.Duration, title string) line {
	return line{at: at, titles: []string{title}, has: map[string]bool{title: true}}
}

// add puts another title on the line unless it is there.
func (e *line) add(title string) {
	if !e.has[title] {
		e.has[title] = true
		e.titles = append(e.titles, title)
	}
}

// leadingTime is what a site would take for a line's time or the end of one, at the
// start of a title, however often it is repeated.
var leadingTime = regexp.MustCompile(`^(?:[-–—>\s]*[\[({<]?\s*\d+(?::\d+)+[\])}>]?[\s.,:)–—-]*)+`)

// leadingMark is what readers take for the mark that parts a time from its title; a
// hyphen in front of a digit is a minus sign.
var leadingMark = regexp.MustCompile(`^(?:([:|,;=→–—\])}>\s\x{a0}\x{202f}]+)|(-+)(?:[^-.0-9]|$)|(\.)(?:\s|$))`)

// plainTitle is a title that cannot be mistaken for a time or the mark behind one.
func plainTitle(title string) string {
	for before := -1; len(title) != before; {
		before = len(title)
		title = title[len(leadingTime.FindString(title)):]
		if mark := leadingMark.FindStringSubmatch(title); mark != nil {
			title = title[len(mark[1])+len(mark[2])+len(mark[3]):]
		}
	}
	return strings.TrimSpace(caption.CleanLine(title))
}

// WriteDescription writes the text to paste under a video: title, summary,
// chapters and the caution, paragraphs apart by a blank line. What is empty is
// left out; the caution never is.
func WriteDescription(w io.Writer, l List) error {
	roots, err := arrange(l)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	if title := caption.CleanLine(l.Title); title != "" {
		out.WriteString(title + "\n\n")
	}
	for _, paragraph := range paragraphs(l.Summary) {
		out.WriteString(paragraph + "\n\n")
	}
	if list := lines(roots, l); len(list) > 0 {
		out.WriteString(words.Get(l.Language).T("chapter.list") + "\n")
		writeLines(out, list, l.Total)
		out.WriteString("\n")
	}
	out.WriteString(words.Caution + "\n")
	return out.Flush()
}

// lineTime begins a line as a chapter of the list does.
var lineTime = regexp.MustCompile(`^\(?\d+:\d`)

// blankLine parts two paragraphs.
var blankLine = regexp.MustCompile(`\n[ \t]*\n`)

// paragraphs cuts a text at its blank lines. A line of its own that begins with a
// time would join the list of chapters, so such a time loses its place at the
// front to a hyphen.
func paragraphs(text string) []string {
	var out []string
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	for _, p := range blankLine.Split(text, -1) {
		rows := strings.Split(caption.Clean(p), "\n")
		for i, row := range rows {
			if lineTime.MatchString(row) {
				rows[i] = "- " + row
			}
		}
		if p = strings.Join(rows, "\n"); p != "" {
			out = append(out, p)
		}
	}
	return out
}
