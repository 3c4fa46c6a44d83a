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

// The words a column of a chapter file goes by beside those of stamps, in lower
// case. Common practice, no source.
var (
	titleWords = []string{"title", "chapter", "name", "text", "label", "step", "description"}
	levelWords = []string{"level", "depth"}
	idWords    = []string{"id", "identifier"}
)

// timeUnit is how the cells of a column of times are written.
type timeUnit int

// The units: hours, minutes and seconds; decimal seconds; frames of a timecode; and
// the time of day, which no chapter of a video has.
const (
	asClock timeUnit = iota
	asSeconds
	asTimecode
	asDayTime
)

// timeColumn parts the unit from the name of a column.
func timeColumn(name string) (bare string, unit timeUnit) {
	for _, u := range []struct {
		suffix string
		unit   timeUnit
	}{{"_s", asSeconds}, {" (s)", asSeconds}, {" [s]", asSeconds}, {" s", asSeconds}, {"_tc", asTimecode}, {" tc", asTimecode}, {"_utc", asDayTime}} {
		if bare, ok := strings.CutSuffix(name, u.suffix); ok {
			return bare, u.unit
		}
	}
	return name, asClock
}

// csvChapterColumns says which columns hold what; -1 is none.
type csvChapterColumns struct {
	start, end, title, level, id, rate int
	startUnit, endUnit                 timeUnit
}

// chapterColumns finds the separator and the columns from the first record, or
// false when that names no start. The semicolon is tried before the comma, which
// may be a decimal mark.
func chapterColumns(src *source.Source) (comma byte, c csvChapterColumns, ok bool) {
	for _, comma := range []byte{'\t', ';', ','} {
		cells, _ := newCSVScanner(src, comma, func(source.Finding) {}).next()
		c := csvChapterColumns{start: -1, end: -1, title: -1, level: -1, id: -1, rate: -1}
		for i, cell := range cells {
			c.name(i, strings.Join(strings.Fields(strings.ToLower(cell.text)), " "))
		}
		if c.start >= 0 && len(cells) > 1 {
			return comma, c, true
		}
	}
	return 0, csvChapterColumns{}, false
}

// name gives column i its meaning, the first of each.
func (c *csvChapterColumns) name(i int, name string) {
	bare, unit := timeColumn(name)
	switch {
	case name == "": // the running number of a spreadsheet's rows
	case c.start < 0 && slices.Contains(timeWords, bare):
		c.start, c.startUnit = i, unit
	case c.end < 0 && slices.Contains(endWords, bare):
		c.end, c.endUnit = i, unit
	case c.title < 0 && slices.Contains(titleWords, name):
		c.title = i
	case c.level < 0 && slices.Contains(levelWords, name):
		c.level = i
	case c.id < 0 && slices.Contains(idWords, name):
		c.id = i
	case c.rate < 0 && slices.Contains(rateWords, name):
		c.rate = i
	}
}

// readCSVChapters reads one chapter a record behind a header that names the
// columns. A column of times ends in _s for decimal seconds, with a comma too, or in
// _tc for a timecode, whose rate stands in a column rate or a comment "# rate: 25"
// ahead of the header; without either it holds times such as 1:02:03.5. Levels count
// from 0. The apostrophe that keeps a spreadsheet from taking a text for a formula is
// not part of the text. A cell of an end may be empty.
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
	r := csvChapters{src: src, csvChapterColumns: columns, report: report}
	s := newCSVScanner(src, comma, report)
	head, _ := s.next()
	r.header(head)
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
	rate     timecode.Rate // of the whole file
	chapters []timeline.Chapter
}

func (r *csvChapters) header(cells []csvCell) {
	if r.title < 0 {
		r.report(source.Finding{
			Pos: r.src.Pos(cells[0].at), Severity: source.Error, Rule: "read/no-column",
			Message: "the header names no column for the title; the chapters are read without one",
			Hint:    "the column of titles is named " + strings.Join(titleWords, ", "),
		})
	}
	for n := range r.src.Lines() {
		line, offset := r.src.Line(n)
		if offset >= cells[0].at {
			return
		}
		body, comment := strings.CutPrefix(string(line), "#")
		name, value, _ := strings.Cut(strings.Replace(body, "=", ":", 1), ":")
		if comment && slices.Contains(rateWords, strings.ToLower(strings.TrimSpace(name))) {
			rate, err := timecode.ParseRate(strings.TrimSpace(value))
			if err != nil {
				r.report(source.Finding{Pos: r.src.Pos(offset), Severity: source.Error, Rule: "read/rate", Message: err.Error()})
			}
			r.rate = rate
		}
	}
}

func (r *csvChapters) row(cells []csvCell) {
	at, title := cellOf(cells, r.start), cellOf(cells, r.title)
	if !slices.ContainsFunc(cells, func(c csvCell) bool { return c.text != "" }) {
		return // as spreadsheets leave them
	}
	rate := r.rate
	if c := cellOf(cells, r.csvChapterColumns.rate); c.text != "" && (r.startUnit == asTimecode || r.endUnit == asTimecode) {
		var err error
		if rate, err = timecode.ParseRate(c.text); err != nil {
			r.report(source.Finding{
				Pos: r.src.Pos(c.at), Severity: source.Error, Rule: "read/rate", Message: "the chapter is left out: " + err.Error(),
			})
			return
		}
	}
	from, rule, what := cellChapterTime(at.text, r.startUnit, rate)
	if what != "" {
		r.report(source.Finding{
			Pos: r.src.Pos(at.at), Severity: source.Error, Rule: rule,
			Message: "the chapter is left out, its time cannot be read: the cell " + what,
		})
		return
	}
	ch := timeline.Chapter{
		ID: unguarded(cellOf(cells, r.id).text), From: from, Title: unguarded(strings.Join(strings.Fields(title.text), " ")),
		Pos: r.src.Pos(at.at), TitleP: r.src.Pos(title.at),
	}
	if c := cellOf(cells, r.end); c.text != "" {
		r.readEnd(&ch, c, rate)
	}
	ch.Level = r.levelOf(cellOf(cells, r.level))
	noteUntitled(ch, r.report)
	r.chapters = append(r.chapters, ch)
}

func (r *csvChapters) readEnd(ch *timeline.Chapter, c csvCell, rate timecode.Rate) {
	to, rule, what := cellChapterTime(c.text, r.endUnit, rate)
	switch {
	case what != "":
		if rule == "read/bad-time" {
			rule = "read/chapter-end"
		}
		r.report(source.Finding{
			Pos: r.src.Pos(c.at), Severity: source.Error, Rule: rule,
			Message: "the chapter is read without an end: the cell " + what,
		})
	case to < ch.From:
		reportEndBeforeStart(r.src.Pos(c.at), to, ch.From, r.report)
	default:
		ch.To, ch.HasTo = to, true
	}
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

// cellChapterTime reads the time of a cell in its column's unit; what says why there
// is none, under a rule.
func cellChapterTime(text string, unit timeUnit, rate timecode.Rate) (d time.Duration, rule, what string) {
	switch unit {
	case asSeconds:
		d, what := exactSeconds(strings.Replace(text, ",", ".", 1))
		return d, "read/bad-time", what
	case asDayTime:
		return 0, "read/bad-time", "is a time of day, where a chapter lies on the clock of its video"
	case asClock:
		d, f := chapterClock(text, ".,")
		if f != nil {
			return 0, "read/bad-time", f.what
		}
		return d, "", ""
	}
	if rate.IsZero() {
		return 0, "read/rate-missing", "counts frames, and no column rate and no comment # rate: states a number of them in a second that can be read"
	}
	reading, err := timecode.ParseReading(text)
	if err == nil {
		d, err = timecode.Clock{Kind: timecode.Timecode, Rate: rate}.Time(reading)
	}
	if err != nil {
		return 0, "read/bad-time", "cannot be read as a timecode: " + err.Error()
	}
	return d, "", ""
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
