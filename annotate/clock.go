package annotate

import (
	"fmt"
	"slices"
	"time"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// recordingClock turns what the recording's clock said into time from recording
// zero.
type recordingClock struct {
	Clock
	reader timecode.Clock
	known  bool // anything at all was said by this clock
}

// stampTime is one stamp that the clock could read.
type stampTime struct {
	timeline.Stamp
	at     time.Duration  // from recording zero
	length *time.Duration // to the end it states, or nil
}

// readClock decides which kind of clock the case's times were read from, where
// its zero lies, and reads the stamps. Stamps whose time cannot be read are
// reported and left out.
func readClock(m *Material, report source.Report) (recordingClock, []stampTime) {
	keys := m.File.Recording
	stated, _ := timecode.ParseKind(keys.Clock.Value)
	list, places := readings(m)
	kind, why, mixed := timecode.Classify(list, stated)
	c := recordingClock{Clock: Clock{Kind: kind, Why: why, Zero: "clock"}, known: len(list) > 0}
	if mixed >= 0 {
		report(source.Finding{
			Pos: places[mixed], Severity: source.Caution, Rule: "time/mixed-clock",
			Message: fmt.Sprintf("%q does not read like the times before it, which count as %s", list[mixed].Text, why),
			Hint:    "recording.clock in case.yaml states which clock the list was read from",
		})
	}
	c.reader = timecode.Clock{Kind: kind, ShortIsMinutes: kind == timecode.Wall && stated != timecode.Wall}
	for _, r := range list {
		if r.Date != "" {
			c.reader.FirstDay = r.Date
			break
		}
	}
	if keys.Rate.Set {
		rate, err := timecode.ParseRate(keys.Rate.Value)
		if err != nil {
			fault(keys.Rate, report, "read/rate", "recording.rate: %v", err)
		}
		c.reader.Rate = rate
	}
	if kind == timecode.Timecode && c.reader.Rate.IsZero() {
		report(source.Finding{
			Pos: places[0], Severity: source.Error, Rule: "time/no-rate",
			Message: "these times count frames, and recording.rate does not say how many make a second",
			Hint:    "recording: {clock: timecode, rate: 25} in case.yaml",
		})
		c.known = false
		return c, nil
	}
	return c, c.readStamps(m, report)
}

// readings are the times that the clock's kind is decided by: the stamps, or,
// without any, the times that case.yaml gives.
func readings(m *Material) (list []timecode.Reading, places []source.Pos) {
	for _, s := range m.Stamps {
		list, places = append(list, s.At), append(places, s.Pos)
	}
	if len(list) > 0 {
		return list, places
	}
	add := func(t Text) {
		if r, err := timecode.ParseReading(t.Value); t.Set && err == nil {
			list, places = append(list, r), append(places, t.Pos)
		}
	}
	for _, s := range m.File.Steps {
		add(s.At)
	}
	for _, e := range m.File.Events {
		add(e.At)
	}
	return list, places
}

// readStamps reads the stamps in list order, lets midnight pass, and fixes the
// recording's zero: what the case file states, else the clock's own zero for
// elapsed time, else the first stamp.
func (c *recordingClock) readStamps(m *Material, report source.Report) []stampTime {
	var stamps []stampTime
	var times []time.Duration
	starts, stated := c.starts(m.File.Recording, report)
	if stated {
		times = append(times, starts)
	}
	for _, s := range m.Stamps {
		at, err := c.reader.Time(s.At)
		if err != nil {
			report(source.Finding{Pos: s.Pos, Severity: source.Error, Rule: "read/bad-time", Message: err.Error()})
			continue
		}
		times = append(times, at)
		stamps = append(stamps, stampTime{Stamp: s, length: c.length(s, at, report)})
	}
	rolled, outOfOrder := c.reader.Roll(times)
	first := len(times) - len(stamps) // 1 when the start was stated
	if stated {
		c.Zero, c.Offset = "stated", rolled[0]
	} else if c.Kind != timecode.Elapsed && len(stamps) > 0 {
		c.Zero, c.Offset = "first-stamp", slices.Min(rolled)
	}
	for i := range stamps {
		stamps[i].at = rolled[first+i] - c.Offset
		c.checkOrder(stamps[i], slices.Contains(outOfOrder, first+i), report)
	}
	return stamps
}

// length is the time from a stamp to the end it states, or nil.
func (c *recordingClock) length(s timeline.Stamp, at time.Duration, report source.Report) *time.Duration {
	if s.End == nil {
		return nil
	}
	end, err := c.reader.Time(*s.End)
	if err == nil && end < at-12*time.Hour && c.Kind != timecode.Elapsed {
		end += 24 * time.Hour
	}
	switch {
	case err != nil:
		report(source.Finding{Pos: s.Pos, Severity: source.Error, Rule: "read/bad-time", Message: err.Error()})
	case end < at:
		report(source.Finding{
			Pos: s.Pos, Severity: source.Caution, Rule: "time/end-before-start",
			Message: fmt.Sprintf("the end %s lies before the start %s; the end is not used", s.End.Text, s.At.Text),
		})
	default:
		length := end - at
		return &length
	}
	return nil
}

func (c *recordingClock) checkOrder(s stampTime, outOfOrder bool, report source.Report) {
	if outOfOrder {
		report(source.Finding{
			Pos: s.Pos, Severity: source.Caution, Rule: "time/out-of-order",
			Message: fmt.Sprintf("%s is earlier than the time before it; the list is put in clock order", s.At.Text),
		})
	}
	if s.at < 0 {
		report(source.Finding{
			Pos: s.Pos, Severity: source.Caution, Rule: "time/before-start",
			Message: fmt.Sprintf("%s lies before the moment that recording.starts gives", s.At.Text),
		})
	}
}

// starts is recording.starts on the clock's own scale.
func (c *recordingClock) starts(keys Recording, report source.Report) (time.Duration, bool) {
	if !keys.Starts.Set {
		return 0, false
	}
	r, err := timecode.ParseReading(keys.Starts.Value)
	if err == nil {
		var at time.Duration
		if at, err = c.reader.Time(r); err == nil {
			return at, true
		}
	}
	fault(keys.Starts, report, "read/bad-time", "recording.starts: %v", err)
	return 0, false
}

// when reads a time of case.yaml on the recording's clock. A wall clock that
// reads more than half a day before recording zero has passed midnight.
func (c *recordingClock) when(t Text, report source.Report) (time.Duration, bool) {
	if !t.Set {
		return 0, false
	}
	r, err := timecode.ParseReading(t.Value)
	var at time.Duration
	if err == nil {
		at, err = c.reader.Time(r)
	}
	if err != nil {
		fault(t, report, "read/bad-time", "%v", err)
		return 0, false
	}
	at -= c.Offset
	if c.Kind == timecode.Wall && at < -12*time.Hour {
		at += 24 * time.Hour
	}
	return at, true
}
