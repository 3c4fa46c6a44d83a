package agreement

import (
	"slices"
	"time"
)

// Match pairs the moments of two lists, each in time order: as many pairs as the
// shorter list has moments, in order, with the least sum of distances. Pairs that
// cross would never be shorter. At a tie the earlier moments of the longer list are
// taken. A pair holds an index of first and one of second.
//
// Cost is O(n m) time and memory for n and m moments.
func Match(first, second []time.Duration) [][2]int {
	if len(first) > len(second) {
		out := Match(second, first)
		for i, p := range out {
			out[i] = [2]int{p[1], p[0]}
		}
		return out
	}
	n, slack := len(first), len(second)-len(first)
	// The i-th of first can meet second[i] to second[i+slack] only, so that the rest
	// finds partners. sum[k] is the least sum up to first[i] with second[i+k] or an
	// earlier one; met says that it is second[i+k] itself.
	met := make([][]bool, n)
	sum := make([]time.Duration, slack+1)
	for i := range n {
		met[i] = make([]bool, slack+1)
		for k := range sum {
			sum[k] += (first[i] - second[i+k]).Abs()
			met[i][k] = k == 0 || sum[k] < sum[k-1]
			if !met[i][k] {
				sum[k] = sum[k-1]
			}
		}
	}
	out := make([][2]int, 0, n)
	k := slack
	for i := n - 1; i >= 0; i-- {
		for !met[i][k] {
			k--
		}
		out = append(out, [2]int{i, i + k})
	}
	slices.Reverse(out)
	return out
}
