package format

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"time"

	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// The words a column goes by, in lower case, without the word for its unit. Common
// practice, no source.
var (
	timeWords = []string{"", "time", "start", "from", "begin", "at", "in", "timestamp", "start time", "position"}
	endWords  = []string{"end", "to", "until", "stop", "out", "end time"}
	textWords = []string{"text", "note", "notes", "label", "event", "marker", "step", "title", "name", "comment", "remark", "description"}
	rateWords = []string{"rate", "fps", "frame rate", "framerate", "frames per second"}
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

// csvColumns says which columns hold what; -1 is none.
type csvColumns struct {
	comma                 byte
	header                bool
	time, end, text, rate int
	unit, endUnit         csvUnit       // of the time and end cells
	stated                timecode.Rate // what the header or a remark says of the rate; zero for nothing
	several               bool          // the time stands in more columns than the one read
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

// headerColumns reads the column names; time is -1 when the cells are no header.
func headerColumns(cells []csvCell) csvColumns {
	c := csvColumns{header: true, time: -1, end: -1, text: -1, rate: -1}
	for i, cell := range cells {
		name := readColumnName(cell.text)
		if c.stated.IsZero() {
			c.stated = name.rate
		}
		switch {
		case name.full == "":
		case slices.Contains(rateWords, name.full):
			if c.rate < 0 {
				c.rate = i
			}
		case slices.Contains(timeWords, name.bare):
			c.several = c.several || c.time >= 0
			if c.time < 0 || name.unit < c.unit {
				c.time, c.unit = i, name.unit
			}
		case slices.Contains(textWords, name.full):
			if c.text < 0 {
				c.text = i
			}
		}
	}
	for i, cell := range cells { // of several ends that which is written as the time is
		name := readColumnName(cell.text)
		if name.full == "" || i == c.rate || !slices.Contains(endWords, name.bare) {
			continue
		}
		if c.end < 0 || name.unit == c.unit && c.endUnit != c.unit {
			c.end, c.endUnit = i, name.unit
		}
	}
	return c
}

// elapsed reports whether cells of a unit become time from the start of the
// recording, whatever they are written in.
func (u csvUnit) elapsed() bool {
	return u == unitSeconds || u == unitMilliseconds || u == unitFrames
}

// fits reports whether an end in its unit can be told from a time in its own. Clock
// times may be elapsed or not: that shows when the list is read as a whole.
func (c csvColumns) fits() bool {
	return c.unit == c.endUnit || c.unit.elapsed() && c.endUnit.elapsed() ||
		c.unit == unitClock && c.endUnit.elapsed() || c.endUnit == unitClock && c.unit.elapsed()
}

// readRate reads a rate, with a decimal comma too.
func readRate(text string) (timecode.Rate, error) {
	return timecode.ParseRate(strings.Replace(text, ",", ".", 1))
}

// remarkedRate is the rate that a line starting with # states, such as "# rate:
// 29.97 drop", and its place; at is -1 when none does.
func remarkedRate(src *source.Source) (rate timecode.Rate, at int) {
	for n := range src.Lines() {
		line, offset := src.Line(n)
		body, ok := bytes.CutPrefix(bytes.TrimSpace(line), []byte("#"))
		if !ok {
			continue
		}
		text := strings.ToLower(strings.TrimSpace(string(body)))
		for _, word := range rateWords {
			rest, ok := strings.CutPrefix(text, word)
			if !ok {
				continue
			}
			if rate, err := readRate(strings.Trim(rest, " \t:=")); err == nil {
				return rate, offset
			}
		}
	}
	return timecode.Rate{}, -1
}

var errTooLate = fmt.Errorf("the cell is later than %d hours, the most that is held here", maxHours)

// cellTime reads a cell that is one time or a span of two, written in a unit.
func cellTime(c csvCell, unit csvUnit, rate timecode.Rate) (timecode.Reading, *timecode.Reading, error) {
	switch unit {
	case unitSeconds:
		return secondsReading(c.text)
	case unitMilliseconds:
		n, ok := wholeNumber(c.text)
		if !ok {
			return timecode.Reading{}, nil, fmt.Errorf("%w: the cell is no whole number of milliseconds", timecode.ErrNoTime)
		}
		if n/time.Hour.Milliseconds() > maxHours {
			return timecode.Reading{}, nil, errTooLate
		}
		return elapsedReading(c.text, time.Duration(n)*time.Millisecond), nil, nil
	case unitFrames:
		n, ok := wholeNumber(c.text)
		if !ok {
			return timecode.Reading{}, nil, fmt.Errorf("%w: the cell is no number of a frame", timecode.ErrNoTime)
		}
		d := rate.Duration(n) // the largest there is for what does not fit
		if int64(d/time.Hour) > maxHours {
			return timecode.Reading{}, nil, errTooLate
		}
		return elapsedReading(c.text, d), nil, nil
	}
	at, end, rest, _, err := timecode.Cut(c.text)
	if err == nil && rest != "" {
		err = fmt.Errorf("the cell holds more than a time")
	}
	if unit == unitUTC && err == nil && at.Date != "" && at.Zone == "" {
		at.Zone = "Z" // the column's name says it
	}
	return at, end, err
}

// wholeNumber reads decimal digits and nothing else.
func wholeNumber(text string) (int64, bool) {
	if text == "" || len(text) > 16 {
		return 0, false
	}
	n := int64(0)
	for _, c := range []byte(text) {
		if !isDigit(c) {
			return 0, false
		}
		n = n*10 + int64(c-'0')
	}
	return n, true
}

// secondsReading is a number of seconds as a reading of minutes and seconds.
func secondsReading(text string) (timecode.Reading, *timecode.Reading, error) {
	d, err := timecode.ParseClockDuration(text)
	if err != nil {
		return timecode.Reading{}, nil, timecode.ErrNoTime
	}
	return elapsedReading(text, d), nil, nil
}

// elapsedReading is a time from the start of the recording that text stands for.
func elapsedReading(text string, d time.Duration) timecode.Reading {
	return timecode.Reading{
		Text:   text,
		Fields: []int{int(d / time.Minute), int(d % time.Minute / time.Second)},
		Frac:   d % time.Second,
	}
}
