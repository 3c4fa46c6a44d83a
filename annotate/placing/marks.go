package placing

import "time"

// toVideo says where recording time r lies in the video and how far that can be
// wrong. Between anchors that agree it is on the line between them. Where material
// was removed the earliest possible place is the one that counts back from the
// second anchor and the latest the one that counts on from the first; the latest is
// given, which is the map's, and the distance to the earliest is the error.
func (l *layout) toVideo(r time.Duration) (v, within time.Duration, ok bool) {
	for _, s := range l.stretches {
		if r < s.r1 || r >= s.r2 || !s.bounded {
			continue
		}
		least := max(written, s.half)
		on := s.v1 + times(r-s.r1, l.rate)
		back := s.v2 - times(s.r2-r, l.rate)
		switch s.kind {
		case same:
			return between(r, s.r1, s.r2, s.v1, s.v2), max(least, (on - back).Abs()), true
		case head: // back from its anchor
			return back, max(least, (on - back).Abs()), back >= s.v1
		case tail: // on from its anchor
			return on, max(least, (on - back).Abs()), on < s.v2
		case removed:
			first, last := max(s.v1, back), min(s.v2, on)
			return last, max(least, last-first), last-first <= Bounded
		case inserted:
			return on, max(least, back-on), back-on <= Bounded
		}
	}
	return 0, 0, false
}

// toRecording is toVideo the other way. Counting on from the first anchor is the
// map's reading here too; what lies in an insert by that reading has no place.
func (l *layout) toRecording(v time.Duration) (r, within time.Duration, ok bool) {
	for _, s := range l.stretches {
		if v < s.v1 || v >= s.v2 || !s.bounded {
			continue
		}
		least := max(written, s.half)
		on := s.r1 + times(v-s.v1, 1/l.rate)
		back := s.r2 - times(s.v2-v, 1/l.rate)
		switch s.kind {
		case same:
			return between(v, s.v1, s.v2, s.r1, s.r2), max(least, (on - back).Abs()), true
		case head:
			return back, max(least, (on - back).Abs()), back >= s.r1
		case tail:
			return on, max(least, (on - back).Abs()), on < s.r2
		case removed:
			return on, max(least, back-on), back-on <= Bounded
		case inserted:
			first := max(s.r1, back)
			return on, max(least, on-first), on < s.r2 && on-first <= Bounded
		}
	}
	return 0, 0, false
}

// between is t on the line from (a1, b1) to (a2, b2).
func between(t, a1, a2, b1, b2 time.Duration) time.Duration {
	if a2-a1 == b2-b1 {
		return b1 + t - a1
	}
	return b1 + times(t-a1, float64(b2-b1)/float64(a2-a1))
}
