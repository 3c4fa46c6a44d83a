package timecode_test

import (
	"strings"
	"testing"
	"time"

	"sideport/timeline/timecode"
)

// The forms are those of RFC 3339 section 5.6 and its examples in 5.8, of RFC 9557
// for the name in brackets, and of ISO 8601 for the offset without a colon. The
// moments are those of GNU date (date -u -d), which knows neither leap seconds nor
// brackets; those are worked out by hand.
func TestRFC3339(t *testing.T) {
	for _, tt := range []struct {
		in, zone, place string
		leap            bool
		utc             string // of the moment, or - when the reading does not tell
	}{
		{"1985-04-12T23:20:50.52Z", "Z", "", false, "1985-04-12T23:20:50.52Z"},
		{"1996-12-19T16:39:57-08:00", "-08:00", "", false, "1996-12-20T00:39:57Z"},
		{"1990-12-31T23:59:60Z", "Z", "", true, "1990-12-31T23:59:59.999Z"},
		{"1990-12-31T15:59:60-08:00", "-08:00", "", true, "1990-12-31T23:59:59.999Z"},
		{"1937-01-01T12:00:27.87+00:20", "+00:20", "", false, "1937-01-01T11:40:27.87Z"},
		{"2026-03-01t09:14:32z", "z", "", false, "2026-03-01T09:14:32Z"},
		{"2026-03-01 09:14:32Z", "Z", "", false, "2026-03-01T09:14:32Z"},
		{"2026-03-01T09:14:32,25Z", "Z", "", false, "2026-03-01T09:14:32.25Z"},
		{"2026-03-01T09:14:32-00:00", "-00:00", "", false, "2026-03-01T09:14:32Z"},
		{"2026-03-01T09:14:32+0530", "+0530", "", false, "2026-03-01T03:44:32Z"},
		{"2026-03-01T09:14:32+05:30[Asia/Kolkata]", "+05:30", "Asia/Kolkata", false, "2026-03-01T03:44:32Z"},
		{"2026-03-01T09:14:32[!Asia/Kolkata]", "", "Asia/Kolkata", false, "-"},
		{"2026-03-01T09:14:32Z[Europe/Paris]", "Z", "Europe/Paris", false, "2026-03-01T09:14:32Z"},
		{"2027-01-01T05:29:60+05:30", "+05:30", "", true, "2026-12-31T23:59:59.999Z"},
		{"2026-12-31 23:59:60", "", "", true, "-"},
		{"2026-03-01T09:14:32+23:59", "+23:59", "", false, "2026-02-28T09:15:32Z"},
	} {
		r, err := timecode.ParseReading(tt.in)
		if err != nil {
			t.Errorf("ParseReading(%q) = error %v", tt.in, err)
			continue
		}
		if r.Text != tt.in || r.Zone != tt.zone || r.Place != tt.place || r.Leap != tt.leap {
			t.Errorf("ParseReading(%q) = %q, zone %q, place %q, leap %t, want zone %q, place %q, leap %t", tt.in, r.Text, r.Zone, r.Place, r.Leap, tt.zone, tt.place, tt.leap)
		}
		east, stated := r.East()
		if stated != (tt.utc != "-") {
			t.Errorf("%s: East stated = %t", tt.in, stated)
		}
		if !stated {
			continue
		}
		date, err := time.Parse(time.DateOnly, r.Date)
		if err != nil {
			t.Fatal(err)
		}
		clock, err := timecode.Clock{Kind: timecode.Wall}.Time(r)
		if err != nil {
			t.Fatal(err)
		}
		if got := date.Add(clock - east).Format(time.RFC3339Nano); got != tt.utc {
			t.Errorf("%s is the moment %s, want %s", tt.in, got, tt.utc)
		}
	}
}

// Z and -00:00 name one moment; only the second says that local time is not known.
func TestOffsetUnknown(t *testing.T) {
	for in, want := range map[string]bool{
		"2026-03-01T09:14:32-00:00": true, "2026-03-01T09:14:32-0000": true, "2026-03-01T09:14:32Z": false,
		"2026-03-01T09:14:32+00:00": false, "2026-03-01T09:14:32": false,
	} {
		if got := readings(t, in)[0].OffsetUnknown(); got != want {
			t.Errorf("OffsetUnknown of %s = %t, want %t", in, got, want)
		}
	}
}

func TestDatedTimesThatCannotBe(t *testing.T) {
	for in, want := range map[string]string{
		"2026-03-01T24:00:00Z":                    "the end of a day is written as 00:00 of the next",
		"2026-03-01T24:01:00Z":                    "hours 24 are above 23",
		"2026-03-01T09:14:60Z":                    "seconds 60 are above 59",
		"2026-03-01T23:59:60+05:30":               "seconds 60 are above 59",
		"2026-03-01T23:59:61Z":                    "seconds 61 are above 59",
		"09:14:60":                                "seconds 60 are above 59",
		"2026-03-01T09:14:32+24:00":               `the offset "+24:00" from UTC is above 23:59`,
		"2026-03-01T09:14:32+05:60":               `the offset "+05:60" from UTC is above 23:59`,
		"2026-02-30T09:14:32Z":                    "the date does not exist",
		"2026-03-01T09:14:32+01:00[Asia/Kolkata]": "not that of the zone in brackets",
		"2026-03-01T09:14:32Z[nowhere]":           "stands behind the time",
		"2026-03-01T09:14:32Z[Local]":             "stands behind the time",
		"2026-03-01T09:14:32Z[../etc/zone]":       "stands behind the time",
	} {
		if r, err := timecode.ParseReading(in); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("ParseReading(%q) = %+v, error %v, want %q in it", in, r, err, want)
		}
	}
}

// Text in brackets behind a time stays text.
func TestBracketsThatAreNoZone(t *testing.T) {
	at, _, rest, _, err := timecode.Cut("2026-03-01 09:14:32[OD] rhexis")
	if err != nil || at.Place != "" || rest != "[OD] rhexis" {
		t.Errorf("Cut = %+v, %q, %v, want the brackets in the text", at, rest, err)
	}
}

// Lists that span places or a change of the clocks. The changes are those of the
// IANA database: Europe/London goes forward on 2026-03-29 at 01:00 UTC and back on
// 2026-10-25 at 01:00 UTC; Asia/Kolkata never changes.
func TestClockIn(t *testing.T) {
	zone := func(name string) *time.Location {
		if name == "" {
			return nil
		}
		z, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		return z
	}
	for _, tt := range []struct {
		name, zone, list string
		want             string // times from the first one, or an error
		first            time.Duration
	}{
		{"no zone, one offset", "", "2026-03-01T09:14:32+05:30, 2026-03-01T09:15:32+05:30", "0s 1m0s", 9*time.Hour + 14*time.Minute + 32*time.Second},
		{"no zone, offsets that differ", "", "2026-03-01T09:14:32+05:30, 2026-03-01T03:45:32Z, 2026-03-01T05:46:32+02:00", "0s 1m0s 2m0s", 9*time.Hour + 14*time.Minute + 32*time.Second},
		{"no zone, one without an offset", "", "2026-03-01T09:14:32+05:30, 2026-03-01T09:15:32", "0s 1m0s", 9*time.Hour + 14*time.Minute + 32*time.Second},
		{"Z and the offset that is not known", "", "2026-03-01T09:14:32Z, 2026-03-01T09:15:32-00:00", "0s 1m0s", 9*time.Hour + 14*time.Minute + 32*time.Second},
		{"UTC read in a zone", "Asia/Kolkata", "2026-03-01T20:00:00Z, 2026-03-01T20:00:30Z", "0s 30s", time.Hour + 30*time.Minute},
		{"zones in brackets", "", "2026-03-01T09:14:32[Asia/Kolkata], 2026-03-01T03:45:32[Europe/London]", "0s 1m0s", 9*time.Hour + 14*time.Minute + 32*time.Second},
		{"an ordinary night", "Europe/London", "2026-03-01T23:50:00, 2026-03-02T00:10:00", "0s 20m0s", 23*time.Hour + 50*time.Minute},
		{"the clocks go forward", "Europe/London", "2026-03-29T00:50:00, 2026-03-29T02:10:00", "0s 20m0s", 50 * time.Minute},
		{"a time that is passed over", "Europe/London", "2026-03-29T00:50:00, 2026-03-29T01:10:00", "error: the clocks of the zone never show this time", 50 * time.Minute},
		{"the clocks go back", "Europe/London", "2026-10-25T00:50:00, 2026-10-25T01:30:00, 2026-10-25T02:10:00", "0s 40m0s 2h20m0s", 50 * time.Minute},
		{"offsets tell the two apart", "Europe/London", "2026-10-25T01:30:00+01:00, 2026-10-25T01:30:00+00:00", "0s 1h0m0s", time.Hour + 30*time.Minute},
		{"over the change and midnight", "America/New_York", "2026-10-31T23:50:00, 2026-11-01T00:10:00, 2026-11-01T03:00:00", "0s 20m0s 4h10m0s", 23*time.Hour + 50*time.Minute},
	} {
		list := readings(t, strings.Split(tt.list, ", ")...)
		clock := timecode.Clock{Kind: timecode.Wall, FirstDay: ""}.In(zone(tt.zone), list)
		if clock.FirstDay == "" {
			clock.FirstDay = list[0].Date
		}
		first, err := clock.Time(list[0])
		if err != nil || first != tt.first {
			t.Errorf("%s: first time = %v, %v, want %v", tt.name, first, err, tt.first)
		}
		var got []string
		for _, r := range list {
			at, err := clock.Time(r)
			if err != nil {
				got = []string{"error: " + err.Error()}
				break
			}
			got = append(got, (at - first).String())
		}
		if text := strings.Join(got, " "); !strings.HasPrefix(text, tt.want) || !strings.HasPrefix(tt.want, "error") && text != tt.want {
			t.Errorf("%s: times = %s, want %s", tt.name, text, tt.want)
		}
	}
}

// The first reading lies in the hour that Europe/London passes over on 2026-03-29:
// Time refuses it, and those behind it are converted all the same. Alone it is
// refused as well.
func TestClockInWithAFirstTimeThatIsPassedOver(t *testing.T) {
	london, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	list := readings(t, "2026-03-29T01:10:00", "2026-03-29T01:30:00Z", "2026-03-29T02:40:00")
	for n := 1; n <= len(list); n++ {
		clock := timecode.Clock{Kind: timecode.Wall}.In(london, list[:n])
		if at, err := clock.Time(list[0]); err == nil {
			t.Errorf("Time(%s) in a list of %d = %v, want an error", list[0], n, at)
		}
		for i, want := range []time.Duration{2*time.Hour + 30*time.Minute, 2*time.Hour + 40*time.Minute} {
			if i+1 >= n {
				break
			}
			if at, err := clock.Time(list[i+1]); err != nil || at != want {
				t.Errorf("Time(%s) = %v, %v, want %v", list[i+1], at, err, want)
			}
		}
	}
}

func TestTwice(t *testing.T) {
	london, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	for in, want := range map[string]time.Duration{
		"2026-10-25T00:59:59": 0, "2026-10-25T01:00:00": time.Hour, "2026-10-25T01:59:59": time.Hour, "2026-10-25T02:00:00": 0,
		"2026-10-25T01:30:00Z": 0, "2026-10-24T01:30:00": 0, "2026-03-29T01:30:00": 0,
	} {
		list := readings(t, in)
		clock := timecode.Clock{Kind: timecode.Wall}.In(london, readings(t, "2026-10-25T00:00:00"))
		if got := clock.Twice(list[0]); got != want {
			t.Errorf("Twice(%s) = %v, want %v", in, got, want)
		}
	}
	if got := (timecode.Clock{Kind: timecode.Wall}).Twice(readings(t, "2026-10-25T01:30:00")[0]); got != 0 {
		t.Errorf("Twice without a zone = %v, want 0", got)
	}
}
