package agreement

import (
	"slices"
	"time"
)

// BoundaryError is how far apart two annotations put the changes from one step to
// the next. Off holds the distances of the changes that both have, shortest first;
// OnlyFirst and OnlySecond count those that one has alone.
type BoundaryError struct {
	Off                   []time.Duration
	OnlyFirst, OnlySecond int
}

// Boundaries compares the moments at which one step follows another. A change is
// where a segment begins that is not the first; what makes two of them the same is
// the pair of names, of the segment before and of the one that begins, so that time
// without a name between them belongs to the step before. Of several changes with
// the same names the nearest in order are taken, see [Match].
//
// Cost is that of Match for each pair of names.
func Boundaries(first, second []Segment) BoundaryError {
	a, b := changes(runs(first)), changes(runs(second))
	var e BoundaryError
	for names, mine := range a {
		theirs := b[names]
		pairs := Match(mine, theirs)
		for _, p := range pairs {
			e.Off = append(e.Off, (mine[p[0]] - theirs[p[1]]).Abs())
		}
		e.OnlyFirst += len(mine) - len(pairs)
		e.OnlySecond -= len(pairs)
	}
	for _, theirs := range b {
		e.OnlySecond += len(theirs)
	}
	slices.Sort(e.Off) // in which order the names came does not show
	return e
}

// changes are the moments at which a step follows another, by both names.
func changes(list []Segment) map[[2]string][]time.Duration {
	out := map[[2]string][]time.Duration{}
	for i := 1; i < len(list); i++ {
		names := [2]string{list[i-1].Label, list[i].Label}
		out[names] = append(out[names], list[i].From)
	}
	return out
}

// Mean is the mean distance, rounded down to the nanosecond, and false without any.
func (e BoundaryError) Mean() (time.Duration, bool) {
	if len(e.Off) == 0 {
		return 0, false
	}
	var sum time.Duration
	for _, d := range e.Off {
		sum += d
	}
	return sum / time.Duration(len(e.Off)), true
}

// Median is the median distance, the mean of the middle two for an even number, and
// false without any.
func (e BoundaryError) Median() (time.Duration, bool) {
	n := len(e.Off)
	if n == 0 {
		return 0, false
	}
	return (e.Off[(n-1)/2] + e.Off[n/2]) / 2, true
}

// Within is the share of distances of at most d, 0 to 1, and false without any.
func (e BoundaryError) Within(d time.Duration) (float64, bool) {
	if len(e.Off) == 0 {
		return 0, false
	}
	i, _ := slices.BinarySearch(e.Off, d+1)
	return float64(i) / float64(len(e.Off)), true
}
