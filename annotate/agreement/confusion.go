package agreement

import (
	"slices"
	"time"

	"sideport/timeline"
)

// Confusion counts in how many bins the two annotations name what. Counts[i][j] is
// the number of bins that the first gives Labels[i] and the second Labels[j]. The
// empty label is a bin without a name.
type Confusion struct {
	Labels []string // sorted, each once
	Counts [][]int64
}

// Bins cuts a window into bins of a width and looks at the middle of each: a frame
// is a bin as wide as a frame, and a width of one nanosecond compares the lists
// exactly. A last bin counts when its middle lies inside the window. Labels are
// those that some bin has. It panics when the width is not above 0.
//
// Cost is O(n + m + k²) for n and m segments with k labels, whatever the number of
// bins.
func Bins(first, second []Segment, window timeline.Span, width time.Duration) Confusion {
	if width <= 0 {
		panic("agreement: bins without a width")
	}
	a, b := runs(first), runs(second)
	counts := map[[2]string]int64{}
	at := window.From
	i, j := 0, 0
	for at < window.To {
		var la, lb string
		next := window.To
		la, i, next = labelAt(a, i, at, next)
		lb, j, next = labelAt(b, j, at, next)
		if n := middles(next-window.From, width) - middles(at-window.From, width); n > 0 {
			counts[[2]string{la, lb}] += n
		}
		at = next
	}
	return tabulate(counts)
}

// labelAt is the name at a moment, the index of the first segment that ends behind
// it, and the moment up to which that name holds, next at the latest.
func labelAt(list []Segment, i int, at, next time.Duration) (string, int, time.Duration) {
	for i < len(list) && list[i].To <= at {
		i++
	}
	switch {
	case i == len(list):
		return "", i, next
	case at < list[i].From:
		return "", i, min(next, list[i].From)
	}
	return list[i].Label, i, min(next, list[i].To)
}

// middles is how many bins have their middle before t, counted from the window's
// beginning: the number of k from 0 with k*width + width/2 < t, halves exact.
func middles(t, width time.Duration) int64 {
	rest := 2*t - width
	if rest <= 0 {
		return 0
	}
	return int64((rest-1)/(2*width)) + 1
}

func tabulate(counts map[[2]string]int64) Confusion {
	var c Confusion
	for pair := range counts {
		c.Labels = append(c.Labels, pair[0], pair[1])
	}
	slices.Sort(c.Labels)
	c.Labels = slices.Compact(c.Labels)
	c.Counts = make([][]int64, len(c.Labels))
	for i, la := range c.Labels {
		c.Counts[i] = make([]int64, len(c.Labels))
		for j, lb := range c.Labels {
			c.Counts[i][j] = counts[[2]string{la, lb}]
		}
	}
	return c
}

// sums are the totals of the rows, of the columns, of the diagonal and of all.
func (c Confusion) sums() (rows, columns []int64, same, all int64) {
	rows, columns = make([]int64, len(c.Counts)), make([]int64, len(c.Counts))
	for i, row := range c.Counts {
		for j, n := range row {
			rows[i] += n
			columns[j] += n
			all += n
		}
		same += row[i]
	}
	return rows, columns, same, all
}

// Total is the number of bins.
func (c Confusion) Total() int64 {
	_, _, _, all := c.sums()
	return all
}

// Observed is the share of bins that both annotations name alike, 0 to 1, and false
// without bins.
func (c Confusion) Observed() (float64, bool) {
	_, _, same, all := c.sums()
	if all == 0 {
		return 0, false
	}
	return float64(same) / float64(all), true
}

// Kappa is Cohen's kappa, (observed - expected) / (1 - expected), where expected is
// the share that two annotations with these totals would name alike by chance: 1 is
// full agreement, 0 what chance gives, below 0 less than that. It is not defined,
// and false, without bins and when both give every bin the same one name: then
// chance agrees fully as well.
//
// Source: Cohen J, Educ Psychol Meas 1960;20:37-46, from memory.
func (c Confusion) Kappa() (float64, bool) {
	rows, columns, same, all := c.sums()
	if all == 0 {
		return 0, false
	}
	expected := 0.0
	for i := range rows {
		if rows[i] == all && columns[i] == all {
			return 0, false
		}
		expected += float64(rows[i]) / float64(all) * float64(columns[i]) / float64(all)
	}
	return (float64(same)/float64(all) - expected) / (1 - expected), true
}
