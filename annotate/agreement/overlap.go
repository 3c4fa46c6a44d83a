package agreement

import (
	"math/bits"
	"time"
)

// Found counts what one annotation finds of another: Hits are its segments that
// meet one of the other's, Extra those that meet none, Missed the other's that are
// met by none.
type Found struct{ Hits, Extra, Missed int }

// F1 is 2 Hits / (2 Hits + Extra + Missed) on a scale of 0 to 100, and false when
// there is no segment at all.
func (f Found) F1() (float64, bool) {
	all := 2*f.Hits + f.Extra + f.Missed
	if all == 0 {
		return 0, false
	}
	return 100 * float64(2*f.Hits) / float64(all), true
}

// Overlap is how two annotations find each other at one least overlap.
type Overlap struct {
	Least  int   // in percent
	First  Found // the first annotation, measured by the second
	Second Found // the second annotation, measured by the first
}

// F1 is the mean of both ways, 0 to 100, and false when there is no segment at all.
// The two ways can differ, because a segment looks only at the one it overlaps
// most.
func (o Overlap) F1() (float64, bool) {
	a, ok := o.First.F1()
	b, _ := o.Second.F1()
	return (a + b) / 2, ok
}

// F1 compares the segments of two annotations at one least overlap in percent, 1 to
// 100. Each segment, in time order, takes the one of its name in the other list
// that it overlaps most, the earlier at a tie; overlap is the shared time over the
// time that either takes. It is a hit when that is the least overlap or more and no
// earlier segment had the same one. Time without a name is no segment.
//
// Shares are compared as integers: a segment of exactly the least overlap counts.
// Cost is O(n + m) for n and m segments. Source: see the package.
func F1(first, second []Segment, least int) Overlap {
	if least < 1 || least > 100 {
		panic("agreement: a least overlap outside 1 to 100 %")
	}
	a, b := runs(first), runs(second)
	return Overlap{Least: least, First: found(a, b, least), Second: found(b, a, least)}
}

func found(list, truth []Segment, least int) Found {
	byLabel := map[string][]int{}
	for j, s := range truth {
		byLabel[s.Label] = append(byLabel[s.Label], j)
	}
	var out Found
	used := make([]bool, len(truth))
	begin := map[string]int{} // by label: the first of truth that can still overlap
	for _, s := range list {
		same := byLabel[s.Label]
		k := begin[s.Label]
		for k < len(same) && truth[same[k]].To <= s.From {
			k++
		}
		begin[s.Label] = k
		best, shared, either := -1, time.Duration(0), time.Duration(1)
		for ; k < len(same) && truth[same[k]].From < s.To; k++ {
			t := truth[same[k]]
			both := min(s.To, t.To) - max(s.From, t.From)
			if all := s.Len() + t.Len() - both; greater(both, all, shared, either) {
				best, shared, either = same[k], both, all
			}
		}
		if best >= 0 && !used[best] && !greater(time.Duration(least), 100, shared, either) {
			used[best] = true
			out.Hits++
		} else {
			out.Extra++
		}
	}
	out.Missed = len(truth) - out.Hits
	return out
}

// greater reports whether a/b > c/d, exactly; b and d are above 0, a and c not
// below.
func greater(a, b, c, d time.Duration) bool {
	h1, l1 := bits.Mul64(uint64(a), uint64(d))
	h2, l2 := bits.Mul64(uint64(c), uint64(b))
	return h1 > h2 || h1 == h2 && l1 > l2
}
