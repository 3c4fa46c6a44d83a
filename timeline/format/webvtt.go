package format

import (
	"bytes"
	"fmt"
	"strings"
	"time"

	"sideport/timeline"
	"sideport/timeline/source"
)

const webvttSource = "W3C, WebVTT: The Web Video Text Tracks Format, editor's draft 2026-05-14 (w3c/webvtt 92a85cc)"

func webvttReader() Reader {
	return Reader{
		Name:       "webvtt",
		Doc:        "WebVTT timed text, read by the W3C parsing rules",
		Extensions: []string{".vtt"},
		Roles:      []Role{Chapters, Narration},
		Sniff:      func(src *source.Source) bool { return hasWebVTTSignature(src.Text()) },
		Signed:     true,
		Plain:      PlainText,
		Cues: func(src *source.Source, report source.Report) []timeline.Cue {
			return plainCues(readWebVTT(src, report))
		},
		Chapters: func(src *source.Source, report source.Report) []timeline.Chapter {
			cues := readWebVTT(src, report)
			noteTitleMarkup(cues, report)
			return cueChapters(cues, ChapterTitle, report)
		},
	}
}

// noteTitleMarkup notes titles with tags in them.
func noteTitleMarkup(cues []readCue, report source.Report) {
	for _, c := range cues {
		if strings.Contains(c.Text, "<") {
			report(source.Finding{
				Pos: c.TextPos, Severity: source.Note, Rule: "read/title-markup", Source: webvttSource,
				Message: "the title carries tags, which are left out; the title of a WebVTT chapter is text and character references",
			})
		}
	}
}

// hasWebVTTSignature reports whether text begins with WEBVTT and then ends or
// goes on with a space, a tab or a line end.
func hasWebVTTSignature(text []byte) bool {
	rest, ok := bytes.CutPrefix(text, []byte("WEBVTT"))
	return ok && (len(rest) == 0 || bytes.IndexByte([]byte(" \t\n\r"), rest[0]) >= 0)
}

// readWebVTT is the W3C parser algorithm with a finding for all it passes over.
// Cost is one pass over the text.
func readWebVTT(src *source.Source, report source.Report) []readCue {
	if !hasWebVTTSignature(src.Text()) {
		first, _ := src.Line(0)
		report(source.Finding{
			Pos: src.Pos(0), Severity: source.Error, Rule: "read/no-signature", Source: webvttSource,
			Message: fmt.Sprintf("the file begins with %s; a WebVTT file begins with WEBVTT and a space, a tab or a line end; nothing of the file is read", quoted(first)),
			Hint:    "write WEBVTT and an empty line before the first cue",
		})
		return nil
	}
	noteForeignExtension("webvtt", src, report)
	p := &webvttParser{
		src: src, report: report, lines: src.Lines(), next: 1,
		regions: map[string]bool{}, ids: map[string]source.Pos{},
	}
	if last, _ := src.Line(p.lines - 1); len(last) == 0 {
		p.lines-- // the empty line after the last line end is no line
	}
	if p.next < p.lines && len(p.line(p.next)) > 0 {
		p.collect(true)
	}
	for p.next < p.lines {
		if len(p.line(p.next)) == 0 {
			p.next++
			continue
		}
		p.use(p.collect(false))
	}
	return p.cues
}

type webvttParser struct {
	src    *source.Source
	report source.Report
	lines  int // number of lines
	next   int // the line to read next

	cues     []readCue
	regions  map[string]bool // identifiers defined so far
	ids      map[string]source.Pos
	order    startOrder
	afterCue bool // the block before this one was a cue
}

func (p *webvttParser) line(n int) []byte {
	text, _ := p.src.Line(n)
	return text
}

// block is the lines [from, to) of the source; arrow is the line with the times
// of a cue, or -1.
type block struct{ from, to, arrow int }

// collect takes the next block: up to an empty line, or up to a line with an
// arrow that begins another cue. An arrow makes the block a cue on its first
// line, or on its second when the first has none and is then the identifier.
func (p *webvttParser) collect(header bool) block {
	b := block{from: p.next, arrow: -1}
	for ; p.next < p.lines; p.next++ {
		line := p.line(p.next)
		if len(line) == 0 {
			break
		}
		if !bytes.Contains(line, arrow) {
			continue
		}
		n := p.next - b.from
		if header || n > 1 || b.arrow >= 0 {
			break
		}
		b.arrow = p.next
	}
	b.to = p.next
	return b
}

// use does what a block asks for.
func (p *webvttParser) use(b block) {
	wasAfterCue := p.afterCue
	p.afterCue = false
	first := p.line(b.from)
	switch {
	case b.arrow >= 0:
		p.cue(b)
		p.afterCue = true
	case isKeywordLine(first, "STYLE") && len(p.cues) == 0:
	case isKeywordLine(first, "REGION") && len(p.cues) == 0:
		if b.to > b.from+1 {
			p.defineRegion(p.text(b.from+1, b.to))
		}
	case isComment(first):
	default:
		p.stray(b, wasAfterCue)
	}
}

// cue reads a cue block, or reports why it cannot be read.
func (p *webvttParser) cue(b block) {
	line, offset := p.src.Line(b.arrow)
	from, to, rest, bad := webvttTimes(line)
	switch {
	case bad != nil && isComment(p.line(b.from)):
		p.report(source.Finding{
			Pos: p.src.Pos(offset + bytes.Index(line, arrow)), Severity: source.Caution, Rule: "read/bad-block", Source: webvttSource,
			Message: "a comment holds -->, where WebVTT reads the times of a cue; there is no cue here",
		})
		return
	case bad != nil:
		p.report(source.Finding{
			Pos: p.src.Pos(offset + bad.at), Severity: source.Error, Rule: "read/bad-time", Source: webvttSource,
			Message: "cue left out: " + bad.what,
			Hint:    "WebVTT times look like 00:01:17.000 --> 00:01:25.000",
		})
		return
	}
	c := readCue{times: p.src.Pos(offset)}
	c.From, c.To = from, to
	c.Pos = p.src.Pos(p.offset(b.from))
	if b.from < b.arrow {
		c.ID = replaceNUL(string(p.line(b.from)))
		p.checkID(c)
	}
	c.Settings = p.settings(line, offset, rest)
	c.Text = p.text(b.arrow+1, b.to)
	c.TextPos = p.src.Pos(p.offset(b.arrow + 1))
	if b.arrow+1 == b.to { // no text: the end of the times
		c.TextPos = p.src.Pos(offset + len(line))
	}
	if to <= from {
		p.report(source.Finding{
			Pos: c.times, Severity: source.Caution, Rule: "read/cue-order", Source: webvttSource,
			Message: fmt.Sprintf("the cue ends at %s and starts at %s; in WebVTT a cue ends after its start; the cue is kept", clockText(to), clockText(from)),
		})
	}
	p.order.check(c, p.report)
	p.cues = append(p.cues, c)
}

// stray reports a block that is no cue, style, region or comment.
func (p *webvttParser) stray(b block, afterCue bool) {
	for n := b.from; n < min(b.from+2, b.to); n++ {
		if line, offset := p.src.Line(n); looksLikeTimes(line) {
			p.report(source.Finding{
				Pos: p.src.Pos(offset), Severity: source.Error, Rule: "read/bad-time", Source: webvttSource,
				Message: "cue left out: no --> between the two times",
			})
			return
		}
	}
	f := source.Finding{Pos: p.src.Pos(p.offset(b.from)), Severity: source.Caution, Rule: "read/bad-block", Source: webvttSource}
	first := p.line(b.from)
	switch {
	case isKeywordLine(first, "STYLE") || isKeywordLine(first, "REGION"):
		f.Severity = source.Note
		f.Message = fmt.Sprintf("the %s block stands after the first cue, where WebVTT ignores it", bytes.TrimRight(first, asciiSpace))
	case afterCue:
		f.Message = fmt.Sprintf("the text %s stands after an empty line, where WebVTT ends the cue; it is left out", quoted(first))
		f.Hint = "an empty line inside a cue ends it"
	default:
		f.Message = fmt.Sprintf("the block beginning %s has no times and is left out", quoted(first))
	}
	p.report(f)
}

// checkID reports an identifier that an earlier cue has.
func (p *webvttParser) checkID(c readCue) {
	earlier, used := p.ids[c.ID]
	if !used {
		p.ids[c.ID] = c.Pos
		return
	}
	p.report(source.Finding{
		Pos: c.Pos, Severity: source.Note, Rule: "read/duplicate-id", Source: webvttSource,
		Message: fmt.Sprintf("the identifier %s is used before; in WebVTT it is unique in the file", quoted([]byte(c.ID))),
		Related: []source.Related{{Pos: earlier, Message: "first used here"}},
	})
}

// offset is the offset of line n; the end of the text past the last line.
func (p *webvttParser) offset(n int) int {
	if n >= p.src.Lines() {
		return len(p.src.Text())
	}
	_, offset := p.src.Line(n)
	return offset
}

// text is the lines [from, to) joined by LF.
func (p *webvttParser) text(from, to int) string { return joinLines(p.src, from, to) }

// isKeywordLine reports whether line is the keyword and white space only.
func isKeywordLine(line []byte, keyword string) bool {
	rest, ok := bytes.CutPrefix(line, []byte(keyword))
	return ok && len(bytes.Trim(rest, asciiSpace)) == 0
}

// isComment reports whether line opens a NOTE block.
func isComment(line []byte) bool {
	rest, ok := bytes.CutPrefix(line, []byte("NOTE"))
	return ok && (len(rest) == 0 || rest[0] == ' ' || rest[0] == '\t')
}

// webvttTimes reads "start --> end" and returns the offset of what follows.
func webvttTimes(line []byte) (from, to time.Duration, rest int, bad *fault) {
	i := skipSpace(line, 0)
	if from, i, bad = webvttTimestamp(line, i, "start"); bad != nil {
		return 0, 0, 0, bad
	}
	i = skipSpace(line, i)
	if !bytes.HasPrefix(line[i:], arrow) {
		return 0, 0, 0, &fault{i, fmt.Sprintf("after the start time stands %s, not -->", quoted(line[i:]))}
	}
	i = skipSpace(line, i+len(arrow))
	if to, i, bad = webvttTimestamp(line, i, "end"); bad != nil {
		return 0, 0, 0, bad
	}
	return from, to, i, nil
}

// webvttTimestamp reads one timestamp at i: two fields of exactly two digits,
// or hours of any length before them, a dot and three digits. A first field that
// is above 59 or has not two digits is the hours.
func webvttTimestamp(line []byte, i int, which string) (time.Duration, int, *fault) {
	fail := func(at int, form string, args ...any) (time.Duration, int, *fault) {
		return 0, 0, &fault{at, fmt.Sprintf("the "+which+" time "+form, args...)}
	}
	first := field{at: i, digits: digits(line, i)}
	switch {
	case i == len(line):
		return fail(i, "is missing")
	case len(first.digits) == 0:
		return fail(i, "begins with %s, not with a digit", quoted(line[i:]))
	}
	fields := []field{first}
	hours := len(first.digits) != 2 || first.value() > 59
	i += len(first.digits)
	for len(fields) < 3 && (len(fields) == 1 || hours || i < len(line) && line[i] == ':') {
		if i == len(line) || line[i] != ':' {
			return fail(i, "has %d of the fields h:mm:ss", len(fields))
		}
		f := field{at: i + 1, digits: digits(line, i+1)}
		if len(f.digits) != 2 {
			return fail(f.at, "has a field with %s; minutes and seconds have 2 digits in WebVTT", countDigits(f.digits))
		}
		fields = append(fields, f)
		i = f.at + 2
	}
	if i == len(line) || line[i] != '.' {
		return fail(i, "has no dot before its milliseconds")
	}
	ms := field{at: i + 1, digits: digits(line, i+1)}
	if len(ms.digits) != 3 {
		return fail(ms.at, "has %s after the dot; WebVTT has 3", countDigits(ms.digits))
	}
	d, bad := clockTime(fields)
	if bad != nil {
		return fail(bad.at, "%s", bad.what)
	}
	return d + time.Duration(ms.value())*time.Millisecond, ms.at + 3, nil
}
