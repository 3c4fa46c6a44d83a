package timeline_test

import (
	"fmt"
	"testing"
	"time"

	"sideport/timeline"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func s(seconds float64) time.Duration { return time.Duration(seconds * float64(time.Second)) }

func span(from, to float64) timeline.Span { return timeline.Span{From: s(from), To: s(to)} }

// edit is the worked example of the CMX3600 edit list kept with the read rules of
// OpenTimelineIO's adapter: 130-160 s of the recording at 0-30 s, then 300-310 s
// at double speed at 30-35 s.
var edit = timeline.Map{Pieces: []timeline.Piece{
	{Recording: span(130, 160), Video: span(0, 30)},
	{Recording: span(300, 310), Video: span(30, 35)},
}}

func TestToVideo(t *testing.T) {
	for _, tt := range []struct {
		name string
		at   float64
		want []time.Duration
	}{
		{"kept", 140, []time.Duration{s(10)}},
		{"kept at double speed", 305, []time.Duration{s(32.5)}},
		{"removed", 200, nil},
		{"the first moment belongs to a piece", 130, []time.Duration{0}},
		{"the last moment does not", 160, nil},
	} {
		if diff := cmp.Diff(tt.want, edit.ToVideo(s(tt.at))); diff != "" {
			t.Errorf("%s: ToVideo(%v) (-want +got):\n%s", tt.name, tt.at, diff)
		}
	}
}

func TestSpanToVideo(t *testing.T) {
	repeated := timeline.Map{Pieces: []timeline.Piece{
		{Recording: span(0, 10), Video: span(5, 15)},
		{Recording: span(10, 20), Video: span(15, 25)},
		{Recording: span(12, 14), Video: span(30, 32)},
	}}
	for _, tt := range []struct {
		name string
		m    timeline.Map
		in   timeline.Span
		want []timeline.Span
	}{
		{"across a cut", edit, span(150, 302), []timeline.Span{span(20, 31)}},
		{"inside the cut", edit, span(170, 200), nil},
		{"touching pieces are one, a repeat is another", repeated, span(8, 13), []timeline.Span{span(13, 18), span(30, 31)}},
		{"empty", edit, span(140, 140), nil},
	} {
		if diff := cmp.Diff(tt.want, tt.m.SpanToVideo(tt.in)); diff != "" {
			t.Errorf("%s: SpanToVideo (-want +got):\n%s", tt.name, diff)
		}
	}
}

func TestToRecordingUndoesToVideo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := time.Duration(rapid.Int64Range(0, int64(s(400))).Draw(t, "at"))
		for _, v := range edit.ToVideo(at) {
			back, ok := edit.ToRecording(v)
			// Double speed halves the resolution, so one nanosecond may go.
			if !ok || (back-at).Abs() > time.Nanosecond {
				t.Fatalf("ToRecording(ToVideo(%v)) = %v, %v", at, back, ok)
			}
		}
	})
	if at, ok := edit.ToRecording(s(35)); ok {
		t.Errorf("ToRecording(35 s) = %v, true; want false past the last piece", at)
	}
}

func TestScaleSurvivesLongRecordings(t *testing.T) {
	day := 24 * time.Hour
	m := timeline.Map{Pieces: []timeline.Piece{{
		Recording: timeline.Span{To: 100 * day},
		Video:     timeline.Span{To: 100 * day * 1001 / 1000},
	}}}
	if got, want := m.ToVideo(50*day), []time.Duration{50 * day * 1001 / 1000}; !cmp.Equal(got, want) {
		t.Errorf("ToVideo(50 d) = %v, want %v", got, want)
	}
}

func ExampleMap_ToVideo() {
	fmt.Println(edit.ToVideo(305*time.Second), edit.ToVideo(200*time.Second))
	// Output: [32.5s] []
}
