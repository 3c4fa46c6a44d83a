package format_test

import (
	"testing"
	"time"

	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// What the cells of each unit amount to, as stamps and, but for dates, as chapters. Frames and timecode are those of the table
// in timecode's tests, which npm smpte-timecode computed; the rest is plain sums.
func TestCSVUnits(t *testing.T) {
	const drop = 60*time.Second + 60*time.Millisecond // frame 1800 at 29.97
	for _, tt := range []struct {
		name, text string
		kind       timecode.Kind
		at, end    time.Duration // end 0 is none
	}{
		{"seconds", "start_s,end_s,label\n41.5,65,a\n", timecode.Elapsed, 41500 * time.Millisecond, 65 * time.Second},
		{"seconds in a bracket", "Start (sec),Label\n41.5,a\n", timecode.Elapsed, 41500 * time.Millisecond, 0},
		{"a clock under seconds", "start_s,label\n0:41,a\n", timecode.Elapsed, 41 * time.Second, 0},
		{"a remark behind a blank, with a decimal comma", " # rate: 25,0\nstart_frame,label\n1800,a\n", timecode.Elapsed, 72 * time.Second, 0},
		{"decimal comma", "Start (s);End (s);Text\n41,5;65,25;a\n", timecode.Elapsed, 41500 * time.Millisecond, 65250 * time.Millisecond},
		{"milliseconds and seconds", "start_ms,end_s,label\n41500,65.2,a\n", timecode.Elapsed, 41500 * time.Millisecond, 65200 * time.Millisecond},
		{"frames with a column", "start_frame,end_frame,rate,label\n1800,107892,29.97,a\n", timecode.Elapsed, drop, 3599996400 * time.Microsecond},
		{"frames with a decimal comma in the rate", "start_frame;rate;label\n1800;29,97;a\n", timecode.Elapsed, drop, 0},
		{"frames with a header", "start_frame@30000/1001,label\n1800,a\n", timecode.Elapsed, drop, 0},
		{"frames with a bracket", "Start Frame (25 fps),Label\n1800,a\n", timecode.Elapsed, 72 * time.Second, 0},
		{"frames with a remark", "# frame rate: 50\nframe number,label\n1800,a\n", timecode.Elapsed, 36 * time.Second, 0},
		{"frames and seconds", "start_frame,end_s,rate,label\n1800,90,25,a\n", timecode.Elapsed, 72 * time.Second, 90 * time.Second},
		{"timecode", "start_tc,end_tc,rate,label\n00:01:00;02,01:00:00;00,29.97 df,a\n", timecode.Timecode, drop, 3599996400 * time.Microsecond},
		{"timecode, words first", "TC in,TC out,fps,label\n01:00:00:12,01:00:01:00,25,a\n", timecode.Timecode, time.Hour + 480*time.Millisecond, time.Hour + time.Second},
		{"utc", "start_utc,end_utc,label\n2026-03-01T09:14:32.5Z,2026-03-01T09:15:02Z,a\n", timecode.Wall, 9*time.Hour + 14*time.Minute + 32500*time.Millisecond, 9*time.Hour + 15*time.Minute + 2*time.Second},
	} {
		stamps := reader(t, "stamps-csv").Stamps(source.New("a.csv", []byte(tt.text)), func(f source.Finding) { t.Errorf("%s: %s", tt.name, f) })
		if len(stamps) != 1 {
			t.Errorf("%s: %d stamps, want 1", tt.name, len(stamps))
			continue
		}
		if tt.kind != timecode.Wall {
			chapters := reader(t, "chapters-csv").Chapters(source.New("a.csv", []byte(tt.text)), func(f source.Finding) { t.Errorf("%s: %s", tt.name, f) })
			if len(chapters) != 1 || chapters[0].From != tt.at || chapters[0].To != tt.end || chapters[0].HasTo != (tt.end != 0) || chapters[0].Title != "a" {
				t.Errorf("%s: chapters %+v, want one from %v to %v", tt.name, chapters, tt.at, tt.end)
			}
		}
		s := stamps[0]
		clock := timecode.Clock{Kind: tt.kind, Rate: s.Rate}
		at, err := clock.Time(s.At)
		if err != nil || at != tt.at || s.Text != "a" {
			t.Errorf("%s: stamp %q at %v, %v, want %v", tt.name, s.Text, at, err, tt.at)
		}
		if (s.End == nil) != (tt.end == 0) {
			t.Errorf("%s: end %v, want %v", tt.name, s.End, tt.end)
		} else if s.End != nil {
			if end, err := clock.Time(*s.End); err != nil || end != tt.end {
				t.Errorf("%s: end %v, %v, want %v", tt.name, end, err, tt.end)
			}
		}
	}
}

// A first row of times is data, whatever words stand behind them.
func TestCSVWithoutHeaderStaysWithout(t *testing.T) {
	stamps := reader(t, "stamps-csv").Stamps(source.New("a.csv", []byte("0:41,seconds\n0:50,start\n")), func(f source.Finding) { t.Error(f) })
	if len(stamps) != 2 || stamps[0].Text != "seconds" {
		t.Errorf("stamps = %+v, want two", stamps)
	}
}
