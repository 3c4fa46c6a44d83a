package timecode

import (
	"errors"
	"fmt"
	"strings"
	"time"
)

// ErrNoTime is returned, wrapped, by [Cut] and [ParseReading] for text that holds
// no time where one is looked for. Text that looks like a time and is an
// impossible one gives another error.
var ErrNoTime = errors.New("no time")

var errNoRate = errors.New("a timecode with frames is a time only with its frame rate, and no rate is stated")

// ErrDayFirst is an [ErrNoTime] for text that starts with a date such as
// 01/03/2026, whose day and month could be taken for each other.
var ErrDayFirst = fmt.Errorf("%w: a date is read as year-month-day only", ErrNoTime)

// Reading is one time as written, before the list's clock is known.
type Reading struct {
	Text     string        // as written
	Offset   int           // of Text, bytes into the string it was read from
	Fields   []int         // 2, 3 or 4 numeric fields
	Frac     time.Duration // decimal fraction of the last field (".5" or ",5"), 0 to 1 s
	Date     string        // "2026-03-01" when written with a date, else ""
	Zone     string        // "Z", "+05:30" or "-00:00" as written behind a date and time, else ""
	Place    string        // "Asia/Kolkata" when written in brackets behind them, else ""
	Leap     bool          // the second 60, which Fields and Frac have as the last millisecond of 59
	Meridiem int           // 0 none, 1 am, 2 pm
	Drop     bool          // ';' before the frames
}

// String is the reading as it was written.
func (r Reading) String() string { return r.Text }

// fieldNames are the names of the fields of r, so far as its own form tells.
func (r Reading) fieldNames() []string {
	names := []string{"hours", "minutes", "seconds", "frames"}
	if len(r.Fields) == 2 && r.Meridiem == 0 && r.Date == "" {
		return names[1:3]
	}
	return names[:len(r.Fields)]
}

func above(what string, value, limit int) error {
	return fmt.Errorf("%s %d are above %d", what, value, limit)
}

// ParseReading reads a string that is one time and nothing else but space:
//
//	0:41  75:10  1:02:03.5  0:41,5      minutes or hours, minutes, seconds
//	09.14.32                            dots between three two-digit fields
//	9:14:32 am  9:14 p.m.               the time of day
//	2026-03-01 09:14:32  2026-03-01T09:14:32+05:30
//	2026-03-01t09:14:32,5z  2026-03-01T09:14:32+0530[Asia/Kolkata]
//	01:00:00:12  01:00:00;12            timecode, the second drop-frame
//
// The error is lower case and says what is wrong, such as
// "minutes 75 are above 59".
func ParseReading(s string) (Reading, error) {
	lead := len(s) - len(strings.TrimLeft(s, " \t"))
	body := strings.TrimRight(s[lead:], " \t")
	r, n, err := scan(body)
	if err == nil && n != len(body) {
		err = fmt.Errorf("%w: %q stands behind the time", ErrNoTime, body[n:])
	}
	if err != nil {
		return Reading{}, err
	}
	r.Offset = lead
	return r, nil
}

// scan reads the time that s starts with and returns how many bytes it took.
// Fields keep a one- or two-digit shape so that a ratio such as 1:1000 or a
// version such as 1.2.3 is never taken for a time.
func scan(s string) (Reading, int, error) {
	p := scanner{s: s}
	if err := p.date(); err != nil {
		return Reading{}, p.i, err
	}
	if err := p.fields(); err != nil {
		return Reading{}, p.i, err
	}
	if err := p.fraction(); err != nil {
		return Reading{}, p.i, err
	}
	p.meridiem()
	p.zone()
	p.place()
	p.r.Text = s[:p.i]
	p.r.leap()
	if err := p.r.check(); err != nil {
		return Reading{}, p.i, err
	}
	return p.r, p.i, nil
}

// check refuses what no clock shows.
func (r Reading) check() error {
	names := r.fieldNames()
	for i, v := range r.Fields {
		if i > 0 && i < 3 && v > 59 {
			return above(names[i], v, 59)
		}
	}
	h := r.Fields[0]
	switch {
	case r.Date != "" && h == 24 && r.Fields[1] == 0:
		return errors.New("hours 24 are above 23; the end of a day is written as 00:00 of the next")
	case r.Meridiem == 1 && h > 12:
		return fmt.Errorf("hours %d are above 12 with am", h)
	case r.Meridiem == 2 && h == 0:
		return errors.New("hours 0 are below 1 with pm")
	case (r.Meridiem != 0 || r.Date != "") && h > 23:
		return above("hours", h, 23)
	case len(r.Fields) == 4 && (r.Meridiem != 0 || r.Date != ""):
		return errors.New("a timecode with frames carries no date and no am or pm")
	}
	return r.checkZone()
}
