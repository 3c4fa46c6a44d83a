package format

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"

	"sideport/timeline"
	"sideport/timeline/source"
)

const simpleSource = "mkvmerge manual, the simple chapter format; what is accepted beyond it was tried with mkvmerge 74.0"

func simpleReader() Reader {
	return Reader{
		Name:       "simple",
		Doc:        "OGM-style chapters, CHAPTER01=time and CHAPTER01NAME=title on two lines",
		Extensions: []string{".txt", ".text"},
		Roles:      []Role{Chapters},
		Sniff:      looksSimple,
		Signed:     true,
		Chapters:   readSimple,
	}
}

// simpleLine parts CHAPTER, its number, NAME or nothing, and the value.
var simpleLine = regexp.MustCompile(`^(?i:CHAPTER)(\d{1,9})((?i:NAME))?[ \t]*=`)

// looksSimple reports whether the first line with anything on it is the time of a
// chapter.
func looksSimple(src *source.Source) bool {
	for n := range src.Lines() {
		if line, _ := src.Line(n); len(bytes.TrimSpace(line)) > 0 {
			m := simpleLine.FindSubmatch(bytes.TrimLeft(line, asciiSpace))
			return m != nil && len(m[2]) == 0
		}
	}
	return false
}

// readSimple reads the chapters of an OGM-style list. A name belongs to the
// latest time of its number, whichever lines stand between them. There are no ends
// and no levels.
func readSimple(src *source.Source, report source.Report) []timeline.Chapter {
	noteForeignExtension("simple", src, report)
	r := simple{src: src, report: report, at: map[string]int{}}
	for n := range src.Lines() {
		line, offset := src.Line(n)
		lead := skipSpace(line, 0)
		if body := line[lead:]; len(body) > 0 {
			r.line(string(body), offset+lead)
		}
	}
	if len(r.chapters) == 0 && !r.faults && len(src.Text()) > 0 {
		report(source.Finding{
			Pos: src.Whole(), Severity: source.Error, Rule: "read/no-chapters", Source: simpleSource,
			Message: "no line is the time of a chapter, such as CHAPTER01=00:00:41.000",
		})
	}
	for _, c := range r.chapters {
		noteUntitled(c, report)
	}
	reportChapterOrder(r.chapters, report)
	return r.chapters
}

// simple gathers the chapters of one file.
type simple struct {
	src      *source.Source
	report   source.Report
	chapters []timeline.Chapter
	at       map[string]int // index of the chapter of a number; -1 where its time was not read
	faults   bool
}

// line reads one line without space in front, which starts at offset.
func (r *simple) line(line string, offset int) {
	m := simpleLine.FindStringSubmatchIndex(line)
	if m == nil {
		r.bad(offset, "the line is neither CHAPTERnn= and a time nor CHAPTERnnNAME= and a title; it is passed over")
		return
	}
	number := strings.TrimLeft(line[m[2]:m[3]], "0")
	value := strings.TrimRight(line[m[1]:], asciiSpace)
	at := offset + m[1]
	if m[4] < 0 {
		r.time(number, value, at)
		return
	}
	i, known := r.at[number]
	switch {
	case !known:
		r.bad(offset, "the title stands ahead of any time of its number; it is passed over")
	case i >= 0 && r.chapters[i].Title != "":
		r.bad(offset, "the chapter has a title already; the first is read")
	case i >= 0:
		title := strings.Join(strings.Fields(value), " ")
		r.chapters[i].Title = title
		r.chapters[i].TitleP = r.src.Pos(at + skipSpace([]byte(value), 0))
	}
}

func (r *simple) time(number, value string, at int) {
	if _, twice := r.at[number]; twice {
		r.report(source.Finding{
			Pos: r.src.Pos(at), Severity: source.Caution, Rule: "read/duplicate-key", Source: simpleSource,
			Message: "the number of the chapter was used before; it is read as a chapter of its own",
		})
	}
	from, f := chapterClock(value, ".,")
	if f != nil {
		r.faults, r.at[number] = true, -1
		reportBadTime(r.src.Pos(at+f.at), "it "+f.what, r.report)
		return
	}
	pos := r.src.Pos(at + skipSpace([]byte(value), 0))
	if !strings.ContainsAny(value, ".,") {
		r.report(source.Finding{
			Pos: pos, Severity: source.Note, Rule: "read/whole-seconds", Source: simpleSource,
			Message: fmt.Sprintf("the time %s has no decimals; it is read as whole seconds, where mkvmerge reads none", quoted([]byte(value))),
		})
	}
	r.at[number] = len(r.chapters)
	r.chapters = append(r.chapters, timeline.Chapter{From: from, Pos: pos, TitleP: pos})
}

func (r *simple) bad(offset int, what string) {
	r.report(source.Finding{Pos: r.src.Pos(offset), Severity: source.Caution, Rule: "read/bad-line", Source: simpleSource, Message: what})
}
