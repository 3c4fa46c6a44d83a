package timeline_test

import (
	"math"
	"testing"
	"time"

	"sideport/timeline"

	"github.com/google/go-cmp/cmp"
)

func clip(source, record timeline.Span) timeline.EditEvent {
	num, den := int64(source.Len()/time.Second), int64(record.Len()/time.Second)
	for a, b := num, den; ; a, b = b, a%b {
		if b == 0 {
			return timeline.EditEvent{Source: source, Record: record, Speed: timeline.Ratio{Num: num / a, Den: den / a}}
		}
	}
}

// A stretch shown twice lies in two pieces; black, a freeze and reverse play in none.
func TestEditToMap(t *testing.T) {
	still := clip(span(5, 6), span(10, 11))
	still.Shows = timeline.Freeze
	back := clip(span(5, 6), span(11, 12))
	back.Shows = timeline.Reverse
	e := timeline.Edit{Events: []timeline.EditEvent{
		clip(span(0, 10), span(0, 10)), still, back, clip(span(2, 6), span(12, 14)),
		{Record: span(14, 15), Shows: timeline.Black}, clip(span(100, 103), span(15, 18)),
	}}
	m := e.Map(func(ev timeline.EditEvent) (time.Duration, bool) {
		return ev.Source.From + time.Second, ev.Source.From < 100*time.Second // the last is of another source
	})
	want := timeline.Map{Pieces: []timeline.Piece{
		{Recording: span(1, 11), Video: span(0, 10)}, {Recording: span(3, 7), Video: span(12, 14)},
	}}
	if diff := cmp.Diff(want, m); diff != "" {
		t.Errorf("Map (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]time.Duration{s(3), s(12.5)}, m.ToVideo(s(4))); diff != "" {
		t.Errorf("ToVideo of a moment shown twice (-want +got):\n%s", diff)
	}
	if e.Length() != s(18) {
		t.Errorf("Length() = %v, want 18 s", e.Length())
	}
}

func TestSortEvents(t *testing.T) {
	lost := 0
	got := timeline.SortEvents([]timeline.EditEvent{
		clip(span(50, 60), span(20, 30)),
		clip(span(0, 20), span(0, 10)),  // at double speed
		clip(span(30, 50), span(5, 15)), // half of it is covered
		clip(span(0, 1), span(6, 7)),    // all of it is
	}, func(ev, before timeline.EditEvent) { lost++ })
	want := []timeline.EditEvent{clip(span(0, 20), span(0, 10)), clip(span(40, 50), span(10, 15)), clip(span(50, 60), span(20, 30))}
	if diff := cmp.Diff(want, got); diff != "" || lost != 2 {
		t.Errorf("%d losses, want 2 (-want +got):\n%s", lost, diff)
	}
}

func TestRatioOf(t *testing.T) {
	for _, tt := range []struct {
		r    timeline.Ratio
		d    time.Duration
		want time.Duration
	}{
		{timeline.Ratio{Num: 3, Den: 2}, s(4), s(6)},
		{timeline.Ratio{Num: 1001, Den: 30000}, s(30000), s(1001)},
		{timeline.Ratio{Num: 1, Den: 3}, 2, 0},
		{timeline.Ratio{Num: 1 << 60, Den: 1 << 60}, 1 << 62, 1 << 62}, // the product has 122 bits
		{timeline.Ratio{Num: 4, Den: 1}, 1 << 62, math.MaxInt64},
	} {
		if got := tt.r.Of(tt.d); got != tt.want {
			t.Errorf("%v.Of(%v) = %v, want %v", tt.r, tt.d, got, tt.want)
		}
	}
}
