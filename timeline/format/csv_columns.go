package format

import (
	"slices"
	"strings"

	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// The words a column goes by in any table, in lower case, those of times without the
// word for their unit. Common practice, no source.
var (
	timeWords   = []string{"", "time", "start", "from", "begin", "at", "in", "timestamp", "start time", "position"}
	endWords    = []string{"end", "to", "until", "stop", "out", "end time"}
	lengthWords = []string{"duration", "length", "dur", "lasts"}
	rateWords   = []string{"rate", "fps", "frame rate", "framerate", "frames per second"}
)

// csvUnit is how the cells of a column of times are written.
type csvUnit int

// The units, in the order they are preferred when a file has the same time in
// several columns: what is clear by itself comes first.
const (
	unitSeconds csvUnit = iota
	unitMilliseconds
	unitClock    // as a list of times has it
	unitFrames   // a number of frames from the start of the recording
	unitTimecode // hours, minutes, seconds and frames
	unitUTC      // RFC 3339
)

// unitWords are the words that name a unit in a column's name. Common practice, no
// source.
var unitWords = map[string]csvUnit{
	"s": unitSeconds, "sec": unitSeconds, "secs": unitSeconds, "second": unitSeconds, "seconds": unitSeconds,
	"ms": unitMilliseconds, "msec": unitMilliseconds, "milliseconds": unitMilliseconds,
	"tc": unitTimecode, "timecode": unitTimecode, "smpte": unitTimecode,
	"frame": unitFrames, "frames": unitFrames,
	"utc": unitUTC, "iso": unitUTC, "rfc3339": unitUTC,
}

var unitNames = [...]string{
	unitSeconds: "seconds", unitMilliseconds: "milliseconds", unitClock: "clock times", unitFrames: "frames", unitTimecode: "timecode", unitUTC: "dates with times",
}

// elapsed reports whether cells of a unit become time from the start of the
// recording, whatever they are written in.
func (u csvUnit) elapsed() bool {
	return u == unitSeconds || u == unitMilliseconds || u == unitFrames
}

// columnName is a cell of the header: its words, the unit they name, and a rate.
type columnName struct {
	full, bare string
	unit       csvUnit
	rate       timecode.Rate
}

// readColumnName reads "start_s", "Start (s)", "tc in", "start_frame@25" or
// "Timecode [29.97 drop]".
func readColumnName(text string) columnName {
	name := strings.ToLower(text)
	c := columnName{unit: unitClock}
	if at := strings.IndexAny(name, "@(["); at >= 0 {
		inner := strings.Trim(name[at:], "@()[] ")
		if rate, err := readRate(inner); err == nil {
			c.rate, name = rate, name[:at]
		}
	}
	words := strings.FieldsFunc(name, func(c rune) bool { return strings.ContainsRune(" \t_-()[]@", c) })
	c.full = strings.Join(words, " ")
	if slices.Contains(rateWords, c.full) {
		return c
	}
	for _, i := range []int{len(words) - 1, 0} {
		if i < 0 || i >= len(words) {
			continue
		}
		if unit, ok := unitWords[words[i]]; ok {
			c.unit, words = unit, slices.Delete(slices.Clone(words), i, i+1)
			break
		}
	}
	c.bare = strings.Join(words, " ")
	if last := len(words) - 1; c.unit == unitFrames && last >= 0 && (words[last] == "number" || words[last] == "no") {
		c.bare = strings.Join(words[:last], " ")
	}
	return c
}

// columnNames reads the cells of a header.
func columnNames(cells []csvCell) []columnName {
	var names []columnName
	for _, cell := range cells {
		names = append(names, readColumnName(cell.text))
	}
	return names
}

// columnCalled is the first column that goes by one of words, or -1.
func columnCalled(names []columnName, words []string) int {
	return slices.IndexFunc(names, func(n columnName) bool { return slices.Contains(words, n.full) })
}

// headerRate is the first rate that a header states, or zero.
func headerRate(names []columnName) timecode.Rate {
	for _, n := range names {
		if !n.rate.IsZero() {
			return n.rate
		}
	}
	return timecode.Rate{}
}

// timeColumns says which columns hold the times and their ends; -1 is none.
type timeColumns struct {
	time, end     int
	unit, endUnit csvUnit
	several       bool // the time stands in more columns than the one read
}

// columnsOfTimes chooses the columns of times and of ends: of several times that whose
// unit is clearest, of several ends that which is written as the time is.
func columnsOfTimes(names []columnName) timeColumns {
	c := timeColumns{time: -1, end: -1}
	for i, n := range names {
		if n.full != "" && !slices.Contains(rateWords, n.full) && slices.Contains(timeWords, n.bare) {
			c.several = c.several || c.time >= 0
			if c.time < 0 || n.unit < c.unit {
				c.time, c.unit = i, n.unit
			}
		}
	}
	for i, n := range names {
		if slices.Contains(endWords, n.bare) && (c.end < 0 || n.unit == c.unit && c.endUnit != c.unit) {
			c.end, c.endUnit = i, n.unit
		}
	}
	return c
}

// fits reports whether an end in its unit can be told from a time in its own. Clock
// times may be elapsed or not: that shows when the list is read as a whole.
func (c timeColumns) fits() bool {
	return c.unit == c.endUnit || c.unit.elapsed() && c.endUnit.elapsed() ||
		c.unit == unitClock && c.endUnit.elapsed() || c.endUnit == unitClock && c.unit.elapsed()
}

// noteSeveral says which of several columns of times is read, and that a column of
// lengths is not; cells are the header.
func (c timeColumns) noteSeveral(src *source.Source, cells []csvCell, report source.Report) {
	if c.several {
		report(source.Finding{
			Pos: src.Pos(cells[c.time].at), Severity: source.Note, Rule: "read/extra-column",
			Message: "the header names several columns of times; this one is read, in " + unitNames[c.unit],
		})
	}
	if c.end >= 0 {
		return
	}
	for i, n := range columnNames(cells) {
		if slices.Contains(lengthWords, n.bare) {
			report(source.Finding{
				Pos: src.Pos(cells[i].at), Severity: source.Caution, Rule: "read/extra-column",
				Message: "this column gives how long each entry lasts, which is not read; its ends stay unknown",
				Hint:    "a column end gives them",
			})
			return
		}
	}
}
