package narration_test

import (
	"testing"
	"time"

	"sideport/annotate/narration"
	"sideport/timeline"

	"github.com/google/go-cmp/cmp"
)

func span(from, to int) timeline.Span {
	return timeline.Span{From: time.Duration(from) * time.Second, To: time.Duration(to) * time.Second}
}

func TestShift(t *testing.T) {
	// 0-60 stays, 60-90 was removed, 90-100 follows, 100-120 removed, 120-150
	// follows; then the edit repeats 10-20.
	m := timeline.Map{Pieces: []timeline.Piece{
		{Recording: span(0, 60), Video: span(5, 65)},
		{Recording: span(90, 100), Video: span(65, 75)},
		{Recording: span(120, 150), Video: span(75, 105)},
		{Recording: span(10, 14), Video: span(105, 109)},
	}}
	cue := func(text string, from, to int) timeline.Cue {
		return timeline.Cue{Text: text, From: time.Duration(from) * time.Second, To: time.Duration(to) * time.Second}
	}
	tests := []struct {
		name       string
		cue        timeline.Cue
		want       timeline.Span
		leftReason string
	}{
		{"inside kept material", cue("a", 20, 24), span(25, 29), ""},
		{"clipped at a cut", cue("b", 56, 66), span(61, 65), ""},
		{"clipped at the start", cue("c", 84, 94), span(65, 69), ""},
		// What stays on both sides touches in the video and is one piece.
		{"across a whole cut", cue("d", 58, 92), span(63, 67), ""},
		{"a repeated stretch takes the longest", cue("e", 12, 16), span(17, 21), ""},
		{"a tie takes the first", cue("f", 11, 13), span(16, 18), ""},
		{"removed", cue("g", 62, 70), timeline.Span{}, "the material is not in the video"},
		{"after the end", cue("h", 200, 204), timeline.Span{}, "the material is not in the video"},
		{"no length", cue("i", 20, 20), timeline.Span{}, "the cue has no length"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			kept, left := narration.Shift([]timeline.Cue{tt.cue}, m)
			if tt.leftReason != "" {
				if len(kept) != 0 || len(left) != 1 || left[0].Reason != tt.leftReason {
					t.Errorf("Shift = %v, %v, want it left: %s", kept, left, tt.leftReason)
				}
				return
			}
			if len(kept) != 1 || len(left) != 0 {
				t.Fatalf("Shift = %v, %v, want one cue kept", kept, left)
			}
			got := timeline.Span{From: kept[0].From, To: kept[0].To}
			if diff := cmp.Diff(tt.want, got); diff != "" || kept[0].Text != tt.cue.Text {
				t.Errorf("Shift (-want +got):\n%s", diff)
			}
		})
	}
}

func TestShiftSortsByTheVideoAndKeepsEveryCue(t *testing.T) {
	// The edit shows the second minute first.
	m := timeline.Map{Pieces: []timeline.Piece{
		{Recording: span(60, 120), Video: span(0, 60)},
		{Recording: span(0, 60), Video: span(60, 120)},
	}}
	cues := []timeline.Cue{
		{Text: "first", From: 10 * time.Second, To: 12 * time.Second},
		{Text: "removed", From: 300 * time.Second, To: 301 * time.Second},
		{Text: "second", From: 70 * time.Second, To: 72 * time.Second},
	}
	kept, left := narration.Shift(cues, m)
	if len(kept) != 2 || kept[0].Text != "second" || kept[1].Text != "first" {
		t.Errorf("kept = %v, want second, first", kept)
	}
	if len(left) != 1 || left[0].Index != 1 {
		t.Errorf("left = %v, want cue 1", left)
	}
	if kept, left := narration.Shift(cues, timeline.Map{}); len(kept) != 0 || len(left) != 3 {
		t.Errorf("Shift by the zero map = %v, %v, want all left", kept, left)
	}
}
