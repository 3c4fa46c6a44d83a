package align

import (
	"cmp"
	"math"
	"slices"
)

// Fit is the line y = Intercept + Slope*x.
type Fit struct{ Slope, Intercept float64 }

// At is the y of the line at x.
func (f Fit) At(x float64) float64 { return f.Intercept + f.Slope*x }

// TheilSen fits a line that up to 29 % wrong points do not move: the slope is the
// median of the slopes of all pairs of points with different x, the intercept the
// median of y - Slope*x (the joint form). The median of an even number is the
// mean of the middle two. x and y have equal lengths, or it panics; order does
// not matter. It returns false when no two x differ.
//
// Cost is O(n^2 log n) time and O(n^2) memory.
//
// Source: Theil 1950; Sen, J Am Stat Assoc 1968;63:1379-1389.
func TheilSen(x, y []float64) (Fit, bool) {
	if len(x) != len(y) {
		panic("align: TheilSen with unequal lengths")
	}
	slopes := make([]float64, 0, len(x)*(len(x)-1)/2)
	for i := range x {
		for j := range i {
			if x[i] != x[j] {
				slopes = append(slopes, (y[i]-y[j])/(x[i]-x[j]))
			}
		}
	}
	if len(slopes) == 0 {
		return Fit{}, false
	}
	b := Median(slopes)
	return Fit{Slope: b, Intercept: intercept(x, y, b)}, true
}

func intercept(x, y []float64, slope float64) float64 {
	rest := make([]float64, len(x))
	for i := range x {
		rest[i] = y[i] - slope*x[i]
	}
	return Median(rest)
}

// Median sorts list and returns its median, the mean of the middle two for an
// even number, NaN for none.
func Median(list []float64) float64 {
	n := len(list)
	if n == 0 {
		return math.NaN()
	}
	slices.Sort(list)
	if n%2 == 1 {
		return list[n/2]
	}
	return (list[n/2-1] + list[n/2]) / 2
}

// Series is one run of points that share a line's slope but not its intercept.
type Series struct{ X, Y []float64 }

// Slope is a pooled slope with its standard error. Free is the number of points
// in series with two different x, less one for each such series and one for the
// slope: what is left to judge the scatter by.
type Slope struct {
	Value, Error float64
	Free         int
}

// PooledSlope estimates the slope common to several series whose intercepts
// differ: the median of the slopes of all pairs within a series, each weighted by
// its distance in x, because the error of a pair's slope shrinks with it. The
// weighted median is the smallest slope that has at least half of the weight at
// or below it.
//
// Error is the scatter about the lines (1.4826 times the median absolute
// residual, but at least floor, in units of y) over the root of the summed squares
// of x about its mean in each series, times 1.25 for the median's efficiency under
// normal errors. The scatter is widened by the root of points over Free; with few
// points it is an orientation only, and +Inf when Free is 0. It returns false when
// no series has two different x.
//
// Cost is O(n^2 log n) for n points. Source: the weighting after Jaeckel, Ann Math
// Stat 1972;43:1449-1458 and Sievers, J Am Stat Assoc 1978;73:628-631, both from
// memory.
func PooledSlope(series []Series, floor float64) (Slope, bool) {
	type weighted struct{ slope, weight float64 }
	var slopes []weighted
	total, spread, points, free := 0.0, 0.0, 0, -1
	for _, s := range series {
		before := len(slopes)
		for i := range s.X {
			for j := range i {
				if dx := s.X[i] - s.X[j]; dx != 0 {
					slopes = append(slopes, weighted{(s.Y[i] - s.Y[j]) / dx, math.Abs(dx)})
					total += math.Abs(dx)
				}
			}
		}
		if len(slopes) > before {
			points += len(s.X)
			free += len(s.X) - 1
			spread += sumSquares(s.X)
		}
	}
	if len(slopes) == 0 {
		return Slope{}, false
	}
	slices.SortFunc(slopes, func(a, b weighted) int {
		return cmp.Or(cmp.Compare(a.slope, b.slope), cmp.Compare(a.weight, b.weight))
	})
	k, sum := 0, slopes[0].weight
	for k < len(slopes)-1 && sum < total/2 {
		k++
		sum += slopes[k].weight
	}
	b := slopes[k].slope
	var residuals []float64
	for _, s := range series {
		if sumSquares(s.X) == 0 {
			continue // a lone point lies on its own line and says nothing of the scatter
		}
		a := intercept(s.X, s.Y, b)
		for i := range s.X {
			residuals = append(residuals, math.Abs(s.Y[i]-a-b*s.X[i]))
		}
	}
	out := Slope{Value: b, Error: math.Inf(1), Free: free}
	if free > 0 {
		scatter := max(floor, 1.4826*Median(residuals)*math.Sqrt(float64(points)/float64(free)))
		out.Error = 1.25 * scatter / math.Sqrt(spread)
	}
	return out, true
}

func sumSquares(x []float64) float64 {
	mean := 0.0
	for _, v := range x {
		mean += v / float64(len(x))
	}
	sum := 0.0
	for _, v := range x {
		sum += (v - mean) * (v - mean)
	}
	return sum
}
