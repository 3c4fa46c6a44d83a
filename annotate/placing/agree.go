package placing

import (
	"math"
	"time"
)

// Two distances between the same two marks, one on each clock, agree within
// max(agreeWithin, agreeShare of the longer): the contract's rule for continuous
// material. Source: common practice, no source; stamps are written to the second by
// hand.
const (
	agreeWithin = 2 * time.Second
	agreeShare  = 0.02
)

// Bounded is how far apart the earliest and latest possible place of a stamp may
// lie for the stamp to be placed beside a cut. Our own choice: a step's label shows
// for its first eight seconds, and a place further off would show it over another
// step.
const Bounded = 5 * time.Second

// written is the least error of a hand-written stamp: half of the second it is
// written to.
const written = 500 * time.Millisecond

// card is the shortest opening title told from the scatter of the first stamp.
const card = time.Second

// times is d at another clock's rate, rounded to the nanosecond.
func times(d time.Duration, rate float64) time.Duration {
	if rate == 1 {
		return d
	}
	return time.Duration(math.Round(float64(d) * rate))
}

// tolerance is how far the distances recording (already at the video's rate) and
// video may differ and still agree.
func tolerance(recording, video time.Duration) time.Duration {
	return max(agreeWithin, times(max(recording, video), agreeShare))
}

// surplus is how much longer a distance is in the recording than in the video, at
// the given rate; below zero when the video is longer.
func surplus(recording, video time.Duration, rate float64) time.Duration {
	return times(recording, rate) - video
}

// agree says whether two distances do; half is half the unit that the marks at their
// ends are written to, both together, where that is more than the second.
func agree(recording, video, half time.Duration, rate float64) bool {
	return surplus(recording, video, rate).Abs() <= tolerance(times(recording, rate), video)+half
}
