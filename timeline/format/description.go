package format

import (
	"bytes"
	"errors"
	"fmt"
	"time"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

func descriptionReader() Reader {
	return Reader{
		Name:       "description",
		Doc:        "plain text that has chapters as lines of a time and a title, as under a video",
		Extensions: []string{".txt", ".text", ".md"},
		Roles:      []Role{Chapters},
		Sniff:      startsWithTimes,
		Chapters:   readDescription,
	}
}

const commonPractice = "common practice, no source"

// The habits of chapter lists in plain text. Common practice, no source.
const (
	fewestEntries = 3
	shortestEntry = 10 * time.Second
)

// readDescription takes every line that starts with elapsed time for a chapter
// and every other line for prose. A line that starts with a time of day is prose. One
// that holds a time behind its title is noted where lines next to it are chapters.
func readDescription(src *source.Source, report source.Report) []timeline.Chapter {
	var chapters []timeline.Chapter
	clock := timecode.Clock{Kind: timecode.Elapsed}
	faults := false
	var inside latent
	var signs skipped
	for n := range src.Lines() {
		line, offset := src.Line(n)
		at, end, title, titleAt, err := timecode.Cut(string(line))
		if errors.Is(err, timecode.ErrNoTime) || err == nil && (at.Meridiem != 0 || at.Date != "") {
			inside.line(src, line, offset, err != nil)
			continue
		}
		inside.listed = true
		ch := timeline.Chapter{Title: title, Pos: src.Pos(offset + at.Offset), TitleP: src.Pos(offset + titleAt)}
		if err == nil {
			ch.From, err = clock.Time(at)
		}
		if err != nil {
			faults = true
			reportBadTime(ch.Pos, err.Error(), report)
			continue
		}
		signs.addSign(src, offset, at.Offset)
		if end != nil {
			setEnd(&ch, clock, *end, src.Pos(offset+end.Offset), report)
		}
		if title == "" {
			report(source.Finding{Pos: ch.TitleP, Severity: source.Note, Rule: "read/no-title", Message: "the chapter has no title"})
		}
		chapters = append(chapters, ch)
	}
	signs.saySigns(report)
	inside.end()
	inside.places.say(report, "read/chapter-list",
		"a line of the list has its time behind the title, where one in front makes a chapter; it is read as prose",
		"%d lines of the list have their time behind the title, where one in front makes a chapter; they are read as prose")
	if len(chapters) == 0 && !faults && len(src.Text()) > 0 {
		report(source.Finding{
			Pos: src.Whole(), Severity: source.Error, Rule: "read/no-chapters",
			Message: "no line starts with a time such as 0:00 or 1:02:03, so the text holds no chapter",
		})
	}
	reportNesting(chapters, "", report)
	noteListHabits(chapters, report)
	return chapters
}

// latent gathers the lines that hold a time elsewhere than in front, of paragraphs in
// which a line is a chapter.
type latent struct {
	places  skipped
	pending skipped // of the paragraph at hand
	listed  bool    // a line of it is a chapter
}

// line takes in a line that is no chapter; one without anything ends the paragraph.
func (l *latent) line(src *source.Source, line []byte, offset int, timeless bool) {
	if len(bytes.TrimSpace(line)) == 0 {
		l.end()
	} else if i := innerTime(line); i >= 0 && timeless {
		l.pending.add(src.Pos(offset + i))
	}
}

func (l *latent) end() {
	if l.listed {
		l.places = append(l.places, l.pending...)
	}
	l.pending, l.listed = nil, false
}

// longestTime bounds how much of a line is looked at for one time, with am or pm and a
// second time behind it.
const longestTime = 40

// innerTime is the offset of the first elapsed time in a line, or -1.
func innerTime(line []byte) int {
	for i := 0; i < len(line); i++ {
		if !isDigit(line[i]) {
			continue
		}
		at := i
		for i < len(line) && isDigit(line[i]) {
			i++
		}
		if i-at > 2 || i+2 >= len(line) || line[i] != ':' || !isDigit(line[i+1]) || !isDigit(line[i+2]) {
			continue
		}
		if r, _, _, _, err := timecode.Cut(string(line[at:min(len(line), at+longestTime)])); err == nil && r.Meridiem == 0 && r.Date == "" {
			return at
		}
	}
	return -1
}

// setEnd gives a chapter the end its line states, if that is after its start.
func setEnd(ch *timeline.Chapter, clock timecode.Clock, end timecode.Reading, pos source.Pos, report source.Report) {
	to, err := clock.Time(end)
	if err != nil {
		report(source.Finding{
			Pos: pos, Severity: source.Error, Rule: "read/chapter-end",
			Message: "the chapter is read without an end: " + err.Error(),
		})
		return
	}
	if to < ch.From {
		reportEndBeforeStart(pos, to, ch.From, report)
		return
	}
	ch.To, ch.HasTo = to, true
}

func reportBadTime(pos source.Pos, what string, report source.Report) {
	report(source.Finding{
		Pos: pos, Severity: source.Error, Rule: "read/bad-time",
		Message: "the chapter is left out, its time cannot be read: " + what,
	})
}

func reportEndBeforeStart(pos source.Pos, to, from time.Duration, report source.Report) {
	report(source.Finding{
		Pos: pos, Severity: source.Error, Rule: "read/chapter-end",
		Message: fmt.Sprintf("the chapter ends at %s, before its start %s; it is read without an end", clockText(to), clockText(from)),
	})
}

// reportChapterOrder reports every chapter that starts before or with the one
// written ahead of it.
func reportChapterOrder(chapters []timeline.Chapter, report source.Report) {
	for i := 1; i < len(chapters); i++ {
		a, b := chapters[i-1], chapters[i]
		if b.From > a.From {
			continue
		}
		how := "with"
		if b.From < a.From {
			how = "before"
		}
		report(source.Finding{
			Pos: b.Pos, Severity: source.Caution, Rule: "read/chapter-order",
			Message: fmt.Sprintf("the chapter starts at %s, %s the chapter written ahead of it at %s", clockText(b.From), how, clockText(a.From)),
			Related: []source.Related{{Pos: a.Pos, Message: "the chapter written ahead of it"}},
		})
	}
}

// noteListHabits notes where a list differs from what places that read such
// lists commonly ask for; a list that differs is often passed over without a word.
func noteListHabits(chapters []timeline.Chapter, report source.Report) {
	if len(chapters) == 0 {
		return
	}
	note := func(pos source.Pos, format string, args ...any) {
		report(source.Finding{
			Pos: pos, Severity: source.Note, Rule: "read/chapter-list",
			Message: fmt.Sprintf(format, args...), Source: commonPractice, Evidence: "common-practice",
		})
	}
	if first := chapters[0]; first.From != 0 {
		note(first.Pos, "the first chapter starts at %s; chapter lists in plain text commonly start at 0:00", clockText(first.From))
	}
	if n := len(chapters); n < fewestEntries {
		note(chapters[0].Pos, "the number of chapters is %d; chapter lists in plain text commonly have %d or more", n, fewestEntries)
	}
	short, first := 0, 0
	for i := 1; i < len(chapters); i++ {
		if long := chapters[i].From - chapters[i-1].From; long > 0 && long < shortestEntry {
			if short++; short == 1 {
				first = i - 1
			}
		}
	}
	if short > 0 {
		note(chapters[first].Pos, "%d of %d chapters last less than %s, the first one here; in chapter lists in plain text that or more is common", short, len(chapters), clockText(shortestEntry))
	}
}
