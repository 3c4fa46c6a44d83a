package annotate_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sideport/annotate"
	"sideport/timeline/source"
	"sideport/timeline/timecode"

	"github.com/google/go-cmp/cmp"
)

// The kinds of clock and how their times count: design section 5, point 7.
func TestClock(t *testing.T) {
	tests := []struct {
		name, keys, list string
		kind, zero       string
		times            []string // of the stamps, in list order
		found            []string // findings but time/clock, step/ and time/no-video-clock
	}{
		{"elapsed", "", "0:10 rhexis\n1:02:03.5 hydrodissection\n", "elapsed", "clock", []string{"10", "3723.5"}, nil},
		{"minutes above 59", "", "59:50 rhexis\n75:10 hydrodissection\n", "elapsed", "clock", []string{"3590", "4510"}, nil},
		{"elapsed from a stated start", "recording: {starts: \"0:10\"}\n", "0:15 rhexis\n", "elapsed", "stated", []string{"5"}, nil},
		{"wall by its first time", "", "02:00:00 rhexis\n02:00:10 hydrodissection\n", "wall", "first-stamp", []string{"0", "10"}, nil},
		{"elapsed below two hours", "", "01:59:59 rhexis\n", "elapsed", "clock", []string{"7199"}, nil},
		{"wall with a start", "recording: {starts: \"09:12:00\"}\n", "09:14:32 rhexis\n", "wall", "stated", []string{"152"}, nil},
		{"stated wall, two fields", "recording: {clock: wall}\n", "9:14 rhexis\n9:16 hydrodissection\n", "wall", "first-stamp", []string{"0", "120"}, nil},
		{"stated elapsed beats the look", "recording: {clock: elapsed}\n", "02:00:00 rhexis\n", "elapsed", "clock", []string{"7200"}, nil},
		{"any case of the word", "recording: {clock: Wall}\n", "9:14 rhexis\n", "wall", "first-stamp", []string{"0"}, nil},
		{"midnight", "", "23:59:50 rhexis\n00:00:10 hydrodissection\n00:01:00 phaco\n", "wall", "first-stamp", []string{"0", "20", "70"}, nil},
		{"midnight after the start", "recording: {starts: \"23:59:00\"}\n", "00:00:10 rhexis\n", "wall", "stated", []string{"70"}, nil},
		{"dates", "", "2026-03-01 23:59:50 rhexis\n2026-03-02 00:00:10 hydrodissection\n", "wall", "first-stamp", []string{"0", "20"}, nil},
		{"a date behind the stated one", "recording: {date: 2026-03-01, starts: \"23:59:00\"}\n", "2026-03-02 00:00:10 rhexis\n", "wall", "stated", []string{"70"}, nil},
		{"offsets that differ", "", "2026-03-01T09:14:32+05:30 rhexis\n2026-03-01T03:45:32Z hydrodissection\n", "wall", "first-stamp", []string{"0", "60"}, nil},
		{"offsets beside none", "", "2026-03-01T09:14:32+05:30 rhexis\n2026-03-01T09:15:32 hydrodissection\n", "wall", "first-stamp", []string{"0", "60"},
			[]string{"case/recording.txt:2:1: caution: this time does not read like the others, which count as time of day: a time has a date [time/mixed-clock]"}},
		{"offsets beside the time of the zone", "recording: {zone: Asia/Kolkata}\n", "2026-03-01T03:44:32Z rhexis\n2026-03-01T09:15:32 hydrodissection\n", "wall", "first-stamp", []string{"0", "60"}, nil},
		{"a start by the wall and stamps in UTC", "recording: {zone: Asia/Kolkata, starts: \"01:30:00\"}\n", "2026-02-28T20:00:10Z rhexis\n", "wall", "stated", []string{"10"}, nil},
		{"the clocks go forward", "recording: {zone: Europe/London}\n", "2026-03-29 00:50:00 rhexis\n2026-03-29 02:10:00 hydrodissection\n", "wall", "first-stamp", []string{"0", "1200"}, nil},
		{"the clocks go back", "recording: {zone: Europe/London}\n", "2026-10-25 01:50:00 rhexis\n2026-10-25 01:10:00 hydrodissection\n2026-10-25 02:10:00 phaco\n", "wall", "first-stamp", []string{"0", "1200", "4800"},
			[]string{"case/recording.txt:1:1: caution: the clocks of recording.zone were put back that night and showed this time twice; it is read as the first [time/shown-twice]"}},
		{"a time the clocks pass over", "recording: {zone: Europe/London}\n", "2026-03-29 00:50:00 rhexis\n2026-03-29 01:10:00 hydrodissection\n", "wall", "first-stamp", []string{"0"},
			[]string{"case/recording.txt:2:1: error: the clocks of the zone never show this time on that day, as they are put forward over it [read/bad-time]"}},
		{"a leap second", "", "2026-12-31T23:59:50Z rhexis\n2026-12-31T23:59:60Z hydrodissection\n2027-01-01T00:00:10Z phaco\n", "wall", "first-stamp", []string{"0", "9.999", "20"},
			[]string{"case/recording.txt:2:1: caution: the time names the leap second 60; it is read as the last millisecond of second 59 [time/leap-second]"}},
		{"am and pm", "", "11:59:50 am rhexis\n12:00:10 pm hydrodissection\n1:00:00 pm wash\n", "wall", "first-stamp", []string{"0", "20", "3610"}, nil},
		{"timecode", "recording: {rate: 25}\n", "01:00:00:00 rhexis\n01:00:01:05 hydrodissection\n", "timecode", "first-stamp", []string{"0", "1.2"}, nil},
		{"timecode without a rate", "", "01:00:00:00 rhexis\n", "timecode", "clock", nil,
			[]string{"case/recording.txt:1:1: error: these times count frames, and nothing says how many make a second [time/no-rate]"}},
		// One fact, one finding: a rate that cannot be read is not also a rate that is missing.
		{"timecode with a rate that is none", "recording: {rate: fast}\n", "01:00:00:00 rhexis\n", "timecode", "clock", nil,
			[]string{`case/case.yaml:4:19: error: recording.rate: frame rate "fast" is none of 23.976, 24, 25, 29.97, 30, 47.952, 48, 50, 59.94, 60 [read/rate]`}},
		{"timecode stated and nothing to read", "recording: {clock: timecode}\n", "", "timecode", "clock", nil,
			[]string{"case/case.yaml:4:20: error: these times count frames, and nothing says how many make a second [time/no-rate]"}},
		{"mixed", "recording: {clock: elapsed}\n", "0:10 rhexis\n9:14:00 am hydrodissection\n", "elapsed", "clock", []string{"10"}, []string{
			"case/recording.txt:2:1: error: the time is a time of day, not elapsed time [read/bad-time]",
			"case/recording.txt:2:1: caution: this time does not read like the others, which count as time since the recording began: the clock is stated [time/mixed-clock]",
		}},
		{"out of order", "", "0:50 hydrodissection\n0:40 rhexis\n", "elapsed", "clock", []string{"50", "40"},
			[]string{"case/recording.txt:2:1: caution: 0:40 is earlier than the time before it; the list is put in clock order [time/out-of-order]"}},
		// Findings are exported, the time of day never is.
		{"out of order by the time of day", "", "09:14:50 hydrodissection\n09:14:40 rhexis\n", "wall", "first-stamp", []string{"10", "0"},
			[]string{"case/recording.txt:2:1: caution: this time is earlier than the time before it; the list is put in clock order [time/out-of-order]"}},
		{"before the start", "recording: {starts: \"09:14:45\"}\n", "09:14:40 hydrodissection\n", "wall", "stated", []string{"-5"}, []string{
			"case/recording.txt:1:1: caution: this time lies 0:05.0 before the moment that recording.starts gives [time/before-start]",
		}},
		{"end before start", "", "0:50-0:40 hydrodissection\n", "elapsed", "clock", []string{"50"},
			[]string{"case/recording.txt:1:1: caution: the stamp ends 0:10.0 before it begins; the end is not used [time/end-before-start]"}},
		{"a start that is none", "recording: {starts: nine}\n", "0:50 hydrodissection\n", "elapsed", "clock", []string{"50"},
			[]string{`case/case.yaml:4:21: error: recording.starts: no time: "nine" does not start with one [read/bad-time]`}},
		{"a date that is none", "recording: {date: 1/3/26}\n", "0:50 hydrodissection\n", "elapsed", "clock", []string{"50"},
			[]string{"case/case.yaml:4:19: error: recording.date is not a year-month-day (YYYY-MM-DD) [read/bad-time]"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := resolve(t, map[string]string{"case.yaml": head + tt.keys, "recording.txt": tt.list})
			if got := c.Clock.Kind.String(); got != tt.kind || c.Clock.Zero != tt.zero {
				t.Errorf("clock = %s from %s, want %s from %s", got, c.Clock.Zero, tt.kind, tt.zero)
			}
			if diff := cmp.Diff(tt.times, markTimes(c)); diff != "" {
				t.Errorf("times (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(tt.found, faults(c.Findings)); diff != "" {
				t.Errorf("findings (-want +got):\n%s", diff)
			}
		})
	}
}

// The end of a stamp is read as its beginning is, over a change of the clocks and with
// the date left out. London's changes are those of the IANA Time Zone Database, europe.
func TestEndOfAStamp(t *testing.T) {
	const london = "recording: {zone: Europe/London}\n"
	tests := []struct{ name, keys, list, want string }{
		{"in the hour that comes twice", london, "2026-10-25 01:50:00 groove\n2026-10-25 01:10:00 - 2026-10-25 01:20:00 rhexis\n", "1200-1800"},
		{"from its first time to its second", london, "2026-10-25 00:50:00 groove\n2026-10-25 01:50:00 - 2026-10-25 01:20:00 rhexis\n", "3600-5400"},
		{"in its first time", london, "2026-10-25 00:50:00 groove\n2026-10-25 01:10:00 - 2026-10-25 01:20:00 rhexis\n", "1200-1800"},
		{"in the hour that comes twice, without a date", london, "2026-10-25 01:50:00 groove\n2026-10-25 01:10:00 - 01:20:00 rhexis\n", "1200-1800"},
		{"behind the hour left out, without a date", london, "2026-03-29 00:50:00 groove\n2026-03-29 02:10:00 - 02:20:00 rhexis\n", "1200-1800"},
		{"of another offset, without one", "", "2026-03-01T09:14:00+05:30 groove\n2026-03-01T03:45:00Z - 03:46:00 rhexis\n", "60-120"},
		{"over midnight, without a date", "", "2026-03-01 23:50:00 groove\n2026-03-01 23:59:00 - 00:01:00 rhexis\n", "540-660"},
		{"two days on, without a date", "", "2026-03-01 23:59:00 groove\n2026-03-03 00:01:00 - 00:02:00 rhexis\n", "86520-86580"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := resolve(t, map[string]string{"case.yaml": head + tt.keys, "recording.txt": tt.list})
			if got, want := strings.Join(stepLines(c)[1:], "|"), "capsulotomy 1 stamp "+tt.want+" -"; got != want {
				t.Errorf("steps = %s, want %s", got, want)
			}
			if found := printed(c.Findings, "time/end-before-start"); found != nil {
				t.Errorf("findings %v, want none", found)
			}
		})
	}
}

// The rate that a list of timecodes states for itself: frames counted by SMPTE ST
// 12-1 as in the tests of timecode.
func TestListStatesItsRate(t *testing.T) {
	tests := []struct {
		name, keys, list string
		times            []string
		found            []string
	}{
		{"its own", "", "start_tc,rate,label\n00:01:00;02,29.97 df,groove\n00:10:00;00,,rhexis\n", []string{"0", "539.9394"}, nil},
		{"case.yaml goes before", "recording: {rate: 25}\n", "start_tc,rate,label\n00:01:00:00,30,groove\n00:01:00:20,30,rhexis\n", []string{"0", "0.8"},
			[]string{"case/recording.csv:2:1: caution: this list counts frames at 30 a second, and recording.rate says 25; recording.rate counts [read/rate]"}},
		{"one a row", "", "start_tc,rate,label\n00:01:00:00,25,groove\n00:01:00:15,30,rhexis\n", []string{"0", "0.5"},
			[]string{"case/recording.csv:3:13: caution: this row counts frames at 30 a second and what stands above it at 25; each row is read at its own rate [read/rate]"}},
		{"none", "", "start_tc,label\n00:01:00:00,groove\n", nil,
			[]string{"case/recording.csv:2:1: error: these times count frames, and nothing says how many make a second [time/no-rate]"}},
		{"frames", "", "start_frame,rate,label\n1800,29.97,groove\n", []string{"60.06"}, nil},
		{"frames of no rate", "", "start_frame,label\n1800,groove\n", nil,
			[]string{"case/recording.csv:2:1: error: these times count frames, and the file does not say how many make a second [time/no-rate]"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := resolve(t, map[string]string{"case.yaml": head + tt.keys, "recording.csv": tt.list})
			if diff := cmp.Diff(tt.times, markTimes(c)); diff != "" {
				t.Errorf("times (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(tt.found, faults(c.Findings)); diff != "" {
				t.Errorf("findings (-want +got):\n%s", diff)
			}
		})
	}
}

// A column of frame numbers is counted at the rate its own file states, and one stated
// elsewhere does not go unanswered.
func TestFrameNumbersStateTheirRate(t *testing.T) {
	const list = "start_frame,label\n1800,groove\n"
	hints := func(found []source.Finding) (out []string) {
		for _, f := range found {
			if f.Rule == "time/no-rate" {
				out = append(out, f.Hint)
			}
		}
		return out
	}
	file := filepath.Join(t.TempDir(), "list.csv")
	if err := os.WriteFile(file, []byte(list), 0o644); err != nil {
		t.Fatal(err)
	}
	alone, err := annotate.LoadFiles("msics", file, "", "", "25")
	if err != nil {
		t.Fatal(err)
	}
	stated := resolve(t, map[string]string{"case.yaml": head + "recording: {rate: 25}\n", "recording.csv": list})
	against, err := stated.HoldAgainst(file, timecode.Unknown)
	if err != nil {
		t.Fatal(err)
	}
	own := strings.Join(hints(resolve(t, map[string]string{"case.yaml": head, "recording.csv": list}).Findings), "|")
	if !strings.Contains(own, "# rate: 25") || strings.Contains(own, "outside the file") {
		t.Errorf("hint without a rate stated: %s", own)
	}
	both := []string{own + "; the rate stated outside the file is that of timecode"}
	for _, tt := range []struct {
		name  string
		found []source.Finding
		want  []string
	}{
		{"recording.rate", stated.Findings, both},
		{"--rate", alone.Findings, both},
		{"a second list", against.Findings, both},
	} {
		if diff := cmp.Diff(tt.want, hints(tt.found)); diff != "" {
			t.Errorf("%s: hint (-want +got):\n%s", tt.name, diff)
		}
	}
}

func TestClockChoiceIsANote(t *testing.T) {
	c := resolve(t, map[string]string{"case.yaml": head, "recording.txt": "9:14:32 am rhexis\n"})
	want := []string{"case/recording.txt: note: the times are read as time of day: a time has am or pm [time/clock]"}
	if diff := cmp.Diff(want, printed(c.Findings, "time/clock")); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// What the clock said is never exported: without a stated start the first time
// there is counts as zero, also when only case.yaml has times.
func TestZeroWithoutStamps(t *testing.T) {
	tests := []struct{ name, keys, want string }{
		{"times of case.yaml", "steps: [{step: hydroprocedure, at: \"09:15:00\"}, {step: capsulotomy, at: \"09:14:32\"}]\n",
			"capsulotomy 1 case 0-28~ -|hydroprocedure 1 case 28-28~ -"},
		{"over midnight", "steps: [{step: capsulotomy, at: \"23:59:50\"}, {step: hydroprocedure, at: \"00:00:20\"}]\n",
			"capsulotomy 1 case 0-30~ -|hydroprocedure 1 case 30-30~ -"},
		{"a start", "recording: {starts: \"09:14:00\"}\nsteps: [{step: capsulotomy, at: \"09:14:32\"}]\n", "capsulotomy 1 case 32-32~ -"},
		{"elapsed", "steps: [{step: capsulotomy, at: \"14:32\", until: \"15:00\"}]\n", "capsulotomy 1 case 872-900 -"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := resolve(t, map[string]string{"case.yaml": head + tt.keys})
			if got := strings.Join(stepLines(c), "|"); got != tt.want {
				t.Errorf("steps = %s, want %s", got, tt.want)
			}
		})
	}
}

// Stamps outside recording.part are in no output: a list of a whole day's theatre
// holds the words for other patients too.
func TestPart(t *testing.T) {
	day := "08:02:00 rhexis\n08:03:00 somebody's name\n09:14:00 groove\n09:14:30 rhexis\n10:00:00 rhexis\n09:59:00 hydrodissection\n"
	c := resolve(t, map[string]string{
		"case.yaml":     head + "recording: {part: {from: \"09:10:00\", to: \"09:40:00\"}}\n",
		"recording.txt": day,
	})
	want := []string{"scleral-groove 1 stamp 0-30~ -", "capsulotomy 1 stamp 30-1560~ -"}
	if diff := cmp.Diff(want, stepLines(c)); diff != "" {
		t.Errorf("steps (-want +got):\n%s", diff)
	}
	found := []string{"case/case.yaml:4:26: note: 4 stamps lie outside recording.part and are left out of everything [time/outside-part]"}
	if diff := cmp.Diff(found, printed(c.Findings, "time/outside-part")); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if got := printed(c.Findings, "time/out-of-order"); got != nil {
		t.Errorf("a stamp outside the part is spoken of: %v", got)
	}
	for _, f := range c.Findings {
		if strings.Contains(f.Message, "somebody") {
			t.Errorf("a stamp outside the part is quoted: %s", f)
		}
	}

	c = resolve(t, map[string]string{
		"case.yaml":     head + "recording: {part: {from: \"0:20\", to: \"0:10\"}}\n",
		"recording.txt": "0:10 groove\n0:30 rhexis\n",
	})
	if diff := cmp.Diff([]string{"30"}, markTimes(c)); diff != "" {
		t.Errorf("a part that ends before it begins (-want +got):\n%s", diff)
	}
	reversed := []string{"case/case.yaml:4:38: caution: recording.part ends before it begins; its end is not used [time/end-before-start]"}
	if diff := cmp.Diff(reversed, faults(c.Findings)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
