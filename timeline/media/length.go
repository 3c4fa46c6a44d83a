package media

import (
	"time"

	"sideport/timeline/timecode"
)

// Exact is a length of time in the file's own units: Num units of 1/Den second.
// It is not reduced, and the zero Exact is an unknown length.
type Exact struct{ Num, Den int64 }

// IsZero reports whether the length is unknown.
func (e Exact) IsZero() bool { return e.Num <= 0 || e.Den <= 0 }

// Duration is the length rounded half up to the nanosecond, or 0 when it is
// unknown or longer than a time.Duration holds.
func (e Exact) Duration() time.Duration {
	if e.IsZero() {
		return 0
	}
	return scaled(uint64(e.Num), 1, uint64(e.Den))
}

// exact is count units of 1/den second, or the unknown length where that is not
// representable.
func exact(count, den uint64) Exact {
	if count == 0 || den == 0 || count > 1<<62 || den > 1<<62 {
		return Exact{}
	}
	return Exact{Num: int64(count), Den: int64(den)}
}

// last makes e the length of the file when it is longer than what is known so far.
func (f *Facts) last(e Exact) {
	if d := e.Duration(); d > f.Duration {
		f.Duration, f.Exact = d, e
	}
}

// Rate is the frame rate of the first video track that states one, or the zero
// rate.
func (f Facts) Rate() timecode.Rate {
	for _, t := range f.Tracks {
		if t.Kind == "video" && !t.Rate.IsZero() {
			return t.Rate
		}
	}
	return timecode.Rate{}
}
