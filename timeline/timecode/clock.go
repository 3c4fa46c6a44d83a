package timecode

import (
	"errors"
	"fmt"
	"time"
)

const day = 24 * time.Hour

// Clock turns readings into time since the clock's own zero: 0 for elapsed,
// midnight of the first day for wall, 00:00:00:00 for timecode.
type Clock struct {
	Kind Kind
	Rate Rate // of a timecode clock
	// FirstDay is the date, "2026-03-01", from whose midnight a wall clock
	// counts readings that carry a date. Empty: the date of a reading is not
	// looked at and [Clock.Roll] finds midnight.
	FirstDay string
	// ShortIsMinutes says that the wall clock was not stated but inferred, so
	// that two bare fields are m:ss, which is no time of day; Time refuses them.
	// The zero value reads them as h:mm, known to the minute.
	ShortIsMinutes bool
	// zone and east are set by [Clock.In]: where the clock stands, and how far ahead
	// of UTC it was at the first reading.
	zone *time.Location
	east time.Duration
}

// Time is what the clock's reading r amounts to. The error says which field a
// clock of this kind cannot show and quotes no time of day or date, so that it
// may be printed anywhere. A date more than 100 years from FirstDay is an error too.
// The zone of a reading is looked at by a clock from [Clock.In] alone; Classify reports a list that mixes what cannot be compared.
func (c Clock) Time(r Reading) (time.Duration, error) {
	switch c.Kind {
	case Elapsed:
		return elapsed(r)
	case Wall:
		return c.wall(r)
	case Timecode:
		return c.timecode(r)
	}
	return 0, errors.New("the kind of clock is unknown")
}

func elapsed(r Reading) (time.Duration, error) {
	switch {
	case len(r.Fields) == 4:
		return 0, errors.New("the time has frames, a clock of elapsed time has none")
	case r.Date != "" || r.Meridiem != 0:
		return 0, errors.New("the time is a time of day, not elapsed time")
	case len(r.Fields) == 2:
		return hms(0, r.Fields[0], r.Fields[1]) + r.Frac, nil
	}
	return hms(r.Fields[0], r.Fields[1], r.Fields[2]) + r.Frac, nil
}

func (c Clock) wall(r Reading) (time.Duration, error) {
	h, m, s := r.Fields[0], r.Fields[1], 0
	switch {
	case len(r.Fields) == 4:
		return 0, errors.New("the time has frames, a time of day has none")
	case len(r.Fields) == 3:
		s = r.Fields[2]
	case c.ShortIsMinutes && r.Meridiem == 0 && r.Date == "":
		return 0, errors.New("the time has two fields, which are minutes and seconds unless the clock is stated as wall")
	case r.Frac != 0:
		return 0, errors.New("the time has decimals behind the minutes of a time of day")
	}
	if h > 23 {
		return 0, above("hours", h, 23)
	}
	switch {
	case r.Meridiem == 1 && h == 12:
		h = 0
	case r.Meridiem == 2 && h < 12:
		h += 12
	}
	t := hms(h, m, s) + r.Frac
	if c.FirstDay == "" || r.Date == "" {
		return t, nil
	}
	first, err := time.Parse(time.DateOnly, c.FirstDay)
	if err != nil {
		return 0, fmt.Errorf("the date of the first day, %q, is not a year-month-day", c.FirstDay)
	}
	if c.zone != nil {
		at, err := r.instant(c.zone)
		if err != nil {
			return 0, err
		}
		return since(first, at.Add(c.east))
	}
	date, err := time.Parse(time.DateOnly, r.Date)
	if err != nil {
		return 0, errors.New("the date of the time is not a year-month-day")
	}
	return since(first, date.Add(t))
}

// mostYears is how far from its first day a clock counts. A time.Duration holds 292
// years; what lies a century apart is no one recording.
const mostYears = 100

// since is the time from the midnight of a clock's first day to a moment.
func since(first, at time.Time) (time.Duration, error) {
	if at.Before(first.AddDate(-mostYears, 0, 0)) || at.After(first.AddDate(mostYears, 0, 0)) {
		return 0, fmt.Errorf("the date lies more than %d years from that of the first day", mostYears)
	}
	return at.Sub(first), nil
}

func (c Clock) timecode(r Reading) (time.Duration, error) {
	if len(r.Fields) != 4 {
		return 0, errors.New("the time has no frames, a timecode has four fields")
	}
	if c.Rate.IsZero() {
		return 0, errNoRate
	}
	rate := c.Rate
	if r.Drop && !rate.Drop {
		if !rate.HasDrop() {
			return 0, fmt.Errorf("the time is written drop-frame, which %s frames a second do not have", rate)
		}
		rate.Drop = true
	}
	frame, err := rate.Frame(r.Fields[0], r.Fields[1], r.Fields[2], r.Fields[3])
	if err != nil {
		return 0, err
	}
	return rate.Duration(frame), nil
}

func hms(h, m, s int) time.Duration {
	return time.Duration(h)*time.Hour + time.Duration(m)*time.Minute + time.Duration(s)*time.Second
}

// DayLength is how long the clock takes to show the same time again, or 0 when
// it never does. A day of timecode is a day of frames, which at 29.97 is not
// 24 hours.
func (c Clock) DayLength() time.Duration {
	switch {
	case c.Kind == Timecode && !c.Rate.IsZero():
		return c.Rate.Duration(c.Rate.FramesPerDay())
	case c.Kind == Wall || c.Kind == Timecode:
		return day
	}
	return 0
}

// Roll resolves a list of times in the order written. On a clock that starts
// again at midnight a step back of more than half a day has passed midnight:
// that time and those behind it count a day more. Any other step back is out of
// order: its index is reported and its value kept. A time of a whole day and more,
// which a date behind FirstDay gives, carries its day already; times without a date
// behind it are of that day or a later one.
func (c Clock) Roll(times []time.Duration) (rolled []time.Duration, outOfOrder []int) {
	length := c.DayLength()
	rolled = make([]time.Duration, len(times))
	var days, last time.Duration
	for i, t := range times {
		if length > 0 && t >= length { // a date says which day it is
			days = t / length * length
			t -= days
		}
		v := t + days
		if i > 0 && length > 0 {
			switch {
			case v < last-length/2:
				days += length
				v += length
			case days > 0 && v > last+length/2 && v-length < last:
				v -= length // noted after midnight, seen before it
			}
		}
		if i > 0 && v < last {
			outOfOrder = append(outOfOrder, i)
		}
		rolled[i], last = v, v
	}
	return rolled, outOfOrder
}

// Roll is [Clock.Roll] for a clock of this kind whose day has 24 hours.
func Roll(kind Kind, times []time.Duration) (rolled []time.Duration, outOfOrder []int) {
	return Clock{Kind: kind}.Roll(times)
}
