package annotate

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// readStamps reads the stamps in list order, lets midnight pass, leaves out what
// lies outside recording.part and fixes the recording's zero: what the case file
// states, else the accepted start of the recording's first file, else the clock's own
// zero for elapsed time, else the first time there is.
func (c *recordingClock) readStamps(m *Material, report source.Report) []stampTime {
	var times []time.Duration
	starts, from := c.zero(m, report)
	if from != "" {
		times = append(times, starts)
	}
	stamps, read := c.listTimes(m, starts, report)
	times = append(times, read...)
	rolled, outOfOrder := c.reader.Roll(times)
	first := len(times) - len(stamps) // 1 when the start was stated
	late := map[int]bool{}            // the stamps out of order
	for i := range stamps {
		stamps[i].at = rolled[first+i]
		stamps[i].length = c.length(stamps[i].Stamp, times[first+i]-stamps[i].shift)
		// before the stated start is another finding, and a list that begins again too
		late[i] = i > 0 && slices.Contains(outOfOrder, first+i) && (c.Kind != timecode.Elapsed || stamps[i].list == stamps[i-1].list)
	}
	if len(rolled) > 0 { // the scale on which part is read: what follows sets the zero
		c.Offset = slices.Min(rolled)
	}
	inside := c.part(m.File.Recording.Part, report)
	scale := c.Offset
	switch {
	case from != "":
		c.Zero, c.Offset = from, rolled[0]
	case c.Kind == timecode.Elapsed:
		c.Offset = 0
	default:
		c.Zero, c.Offset = "first-stamp", c.firstTime(stamps, scale, inside, m.File)
	}
	for _, end := range []*time.Duration{c.partStart, c.partEnd} {
		if end != nil {
			*end += scale - c.Offset
		}
	}
	return c.keep(stamps, late, scale, inside, m.File.Recording.Part, report)
}

// listTimes are the stamps whose time can be read, in the order of the recording's
// files, and their times on the clock's own scale, on which the recording starts at
// starts.
func (c *recordingClock) listTimes(m *Material, starts time.Duration, report source.Report) (stamps []stampTime, times []time.Duration) {
	var bad []source.Finding // one a message, the other places beside it
	for _, list := range c.files.ordered(m) {
		shift, known := c.files.shift(c, m, list, starts)
		if !known {
			c.files.lost(m, list, report)
			continue
		}
		for _, s := range m.Stamps[list.from:list.to] {
			at, err := c.read(s, s.At)
			if err != nil {
				bad = gather(bad, source.Finding{Pos: s.Pos, Severity: source.Error, Rule: "read/bad-time", Message: err.Error()})
				continue
			}
			if twice := c.reader.Twice(s.At); twice > 0 {
				if n := len(times); n > 0 && at < times[n-1] && at+twice >= times[n-1] {
					at += twice // the second time that the clock showed it
				} else {
					c.ambiguous(s, report)
				}
			}
			times = append(times, at+shift)
			stamps = append(stamps, stampTime{Stamp: s, list: list, shift: shift})
		}
	}
	for _, f := range bad {
		report(f)
	}
	if c.Kind == timecode.Elapsed {
		begunAgain(stamps, times, report)
	}
	return stamps, times
}

// keep counts the stamps of the part from recording zero and says what is odd
// about them.
func (c *recordingClock) keep(stamps []stampTime, late map[int]bool, scale time.Duration, inside func(time.Duration) bool, part Part, report source.Report) []stampTime {
	var kept []stampTime
	for i, s := range stamps {
		if !inside(s.at - scale) {
			continue
		}
		s.at -= c.Offset
		c.check(s, late[i], report)
		c.files.checkStamp(c, s, report)
		if s.length != nil && *s.length < 0 {
			s.length = nil
		}
		kept = append(kept, s)
	}
	if n := len(stamps) - len(kept); n > 0 {
		said := "stamps lie outside recording.part and are"
		if n == 1 {
			said = "stamp lies outside recording.part and is"
		}
		report(source.Finding{
			Pos: cmp.Or(part.From.Pos, part.To.Pos), Severity: source.Note, Rule: "time/outside-part",
			Message: fmt.Sprintf("%d %s left out of everything", n, said),
		})
	}
	return kept
}

// part reads recording.part, counted from the offset so far.
func (c *recordingClock) part(keys Part, report source.Report) (inside func(time.Duration) bool) {
	from, hasFrom := c.when(keys.From, report)
	to, hasTo := c.when(keys.To, report)
	if hasFrom && hasTo && to < from {
		report(source.Finding{
			Pos: keys.To.Pos, Path: keys.To.Path, Severity: source.Caution, Rule: "time/end-before-start",
			Message: "recording.part ends before it begins; its end is not used",
		})
		hasTo = false
	}
	if hasFrom {
		start := from
		c.partStart = &start
	}
	if hasTo {
		end := to // the zero that both count from is not settled yet
		c.partEnd = &end
	}
	return func(t time.Duration) bool { return (!hasFrom || t >= from) && (!hasTo || t <= to) }
}

// firstTime is the earliest stamp of the part on the clock's own scale, or without
// any the earliest time of case.yaml: what the clock said is never exported, so
// something has to be zero.
func (c *recordingClock) firstTime(stamps []stampTime, scale time.Duration, inside func(time.Duration) bool, f *File) time.Duration {
	var times []time.Duration
	for _, s := range stamps {
		if inside(s.at - scale) {
			times = append(times, s.at)
		}
	}
	if len(times) == 0 {
		for _, t := range f.times() {
			if r, err := timecode.ParseReading(t.Value); err == nil {
				if at, err := c.reader.Time(r); err == nil {
					times = append(times, at)
				}
			}
		}
		times, _ = c.reader.Roll(times)
		if within := slices.DeleteFunc(slices.Clone(times), func(t time.Duration) bool { return !inside(t - scale) }); len(within) > 0 {
			times = within
		}
	}
	if len(times) == 0 {
		return 0
	}
	return slices.Min(times)
}

// ambiguous says that the clock showed the time of a stamp twice, as it was put back
// that night.
func (c *recordingClock) ambiguous(s timeline.Stamp, report source.Report) {
	report(source.Finding{
		Pos: s.Pos, Severity: source.Caution, Rule: "time/shown-twice",
		Message: "the clocks of recording.zone were put back that night and showed this time twice; it is read as the first",
		Hint:    "an offset from UTC behind the time, such as +01:00, tells the two apart",
	})
}

// length is the time from a stamp to the end it states, or nil. It is negative for
// an end before the start.
func (c *recordingClock) length(s timeline.Stamp, at time.Duration) *time.Duration {
	if s.End == nil {
		return nil
	}
	written := endOf(s)
	end, err := c.read(s, written)
	if err != nil {
		return nil
	}
	if end < at {
		end += c.reader.Twice(written) // the second time that the clock showed it
	}
	if end < at-12*time.Hour && c.Kind != timecode.Elapsed {
		end += 24 * time.Hour
	}
	length := end - at
	return &length
}

// endOf is the end that a stamp states. Without a date it is of the day and the place
// of the beginning.
func endOf(s timeline.Stamp) timecode.Reading {
	end := *s.End
	if end.Date == "" && s.At.Date != "" {
		end.Date = s.At.Date
		if end.Zone == "" && end.Place == "" {
			end.Zone, end.Place = s.At.Zone, s.At.Place
		}
	}
	return end
}

// check reports what is odd about a stamp and drops an end that cannot be used.
func (c *recordingClock) check(s stampTime, outOfOrder bool, report source.Report) {
	if outOfOrder {
		report(source.Finding{
			Pos: s.Pos, Severity: source.Caution, Rule: "time/out-of-order",
			Message: c.shown(s.At) + " is earlier than the time before it; the list is put in clock order",
		})
	}
	if s.At.Leap {
		report(source.Finding{
			Pos: s.Pos, Severity: source.Caution, Rule: "time/leap-second", Source: "RFC 3339, Date and Time on the Internet: Timestamps (2002), section 5.7",
			Message: "the time names the leap second 60; it is read as the last millisecond of second 59",
		})
	}
	if s.at < 0 {
		report(source.Finding{
			Pos: s.Pos, Severity: source.Caution, Rule: "time/before-start",
			Message: fmt.Sprintf("%s lies %s before the moment that recording.starts gives", c.shown(s.At), timecode.Format(-s.at)),
		})
	}
	if s.End == nil {
		return
	}
	if _, err := c.read(s.Stamp, endOf(s.Stamp)); err != nil {
		report(source.Finding{Pos: s.Pos, Severity: source.Error, Rule: "read/bad-time", Message: "the end of the stamp: " + err.Error()})
	} else if s.length != nil && *s.length < 0 {
		report(source.Finding{
			Pos: s.Pos, Severity: source.Caution, Rule: "time/end-before-start",
			Message: fmt.Sprintf("the stamp ends %s before it begins; the end is not used", timecode.Format(-*s.length)),
		})
	}
}

// gather adds a finding to a list, or its place to the finding that says the same:
// a list read from the wrong clock is one fault and not one a line.
func gather(list []source.Finding, f source.Finding) []source.Finding {
	for i := range list {
		if list[i].Message == f.Message {
			list[i].Related = append(list[i].Related, source.Related{Pos: f.Pos, Message: "the same here"})
			return list
		}
	}
	return append(list, f)
}
