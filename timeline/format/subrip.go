package format

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"sideport/timeline"
	"sideport/timeline/source"
)

func subripReader() Reader {
	return Reader{
		Name:       "subrip",
		Doc:        "SubRip timed text: counter, times, text, empty line",
		Extensions: []string{".srt"},
		Roles:      []Role{Chapters, Narration},
		Sniff:      looksLikeSubRip,
		Signed:     true,
		Plain:      SubRipPlainText,
		Cues: func(src *source.Source, report source.Report) []timeline.Cue {
			return plainCues(readSubRip(src, report))
		},
		Chapters: func(src *source.Source, report source.Report) []timeline.Chapter {
			return cueChapters(readSubRip(src, report), SubRipPlainText, report)
		},
	}
}

// looksLikeSubRip reports whether the first line of times has SubRip's comma. A
// dot is no mark of SubRip: a WebVTT file that lost its first line looks so.
func looksLikeSubRip(src *source.Source) bool {
	const most = 50 // lines before the first cue that a file may well have
	for n := range min(src.Lines(), most) {
		line, _ := src.Line(n)
		if before, after, ok := bytes.Cut(line, arrow); ok && isClockTime(before) && clockRun(bytes.TrimLeft(after, asciiSpace)) > 0 {
			return bytes.IndexByte(before, ',') >= 0
		}
	}
	return false
}

// readSubRip reads a SubRip file: first where its cues begin, then the cues.
// Cost is two passes over the text.
func readSubRip(src *source.Source, report source.Report) []readCue {
	p := &subripParser{src: src, report: report, lines: src.Lines()}
	heads := p.heads()
	if len(heads) == 0 {
		report(source.Finding{
			Pos: src.Pos(p.offset(p.skipBlank(0))), Severity: source.Error, Rule: "read/no-cues",
			Message: "the file has no line of two times with --> between them; SubRip has one before each text",
			Hint:    "SubRip times look like 00:01:17,000 --> 00:01:25,000",
		})
		return nil
	}
	noteForeignExtension("subrip", src, report)
	if n := p.skipBlank(0); n < heads[0].from {
		report(source.Finding{
			Pos: src.Pos(p.offset(n)), Severity: source.Caution, Rule: "read/bad-block",
			Message: fmt.Sprintf("the text %s stands before the first times and is left out", quoted(p.line(n))),
		})
	}
	for i, h := range heads {
		end := p.lines
		if i+1 < len(heads) {
			end = heads[i+1].from
		}
		p.cue(h, end)
	}
	return p.cues
}

type subripParser struct {
	src    *source.Source
	report source.Report
	lines  int
	cues   []readCue
	order  startOrder
}

// head is where a cue begins: the line of its counter, if it has one, and the
// line of its times.
type head struct {
	from, times int
	id          string
}

// heads finds the beginning of every cue. A line of times is told from text by
// its form and by what stands before it, its counter by place and number.
func (p *subripParser) heads() []head {
	var (
		heads []head
		floor int // the first line after the last times: counters lie at or below it
		last  = -1
	)
	for n := range p.lines {
		line := p.line(n)
		hasArrow := bytes.Contains(line, arrow)
		if !hasArrow && !looksLikeTimes(line) {
			continue
		}
		counter := p.counterBefore(n, floor, last)
		if !p.isTimes(n, floor, counter, hasArrow) {
			continue
		}
		h := head{from: n, times: n}
		if counter >= 0 {
			h.from, h.id = counter, string(bytes.Trim(p.line(counter), asciiSpace))
		}
		if number, ok := counterNumber(p.line(h.from)); ok && counter >= 0 {
			last = number
		} else if last >= 0 {
			last++
		}
		heads = append(heads, h)
		floor = n + 1
	}
	return heads
}

// isTimes reports whether line n is meant as the times of a cue. Two clock times
// round an arrow always are. A damaged line is when it stands where times stand:
// after a number that follows an empty line, or itself after an empty line.
func (p *subripParser) isTimes(n, floor, counter int, hasArrow bool) bool {
	before, after, _ := bytes.Cut(p.line(n), arrow)
	after = bytes.TrimLeft(after, asciiSpace)
	left, right := isClockTime(before), clockRun(after) > 0
	numbered := false
	if counter >= 0 {
		_, numbered = counterNumber(p.line(counter))
	}
	inPlace := counter >= 0 || n == 0 || n > floor && p.blank(n-1)
	switch {
	case hasArrow && left && right:
		return true
	case hasArrow && (left || right):
		return inPlace
	case hasArrow:
		return numbered
	}
	return inPlace // two times with something else between them
}

// counterBefore returns the line of the counter of the times on line n, or -1.
//
// After an empty line the line before the times is the counter, whatever it
// says. Without the empty line it may as well be the last line of the text
// before; it is the counter only when it goes on from the last number. A number
// between empty lines, as in a file whose line ends were doubled, is taken by
// the same test.
func (p *subripParser) counterBefore(n, floor, last int) int {
	c := n - 1
	if c < floor {
		return -1
	}
	apart := p.blank(c)
	for c >= floor && p.blank(c) {
		c--
	}
	if c < floor {
		return -1
	}
	number, numeric := counterNumber(p.line(c))
	follows := numeric && last >= 0 && number == last+1
	first := floor == 0 && (c == 0 || p.blank(c-1))
	switch {
	case apart:
		if numeric && (first || follows && c > floor && p.blank(c-1)) {
			return c
		}
		return -1
	case first || c > floor && p.blank(c-1):
		return c
	case follows:
		return c
	}
	return -1
}

// counterNumber is the number a line consists of. A number too great to hold
// counts as one that nothing follows.
func counterNumber(line []byte) (int, bool) {
	text := string(bytes.Trim(line, asciiSpace))
	if !allDigits(text) {
		return 0, false
	}
	number, err := strconv.Atoi(text)
	if err != nil {
		return -2, true
	}
	return number, true
}

// cue reads the cue that begins at h and ends before line end.
func (p *subripParser) cue(h head, end int) {
	line, offset := p.src.Line(h.times)
	t, bad := subripTimes(line)
	if bad != nil {
		f := source.Finding{
			Pos: p.src.Pos(offset + bad.at), Severity: source.Error, Rule: "read/bad-time",
			Message: "cue left out: " + bad.what,
			Hint:    "SubRip times look like 00:01:17,000 --> 00:01:25,000",
		}
		if bad.frames {
			f.Rule, f.Hint = "read/rate-missing", "which frame rate do the frames count, for example 25 or 29.97?"
		}
		p.report(f)
		return
	}
	if t.to <= t.from {
		p.report(source.Finding{
			Pos: p.src.Pos(offset + t.toAt), Severity: source.Error, Rule: "read/cue-order",
			Message: fmt.Sprintf("cue left out: it ends at %s and starts at %s", clockText(t.to), clockText(t.from)),
		})
		return
	}
	p.noteOddities(h, t, offset)
	c := readCue{times: p.src.Pos(offset)}
	c.ID, c.From, c.To = replaceNUL(h.id), t.from, t.to
	c.Pos = p.src.Pos(p.offset(h.from))
	c.TextPos = p.src.Pos(offset + len(line))
	if from, to := p.trimBlank(h.times+1, end); from < to {
		c.Text = joinLines(p.src, from, to)
		c.TextPos = p.src.Pos(p.offset(from))
		p.noteBlank(from, to)
	}
	p.order.check(c, p.report)
	p.cues = append(p.cues, c)
}

// noteOddities reports what is unusual about a head that was read all the same.
func (p *subripParser) noteOddities(h head, t cueTimes, offset int) {
	if _, numeric := counterNumber([]byte(h.id)); h.from < h.times && !numeric {
		p.report(source.Finding{
			Pos: p.src.Pos(p.offset(h.from)), Severity: source.Note, Rule: "read/odd-counter",
			Message: fmt.Sprintf("the line %s before the times is no number; it is read as the name of the cue", quoted([]byte(h.id))),
		})
	}
	if t.whole >= 0 {
		p.report(source.Finding{
			Pos: p.src.Pos(offset + t.whole), Severity: source.Note, Rule: "read/whole-seconds",
			Message: "the time has no decimals and is read as whole seconds",
		})
	}
	if t.rest != "" {
		p.report(source.Finding{
			Pos: p.src.Pos(offset + t.restAt), Severity: source.Note, Rule: "read/bad-setting",
			Message: fmt.Sprintf("setting left out: SubRip has no %s after its times", quoted([]byte(t.rest))),
		})
	}
}

// noteBlank reports the first empty line inside the text [from, to).
func (p *subripParser) noteBlank(from, to int) {
	for n := from; n < to; n++ {
		if p.blank(n) {
			p.report(source.Finding{
				Pos: p.src.Pos(p.offset(n)), Severity: source.Note, Rule: "read/blank-line",
				Message: "an empty line inside the text; no times follow it, so what comes after is read as text of the same cue",
			})
			return
		}
	}
}

func (p *subripParser) line(n int) []byte {
	text, _ := p.src.Line(n)
	return text
}

func (p *subripParser) offset(n int) int {
	if n >= p.lines {
		return len(p.src.Text())
	}
	_, offset := p.src.Line(n)
	return offset
}

// blank reports whether line n is empty or white space only.
func (p *subripParser) blank(n int) bool { return len(bytes.Trim(p.line(n), asciiSpace)) == 0 }

// skipBlank returns the first line from n on that is not blank.
func (p *subripParser) skipBlank(n int) int {
	for n < p.lines && p.blank(n) {
		n++
	}
	return n
}

// trimBlank takes blank lines off both ends of the lines [from, to).
func (p *subripParser) trimBlank(from, to int) (int, int) {
	for from < to && p.blank(from) {
		from++
	}
	for from < to && p.blank(to-1) {
		to--
	}
	return from, to
}

// isClockTime reports whether text, white space trimmed, is one clock time by
// its characters.
func isClockTime(text []byte) bool {
	text = bytes.Trim(text, asciiSpace)
	return len(text) > 0 && clockRun(text) == len(text)
}

// subripTags are the elements that SubRip players draw; common practice, no
// source. Other text in angle brackets is text.
var subripTags = [...]string{"b", "i", "u", "font"}

// SubRipPlainText is SubRip text as a viewer reads it: the tags b, i, u and font
// and the position marks {\an1} to {\an9} dropped, everything else kept. SubRip
// has no character references: "&amp;" is five characters.
func SubRipPlainText(cueText string) string {
	if !strings.ContainsAny(cueText, "<{") {
		return cueText
	}
	var b strings.Builder
	for i := 0; i < len(cueText); {
		n := 0
		switch cueText[i] {
		case '<':
			n = subripTag(cueText[i:])
		case '{':
			n = positionMark(cueText[i:])
		}
		if n == 0 {
			b.WriteByte(cueText[i])
			n = 1
		}
		i += n
	}
	return b.String()
}

// maxTag is the length in bytes of the longest tag that is looked for. A font
// with every attribute players know has less.
const maxTag = 200

// subripTag is the length of the tag at the start of text, or 0. A tag ends
// before the next "<".
func subripTag(text string) int {
	end := 1 + strings.IndexAny(text[1:min(len(text), maxTag)], "<>")
	if end == 0 || text[end] == '<' {
		return 0
	}
	inside := strings.TrimRight(strings.TrimPrefix(text[1:end], "/"), " ")
	name, _, hasAttributes := strings.Cut(inside, " ")
	for _, tag := range subripTags {
		if strings.EqualFold(name, tag) && (!hasAttributes || tag == "font") {
			return end + 1
		}
	}
	return 0
}

// positionMark is the length of {\anN} at the start of text, or 0.
func positionMark(text string) int {
	const form = `{\an5}`
	if len(text) >= len(form) && text[:4] == form[:4] && '1' <= text[4] && text[4] <= '9' && text[5] == '}' {
		return len(form)
	}
	return 0
}
