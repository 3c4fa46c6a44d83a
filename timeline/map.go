package timeline

import (
	"math/bits"
	"slices"
	"time"
)

// Piece is one stretch of recording kept in the video. Both spans have the same
// length unless the edit changed the speed.
type Piece struct {
	Recording Span
	Video     Span
}

// Map is the piecewise correspondence between the recording and the video: what
// lies in no piece's Recording was removed, what lies in no piece's Video was
// put in by the editor. Pieces are sorted by Video.From and do not overlap
// there; an edit may repeat a stretch, so Recording spans may overlap.
//
// The zero Map has no video clock.
type Map struct {
	Pieces []Piece
}

// Identity is the map of a video that is the recording itself.
func Identity(length time.Duration) Map {
	s := Span{To: length}
	return Map{Pieces: []Piece{{Recording: s, Video: s}}}
}

// IsZero reports whether there is no correspondence at all.
func (m Map) IsZero() bool { return len(m.Pieces) == 0 }

// scale moves t from the span a to the span b: exactly when the lengths agree,
// else rounded down to the nanosecond, so that a moment inside a stays inside b.
// The product is taken in 128 bits: no recording is too long for it. t must lie
// in [a.From, a.To].
func scale(t time.Duration, a, b Span) time.Duration {
	if a.Len() == b.Len() || a.Len() == 0 {
		return t - a.From + b.From
	}
	hi, lo := bits.Mul64(uint64(t-a.From), uint64(b.Len()))
	quo, _ := bits.Div64(hi, lo, uint64(a.Len()))
	return b.From + time.Duration(quo)
}

// ToVideo returns the moments of the video that show recording time t, in video
// order: none when t was removed, several when the edit repeats it. Cost is one
// pass over the pieces.
func (m Map) ToVideo(t time.Duration) []time.Duration {
	var out []time.Duration
	for _, p := range m.Pieces {
		if p.Recording.From <= t && t < p.Recording.To {
			out = append(out, scale(t, p.Recording, p.Video))
		}
	}
	return out
}

// SpanToVideo returns the pieces of the video that show the recording span s, in
// video order, pieces that touch merged.
func (m Map) SpanToVideo(s Span) []Span {
	var out []Span
	for _, p := range m.Pieces {
		from, to := max(s.From, p.Recording.From), min(s.To, p.Recording.To)
		if from >= to {
			continue
		}
		v := Span{From: scale(from, p.Recording, p.Video), To: scale(to, p.Recording, p.Video)}
		if n := len(out); n > 0 && out[n-1].To == v.From {
			out[n-1].To = v.To
			continue
		}
		out = append(out, v)
	}
	return out
}

// ToRecording returns the recording time that the video shows at v, and false
// when the editor put that moment in.
func (m Map) ToRecording(v time.Duration) (time.Duration, bool) {
	i, found := slices.BinarySearchFunc(m.Pieces, v, func(p Piece, v time.Duration) int {
		switch {
		case v < p.Video.From:
			return 1
		case v >= p.Video.To:
			return -1
		}
		return 0
	})
	if !found {
		return 0, false
	}
	return scale(v, m.Pieces[i].Video, m.Pieces[i].Recording), true
}
