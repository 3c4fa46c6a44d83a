package timecode_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline/timecode"
)

func readings(t *testing.T, texts ...string) []timecode.Reading {
	t.Helper()
	var list []timecode.Reading
	for _, text := range texts {
		r, err := timecode.ParseReading(text)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, r)
	}
	return list
}

func TestClassify(t *testing.T) {
	for _, tt := range []struct {
		list   string
		stated timecode.Kind
		want   timecode.Kind
		mixed  int
	}{
		{"0:41, 1:12, 75:10", 0, timecode.Elapsed, -1},
		{"0:41, 1:02:03", 0, timecode.Elapsed, -1},
		{"0:41, 3:02:03", 0, timecode.Elapsed, -1},
		{"01:59:59, 02:10:00", 0, timecode.Elapsed, -1},
		{"02:00:00, 02:10:00", 0, timecode.Wall, -1},
		{"09:14:32, 09:15:10", 0, timecode.Wall, -1},
		{"09:14:32, 15:10", 0, timecode.Wall, 1},
		{"0:10:00, 9:14 am", 0, timecode.Wall, 0},
		{"9:14 am, 9:20 am", 0, timecode.Wall, -1},
		{"11:58:00 am, 12:05:00", 0, timecode.Wall, 1},
		{"11:58:00 am, 13:05:00", 0, timecode.Wall, -1},
		{"2026-03-01 00:14:32, 00:15:10", 0, timecode.Wall, -1},
		{"2026-03-01T09:14:32Z, 2026-03-01T09:14:32+05:30", 0, timecode.Wall, -1}, // each states its own
		{"2026-03-01T09:14:32Z, 2026-03-01T09:15:32, 2026-03-01T09:16:32Z", 0, timecode.Wall, 1},
		{"2026-03-01T09:14:32, 2026-03-01T09:15:32[Asia/Kolkata]", 0, timecode.Wall, 1},
		{"01:00:00:12, 01:00:05:00", 0, timecode.Timecode, -1},
		{"0:41, 01:00:05:00", 0, timecode.Timecode, 0},
		{"01:00:00:12, 9:00:00 am", 0, timecode.Wall, 0},
		{"09:14:32, 09:15:10", timecode.Elapsed, timecode.Elapsed, -1},
		{"09:14, 09:15", timecode.Wall, timecode.Wall, -1},
		{"00:14:32", timecode.Wall, timecode.Wall, -1},
		{"0:41", timecode.Timecode, timecode.Timecode, 0},
		{"0:41, 9:14 am", timecode.Elapsed, timecode.Elapsed, 1},
	} {
		list := readings(t, strings.Split(tt.list, ", ")...)
		kind, why, mixed := timecode.Classify(list, tt.stated)
		if kind != tt.want || mixed != tt.mixed {
			t.Errorf("Classify(%s; stated %v) = %v, mixed %d, want %v, mixed %d", tt.list, tt.stated, kind, mixed, tt.want, tt.mixed)
		}
		if why == "" {
			t.Errorf("Classify(%s) gives no reason", tt.list)
		}
	}
	if kind, _, mixed := timecode.Classify(nil, timecode.Unknown); kind != timecode.Unknown || mixed != -1 {
		t.Errorf("Classify(nil) = %v, %d, want unknown, -1", kind, mixed)
	}
}

func TestClockTime(t *testing.T) {
	ntsc := timecode.Rate{Num: 30000, Den: 1001}
	wall := timecode.Clock{Kind: timecode.Wall}
	dated := timecode.Clock{Kind: timecode.Wall, FirstDay: "2026-02-28"}
	for _, tt := range []struct {
		clock timecode.Clock
		in    string
		want  string // as Duration.String, or the start of an error
	}{
		{timecode.Clock{Kind: timecode.Elapsed}, "75:10.5", "1h15m10.5s"},
		{timecode.Clock{Kind: timecode.Elapsed}, "27:00:00", "27h0m0s"},
		{timecode.Clock{Kind: timecode.Elapsed}, "9:14 am", "error: the time is a time of day"},
		{timecode.Clock{Kind: timecode.Elapsed}, "01:00:00:12", "error: the time has frames"},
		{wall, "09:14:32", "9h14m32s"},
		{wall, "9:14:32 pm", "21h14m32s"},
		{wall, "12:00:00 am", "0s"},
		{wall, "12:30 pm", "12h30m0s"},
		{wall, "14:05:10 pm", "14h5m10s"},
		{wall, "09:14", "9h14m0s"},
		{wall, "25:00:00", "error: hours 25 are above 23"},
		{wall, "75:10", "error: hours 75 are above 23"},
		{wall, "09:14.5", "error: the time has decimals"},
		{timecode.Clock{Kind: timecode.Wall, ShortIsMinutes: true}, "09:14", "error: the time has two fields"},
		{timecode.Clock{Kind: timecode.Wall, ShortIsMinutes: true}, "9:14 am", "9h14m0s"},
		{wall, "2026-03-01 09:14:32", "9h14m32s"},
		{dated, "2026-03-01 00:10:00", "24h10m0s"},
		{dated, "2126-02-28 00:00:00", "876576h0m0s"}, // 36 524 days by GNU date
		{dated, "2126-02-28 00:00:01", "error: the date lies more than 100 years"},
		{dated, "1926-02-27 23:59:59", "error: the date lies more than 100 years"},
		{dated, "9999-12-31 23:59:59", "error: the date lies more than 100 years"},
		{dated.In(time.UTC, readings(t, "2026-02-28 09:00:00")), "9999-12-31 23:59:59", "error: the date lies more than 100 years"},
		{dated.In(time.UTC, readings(t, "2026-02-28 09:00:00")), "0001-01-01 00:00:00", "error: the date lies more than 100 years"},
		{timecode.Clock{Kind: timecode.Timecode}, "01:00:00:12", "error: a timecode with frames is a time only with its frame rate"},
		{timecode.Clock{Kind: timecode.Timecode, Rate: timecode.Rate{Num: 25, Den: 1}}, "01:00:00:12", "1h0m0.48s"},
		{timecode.Clock{Kind: timecode.Timecode, Rate: timecode.Rate{Num: 25, Den: 1}}, "01:00:00;12", "error: the time is written drop-frame"},
		{timecode.Clock{Kind: timecode.Timecode, Rate: timecode.Rate{Num: 25, Den: 1}}, "01:00:00", "error: the time has no frames"},
		{timecode.Clock{Kind: timecode.Timecode, Rate: ntsc}, "01:00:00:00", "1h0m3.6s"},
		{timecode.Clock{Kind: timecode.Timecode, Rate: ntsc}, "01:00:00;00", "59m59.9964s"},
		{timecode.Clock{Kind: timecode.Timecode, Rate: ntsc}, "00:01:00;00", "error: drop-frame counting leaves this timecode out"},
		{timecode.Clock{}, "0:41", "error: the kind of clock is unknown"},
	} {
		d, err := tt.clock.Time(readings(t, tt.in)[0])
		got := d.String()
		if err != nil {
			got = "error: " + err.Error()
		}
		if got != tt.want && !(strings.HasPrefix(tt.want, "error") && strings.HasPrefix(got, tt.want)) {
			t.Errorf("%v clock.Time(%s) = %s, want %s", tt.clock.Kind, tt.in, got, tt.want)
		}
	}
}

func TestRoll(t *testing.T) {
	at := func(texts ...string) []time.Duration {
		var out []time.Duration
		for _, s := range texts {
			d, err := timecode.ParseClockDuration(s)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, d)
		}
		return out
	}
	drop := timecode.Clock{Kind: timecode.Timecode, Rate: timecode.Rate{Num: 30000, Den: 1001, Drop: true}}
	for _, tt := range []struct {
		name  string
		clock timecode.Clock
		in    []time.Duration
		want  []time.Duration
		out   []int
	}{
		{"passes midnight", timecode.Clock{Kind: timecode.Wall}, at("23:58:00", "0:01:00", "0:05:00"), at("23:58:00", "24:01:00", "24:05:00"), nil},
		{"small step back", timecode.Clock{Kind: timecode.Wall}, at("9:10:00", "9:41:00", "9:14:00", "9:15:00"), at("9:10:00", "9:41:00", "9:14:00", "9:15:00"), []int{2}},
		{"half a day and a nanosecond back passes midnight", timecode.Clock{Kind: timecode.Wall}, at("13:00:00", "0:59:59.999999999"), at("13:00:00", "24:59:59.999999999"), nil},
		{"half a day less a nanosecond back is out of order", timecode.Clock{Kind: timecode.Wall}, at("13:00:00", "1:00:00.000000001"), at("13:00:00", "1:00:00.000000001"), []int{1}},
		// half a day of 29.97 drop-frame code lasts 43 199.9568 s, SMPTE ST 12-1
		{"half a day of frames back is out of order", drop, []time.Duration{13 * time.Hour, 13*time.Hour - 43_199_956_800_000}, []time.Duration{13 * time.Hour, 13*time.Hour - 43_199_956_800_000}, []int{1}},
		{"half a day of frames and more passes midnight", drop, []time.Duration{13 * time.Hour, 13*time.Hour - 43_199_956_800_001}, []time.Duration{13 * time.Hour, 13*time.Hour + 43_199_956_799_999}, nil},
		{"half a day back is out of order", timecode.Clock{Kind: timecode.Wall}, at("13:00:00", "1:00:00"), at("13:00:00", "1:00:00"), []int{1}},
		{"late entry after midnight", timecode.Clock{Kind: timecode.Wall}, at("23:58:00", "0:01:00", "23:59:00", "0:05:00"), at("23:58:00", "24:01:00", "23:59:00", "24:05:00"), []int{2}},
		{"two midnights", timecode.Clock{Kind: timecode.Wall}, at("23:00:00", "0:10:00", "11:00:00", "22:00:00", "0:20:00"), at("23:00:00", "24:10:00", "35:00:00", "46:00:00", "48:20:00"), nil},
		{"elapsed never rolls", timecode.Clock{Kind: timecode.Elapsed}, at("23:58:00", "0:01:00"), at("23:58:00", "0:01:00"), []int{1}},
		{"equal times are in order", timecode.Clock{Kind: timecode.Elapsed}, at("0:41", "0:41"), at("0:41", "0:41"), nil},
		// 2026-03-01 23:50, then 0:10 without a date, then 2026-03-02 0:20, counted from the first day's midnight
		{"a date behind a passed midnight", timecode.Clock{Kind: timecode.Wall, FirstDay: "2026-03-01"}, at("23:50:00", "0:10:00", "24:20:00", "0:30:00"), at("23:50:00", "24:10:00", "24:20:00", "24:30:00"), nil},
		// a day of 29.97 drop-frame code lasts 86 399.9136 s, SMPTE ST 12-1
		{"day of frames", drop, at("23:59:50", "0:00:10"), at("23:59:50", "24:00:09.9136"), nil},
	} {
		got, out := tt.clock.Roll(tt.in)
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("%s: Roll (-want +got):\n%s", tt.name, diff)
		}
		if diff := cmp.Diff(tt.out, out); diff != "" {
			t.Errorf("%s: Roll out of order (-want +got):\n%s", tt.name, diff)
		}
	}
	if got, _ := timecode.Roll(timecode.Wall, at("23:58:00", "0:01:00")); got[1] != 24*time.Hour+time.Minute {
		t.Errorf("Roll(wall) second time = %v, want 24h1m0s", got[1])
	}
}

func TestParseClockDuration(t *testing.T) {
	for _, tt := range []struct {
		in   string
		want time.Duration
	}{
		{"4:05.2", 245200 * time.Millisecond},
		{"0:41", 41 * time.Second},
		{"1:02:03.5", 3723500 * time.Millisecond},
		{"65.2 s", 65200 * time.Millisecond},
		{"65,2s", 65200 * time.Millisecond},
		{"245", 245 * time.Second},
		{"0.000000001", 1},
		{"250 ms", 250 * time.Millisecond},
		{"1m17s", 77 * time.Second},
		{"2 min 5 s", 125 * time.Second},
		{"1.5 h", 90 * time.Minute},
		{" 0:41 ", 41 * time.Second},
	} {
		got, err := timecode.ParseClockDuration(tt.in)
		if err != nil || got != tt.want {
			t.Errorf("ParseClockDuration(%q) = %v, %v, want %v", tt.in, got, err, tt.want)
		}
	}
	for _, in := range []string{"", "  ", "s", "-5", "5 mm", "1s 1m", "1e3", "9:14 am", "01:00:00:12", "0:75", "1.", "99999999999 h", "1.0000000001", "1..2"} {
		if got, err := timecode.ParseClockDuration(in); err == nil {
			t.Errorf("ParseClockDuration(%q) = %v, want an error", in, got)
		}
	}
}

func TestFormat(t *testing.T) {
	for _, tt := range []struct {
		in               time.Duration
		tenth, short, ms string
	}{
		{0, "0:00.0", "0:00", "00:00:00.000"},
		{77 * time.Second, "1:17.0", "1:17", "00:01:17.000"},
		{3723500 * time.Millisecond, "1:02:03.5", "1:02:03", "01:02:03.500"},
		{59949999999, "0:59.9", "0:59", "00:00:59.950"},
		{59999999999, "1:00.0", "0:59", "00:01:00.000"},
		{3599950 * time.Millisecond, "1:00:00.0", "59:59", "00:59:59.950"},
		{100 * time.Hour, "100:00:00.0", "100:00:00", "100:00:00.000"},
		{-5500 * time.Millisecond, "-0:05.5", "-0:05", "-00:00:05.500"},
		{-1, "0:00.0", "-0:00", "00:00:00.000"},
	} {
		if got := timecode.Format(tt.in); got != tt.tenth {
			t.Errorf("Format(%d) = %q, want %q", tt.in, got, tt.tenth)
		}
		if got := timecode.FormatShort(tt.in); got != tt.short {
			t.Errorf("FormatShort(%d) = %q, want %q", tt.in, got, tt.short)
		}
		if got := timecode.FormatMS(tt.in); got != tt.ms {
			t.Errorf("FormatMS(%d) = %q, want %q", tt.in, got, tt.ms)
		}
	}
}
