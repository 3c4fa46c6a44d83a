package timeline

import (
	"cmp"
	"math/bits"
	"slices"
	"time"

	"sideport/timeline/source"
)

// Shows is what the video shows during an event of an edit.
type Shows int

// What an event can show. Only a Clip that plays forwards carries a time of its
// source.
const (
	Clip    Shows = iota
	Black         // nothing
	Freeze        // one frame of the source, standing
	Reverse       // the source played backwards
)

var showsNames = [...]string{"clip", "black", "freeze", "reverse"}

// String is clip, black, freeze or reverse.
func (s Shows) String() string { return showsNames[s] }

// Ratio is an exact fraction. Den is above 0, and the two have no common divisor.
type Ratio struct{ Num, Den int64 }

// Of is d times the ratio, rounded down to the nanosecond; neither may be negative.
// The product is taken in 128 bits.
func (r Ratio) Of(d time.Duration) time.Duration {
	hi, lo := bits.Mul64(uint64(d), uint64(r.Num))
	if hi >= uint64(r.Den) {
		return 1<<63 - 1
	}
	quo, _ := bits.Div64(hi, lo, uint64(r.Den))
	return time.Duration(min(quo, 1<<63-1))
}

// EditEvent is one event of an edit: which stretch of which source the video shows
// when.
type EditEvent struct {
	Reel string // the source as the list calls it; may be empty
	Clip string // the clip's name, or empty
	// Source is the stretch on the source's own clock, which may be its timecode.
	// It is zero for Black.
	Source Span
	// FileStart is what that clock shows at the first frame of the source: 0 where
	// the list does not say.
	FileStart time.Duration
	Record    Span  // from the first frame of the video
	Speed     Ratio // source seconds a video second; 0 of a Freeze, below 0 of a Reverse
	Shows     Shows
	Pos       source.Pos
}

// Edit is an edit as it was written. Events are sorted by Record.From and do not
// overlap there; what lies in none of them shows nothing of any source. An edit may
// show a stretch of a source several times.
type Edit struct {
	Events []EditEvent
	// Partial says that something of the edit could not be read, so that the video may
	// show more of the recording than the events do.
	Partial bool
}

// Length is where the last event ends.
func (e Edit) Length() time.Duration {
	if n := len(e.Events); n > 0 {
		return e.Events[n-1].Record.To
	}
	return 0
}

// Kept are the events that carry times of their source: clips that play forwards.
func (e Edit) Kept() []EditEvent {
	var out []EditEvent
	for _, ev := range e.Events {
		if ev.Shows == Clip {
			out = append(out, ev)
		}
	}
	return out
}

// Map is the correspondence that the edit makes. recording gives the recording time
// at which an event's source stretch begins, or false for one that is not of the
// recording. Black, freezes and reverse play carry no recording time, so that they
// lie in no piece: what the map says of them is that the editor put them in.
func (e Edit) Map(recording func(EditEvent) (time.Duration, bool)) Map {
	var m Map
	for _, ev := range e.Kept() {
		from, ok := recording(ev)
		if !ok || ev.Source.Len() <= 0 || ev.Record.Len() <= 0 {
			continue
		}
		m.Pieces = append(m.Pieces, Piece{Recording: Span{From: from, To: from + ev.Source.Len()}, Video: ev.Record})
	}
	return m
}

// SortEvents puts events in the order of the video and takes from each what one that
// begins before it covers, of two that begin together the one given first; an event
// of which nothing is left goes. overlap, unless nil, is told of each loss before it
// is made. Cost is that of a sort.
func SortEvents(events []EditEvent, overlap func(ev, before EditEvent)) []EditEvent {
	slices.SortStableFunc(events, func(a, b EditEvent) int { return cmp.Compare(a.Record.From, b.Record.From) })
	out := events[:0:0]
	for _, ev := range events {
		if n := len(out); n > 0 && ev.Record.From < out[n-1].Record.To {
			before := out[n-1]
			if overlap != nil {
				overlap(ev, before)
			}
			lost := min(before.Record.To, ev.Record.To) - ev.Record.From
			ev.Record.From += lost
			if ev.Shows == Clip {
				ev.Source.From = min(ev.Source.From+ev.Speed.Of(lost), ev.Source.To)
			}
		}
		if ev.Record.Len() > 0 {
			out = append(out, ev)
		}
	}
	return out
}
