package format

import (
	"bytes"
	"fmt"
	"strings"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

func csvStampsReader() Reader {
	return Reader{
		Name:       "stamps-csv",
		Doc:        "list of times as comma- or semicolon-separated values with columns time, end and text, their units in their names, and a frame rate",
		Extensions: []string{".csv", ".tsv"},
		Roles:      []Role{Recording},
		Sniff:      func(src *source.Source) bool { return sniffCSV(src) != nil },
		Stamps:     readStampsCSV,
	}
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
		plain := func(c csvCell) bool {
			_, _, err := cellTime(c, unitClock, timecode.Rate{})
			return err == nil
		}
		if c := headerColumns(cells); c.time >= 0 && !plain(cells[0]) {
			c.comma = comma
			return &c
		}
		if plain(cells[0]) {
			c := plainColumns(comma)
			if len(cells) > 2 && plain(cells[1]) {
				c.end, c.text = 1, 2
			}
			return &c
		}
	}
	return nil
}

// plainColumns are those of a file without a header: time and text.
func plainColumns(comma byte) csvColumns {
	return csvColumns{comma: comma, timeColumns: timeColumns{time: 0, end: -1, unit: unitClock, endUnit: unitClock}, text: 1, rate: -1}
}

// readStampsCSV reads one stamp a record. The first record is a header when one
// of its cells is a word for the time column; without a header the first two
// columns are time and text, or the first three time, end and text when the
// second cell of the first record is a time. The name of a column may end in the
// unit of its cells: s, ms, frame, tc or utc. Frames count at the rate that a column,
// the header or a remark ahead of it states, and are not read without one. Records
// that start with # are passed over but for such a rate. A file whose lines start with
// times but have no columns is read as a plain list.
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
		plain := plainColumns(',')
		cols = &plain
		if text := src.Text(); bytes.Count(text, []byte(";")) > bytes.Count(text, []byte(",")) {
			cols.comma = ';'
		}
	}
	s := newCSVScanner(src, cols.comma, report)
	s.skipRemarks()
	if rate := remarkedRate(src, s.i, report); cols.stated.IsZero() {
		cols.stated = rate
	}
	r := csvStamps{src: src, cols: *cols, report: report, rates: csvRates{src: src, report: report, column: cols.rate, rate: cols.stated}}
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
	noRate bool // that frames cannot be counted is said
	rates  csvRates
	stamps []timeline.Stamp
}

func (r *csvStamps) header(cells []csvCell) {
	c := &r.cols
	if c.text < 0 {
		r.report(source.Finding{
			Pos: r.src.Pos(cells[0].at), Severity: source.Error, Rule: "read/no-column",
			Message: "the header names no column for the text; the stamps are read without one",
			Hint:    "the text column is named " + strings.Join(textWords, ", "),
		})
	}
	c.noteSeveral(r.src, cells, r.report)
	if c.end >= 0 && !c.fits() {
		r.report(source.Finding{
			Pos: r.src.Pos(cells[c.end].at), Severity: source.Caution, Rule: "read/column-unit",
			Message: fmt.Sprintf("this column gives the ends in %s, and the times are in %s; the ends are not read", unitNames[c.endUnit], unitNames[c.unit]),
		})
		c.end = -1
	}
}

func (r *csvStamps) row(cells []csvCell) {
	text := cellOf(cells, r.cols.text)
	at := cellOf(cells, r.cols.time)
	if at.text == "" && text.text == "" && cellOf(cells, r.cols.end).text == "" {
		return // a row of empty cells, as spreadsheets leave them
	}
	rate := r.rates.of(cells)
	if rate.IsZero() && (r.cols.unit == unitFrames || r.cols.endUnit == unitFrames && r.cols.end >= 0) && !r.noRate {
		r.noRate = true
		r.report(source.Finding{
			Pos: r.src.Pos(at.at), Severity: source.Error, Rule: "time/no-rate",
			Message: "these times count frames, and the file does not say how many make a second",
			Hint:    "a column rate, a header such as start_frame@25, or a line # rate: 25 states it",
		})
	}
	if rate.IsZero() && r.cols.unit == unitFrames {
		return
	}
	reading, end, err := cellTime(at, r.cols.unit, rate)
	if err != nil {
		reportNoTime(r.src.Pos(at.at), err, "cell", r.report)
		return
	}
	if c := cellOf(cells, r.cols.end); c.text != "" && (r.cols.endUnit != unitFrames || !rate.IsZero()) {
		e, _, err := cellTime(c, r.cols.endUnit, rate)
		if err != nil {
			reportNoTime(r.src.Pos(c.at), err, "end cell", r.report)
		} else {
			end = &e
		}
	}
	if !r.cols.header && !r.extra {
		r.noteExtra(cells)
	}
	s := stamp(r.src, reading, end, oneLine(text.text), at.at, text.at)
	s.Rate = rate
	r.stamps = append(r.stamps, s)
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

// oneLine joins the lines of a quoted cell.
func oneLine(text string) string {
	if strings.ContainsAny(text, "\r\n") {
		return strings.Join(strings.Fields(text), " ")
	}
	return text
}
