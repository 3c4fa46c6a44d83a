package timecode_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline/timecode"
)

func TestParseReading(t *testing.T) {
	type R = timecode.Reading
	for _, tt := range []struct {
		in   string
		want R
	}{
		{"0:41", R{Fields: []int{0, 41}}},
		{"75:10", R{Fields: []int{75, 10}}},
		{"125:10", R{Fields: []int{125, 10}}},
		{"0:41.5", R{Fields: []int{0, 41}, Frac: 500 * time.Millisecond}},
		{"0:41,5", R{Fields: []int{0, 41}, Frac: 500 * time.Millisecond}},
		{"1:02:03.000000001", R{Fields: []int{1, 2, 3}, Frac: 1}},
		{"09.14.32", R{Fields: []int{9, 14, 32}}},
		{"9.14.32", R{Fields: []int{9, 14, 32}}},
		{"9:14:32 am", R{Fields: []int{9, 14, 32}, Meridiem: 1}},
		{"9:14:32PM", R{Fields: []int{9, 14, 32}, Meridiem: 2}},
		{"9:14 p.m.", R{Fields: []int{9, 14}, Meridiem: 2}},
		{"14:05:10 pm", R{Fields: []int{14, 5, 10}, Meridiem: 2}},
		{"01:00:00:12", R{Fields: []int{1, 0, 0, 12}}},
		{"01:00:00;12", R{Fields: []int{1, 0, 0, 12}, Drop: true}},
		{"2026-03-01 09:14:32", R{Fields: []int{9, 14, 32}, Date: "2026-03-01"}},
		{"2026-03-01T09:14:32+05:30", R{Fields: []int{9, 14, 32}, Date: "2026-03-01", Zone: "+05:30"}},
		{"2026-03-01t09:14:32.25z", R{Fields: []int{9, 14, 32}, Frac: 250 * time.Millisecond, Date: "2026-03-01", Zone: "z"}},
		{"2026-03-01T09:14:32+0530", R{Fields: []int{9, 14, 32}, Date: "2026-03-01", Zone: "+0530"}},
	} {
		tt.want.Text = tt.in
		got, err := timecode.ParseReading(tt.in)
		if err != nil {
			t.Errorf("ParseReading(%q) = error %v", tt.in, err)
			continue
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("ParseReading(%q) (-want +got):\n%s", tt.in, diff)
		}
	}
}

func TestParseReadingSaysWhatIsWrong(t *testing.T) {
	for _, tt := range []struct {
		in, want string
		noTime   bool
	}{
		{"1:75:00", "minutes 75 are above 59", false},
		{"0:75", "seconds 75 are above 59", false},
		{"9:75 am", "minutes 75 are above 59", false},
		{"13:05 am", "hours 13 are above 12 with am", false},
		{"0:05 pm", "hours 0 are below 1 with pm", false},
		{"2026-03-01 25:00:00", "hours 25 are above 23", false},
		{"2026-02-30 09:00:00", "the date does not exist", false},
		{"01/03/2026 09:14:32", "year-month-day", true},
		{"1.3.2026 09:14:32", "year-month-day", true},
		{"9:14:5", `field "5" behind a colon has 1 digits`, false},
		{"9:14:500", `field "500" behind a colon has 3 digits`, false},
		{"1:02:03:04:05", "at most four fields", false},
		{"01:00:00:12.5", "frames carry no decimals", false},
		{"9:00:00:12 am", "am", true},
		{"0:41.1234567890", "10 decimals", false},
		{"1:1000", "no time", true},
		{"1:5", "no time", true},
		{"1.2.3", "no time", true},
		{"10.0.0.1", "no time", true},
		{"14.32.10.20", "no time", true},
		{"rhexis", "no time", true},
		{"-0:41", "no time", true},
		{"", "no time", true},
		{"0:41 x", `" x" stands behind the time`, true},
	} {
		_, err := timecode.ParseReading(tt.in)
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("ParseReading(%q) = error %v, want %q in it", tt.in, err, tt.want)
			continue
		}
		if got := errors.Is(err, timecode.ErrNoTime); got != tt.noTime {
			t.Errorf("ParseReading(%q): is ErrNoTime = %t, want %t (%v)", tt.in, got, tt.noTime, err)
		}
	}
}

func TestCut(t *testing.T) {
	for _, tt := range []struct{ line, at, end, rest string }{
		{"0:41 rhexis", "0:41", "", "rhexis"},
		{"  0:41\t\trhexis  ", "0:41", "", "rhexis"},
		{"09:14:32 - rhexis", "09:14:32", "", "rhexis"},
		{"09:14:32 – rhexis", "09:14:32", "", "rhexis"},
		{"[09:14:32] rhexis", "09:14:32", "", "rhexis"},
		{"(0:41) rhexis", "0:41", "", "rhexis"},
		{"09.14.32 rhexis", "09.14.32", "", "rhexis"},
		{"09:14:32–09:15:10 rhexis", "09:14:32", "09:15:10", "rhexis"},
		{"09:14:32-09:15:10 rhexis", "09:14:32", "09:15:10", "rhexis"},
		{"[09:14:32] - [09:15:10]: rhexis", "09:14:32", "09:15:10", "rhexis"},
		{"[09:14:32-09:15:10] rhexis", "09:14:32", "09:15:10", "rhexis"},
		{"0:41 to 1:12 rhexis", "0:41", "1:12", "rhexis"},
		{"0:41,000 --> 1:10,000 rhexis", "0:41,000", "1:10,000", "rhexis"},
		{"9:14:32 am: rhexis", "9:14:32 am", "", "rhexis"},
		{"9:14 PM rhexis", "9:14 PM", "", "rhexis"},
		{"0:41.5 rhexis", "0:41.5", "", "rhexis"},
		{"0:41,5 rhexis", "0:41,5", "", "rhexis"},
		{"0:41, rhexis", "0:41", "", "rhexis"},
		{"0:41. rhexis", "0:41", "", "rhexis"},
		{"1. 0:41 rhexis", "0:41", "", "rhexis"},
		{"12) 0:41 rhexis", "0:41", "", "rhexis"},
		{"#3 0:41 rhexis", "0:41", "", "rhexis"},
		{"(3) [0:41] rhexis", "0:41", "", "rhexis"},
		{"3\t0:41\trhexis", "0:41", "", "rhexis"},
		{"- 0:41 rhexis", "0:41", "", "rhexis"},
		{"• 0:41 rhexis", "0:41", "", "rhexis"},
		{"01:00:00;12 rhexis", "01:00:00;12", "", "rhexis"},
		{"2026-03-01T09:14:32+05:30 rhexis", "2026-03-01T09:14:32+05:30", "", "rhexis"},
		{"2026-03-01 09:14:32-09:15:10 rhexis", "2026-03-01 09:14:32", "09:15:10", "rhexis"},
		{"0:41", "0:41", "", ""},
		// what stands behind the time is not always a separator or an end
		{"09:14:32 - 3 mm tunnel", "09:14:32", "", "3 mm tunnel"},
		{"0:41 -3 D", "0:41", "", "-3 D"},
		{"0:41 2.8 mm keratome", "0:41", "", "2.8 mm keratome"},
		{"0:41 - 1:10 000 adrenaline", "0:41", "", "1:10 000 adrenaline"},
		{"0:41 - 1:10,000 adrenaline", "0:41", "", "1:10,000 adrenaline"},
		{"0:41 - 1:1000 adrenaline", "0:41", "", "1:1000 adrenaline"},
		{"09:14:32 - 1:10 dilution", "09:14:32", "", "1:10 dilution"},
		{"0:41 - 1:75 dilution", "0:41", "", "1:75 dilution"},
		{"0:41 amaurotic", "0:41", "", "amaurotic"},
		{"0:41 é", "0:41", "", "é"},
		{"0:41 तंगली", "0:41", "", "तंगली"},
	} {
		at, end, rest, offset, err := timecode.Cut(tt.line)
		if err != nil {
			t.Errorf("Cut(%q) = error %v", tt.line, err)
			continue
		}
		gotEnd := ""
		if end != nil {
			gotEnd = end.Text
			if tt.line[end.Offset:end.Offset+len(end.Text)] != end.Text {
				t.Errorf("Cut(%q) end offset = %d, which is not at %q", tt.line, end.Offset, end.Text)
			}
		}
		if at.Text != tt.at || gotEnd != tt.end || rest != tt.rest {
			t.Errorf("Cut(%q) = %q, %q, %q, want %q, %q, %q", tt.line, at.Text, gotEnd, rest, tt.at, tt.end, tt.rest)
		}
		if tt.line[offset:offset+len(rest)] != rest {
			t.Errorf("Cut(%q) rest offset = %d, which is not at %q", tt.line, offset, rest)
		}
		if tt.line[at.Offset:at.Offset+len(at.Text)] != at.Text {
			t.Errorf("Cut(%q) time offset = %d, which is not at %q", tt.line, at.Offset, at.Text)
		}
	}
}

func TestCutRefuses(t *testing.T) {
	for _, tt := range []struct {
		line, want string
		offset     int
	}{
		{"0:75 rhexis", "seconds 75 are above 59", 0},
		{"1. 0:75 rhexis", "seconds 75 are above 59", 3},
		{"09:14:32-09:75:10 rhexis", "minutes 75 are above 59", 9},
		{"rhexis at 0:41", "no time", 0},
		{"1:10 000 adrenaline", "no time", 0},
		{"1:10,000 adrenaline", "no time", 0},
		{"5.5 mm rhexis", "no time", 0},
		{"01/03/2026 09:14:32 rhexis", "year-month-day", 0},
	} {
		at, _, _, _, err := timecode.Cut(tt.line)
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("Cut(%q) = error %v, want %q in it", tt.line, err, tt.want)
		}
		if at.Offset != tt.offset {
			t.Errorf("Cut(%q) offset of the error = %d, want %d", tt.line, at.Offset, tt.offset)
		}
	}
}

func FuzzCut(f *testing.F) {
	for _, s := range []string{
		"0:41 rhexis", "[09:14:32]-[09:15:10] x", "1. 9:14:32 a.m. - x", "2026-03-01T09:14:32-05:30 x",
		"01:00:00;12", "09.14.32", "1:10,000", "• 0:41,5", "(3) (0:41) -3 D", "0:41 --> 1:12",
		"2026-03-01t09:14:32,5z", "1990-12-31T23:59:60Z x", "2026-03-01T09:14:32+0530[Asia/Kolkata] x", "2026-03-01T09:14:32-00:00", "2026-03-01 24:00:00",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, line string) {
		at, end, rest, offset, err := timecode.Cut(line)
		if at.Offset < 0 || at.Offset > len(line) {
			t.Fatalf("Cut(%q) offset = %d, outside the line", line, at.Offset)
		}
		if err != nil {
			return
		}
		if line[offset:offset+len(rest)] != rest {
			t.Fatalf("Cut(%q) rest %q is not at %d", line, rest, offset)
		}
		for _, r := range []*timecode.Reading{&at, end} {
			if r == nil {
				continue
			}
			again, err := timecode.ParseReading(r.Text)
			if err != nil {
				t.Fatalf("ParseReading(%q) = error %v, though Cut(%q) read it", r.Text, err, line)
			}
			again.Offset = r.Offset
			if diff := cmp.Diff(*r, again); diff != "" {
				t.Fatalf("ParseReading(%q) differs from Cut (-cut +parse):\n%s", r.Text, diff)
			}
		}
	})
}
