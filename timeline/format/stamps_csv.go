package format

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"time"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

func csvStampsReader() Reader {
	return Reader{
		Name:       "stamps-csv",
		Doc:        "list of times as comma- or semicolon-separated values with columns time, end and text",
		Extensions: []string{".csv", ".tsv"},
		Roles:      []Role{Recording},
		Sniff:      func(src *source.Source) bool { return sniffCSV(src) != nil },
		Stamps:     readStampsCSV,
	}
}

// The words a column goes by, in lower case. Common practice, no source.
var (
	timeWords = []string{"time", "start", "from", "begin", "at", "in", "timestamp", "start time"}
	endWords  = []string{"end", "to", "until", "stop", "out", "end time"}
	textWords = []string{"text", "note", "notes", "label", "event", "step", "title", "name", "comment", "remark", "description"}
)

// csvColumns says which columns hold what; -1 is none.
type csvColumns struct {
	comma           byte
	header          bool
	time, end, text int
	inSeconds       bool // the time and end cells are plain numbers of seconds
}

// sniffCSV finds the separator and the columns from the first record, or nil
// when it is neither a header nor a row that starts with a time. The semicolon is
// tried first, since a comma may be the decimal mark of a time.
func sniffCSV(src *source.Source) *csvColumns {
	for _, comma := range []byte{'\t', ';', ','} {
		s := newCSVScanner(src, comma, func(source.Finding) {})
		cells, ok := s.next()
		if !ok || len(cells) < 2 {
			continue
		}
		if c := headerColumns(cells); c.time >= 0 {
			c.comma = comma
			return &c
		}
		if _, _, err := cellTime(cells[0], false); err == nil {
			c := csvColumns{comma: comma, time: 0, end: -1, text: 1}
			if _, _, err := cellTime(cells[1], false); err == nil && len(cells) > 2 {
				c.end, c.text = 1, 2
			}
			return &c
		}
	}
	return nil
}

// headerColumns reads the column names; time is -1 when the cells are no header.
func headerColumns(cells []csvCell) csvColumns {
	c := csvColumns{header: true, time: -1, end: -1, text: -1}
	for i, cell := range cells {
		name := strings.Join(strings.Fields(strings.ToLower(cell.text)), " ")
		bare, seconds := name, false
		for _, unit := range []string{"_s", " (s)", " [s]", " s"} {
			if b, ok := strings.CutSuffix(name, unit); ok {
				bare, seconds = b, true
				break
			}
		}
		switch {
		case c.time < 0 && slices.Contains(timeWords, bare):
			c.time, c.inSeconds = i, seconds
		case c.end < 0 && slices.Contains(endWords, bare):
			c.end = i
		case c.text < 0 && slices.Contains(textWords, name):
			c.text = i
		}
	}
	return c
}

// readStampsCSV reads one stamp a record. The first record is a header when one
// of its cells is a word for the time column; without a header the first two
// columns are time and text, or the first three time, end and text when the
// second cell of the first record is a time. Records that start with # are
// passed over. A file whose lines start with times but have no columns is read as a
// plain list.
func readStampsCSV(src *source.Source, report source.Report) []timeline.Stamp {
	cols := sniffCSV(src)
	switch {
	case cols != nil:
	case startsWithTimes(src):
		report(source.Finding{
			Pos: src.Pos(0), Severity: source.Note, Rule: "read/wrong-extension",
			Message: "the first row has no column that is a time; the file is read as a plain list with a time at the start of each line",
		})
		return readStamps(src, report)
	default:
		cols = &csvColumns{comma: ',', time: 0, end: -1, text: 1}
		if text := src.Text(); bytes.Count(text, []byte(";")) > bytes.Count(text, []byte(",")) {
			cols.comma = ';'
		}
	}
	r := csvStamps{src: src, cols: *cols, report: report}
	s := newCSVScanner(src, cols.comma, report)
	for {
		cells, ok := s.next()
		if !ok {
			return r.stamps
		}
		if cols.header && !r.headed {
			r.headed = true
			r.header(cells)
			continue
		}
		r.row(cells)
	}
}

// csvStamps gathers the stamps of one file.
type csvStamps struct {
	src    *source.Source
	cols   csvColumns
	report source.Report
	headed bool
	extra  bool // the note on further columns is given
	stamps []timeline.Stamp
}

func (r *csvStamps) header(cells []csvCell) {
	if r.cols.text >= 0 {
		return
	}
	r.report(source.Finding{
		Pos: r.src.Pos(cells[0].at), Severity: source.Error, Rule: "read/no-column",
		Message: "the header names no column for the text; the stamps are read without one",
		Hint:    "the text column is named " + strings.Join(textWords, ", "),
	})
}

func (r *csvStamps) row(cells []csvCell) {
	text := cellOf(cells, r.cols.text)
	at := cellOf(cells, r.cols.time)
	if at.text == "" && text.text == "" && cellOf(cells, r.cols.end).text == "" {
		return // a row of empty cells, as spreadsheets leave them
	}
	reading, end, err := cellTime(at, r.cols.inSeconds)
	if err != nil {
		reportNoTime(r.src.Pos(at.at), err, "cell", r.report)
		return
	}
	if c := cellOf(cells, r.cols.end); c.text != "" {
		e, _, err := cellTime(c, r.cols.inSeconds)
		if err != nil {
			reportNoTime(r.src.Pos(c.at), err, "end cell", r.report)
		} else {
			end = &e
		}
	}
	if !r.cols.header && !r.extra {
		r.noteExtra(cells)
	}
	r.stamps = append(r.stamps, stamp(r.src, reading, end, oneLine(text.text), at.at, text.at))
}

// noteExtra says once that a file without a header has columns that are not
// read.
func (r *csvStamps) noteExtra(cells []csvCell) {
	for _, c := range cells[min(len(cells), r.cols.text+1):] {
		if c.text == "" {
			continue
		}
		r.extra = true
		r.report(source.Finding{
			Pos: r.src.Pos(c.at), Severity: source.Caution, Rule: "read/extra-column",
			Message: fmt.Sprintf("the file has no header and more than %d columns; the further columns are not read", r.cols.text+1),
			Hint:    "a first row with the words time, end and text names the columns",
		})
		return
	}
}

// cellTime reads a cell that is one time or a span of two.
func cellTime(c csvCell, inSeconds bool) (timecode.Reading, *timecode.Reading, error) {
	if inSeconds {
		return secondsReading(c.text)
	}
	at, end, rest, _, err := timecode.Cut(c.text)
	if err == nil && rest != "" {
		err = fmt.Errorf("the cell holds more than a time")
	}
	return at, end, err
}

// secondsReading is a number of seconds as a reading of minutes and seconds.
func secondsReading(text string) (timecode.Reading, *timecode.Reading, error) {
	d, err := timecode.ParseClockDuration(text)
	if err != nil {
		return timecode.Reading{}, nil, timecode.ErrNoTime
	}
	return timecode.Reading{
		Text:   text,
		Fields: []int{int(d / time.Minute), int(d % time.Minute / time.Second)},
		Frac:   d % time.Second,
	}, nil, nil
}

// oneLine joins the lines of a quoted cell.
func oneLine(text string) string {
	if strings.ContainsAny(text, "\r\n") {
		return strings.Join(strings.Fields(text), " ")
	}
	return text
}
