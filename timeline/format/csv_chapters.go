package format

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

func csvChaptersReader() Reader {
	return Reader{
		Name:       "chapters-csv",
		Doc:        "chapters as separated values; a header row names the columns and the unit of time, as in start_s, end_s, level, id, title",
		Extensions: []string{".csv", ".tsv"},
		Roles:      []Role{Chapters},
		Sniff: func(src *source.Source) bool {
			_, _, ok := chapterColumns(src)
			return ok
		},
		Chapters: readCSVChapters,
	}
}

// The words a column of a chapter file goes by beside those of its times, in lower
// case. Common practice, no source.
var (
	titleWords = []string{"title", "chapter", "name", "text", "label", "step", "description"}
	levelWords = []string{"level", "depth"}
	idWords    = []string{"id", "identifier"}
)

// csvChapterColumns says which columns hold what; -1 is none.
type csvChapterColumns struct {
	timeColumns
	title, level, id, rate int
	stated                 timecode.Rate // by the header; zero for nothing
}

// chapterColumns finds the separator and the columns from the first record, or
// false when that names no start. The semicolon is tried before the comma, which
// may be a decimal mark.
func chapterColumns(src *source.Source) (comma byte, c csvChapterColumns, ok bool) {
	for _, comma := range []byte{'\t', ';', ','} {
		cells, _ := newCSVScanner(src, comma, func(source.Finding) {}).next()
		names := columnNames(cells)
		c := csvChapterColumns{
			timeColumns: columnsOfTimes(names), stated: headerRate(names), rate: columnCalled(names, rateWords),
			title: columnCalled(names, titleWords), level: columnCalled(names, levelWords), id: columnCalled(names, idWords),
		}
		if c.time >= 0 && len(cells) > 1 {
			return comma, c, true
		}
	}
	return 0, csvChapterColumns{}, false
}

// readCSVChapters reads one chapter a record behind a header that names the
// columns. The units of times are those of stamps but for dates, which no chapter of a
// video has; so are the places where a rate may stand. Levels count from 0. The
// apostrophe that keeps a spreadsheet from taking a text for a formula is not part of
// the text. A cell of an end may be empty.
func readCSVChapters(src *source.Source, report source.Report) []timeline.Chapter {
	comma, columns, ok := chapterColumns(src)
	if !ok {
		if len(src.Text()) > 0 {
			report(source.Finding{
				Pos: src.Pos(0), Severity: source.Error, Rule: "read/no-column",
				Message: "the first row names no column for the start; nothing of the file is read",
				Hint:    "a first row such as start_s,end_s,title or start;title names the columns",
			})
		}
		return nil
	}
	r := csvChapters{src: src, csvChapterColumns: columns, report: report, rates: csvRates{src: src, report: report, column: columns.rate}}
	s := newCSVScanner(src, comma, report)
	head, _ := s.next()
	if !r.header(head) {
		return nil
	}
	for {
		cells, ok := s.next()
		if !ok {
			break
		}
		r.row(cells)
	}
	reportNesting(r.chapters, commonPractice, report)
	return r.chapters
}

// csvChapters gathers the chapters of one file.
type csvChapters struct {
	csvChapterColumns
	src      *source.Source
	report   source.Report
	rates    csvRates
	chapters []timeline.Chapter
}

// header reports what the columns lack, and false when no chapter can be read.
func (r *csvChapters) header(cells []csvCell) bool {
	if r.title < 0 {
		r.report(source.Finding{
			Pos: r.src.Pos(cells[0].at), Severity: source.Error, Rule: "read/no-column",
			Message: "the header names no column for the title; the chapters are read without one",
			Hint:    "the column of titles is named " + strings.Join(titleWords, ", "),
		})
	}
	if r.end >= 0 && r.endUnit == unitUTC {
		r.refuse(cells[r.end], source.Caution, "ends", "the ends are not read")
		r.end = -1
	}
	if r.unit == unitUTC {
		r.refuse(cells[r.time], source.Error, "starts", "nothing of the file is read")
		return false
	}
	r.noteSeveral(r.src, cells, r.report)
	r.rates.rate = remarkedRate(r.src, cells[0].at, r.report)
	if !r.stated.IsZero() {
		r.rates.rate = r.stated
	}
	return true
}

// refuse reports a column in a unit that no chapter has.
func (r *csvChapters) refuse(c csvCell, severity source.Severity, what, then string) {
	r.report(source.Finding{
		Pos: r.src.Pos(c.at), Severity: severity, Rule: "read/column-unit",
		Message: fmt.Sprintf("this column gives the %s in %s, where a chapter lies on the clock of its video; %s", what, unitNames[unitUTC], then),
	})
}

func (r *csvChapters) row(cells []csvCell) {
	at, title := cellOf(cells, r.time), cellOf(cells, r.title)
	if !slices.ContainsFunc(cells, func(c csvCell) bool { return c.text != "" }) {
		return // as spreadsheets leave them
	}
	rate := r.rates.of(cells)
	span, f := cellChapterTime(at, r.unit, rate)
	if f != nil {
		r.report(source.Finding{
			Pos: r.src.Pos(at.at), Severity: source.Error, Rule: f.rule,
			Message: "the chapter is left out, its time cannot be read: the cell " + f.what,
		})
		return
	}
	ch := timeline.Chapter{
		ID: unguarded(cellOf(cells, r.id).text), From: span.from, Title: unguarded(strings.Join(strings.Fields(title.text), " ")),
		Pos: r.src.Pos(at.at), TitleP: r.src.Pos(title.at),
	}
	if c := cellOf(cells, r.end); c.text != "" && r.end >= 0 {
		r.readEnd(&ch, c, rate)
	} else if span.hasTo {
		r.setEnd(&ch, at, span.to)
	}
	ch.Level = r.levelOf(cellOf(cells, r.level))
	noteUntitled(ch, r.report)
	r.chapters = append(r.chapters, ch)
}

func (r *csvChapters) readEnd(ch *timeline.Chapter, c csvCell, rate timecode.Rate) {
	span, f := cellChapterTime(c, r.endUnit, rate)
	if f == nil {
		r.setEnd(ch, c, span.from)
		return
	}
	if f.rule == "read/bad-time" {
		f.rule = "read/chapter-end"
	}
	r.report(source.Finding{
		Pos: r.src.Pos(c.at), Severity: source.Error, Rule: f.rule,
		Message: "the chapter is read without an end: the cell " + f.what,
	})
}

func (r *csvChapters) setEnd(ch *timeline.Chapter, c csvCell, to time.Duration) {
	if to < ch.From {
		reportEndBeforeStart(r.src.Pos(c.at), to, ch.From, r.report)
		return
	}
	ch.To, ch.HasTo = to, true
}

// mostLevels bounds how deep chapters lie in each other.
const mostLevels = deepestElement

// levelOf reads a level, which is at most one below that of the chapter ahead.
func (r *csvChapters) levelOf(c csvCell) int {
	below := 0
	if n := len(r.chapters); n > 0 {
		below = min(r.chapters[n-1].Level+1, mostLevels)
	}
	level, err := strconv.Atoi(c.text)
	if c.text == "" || err == nil && 0 <= level && level <= below {
		return level
	}
	taken := 0
	if err == nil && level > below {
		taken = below
	}
	r.report(source.Finding{
		Pos: r.src.Pos(c.at), Severity: source.Caution, Rule: "read/value",
		Message: fmt.Sprintf("the level is %s; here it is a whole number from 0 to %d, one below the chapter ahead, and %d is taken", quoted([]byte(c.text)), below, taken),
	})
	return taken
}

// chapterSpan is what the cell of a chapter holds: a time, or two.
type chapterSpan struct {
	from, to time.Duration
	hasTo    bool
}

// chapterFault is why a cell holds no time of a chapter, under a rule.
type chapterFault struct{ rule, what string }

// cellChapterTime reads the time of a cell in its column's unit, on the clock of the
// video.
func cellChapterTime(c csvCell, unit csvUnit, rate timecode.Rate) (chapterSpan, *chapterFault) {
	noRate := &chapterFault{"read/rate-missing", "counts frames, and no column rate, no header and no remark # rate: states a number of them in a second that can be read"}
	if unit == unitFrames && rate.IsZero() {
		return chapterSpan{}, noRate
	}
	at, end, err := cellTime(c, unit, rate)
	if err == nil && rate.IsZero() && len(at.Fields) == 4 {
		return chapterSpan{}, noRate
	}
	var span chapterSpan
	if err == nil {
		span.from, err = videoTime(at, unit, rate)
	}
	if err == nil && end != nil {
		span.hasTo = true
		span.to, err = videoTime(*end, unit, rate)
	}
	if err != nil {
		return chapterSpan{}, &chapterFault{"read/bad-time", "is " + quoted([]byte(c.text)) + ": " + err.Error()}
	}
	return span, nil
}

// videoTime is a reading as time from the start of the video, or from 00:00:00:00.
func videoTime(r timecode.Reading, unit csvUnit, rate timecode.Rate) (time.Duration, error) {
	kind := timecode.Elapsed
	if unit == unitTimecode || len(r.Fields) == 4 {
		kind = timecode.Timecode
	}
	return timecode.Clock{Kind: kind, Rate: rate}.Time(r)
}

// cellOf returns the cell of a column; where the row has none it is an empty one at
// its end.
func cellOf(cells []csvCell, column int) csvCell {
	if 0 <= column && column < len(cells) {
		return cells[column]
	}
	last := cells[len(cells)-1]
	return csvCell{at: last.at + len(last.text)}
}

// unguarded is text without the apostrophe in front of a sign that a spreadsheet
// would take for the start of a formula.
func unguarded(text string) string {
	rest, guarded := strings.CutPrefix(text, "'")
	if sign := strings.TrimLeft(rest, "'"); guarded && sign != "" && strings.IndexByte("=+-@", sign[0]) >= 0 {
		return rest
	}
	return text
}
