package agreement

import (
	"fmt"

	"sideport/timeline"
)

// Segment is a stretch of the recording with the name of what happens in it,
// half-open [From, To). An empty label is no name: such a stretch counts as one
// that no segment covers.
type Segment struct {
	Label string
	timeline.Span
}

// runs is the list as every figure takes it: without segments that have no name or
// no length, and with those that touch and bear the same name made one. It panics
// when the list is out of order or overlaps.
func runs(list []Segment) []Segment {
	out := make([]Segment, 0, len(list))
	for i, s := range list {
		if s.To < s.From || i > 0 && s.From < list[i-1].To {
			panic(fmt.Sprintf("agreement: segment %d, %v to %v, is out of order", i, s.From, s.To))
		}
		if s.Label == "" || s.Len() == 0 {
			continue
		}
		if n := len(out); n > 0 && out[n-1].Label == s.Label && out[n-1].To == s.From {
			out[n-1].To = s.To
			continue
		}
		out = append(out, s)
	}
	return out
}

// Clip is what of a list lies inside a window. Cost is one pass.
func Clip(list []Segment, window timeline.Span) []Segment {
	var out []Segment
	for _, s := range list {
		s.From, s.To = max(s.From, window.From), min(s.To, window.To)
		if s.From < s.To {
			out = append(out, s)
		}
	}
	return out
}
