package timecode_test

import (
	"strings"
	"testing"
	"time"

	"sideport/timeline/timecode"
)

func TestParseRate(t *testing.T) {
	for _, tt := range []struct {
		in   string
		want timecode.Rate
		text string
	}{
		{"25", timecode.Rate{Num: 25, Den: 1}, "25"},
		{"25.000", timecode.Rate{Num: 25, Den: 1}, "25"},
		{"25 fps", timecode.Rate{Num: 25, Den: 1}, "25"},
		{"23.98", timecode.Rate{Num: 24000, Den: 1001}, "23.976"},
		{"23.976", timecode.Rate{Num: 24000, Den: 1001}, "23.976"},
		{"23.97", timecode.Rate{Num: 24000, Den: 1001}, "23.976"},
		{"29.97", timecode.Rate{Num: 30000, Den: 1001}, "29.97"},
		{"30000/1001", timecode.Rate{Num: 30000, Den: 1001}, "29.97"},
		{"50/2", timecode.Rate{Num: 25, Den: 1}, "25"},
		{"29.97 drop", timecode.Rate{Num: 30000, Den: 1001, Drop: true}, "29.97 drop"},
		{"29.97df", timecode.Rate{Num: 30000, Den: 1001, Drop: true}, "29.97 drop"},
		{"29.97 NDF", timecode.Rate{Num: 30000, Den: 1001}, "29.97"},
		{"59.94 fps drop-frame", timecode.Rate{Num: 60000, Den: 1001, Drop: true}, "59.94 drop"},
	} {
		got, err := timecode.ParseRate(tt.in)
		if err != nil || got != tt.want {
			t.Errorf("ParseRate(%q) = %v, %v, want %v", tt.in, got, err, tt.want)
		}
		if got.String() != tt.text {
			t.Errorf("ParseRate(%q).String() = %q, want %q", tt.in, got.String(), tt.text)
		}
		if again, err := timecode.ParseRate(got.String()); err != nil || again != got {
			t.Errorf("ParseRate(%q) = %v, %v, want %v back", got.String(), again, err, got)
		}
	}
	for _, in := range []string{"", "0", "26", "25 drop", "30 df", "-25", "25/0", "29.97 frames", "NaN", "23.976 drop"} {
		if got, err := timecode.ParseRate(in); err == nil {
			t.Errorf("ParseRate(%q) = %v, want an error", in, got)
		}
	}
}

// Source: SMPTE ST 12-1: drop-frame counting is defined at 30000/1001 and 60000/1001.
func TestRates(t *testing.T) {
	var drop []string
	last := timecode.Rate{Num: 0, Den: 1}
	for _, r := range timecode.Rates() {
		if r.Num*last.Den <= last.Num*r.Den || r.Drop {
			t.Errorf("Rates has %v behind %v", r, last)
		}
		if got, err := timecode.ParseRate(r.String()); err != nil || got != r {
			t.Errorf("ParseRate(%q) = %v, %v, want %v", r, got, err, r)
		}
		if r.HasDrop() {
			drop = append(drop, r.String())
		}
		last = r
	}
	if got := strings.Join(drop, " "); got != "29.97 59.94" {
		t.Errorf("drop-frame counting exists at %s", got)
	}
	if (timecode.Rate{}).HasDrop() {
		t.Error("the unknown rate has drop-frame counting")
	}
}

// The table holds codes computed by npm smpte-timecode 1.3.6, an independent
// implementation of SMPTE ST 12-1, and the definition of non-drop counting. The
// seconds are frame x 1001 / (1000 N) worked out by hand.
func TestTimecodeTable(t *testing.T) {
	for _, tt := range []struct {
		h, m, s, f int
		rate       string
		frame      int64
		ns         int64
	}{
		{0, 0, 59, 29, "29.97 drop", 1799, 60_026_633_333},
		{0, 1, 0, 2, "29.97 drop", 1800, 60_060_000_000},
		{0, 10, 0, 0, "29.97 drop", 17982, 599_999_400_000},
		{1, 0, 0, 0, "29.97 drop", 107892, 3_599_996_400_000},
		{1, 23, 45, 12, "29.97 drop", 150612, 5_025_420_400_000},
		{23, 59, 59, 29, "29.97 drop", 2589407, 86_399_880_233_333},
		{0, 1, 0, 4, "59.94 drop", 3600, 60_060_000_000},
		{1, 0, 0, 0, "59.94 drop", 215784, 3_599_996_400_000},
		{1, 0, 0, 0, "29.97", 108000, 3_603_600_000_000},
		{1, 0, 0, 0, "23.976", 86400, 3_603_600_000_000},
		{1, 0, 0, 12, "25", 90012, 3_600_480_000_000},
	} {
		rate, err := timecode.ParseRate(tt.rate)
		if err != nil {
			t.Fatal(err)
		}
		frame, err := rate.Frame(tt.h, tt.m, tt.s, tt.f)
		if err != nil || frame != tt.frame {
			t.Errorf("%v.Frame(%d, %d, %d, %d) = %d, %v, want %d", rate, tt.h, tt.m, tt.s, tt.f, frame, err, tt.frame)
		}
		if got := rate.Duration(tt.frame); got != time.Duration(tt.ns) {
			t.Errorf("%v.Duration(%d) = %d, want %d", rate, tt.frame, got, tt.ns)
		}
		if h, m, s, f := rate.Code(tt.frame); h != tt.h || m != tt.m || s != tt.s || f != tt.f {
			t.Errorf("%v.Code(%d) = %d, %d, %d, %d, want %d, %d, %d, %d", rate, tt.frame, h, m, s, f, tt.h, tt.m, tt.s, tt.f)
		}
	}
}

// Source: SMPTE ST 12-1: the first two (29.97) or four (59.94) codes of a minute
// do not exist unless the minute divides by ten.
func TestCodesLeftOutAreRefused(t *testing.T) {
	for _, tt := range []struct {
		rate       string
		h, m, s, f int
		ok         bool
	}{
		{"29.97 drop", 0, 1, 0, 0, false},
		{"29.97 drop", 0, 1, 0, 1, false},
		{"29.97 drop", 0, 1, 0, 2, true},
		{"29.97 drop", 0, 10, 0, 0, true},
		{"29.97 drop", 0, 1, 1, 0, true},
		{"29.97", 0, 1, 0, 0, true},
		{"59.94 drop", 0, 1, 0, 3, false},
		{"59.94 drop", 0, 1, 0, 4, true},
		{"25", 0, 0, 0, 25, false},
		{"25", 24, 0, 0, 0, false},
		{"25", 0, 60, 0, 0, false},
		{"25", 0, 0, 60, 0, false},
		{"25", 0, 0, 0, -1, false},
	} {
		rate, err := timecode.ParseRate(tt.rate)
		if err != nil {
			t.Fatal(err)
		}
		_, err = rate.Frame(tt.h, tt.m, tt.s, tt.f)
		if (err == nil) != tt.ok {
			t.Errorf("%v.Frame(%d, %d, %d, %d) error = %v, want accepted %t", rate, tt.h, tt.m, tt.s, tt.f, err, tt.ok)
		}
		if err != nil && strings.ContainsAny(err.Error(), ":;") { // the code may be the time of day
			t.Errorf("%v.Frame(%d, %d, %d, %d) error %q quotes the code", rate, tt.h, tt.m, tt.s, tt.f, err)
		}
	}
}

// Every frame of a day goes to its code and back, and to whole milliseconds and
// back. The day lengths are those of SMPTE ST 12-1.
func TestEveryFrameOfADay(t *testing.T) {
	for _, tt := range []struct {
		rate string
		day  int64
	}{
		{"29.97 drop", 2_589_408}, {"59.94 drop", 5_178_816},
		{"23.976", 2_073_600}, {"24", 2_073_600}, {"25", 2_160_000}, {"29.97", 2_592_000}, {"30", 2_592_000},
		{"47.952", 4_147_200}, {"48", 4_147_200}, {"50", 4_320_000}, {"59.94", 5_184_000}, {"60", 5_184_000},
	} {
		rate, err := timecode.ParseRate(tt.rate)
		if err != nil {
			t.Fatal(err)
		}
		if got := rate.FramesPerDay(); got != tt.day {
			t.Errorf("%v.FramesPerDay() = %d, want %d", rate, got, tt.day)
		}
		for n := int64(0); n < tt.day; n++ {
			h, m, s, f := rate.Code(n)
			if back, err := rate.Frame(h, m, s, f); err != nil || back != n {
				t.Fatalf("%v: frame %d has code %02d:%02d:%02d:%02d, which gives %d, %v", rate, n, h, m, s, f, back, err)
			}
			if back := rate.FrameAt(rate.Duration(n).Truncate(time.Millisecond)); back != n {
				t.Fatalf("%v: frame %d cut to milliseconds gives frame %d", rate, n, back)
			}
		}
		if got := rate.CodeText(tt.day); got != "00:00:00:00" && got != "00:00:00;00" {
			t.Errorf("%v.CodeText(%d) = %s, want the code of frame 0", rate, tt.day, got)
		}
	}
}

// Why FrameAt rounds: the share of the frames of an hour that a time cut to
// milliseconds would put into the frame before, if it were cut once more. The
// lengths of frames alone give the counts: 24000/1001 has its frames at whole
// milliseconds once in 24, 30000/1001 once in 30, and so on.
func TestCutMillisecondsFallIntoTheFrameBefore(t *testing.T) {
	for _, tt := range []struct {
		rate         string
		wrong, outOf int64
	}{
		{"23.976", 23, 24}, {"29.97", 29, 30}, {"30", 2, 3}, {"59.94", 59, 60}, {"25", 0, 1}, {"50", 0, 1},
	} {
		rate, err := timecode.ParseRate(tt.rate)
		if err != nil {
			t.Fatal(err)
		}
		hour := rate.FramesPerDay() / 24
		wrong := int64(0)
		for n := range hour {
			cut := rate.Duration(n).Truncate(time.Millisecond)
			if int64(cut)*rate.Num/(rate.Den*int64(time.Second)) != n { // an hour of frames fits 63 bits at these rates
				wrong++
			}
			if rate.FrameAt(cut) != n {
				t.Fatalf("%v: FrameAt(%v) = %d, want %d", rate, cut, rate.FrameAt(cut), n)
			}
		}
		if wrong*tt.outOf != hour*tt.wrong {
			t.Errorf("%v: %d of %d frames, want %d in %d", rate, wrong, hour, tt.wrong, tt.outOf)
		}
	}
}

// A list of drop-frame codes that passes midnight goes on after a day of 2,589,408
// frames, not of 2,592,000. Source: SMPTE ST 12-1:2014; 600 frames later by hand.
func TestListOfDropFrameCodesIsCountedSo(t *testing.T) {
	reading := func(text string) timecode.Reading {
		r, err := timecode.ParseReading(text)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	list := []timecode.Reading{reading("23:59:50;00"), reading("00:00:10;00")}
	for _, tt := range []struct {
		rate   timecode.Rate
		list   []timecode.Reading
		drop   bool
		frames int64
	}{
		{timecode.Rate{Num: 30000, Den: 1001}, list, true, 600},
		{timecode.Rate{Num: 60000, Den: 1001}, list, true, 1200},
		{timecode.Rate{Num: 30000, Den: 1001}, []timecode.Reading{reading("23:59:50:00"), reading("00:00:10:00")}, false, 600},
		{timecode.Rate{Num: 30000, Den: 1001}, []timecode.Reading{reading("23:59:50:00"), reading("00:00:10;00")}, false, 0},
		{timecode.Rate{Num: 25, Den: 1}, list, false, 0},
	} {
		rate := tt.rate.CountedAs(tt.list)
		if rate.Drop != tt.drop {
			t.Errorf("%v.CountedAs(%v) counts drop-frame: %v, want %v", tt.rate, tt.list, rate.Drop, tt.drop)
		}
		if tt.frames == 0 {
			continue
		}
		c := timecode.Clock{Kind: timecode.Timecode, Rate: rate}
		var times []time.Duration
		for _, r := range tt.list {
			at, err := c.Time(r)
			if err != nil {
				t.Fatal(err)
			}
			times = append(times, at)
		}
		rolled, _ := c.Roll(times)
		if got, want := rolled[1]-rolled[0], rate.Duration(tt.frames); (got - want).Abs() > time.Nanosecond {
			t.Errorf("%v at %v: %v apart, want %v", tt.list, rate, got, want)
		}
	}
}
