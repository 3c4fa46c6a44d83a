package format_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const (
	otioRange = `{"OTIO_SCHEMA":"TimeRange.1","start_time":{"OTIO_SCHEMA":"RationalTime.1","value":%d,"rate":25},"duration":{"OTIO_SCHEMA":"RationalTime.1","value":%d,"rate":25}}`
	otioTrack = `{"OTIO_SCHEMA":"Track.1","kind":"Video","children":[%s]}`
)

func otioSpan(start, length int) string { return fmt.Sprintf(otioRange, start, length) }

func otioClip(start, length int) string {
	return `{"OTIO_SCHEMA":"Clip.2","source_range":` + otioSpan(start, length) + `}`
}

// A stack in a track, cut by its own range, worked by hand: within the stack 4 s of
// the source from 40 s and 4 s from 80 s stand behind each other, of which the range
// takes 4 s from 2 s on: 42-44 s and 80-82 s, behind a clip of 4 s.
func TestOTIONestedStack(t *testing.T) {
	inner := fmt.Sprintf(otioTrack, otioClip(1000, 100)+","+otioClip(2000, 100))
	stack := `{"OTIO_SCHEMA":"Stack.1","source_range":` + otioSpan(50, 100) + `,"children":[` + inner + `]}`
	e := readEdit(t, "otio", fmt.Sprintf(otioTrack, otioClip(0, 100)+","+stack+","+otioClip(5000, 25)), "25")
	want := []string{"clip 0-4 from 0-4", "clip 4-6 from 42-44", "clip 6-8 from 1m20-1m22", "clip 8-9 from 3m20-3m21"}
	if diff := cmp.Diff(want, events(e)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// A transition, worked by hand: the cut lies at 4 s and the dissolve begins 10 frames,
// 0.4 s, before it, so that the incoming clip has the video from 3.6 s and shows its
// source from 80 s less 0.4 s.
func TestOTIOTransitionBelongsToTheIncomingClip(t *testing.T) {
	transition := `{"OTIO_SCHEMA":"Transition.1","in_offset":{"OTIO_SCHEMA":"RationalTime.1","value":10,"rate":25},"out_offset":{"OTIO_SCHEMA":"RationalTime.1","value":15,"rate":25}}`
	e := readEdit(t, "otio", fmt.Sprintf(otioTrack, otioClip(1000, 100)+","+transition+","+otioClip(2000, 100)), "25")
	want := []string{"clip 0-3.6 from 40-43.6", "clip 3.6-8 from 1m19.6-1m24"}
	if diff := cmp.Diff(want, events(e)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// An object of a foreign schema fills the time it states. Without one nothing behind it
// has a place, as behind a clip of unknown length; what is ahead of it is kept.
func TestOTIOForeignObjectWithoutALength(t *testing.T) {
	foreign := func(more string) string {
		return fmt.Sprintf(otioTrack, otioClip(0, 100)+`,{"OTIO_SCHEMA":"Made_Up.1"`+more+`},`+otioClip(5000, 25))
	}
	for _, tt := range []struct {
		name, more string
		want, said []string
	}{
		{"with a length", `,"source_range":` + otioSpan(0, 50), []string{"clip 0-4 from 0-4", "clip 6-7 from 3m20-3m21"}, []string{"1:255: note read/unknown-schema"}},
		{"without", "", []string{"clip 0-4 from 0-4"}, []string{"1:255: error read/bad-time"}},
		{"with none", `,"source_range":null`, []string{"clip 0-4 from 0-4"}, []string{"1:297: error read/bad-time"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			e := readEdit(t, "otio", foreign(tt.more), "25", tt.said...)
			if diff := cmp.Diff(tt.want, events(e)); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

func TestOTIOLimits(t *testing.T) {
	deep := func(n int, open, middle, end string) string {
		return strings.Repeat(open, n) + middle + strings.Repeat(end, n)
	}
	stack := func(n int) string {
		return deep(n, `{"OTIO_SCHEMA":"Stack.1","children":[`, otioClip(0, 25), `]}`)
	}
	for _, tt := range []struct {
		name, text string
		events     int
		want       []string
	}{
		{"stacks in stacks", stack(30), 1, nil},
		{"too many of them", stack(60), 0, []string{"1:1222: error read/bad-time"}},
		{"too deep for any tree", deep(300, "[", "", "]"), 0, []string{"1:202: error read/too-large"}},
		{"a number with an absurd exponent", strings.ReplaceAll(fmt.Sprintf(otioTrack, otioClip(0, 25)), `"value":25`, `"value":1e999999999`), 0,
			[]string{"1:92: error read/bad-time"}},
		{"a time of ages", fmt.Sprintf(otioTrack, otioClip(0, 25)+","+otioClip(0, 1<<40)), 1, []string{"1:293: error read/bad-time"}},
		{"integers of 64 bits elsewhere", `{"OTIO_SCHEMA":"Track.1","metadata":{"a":9223372036854775807,"b":-9223372036854775808},"children":[` + otioClip(0, 25) + `]}`, 1, nil},
		{"text behind the end", fmt.Sprintf(otioTrack, otioClip(0, 25)) + " {}", 0, []string{"1:257: error read/syntax"}},
		{"words for no number in a string", fmt.Sprintf(otioTrack, `{"OTIO_SCHEMA":"Clip.2","name":"NaN \" Infinity","source_range":`+otioSpan(0, 25)+`}`), 1, nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			e := readEdit(t, "otio", tt.text, "25", tt.want...)
			if len(e.Events) != tt.events {
				t.Errorf("%d events, want %d", len(e.Events), tt.events)
			}
		})
	}
}
