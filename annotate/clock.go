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

// recordingClock turns what the recording's clock said into time from recording
// zero.
type recordingClock struct {
	Clock
	reader timecode.Clock
	known  bool // anything at all was said by this clock
	silent bool // no time can be read, and that has been said
	files  recordingFiles
	// rateStated says that recording.rate goes before what a list says of its own.
	rateStated bool
	// recording.part, from recording zero; nil for an end that is not stated.
	partStart, partEnd *time.Duration
}

// stampTime is one stamp that the clock could read.
type stampTime struct {
	timeline.Stamp
	at     time.Duration  // from recording zero
	length *time.Duration // to the end it states, or nil
	list   stampList      // which list it stands in
	shift  time.Duration  // from that list's zero to the clock's
}

// readClock decides which kind of clock the case's times were read from, where
// its zero lies, and reads the stamps. Stamps whose time cannot be read are
// reported and left out; those outside recording.part leave no trace but their
// number.
func readClock(m *Material, report source.Report) (recordingClock, []stampTime) {
	keys := m.File.Recording
	stated, _ := timecode.ParseKind(keys.Clock.Value)
	list, places := readings(m)
	zone := zoneOf(keys.Zone)
	kind, why, mixed := timecode.Classify(placed(list, zone), stated)
	c := recordingClock{Clock: Clock{Kind: kind, Why: why, Zero: "clock"}, known: len(list) > 0}
	if mixed >= 0 {
		report(source.Finding{
			Pos: places[mixed], Severity: source.Caution, Rule: "time/mixed-clock",
			Message: fmt.Sprintf("%s does not read like the others, which count as %s: %s", c.shown(list[mixed]), kindNames[kind], why),
			Hint:    "recording.clock in case.yaml states which clock the list was read from",
		})
	}
	c.reader = timecode.Clock{Kind: kind, ShortIsMinutes: kind == timecode.Wall && stated != timecode.Wall}
	c.reader.FirstDay = statedDay(keys.Date, report)
	c.reader = c.reader.In(zone, slices.Concat(m.scale, list))
	c.reader.FirstDay = cmp.Or(c.reader.FirstDay, firstDay(list))
	c.rate(m, places, report)
	c.reader.Rate = c.reader.Rate.CountedAs(list)
	if c.silent {
		c.known = false
		return c, nil
	}
	c.files = joinFiles(m, c.reader, report)
	return c, c.readStamps(m, report)
}

// rate finds how many frames make a second: what recording.rate says, else what the
// lists say of themselves. Frames without a rate are no times.
func (c *recordingClock) rate(m *Material, places []source.Pos, report source.Report) {
	keys := m.File.Recording
	if keys.Rate.Set {
		rate, err := timecode.ParseRate(keys.Rate.Value)
		if err != nil {
			fault(keys.Rate, report, "read/rate", "recording.rate: %v", err)
		}
		c.reader.Rate, c.silent = rate, c.Kind == timecode.Timecode && rate.IsZero()
		c.rateStated = !rate.IsZero()
		c.otherRate(m, report)
	} else if c.reader.Rate = listRate(m); c.Kind == timecode.Timecode && c.reader.Rate.IsZero() {
		c.silent = true
		report(source.Finding{
			Pos: slices.Concat(places, []source.Pos{keys.Clock.Pos})[0], Severity: source.Error, Rule: "time/no-rate",
			Message: "these times count frames, and nothing says how many make a second",
			Hint:    m.rateHint(),
		})
	}
}

// listRate is the rate that the lists of times state for themselves, or zero.
func listRate(m *Material) timecode.Rate {
	for _, s := range m.Stamps {
		if !s.Rate.IsZero() {
			return s.Rate
		}
	}
	return timecode.Rate{}
}

// otherRate says once when a list states another rate than recording.rate, for
// times that count frames.
func (c *recordingClock) otherRate(m *Material, report source.Report) {
	for _, s := range m.Stamps {
		if c.rateStated && len(s.At.Fields) == 4 && !s.Rate.IsZero() && s.Rate.Num*c.reader.Rate.Den != c.reader.Rate.Num*s.Rate.Den {
			report(source.Finding{
				Pos: s.Pos, Severity: source.Caution, Rule: "read/rate",
				Message: fmt.Sprintf("this list counts frames at %s a second, and recording.rate says %s; recording.rate counts", s.Rate, c.reader.Rate),
			})
			return
		}
	}
	for i, part := range m.Parts {
		rate := part.Facts.Start.Rate
		if c.rateStated && c.Kind == timecode.Timecode && !rate.IsZero() && rate.Num*c.reader.Rate.Den != c.reader.Rate.Num*rate.Den {
			keys := m.File.Recording.Rate
			report(source.Finding{
				Pos: keys.Pos, Path: keys.Path, Severity: source.Caution, Rule: "read/rate",
				Message: fmt.Sprintf("recording.rate says %s frames a second, and the timecode of part %d counts %s; recording.rate counts", c.reader.Rate, i+1, rate),
			})
			return
		}
	}
}

// read is what a time of a stamp amounts to, at the rate its list states where
// case.yaml states none.
func (c *recordingClock) read(s timeline.Stamp, r timecode.Reading) (time.Duration, error) {
	reader := c.reader
	if !c.rateStated && !s.Rate.IsZero() {
		reader.Rate = s.Rate
	}
	return reader.Time(r)
}

// kindNames are the kinds of clock in words.
var kindNames = [...]string{
	timecode.Unknown: "no clock", timecode.Elapsed: "time since the recording began",
	timecode.Wall: "time of day", timecode.Timecode: "timecode",
}

// shown is a reading in a message. Findings are exported, and a time of day or a
// date never is: then the finding's place has to do.
func (c *recordingClock) shown(r timecode.Reading) string {
	if c.Kind == timecode.Wall || r.Date != "" || r.Meridiem != 0 {
		return "this time"
	}
	return r.Text
}

// zoneOf is the zone that recording.zone names, or nil. One that does not exist has
// been said.
func zoneOf(key Text) *time.Location {
	if !key.Set || !knownZone(key.Value) {
		return nil
	}
	zone, err := time.LoadLocation(key.Value)
	if err != nil {
		return nil
	}
	return zone
}

// placed is a list as it compares where the clock's zone is known: what is written
// with a date and no offset is the time of that zone, and is no stranger among others.
func placed(list []timecode.Reading, zone *time.Location) []timecode.Reading {
	if zone == nil {
		return list
	}
	list = slices.Clone(list)
	for i := range list {
		if list[i].Date != "" && list[i].Zone == "" {
			list[i].Place = zone.String()
		}
	}
	return list
}

// statedDay is recording.date, the date from whose midnight dated times count, or
// nothing.
func statedDay(stated Text, report source.Report) string {
	if !stated.Set {
		return ""
	}
	if _, err := time.Parse(time.DateOnly, stated.Value); err != nil {
		fault(stated, report, "read/bad-time", "recording.date is not a year-month-day (YYYY-MM-DD)")
		return ""
	}
	return stated.Value
}

// firstDay is the first date written in a list, or nothing.
func firstDay(list []timecode.Reading) string {
	for _, r := range list {
		if r.Date != "" {
			return r.Date
		}
	}
	return ""
}

// readings are the times that the clock's kind is decided by: where the recording
// starts, which is the first time its clock showed, and the stamps, or without any
// the times that case.yaml gives.
func readings(m *Material) (list []timecode.Reading, places []source.Pos) {
	add := func(t Text) {
		if r, err := timecode.ParseReading(t.Value); t.Set && err == nil {
			list, places = append(list, r), append(places, t.Pos)
		}
	}
	add(m.File.Recording.Starts)
	for _, s := range m.Stamps {
		list, places = append(list, s.At), append(places, s.Pos)
	}
	if len(m.Stamps) == 0 {
		for _, t := range m.File.times() {
			add(t)
		}
	}
	return list, places
}

// times are the moments that case.yaml gives on the recording's clock.
func (f *File) times() []Text {
	var out []Text
	for _, s := range f.Steps {
		out = append(out, s.At, s.Until)
		for _, reading := range s.Readings {
			out = append(out, reading.At)
		}
	}
	for _, e := range f.Events {
		out = append(out, e.At)
	}
	for _, p := range f.Pins {
		out = append(out, p.Recording)
	}
	return out
}

// zero is what the clock said at recording zero, on its own scale, and who says so:
// recording.starts, or a start that case.yaml gives for a file of the recording, or
// nobody.
func (c *recordingClock) zero(m *Material, report source.Report) (at time.Duration, from string) {
	file, accepted := c.files.zero(c, m)
	keys := m.File.Recording
	if keys.Starts.Set {
		r, err := timecode.ParseReading(keys.Starts.Value)
		if err == nil {
			at, err = c.reader.Time(r)
		}
		if err == nil {
			c.files.against(m, at, file, accepted, report)
			return at, "stated"
		}
		fault(keys.Starts, report, "read/bad-time", "recording.starts: %v", err)
	}
	if accepted {
		return file, "file"
	}
	if c.Kind == timecode.Wall {
		c.files.proposeStart(m, report)
	}
	return 0, ""
}

// half is half the unit that a reading is written to, and 0 where that is a second
// or less. A time of day in two fields is known to the minute.
func (c *recordingClock) half(r timecode.Reading) time.Duration {
	if c.Kind == timecode.Wall && len(r.Fields) == 2 {
		return 30 * time.Second
	}
	return 0
}

// halfOf is half for a time of case.yaml that could be read.
func (c *recordingClock) halfOf(t Text) time.Duration {
	r, err := timecode.ParseReading(t.Value)
	if err != nil {
		return 0
	}
	return c.half(r)
}

// when reads a time of case.yaml on the recording's clock. A wall clock that
// reads more than half a day before recording zero has passed midnight. A time
// outside recording.part belongs to nothing that is looked at, as a stamp does.
func (c *recordingClock) when(t Text, report source.Report) (time.Duration, bool) {
	if !t.Set || c.silent {
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
	if c.partStart != nil && at < *c.partStart || c.partEnd != nil && at > *c.partEnd {
		report(source.Finding{
			Pos: t.Pos, Path: t.Path, Severity: source.Caution, Rule: "time/outside-part",
			Message: c.shown(r) + " lies outside recording.part and is left out",
		})
		return 0, false
	}
	return at, true
}
