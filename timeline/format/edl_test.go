package format_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// showEvent prints an event as place kind record source speed reel|clip, times in
// seconds.
func showEvent(ev timeline.EditEvent) string {
	start := ""
	if ev.FileStart != 0 {
		start = " file from " + seconds(ev.FileStart)
	}
	return fmt.Sprintf("event %s %s video %s-%s source %s-%s%s speed %d/%d | %s | %s", place(ev.Pos), ev.Shows,
		seconds(ev.Record.From), seconds(ev.Record.To), seconds(ev.Source.From), seconds(ev.Source.To), start, ev.Speed.Num, ev.Speed.Den, ev.Reel, ev.Clip)
}

func rate(tb testing.TB, text string) timecode.Rate {
	tb.Helper()
	r, err := timecode.ParseRate(text)
	if err != nil {
		tb.Fatal(err)
	}
	return r
}

// readEdit reads an edit list and fails on any finding that is not among those
// expected.
func readEdit(tb testing.TB, name, text, at string, expected ...string) timeline.Edit {
	tb.Helper()
	var said []string
	src := source.New("cuts."+name, []byte(text))
	edit := reader(tb, name).Edit(src, rate(tb, at), func(f source.Finding) { said = append(said, brief(f)) })
	slices.Sort(said)
	if diff := cmp.Diff(expected, said); diff != "" {
		tb.Errorf("findings (-want +got):\n%s", diff)
	}
	return edit
}

// asWritten takes source times for recording times.
func asWritten(ev timeline.EditEvent) (time.Duration, bool) { return ev.Source.From, true }

// events prints the events of an edit without their places.
func events(e timeline.Edit) []string {
	return mapped(e.Events, func(ev timeline.EditEvent) string {
		return fmt.Sprintf("%s %s-%s from %s-%s", ev.Shows, seconds(ev.Record.From), seconds(ev.Record.To), seconds(ev.Source.From), seconds(ev.Source.To))
	})
}

const workedEDL = "TITLE:   CASE12_EDIT\nFCM: NON-DROP FRAME\n" +
	"001  REC0001  V     C        00:02:10:00 00:02:40:00 01:00:00:00 01:00:30:00\n" +
	"* FROM CLIP NAME:  REC0001.MP4\n" +
	"002  REC0001  V     C        00:05:00:00 00:05:10:00 01:00:30:00 01:00:35:00\n" +
	"M2   REC0001       050.0                00:05:00:00\n"

// The worked example of the project's reference on edit lists (section 5.5), computed
// there by the formula t_e = (r_in - R0) + (t - s_in) (r_out - r_in) / (s_out - s_in)
// at 25 frames a second: 140 s lies at 10 s, 305 s at 32.5 s, 200 s nowhere.
func TestEDLWorkedExample(t *testing.T) {
	m := readEdit(t, "edl", workedEDL, "25").Map(asWritten)
	for _, tt := range []struct {
		raw  time.Duration
		want []time.Duration
	}{
		{140 * time.Second, []time.Duration{10 * time.Second}},
		{305 * time.Second, []time.Duration{32500 * time.Millisecond}},
		{200 * time.Second, nil},
	} {
		if diff := cmp.Diff(tt.want, m.ToVideo(tt.raw)); diff != "" {
			t.Errorf("ToVideo(%v) (-want +got):\n%s", tt.raw, diff)
		}
	}
}

// Frames of drop-frame timecode, counted by hand: each minute but every tenth leaves
// out the codes ;00 and ;01, so that 00:01:00;02 is frame 1800 and 00:10:00;00 is
// frame 17982. A frame lasts 1001/30000 s. Source of the counting: SMPTE ST 12-1.
func TestEDLCountsDropFrame(t *testing.T) {
	frame := func(n int64) time.Duration {
		return time.Duration((n*1001*1_000_000_000 + 15000) / 30000)
	}
	const list = "TITLE: X\n%s001 R1 V C 00:01:00%[2]s02 00:10:00%[2]s00 00:00:00%[2]s00 00:08:59%[2]s18\n"
	want := timeline.Span{From: frame(1800), To: frame(17982)}
	for name, text := range map[string]string{
		"said by FCM":                    fmt.Sprintf(list, "FCM: DROP FRAME\n", ":"),
		"said by semicolons":             fmt.Sprintf(list, "", ";"),
		"said by semicolons against FCM": fmt.Sprintf(list, "FCM: NON-DROP FRAME\n", ";"),
	} {
		// 8 min 59 s and 18 frames are 16188 codes, of which 16 are left out: 16172. The
		// source holds 17982-1800 = 16182 frames.
		e := readEdit(t, "edl", text, "29.97", map[bool][]string{true: {"3:12: caution read/edit-speed"}, false: {"2:12: caution read/edit-speed"}}[text[9] == 'F']...)
		if len(e.Events) != 1 || e.Events[0].Source != want || e.Events[0].Record.To != frame(16172) {
			t.Errorf("%s: %v, want source %v and video to %v", name, events(e), want, frame(16172))
		}
	}
	// The same codes counted without leaving any out.
	e := readEdit(t, "edl", fmt.Sprintf(list, "", ":"), "29.97", "2:12: caution read/edit-speed")
	if want := (timeline.Span{From: frame(1802), To: frame(18000)}); e.Events[0].Source != want {
		t.Errorf("non-drop: source %v, want %v", e.Events[0].Source, want)
	}
	// With nothing said in the list the rate decides.
	e = readEdit(t, "edl", fmt.Sprintf(list, "", ":"), "29.97 drop", "2:12: caution read/edit-speed")
	if e.Events[0].Source != want {
		t.Errorf("stated drop: source %v, want %v", e.Events[0].Source, want)
	}
}

// A list that changes its counting in the middle keeps each event's own.
func TestEDLChangesCounting(t *testing.T) {
	e := readEdit(t, "edl", "FCM: DROP FRAME\n001 R1 V C 00:01:00:02 00:01:10:02 01:00:00:00 01:00:10:00\n"+
		"FCM: NON-DROP FRAME\n002 R2 V C 00:01:00:02 00:01:10:02 01:00:06:12 01:00:16:12\n", "29.97")
	// Record 01:00:00:00 is frame 107892 drop-frame (108000 less 2 for each of 54
	// minutes) and 01:00:06:12 non-drop is frame 108192, which is 300 frames on: by hand.
	if got := e.Events[1].Record.From; got != e.Events[0].Record.To {
		t.Errorf("the second event begins at %v, want %v", got, e.Events[0].Record.To)
	}
	if a, b := e.Events[0].Source.From, e.Events[1].Source.From; a >= b {
		t.Errorf("sources from %v and %v; the second counts two frames more", a, b)
	}
}

// The video begins at 01:00:00:00 whatever else of the first event can be read, so that
// the second one has its place at 15 s. Only where the first record-in is lost is the
// beginning taken from the next event, which is said.
func TestEDLKeepsTheBeginningOfAnEventLeftOut(t *testing.T) {
	const second = "002 REC1 V C 00:00:50:00 00:01:00:00 01:00:15:00 01:00:25:00\n"
	for _, tt := range []struct{ name, first, want, headless string }{
		{"its source-out", "001 REC1 V C 00:00:05:00 00:00:20:25 01:00:00:00 01:00:15:00\n", "15-25", ""},
		{"its record-out", "001 REC1 V C 00:00:05:00 00:00:20:00 01:00:00:00 01:00:15:25\n", "15-25", ""},
		{"its record-in", "001 REC1 V C 00:00:05:00 00:00:20:00 01:00:00:25 01:00:15:00\n", "0-10", "2:1: caution read/edit-span"},
		{"two of them", "001 REC1 V C 00:00:05:25 00:00:20:00 01:00:00:25 01:00:15:00\n", "0-10", "2:1: caution read/edit-span"},
		{"all of it", "001 REC1 V C 00:00:05:00 00:00:20:00 01:00:00:00\n", "0-10", "2:1: caution read/edit-span"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var said, cautions []string
			src := source.New("cuts.edl", []byte(tt.first+second))
			e := reader(t, "edl").Edit(src, rate(t, "25"), func(f source.Finding) {
				if said = append(said, brief(f)); f.Severity == source.Caution {
					cautions = append(cautions, brief(f))
				}
			})
			if diff := cmp.Diff([]string{"clip " + tt.want + " from 50-1m0"}, events(e)); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
			if got := fmt.Sprint(cautions); len(said)-len(cautions) != 1 || got != "["+tt.headless+"]" {
				t.Errorf("findings %v, want one error and [%s]", said, tt.headless)
			}
		})
	}
	// Left out between others, an event is a gap.
	e := readEdit(t, "edl", "001 R V C 00:00:05:00 00:00:15:00 01:00:00:00 01:00:10:00\n"+
		"002 R V C 00:00:50:25 00:01:00:00 01:00:10:00 01:00:20:00\n003 R V C 00:02:00:00 00:02:10:00 01:00:20:00 01:00:30:00\n", "25", "2:11: error read/bad-time")
	if diff := cmp.Diff([]string{"clip 0-10 from 5-15", "clip 20-30 from 2m0-2m10"}, events(e)); diff != "" {
		t.Errorf("left out between others (-want +got):\n%s", diff)
	}
}

// A speed counts for the event whose reel it names, or for the last one where it names
// none; behind a line that is no event it belongs to that one.
func TestEDLSpeedBelongsToItsReel(t *testing.T) {
	const event = "001 REC1 V C 00:00:05:00 00:00:15:00 01:00:00:00 01:00:10:00\n"
	const whole, double = "clip 0-10 from 5-15", "clip 0-10 from 5-25"
	for _, tt := range []struct{ name, lines, want, said string }{
		{"its own", event + "M2 rec1 050.0 00:00:05:00\n", double, ""},
		{"none", event + "M2 050.0 00:00:05:00\n", double, ""},
		{"another", event + "M2 REC2 050.0 00:00:05:00\n", whole, "2:4: caution read/edit-speed"},
		{"behind no event", event + "002 REC1 V C 00:00:05:00\nM2 REC1 050.0 00:00:05:00\n* FROM CLIP NAME: b.mp4\n", whole, "2:1: error read/bad-event"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var want []string
			if tt.said != "" {
				want = []string{tt.said}
			}
			e := readEdit(t, "edl", tt.lines, "25", want...)
			if diff := cmp.Diff([]string{tt.want}, events(e)); diff != "" || e.Events[0].Clip != "" {
				t.Errorf("clip %q (-want +got):\n%s", e.Events[0].Clip, diff)
			}
		})
	}
}

func TestEDLNeedsARate(t *testing.T) {
	var said []string
	e := reader(t, "edl").Edit(source.New("cuts.edl", []byte(workedEDL)), timecode.Rate{}, func(f source.Finding) { said = append(said, f.String()) })
	want := []string{"cuts.edl:1:1: error: the edit list counts frames and does not say how many make a second; it is not read [time/no-rate]"}
	if diff := cmp.Diff(want, said); diff != "" || len(e.Events) > 0 {
		t.Errorf("%d events; findings (-want +got):\n%s", len(e.Events), diff)
	}
}

// The cost of an event must not grow with the list, also where all cover each other.
func TestLongEDLIsReadInLinearTime(t *testing.T) {
	checkLinear(t, "cuts.edl", func(n int) func() {
		src := source.New("cuts.edl", repeated(n, "TITLE: X\n", "", func(i int) string {
			h, m, s := i/3600%24, i/60%60, i%60
			return fmt.Sprintf("%06d R1 V C %02d:%02d:%02d:00 %02d:%02d:%02d:10 00:00:00:00 23:00:00:00\n", i, h, m, s, h, m, s)
		}))
		return func() {
			if e := reader(t, "edl").Edit(src, rate(t, "25"), func(source.Finding) {}); len(e.Events) != 1 {
				t.Errorf("%d events left of a list that covers itself", len(e.Events))
			}
		}
	})
}

// A source that passes midnight in drop-frame codes: 15 s less the frames left out and 2
// minutes more are 4,050 frames; by hand after SMPTE ST 12-1:2014.
func TestEDLSourcePassesMidnightInDropFrame(t *testing.T) {
	const list = "001  REC1 V C 23:59:45;00 00:02:00;04 01:00:00;00 01:02:15;04\n"
	e := readEdit(t, "edl", list, "29.97")
	if len(e.Events) != 1 {
		t.Fatalf("%d events, want 1", len(e.Events))
	}
	rate := timecode.Rate{Num: 30000, Den: 1001}
	if got, want := e.Events[0].Source.Len(), rate.Duration(4050); (got - want).Abs() > time.Nanosecond {
		t.Errorf("source of %v, want %v", got, want)
	}
}
