package timecode

import (
	"cmp"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
	_ "time/tzdata" // the zones, where a machine has none of its own
)

// place reads the name of a time zone in brackets behind a date and time, as RFC
// 9557 has it. Brackets around anything else are text.
func (p *scanner) place() {
	if p.r.Date == "" || p.at(p.i) != '[' {
		return
	}
	n := strings.IndexByte(p.s[p.i:], ']')
	if n < 0 || n > 64 {
		return
	}
	name := strings.TrimPrefix(p.s[p.i+1:p.i+n], "!") // "!" says that readers may not pass over it
	if _, ok := loadZone(name); ok {
		p.r.Place = name
		p.i += n + 1
	}
}

// loadZone is the time zone of an IANA name.
func loadZone(name string) (*time.Location, bool) {
	if name == "" || name == "Local" {
		return nil, false
	}
	zone, err := time.LoadLocation(name)
	return zone, err == nil
}

// leap reads the second 60 as the last millisecond of 59. RFC 3339 writes leap
// seconds so; they are put in at 23:59:60 UTC and at no other moment.
func (r *Reading) leap() {
	if r.Date == "" || len(r.Fields) != 3 || r.Fields[2] != 60 {
		return
	}
	east, stated := r.East()
	if utc := r.Fields[0]*60 + r.Fields[1] - int(east/time.Minute); stated && (utc+2*1440)%1440 != 1439 {
		return
	}
	r.Fields[2], r.Frac, r.Leap = 59, 999*time.Millisecond, true
}

// East is how far ahead of UTC the reading's own offset puts it; stated is false
// when it has none. "-00:00" counts as UTC, though it says that nobody knows what
// the clock on the wall showed.
func (r Reading) East() (east time.Duration, stated bool) {
	if r.Zone == "" {
		return 0, false
	}
	if r.Zone == "Z" || r.Zone == "z" {
		return 0, true
	}
	digits := strings.Replace(r.Zone[1:], ":", "", 1)
	h, _ := strconv.Atoi(digits[:2]) // digits by the scanner
	m, _ := strconv.Atoi(digits[2:])
	east = time.Duration(h)*time.Hour + time.Duration(m)*time.Minute
	if r.Zone[0] == '-' {
		east = -east
	}
	return east, true
}

// OffsetUnknown reports whether the reading says that its distance from local time
// is not known: "-00:00". Source: RFC 3339 section 4.3.
func (r Reading) OffsetUnknown() bool { return r.Zone == "-00:00" || r.Zone == "-0000" }

// checkZone refuses offsets that no place has and those that a zone in brackets
// contradicts.
func (r Reading) checkZone() error {
	if r.Zone != "" && r.Zone != "Z" && r.Zone != "z" {
		digits := strings.Replace(r.Zone[1:], ":", "", 1)
		if digits[:2] > "23" || digits[2:] > "59" {
			return fmt.Errorf("the offset %q from UTC is above 23:59", r.Zone)
		}
	}
	if r.Place == "" || r.Zone == "" || r.Zone == "Z" || r.Zone == "z" || r.OffsetUnknown() {
		return nil // Z and -00:00 say nothing of local time, by RFC 9557
	}
	at, err := r.instant(nil)
	if err != nil {
		return err
	}
	zone, _ := loadZone(r.Place)
	_, there := at.In(zone).Zone()
	if east, _ := r.East(); east != time.Duration(there)*time.Second {
		return errors.New("the offset from UTC is not that of the zone in brackets at that moment")
	}
	return nil
}

// instant is the moment a dated reading names, as the clock of zone shows it where
// it states no offset of its own. A moment that such a clock shows twice is the
// first one; one that it never shows is an error.
func (r Reading) instant(zone *time.Location) (time.Time, error) {
	date, err := time.Parse(time.DateOnly, r.Date)
	if err != nil {
		return time.Time{}, errors.New("the date of the time is not a year-month-day")
	}
	clock, err := Clock{Kind: Wall}.wall(r)
	if err != nil {
		return time.Time{}, err
	}
	local := date.Add(clock) // as if it were UTC
	if east, stated := r.East(); stated {
		return local.Add(-east), nil
	}
	if r.Place != "" {
		zone, _ = loadZone(r.Place)
	}
	first, _, err := shown(local, zone)
	return first, err
}

// shown is when the clocks of a zone show a local time, given as if it were UTC: the
// first moment, and whether there is a second one.
func shown(local time.Time, zone *time.Location) (first time.Time, twice time.Duration, err error) {
	east := func(t time.Time) time.Duration {
		_, seconds := t.In(zone).Zone()
		return time.Duration(seconds) * time.Second
	}
	// a clock is changed once in two days at the most
	before, after := east(local.Add(-24*time.Hour)), east(local.Add(24*time.Hour))
	a, b := local.Add(-before), local.Add(-after)
	holdsA, holdsB := east(a) == before, east(b) == after
	switch {
	case holdsA && holdsB && a.Before(b):
		return a, b.Sub(a), nil
	case holdsA:
		return a, 0, nil
	case holdsB:
		return b, 0, nil
	}
	return time.Time{}, 0, errors.New("the clocks of the zone never show this time on that day, as they are put forward over it")
}

// In is the clock for a list that spans places or a change of the clocks: a reading
// with a date then counts as the moment it names, and not as what is written. zone
// is where the clock stands, or nil when that is not known; then readings are
// converted only when their offsets differ and each states its own. The scale is
// that of the first reading with a date that names a moment, so that on an ordinary
// day nothing changes; one the clocks of its zone never show is left for Time to refuse.
// What is written without a date is taken as that clock shows it.
func (c Clock) In(zone *time.Location, list []Reading) Clock {
	if c.Kind != Wall {
		return c
	}
	var first *Reading
	own, differ := true, false
	for i, r := range list {
		if r.Date == "" {
			continue
		}
		if first == nil {
			first = &list[i]
		}
		east, stated := r.East()
		firstEast, _ := first.East()
		own, differ = own && (stated || r.Place != ""), differ || east != firstEast || r.Place != first.Place
	}
	if first == nil || zone == nil && (!own || !differ) {
		return c
	}
	if zone == nil && first.Place != "" {
		zone, _ = loadZone(first.Place)
	}
	if zone == nil {
		east, _ := first.East()
		zone = time.FixedZone("", int(east/time.Second))
	}
	c.zone = zone
	day := first.Date // where no reading is a moment, Time refuses each
	for _, r := range list {
		if r.Date == "" {
			continue
		}
		if at, err := r.instant(zone); err == nil {
			_, east := at.In(zone).Zone()
			c.east = time.Duration(east) * time.Second
			day = at.Add(c.east).UTC().Format(time.DateOnly)
			break
		}
	}
	c.FirstDay = cmp.Or(c.FirstDay, day)
	return c
}

// Twice is how much later the clock shows the reading's time once more, when it is
// put back that night and the reading does not say which of the two it is; else 0.
func (c Clock) Twice(r Reading) time.Duration {
	if _, stated := r.East(); c.zone == nil || r.Date == "" || stated {
		return 0
	}
	date, err := time.Parse(time.DateOnly, r.Date)
	if err != nil {
		return 0
	}
	clock, err := Clock{Kind: Wall}.wall(r)
	if err != nil {
		return 0
	}
	zone := c.zone
	if r.Place != "" {
		zone, _ = loadZone(r.Place)
	}
	_, twice, err := shown(date.Add(clock), zone)
	if err != nil {
		return 0
	}
	return twice
}
