package format_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sideport/timeline"
	"sideport/timeline/format"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// drawnEvent is an event of a made-up edit, in frames. length counts frames of the
// video, start those of the source; num/den is the speed. A dissolve of that many
// frames leads into it.
type drawnEvent struct {
	start, length, num, den, dissolve int64
	blank                             bool
}

// drawnEdit is a made-up edit: its events follow each other, the first one begins at
// the record frame zero.
type drawnEdit struct {
	rate   timecode.Rate
	zero   int64
	colons bool // drop-frame timecode is written with colons all the same, as many programs do
	events []drawnEvent
}

func drawEdit(t *rapid.T) drawnEdit {
	at := rapid.SampledFrom([]string{"24", "25", "29.97", "29.97 drop", "23.976", "50", "59.94 drop", "60"}).Draw(t, "rate")
	rate, err := timecode.ParseRate(at)
	if err != nil {
		t.Fatal(err)
	}
	e := drawnEdit{rate: rate, zero: rapid.Int64Range(0, rate.FramesPerDay()-1).Draw(t, "zero"), colons: rapid.Bool().Draw(t, "colons")}
	speeds := [][2]int64{{1, 1}, {1, 1}, {2, 1}, {1, 2}, {3, 2}}
	for range rapid.IntRange(1, 8).Draw(t, "events") {
		speed := rapid.SampledFrom(speeds).Draw(t, "speed")
		ev := drawnEvent{
			start: rapid.Int64Range(100, 5000).Draw(t, "start"), length: 2 * rapid.Int64Range(20, 200).Draw(t, "length"),
			num: speed[0], den: speed[1], dissolve: 2 * rapid.Int64Range(0, 10).Draw(t, "dissolve"),
			blank: rapid.IntRange(0, 4).Draw(t, "blank") == 0,
		}
		if len(e.events) == 0 {
			ev.dissolve, ev.blank = 0, false
		}
		e.events = append(e.events, ev)
	}
	return e
}

// edl writes the edit as an edit list. Blank events are left as gaps of the record
// time, or dissolved into black.
func (e drawnEdit) edl() string {
	var b strings.Builder
	fmt.Fprintf(&b, "TITLE: MADE UP\nFCM: %s\n", map[bool]string{true: "DROP FRAME", false: "NON-DROP FRAME"}[e.rate.Drop])
	at := e.zero
	last := int64(0)
	for i, ev := range e.events {
		code := func(in, out int64) string { return e.rate.CodeText(in) + " " + e.rate.CodeText(out) }
		record := code(at, at+ev.length)
		here := code(at, at)
		at += ev.length
		taken := ev.length * ev.num / ev.den
		if ev.blank {
			if ev.dissolve > 0 {
				fmt.Fprintf(&b, "%03d  REC  V  C      %s %s\n", i+1, code(last, last), here)
				fmt.Fprintf(&b, "%03d  BL   V  D %03d  %s %s\n", i+1, ev.dissolve, code(0, ev.length), record)
			}
			continue
		}
		transition := "C    "
		if ev.dissolve > 0 {
			fmt.Fprintf(&b, "%03d  REC  V  C      %s %s\n", i+1, code(last, last), here)
			transition = fmt.Sprintf("D %03d", ev.dissolve)
		}
		fmt.Fprintf(&b, "%03d  REC  V  %s  %s %s\n", i+1, transition, code(ev.start, ev.start+taken), record)
		if ev.num != ev.den {
			perSecond := float64(e.rate.Num) / float64(e.rate.Den) * float64(ev.num) / float64(ev.den)
			fmt.Fprintf(&b, "M2   REC   %05.1f   %s\n", perSecond, e.rate.CodeText(ev.start))
		}
		last = ev.start + taken
	}
	if e.colons {
		return strings.ReplaceAll(b.String(), ";", ":")
	}
	return b.String()
}

// otio writes the edit as a timeline. A transition lies across a cut: half of its
// frames before it, which an edit list counts for the incoming clip.
func (e drawnEdit) otio() string {
	type object = map[string]any
	fps := any(float64(e.rate.Num) / float64(e.rate.Den))
	at := func(frames float64) object {
		return object{"OTIO_SCHEMA": "RationalTime.1", "value": frames, "rate": fps}
	}
	span := func(start float64, length int64) object {
		return object{"OTIO_SCHEMA": "TimeRange.1", "start_time": at(start), "duration": at(float64(length))}
	}
	var children []any
	for i, ev := range e.events {
		half := ev.dissolve / 2
		start := float64(ev.start) + float64(half*ev.num)/float64(ev.den) // the cut lies in the middle
		length := ev.length - half
		if i+1 < len(e.events) {
			length += e.events[i+1].dissolve / 2
		}
		if ev.dissolve > 0 {
			children = append(children, object{"OTIO_SCHEMA": "Transition.1", "in_offset": at(float64(half)), "out_offset": at(float64(half))})
		}
		if ev.blank {
			children = append(children, object{"OTIO_SCHEMA": "Gap.1", "source_range": span(0, length)})
			continue
		}
		clip := object{"OTIO_SCHEMA": "Clip.2", "source_range": span(start, length), "effects": []any{}}
		if ev.num != ev.den {
			clip["effects"] = []any{object{"OTIO_SCHEMA": "LinearTimeWarp.1", "time_scalar": float64(ev.num) / float64(ev.den)}}
		}
		children = append(children, clip)
	}
	raw, err := json.Marshal(object{"OTIO_SCHEMA": "Timeline.1", "tracks": object{"OTIO_SCHEMA": "Stack.1", "children": []any{
		object{"OTIO_SCHEMA": "Track.1", "kind": "Video", "children": children},
	}}})
	if err != nil {
		panic(err)
	}
	return string(raw)
}

// frames plays the edit frame by frame: for each frame of the video which frame of
// the source it shows, or -1.
func (e drawnEdit) frames() []float64 {
	var out []float64
	for _, ev := range e.events {
		for k := range ev.length {
			if ev.blank {
				out = append(out, -1)
				continue
			}
			out = append(out, float64(ev.start)+float64(k)*float64(ev.num)/float64(ev.den)) // halves, which are exact
		}
	}
	return out
}

// Our own property, on edits made up here: the edit list and the timeline of one edit
// give one map, and that is what playing the edit frame by frame shows.
func TestEditListAndTimelineAgree(t *testing.T) {
	readers := map[string]format.Reader{"edl": reader(t, "edl"), "otio": reader(t, "otio")}
	rapid.Check(t, func(t *rapid.T) {
		e := drawEdit(t)
		read := func(name, text string) timeline.Map {
			edit := readers[name].Edit(source.New("cuts."+name, []byte(text)), e.rate, func(f source.Finding) {
				if f.Severity > source.Note {
					t.Fatalf("%v in\n%s", f, text)
				}
			})
			return edit.Map(asWritten)
		}
		fromEDL, fromOTIO := read("edl", e.edl()), read("otio", e.otio())
		if len(fromEDL.Pieces) != len(fromOTIO.Pieces) {
			t.Fatalf("%d pieces and %d:\n%s\n%s", len(fromEDL.Pieces), len(fromOTIO.Pieces), e.edl(), e.otio())
		}
		for i, p := range fromEDL.Pieces {
			if p != fromOTIO.Pieces[i] {
				t.Fatalf("piece %d: %v and %v:\n%s\n%s", i, p, fromOTIO.Pieces[i], e.edl(), e.otio())
			}
		}
		for k, want := range e.frames() {
			at := e.rate.Duration(int64(k)) + time.Microsecond // within the frame
			got, ok := fromEDL.ToRecording(at)
			if ok != (want >= 0) {
				t.Fatalf("frame %d: in the recording %v, want source frame %v\n%s", k, ok, want, e.edl())
			}
			if half := e.rate.Duration(int64(2*want)) / 2; ok && (got-half-time.Microsecond).Abs() > 3*time.Microsecond {
				t.Fatalf("frame %d shows %v, want %v (source frame %v)\n%s", k, got, half, want, e.edl())
			}
		}
	})
}
