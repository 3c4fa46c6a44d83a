package annotate

import (
	"cmp"
	"math"
	"slices"
	"time"

	"sideport/annotate/agreement"
	"sideport/timeline"
	"sideport/timeline/align"
)

// listRun is one stretch of a step in one of two lists that are compared.
type listRun struct {
	id    string
	nth   int
	start time.Duration
	until *time.Duration // where the list states an end
}

// listRuns are the case's own: from stamps and from the times of case.yaml.
func (c *Case) listRuns() []listRun {
	var out []listRun
	for _, s := range c.Steps {
		if s.Recording == nil || s.From != "stamp" && s.From != "case" {
			continue
		}
		x := listRun{id: s.ID, nth: s.Nth, start: s.Recording.From}
		if !s.EndAssumed {
			end := s.Recording.To
			x.until = &end
		}
		out = append(out, x)
	}
	slices.SortStableFunc(out, func(a, b listRun) int { return cmp.Compare(a.start, b.start) })
	return out
}

func asListRuns(runs []*run) []listRun {
	var out []listRun
	for _, x := range runs {
		out = append(out, listRun{id: x.ID, nth: x.Nth, start: *x.start, until: x.until})
	}
	return out
}

// mostInOrder is how many steps of each list are laid in order to begin with: more
// than an operation has, and few enough for a table of all pairs.
const mostInOrder = 1000

// findOffset estimates the constant difference between the lists: first from the
// steps that both name in the same order, then, that being taken out, from every
// step of both with its nearest partner.
func (a *Against) findOffset(first, second []listRun) {
	pairs := inOrder(first[:min(len(first), mostInOrder)], second[:min(len(second), mostInOrder)])
	if len(pairs) == 0 {
		return
	}
	off := middle(differences(first, second, pairs))
	pairs = partners(first, second, off)
	list := differences(first, second, pairs)
	off = middle(list)
	a.Offset, a.Paired = &off, len(pairs)
	var scatter []time.Duration
	for _, d := range list {
		scatter = append(scatter, (d - off).Abs())
	}
	constant := len(pairs) >= 3 && off.Abs() > disagree && middle(scatter) <= off.Abs()/2
	a.Removed = a.OtherKind || constant
}

// inOrder pairs the steps of the same name so that as many as can be are paired and
// none cross.
func inOrder(first, second []listRun) [][2]int {
	skip := func(int) float64 { return 1 }
	return align.Align(len(first), len(second), align.Costs{
		Pair: func(i, j int) float64 {
			if first[i].id == second[j].id {
				return 0
			}
			return math.Inf(1)
		},
		SkipX: skip, SkipY: skip,
	}).Ops().Pairs()
}

// partners pairs the runs of each step, as many as both lists have, by their distance
// once by is taken off the second list, in the order of the first list.
func partners(first, second []listRun, by time.Duration) [][2]int {
	of := func(list []listRun) (map[string][]int, map[string][]time.Duration) {
		index, at := map[string][]int{}, map[string][]time.Duration{}
		for i, x := range list {
			index[x.id], at[x.id] = append(index[x.id], i), append(at[x.id], x.start)
		}
		return index, at
	}
	fi, ft := of(first)
	si, st := of(second)
	var out [][2]int
	for id, times := range st {
		for k := range times {
			times[k] -= by
		}
		for _, p := range agreement.Match(ft[id], times) {
			out = append(out, [2]int{fi[id][p[0]], si[id][p[1]]})
		}
	}
	slices.SortFunc(out, func(a, b [2]int) int { return cmp.Compare(a[0], b[0]) })
	return out
}

func differences(first, second []listRun, pairs [][2]int) []time.Duration {
	var out []time.Duration
	for _, p := range pairs {
		out = append(out, second[p[1]].start-first[p[0]].start)
	}
	return out
}

// middle is the median, of an even number the mean of the middle two.
func middle(list []time.Duration) time.Duration {
	sorted := slices.Sorted(slices.Values(list))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// compare lays two lists on one clock beside each other. end is where the recording
// ends, nil when that is not known.
func (a *Against) compare(first, second []listRun, end *time.Duration) {
	a.pairSteps(first, second)
	one, openOne := segments(first, end)
	two, openTwo := segments(second, end)
	a.FirstOpen, a.SecondOpen = openOne != nil, openTwo != nil
	if len(one)+len(two) == 0 || len(first) == 0 || len(second) == 0 {
		return
	}
	a.Window = timeline.Span{From: min(first[0].start, second[0].start)}
	for _, s := range slices.Concat(one, two) {
		a.Window.To = max(a.Window.To, s.To)
	}
	a.Window.To = upTo(upTo(a.Window.To, openOne, two), openTwo, one)
	a.Window.To = max(a.Window.To, a.Window.From)
	a.First, a.Second = agreement.Clip(one, a.Window), agreement.Clip(two, a.Window)
}

// upTo is how far two lists can be compared when the last step of one has no known
// end: to its beginning, or to where the other list begins the same step, so that
// what is left out is left out of both.
func upTo(to time.Duration, open *listRun, other []agreement.Segment) time.Duration {
	if open == nil {
		return to
	}
	to = min(to, open.start)
	for _, s := range other {
		if s.Label == open.id && s.From < to && to <= s.To {
			return s.From
		}
	}
	return to
}

// segments are the runs with their ends: as stated, else where the next one begins,
// else at the recording's end; an end behind the next beginning is not used. open is
// the last run when its end is not known.
func segments(list []listRun, end *time.Duration) (out []agreement.Segment, open *listRun) {
	for i, x := range list {
		s := agreement.Segment{Label: x.id, Span: timeline.Span{From: x.start, To: x.start}}
		last := i == len(list)-1
		switch {
		case x.until != nil && *x.until >= x.start:
			s.To = *x.until
		case !last:
			s.To = list[i+1].start
		case end != nil && *end > x.start:
			s.To = *end
		default:
			return out, &list[i]
		}
		if !last {
			s.To = min(s.To, list[i+1].start)
		}
		out = append(out, s)
	}
	return out, nil
}

// pairSteps lists every run of either list, partners beside each other, in time
// order.
func (a *Against) pairSteps(first, second []listRun) {
	partner := map[int]int{} // of the second list's runs
	for _, p := range partners(first, second, 0) {
		partner[p[1]] = p[0]
	}
	both := map[int]bool{}
	for j, y := range second {
		s := AgainstStep{ID: y.id, SecondNth: y.nth, Second: &second[j].start}
		if i, ok := partner[j]; ok {
			s.FirstNth, s.First = first[i].nth, &first[i].start
			both[i] = true
		}
		a.Steps = append(a.Steps, s)
	}
	for i, x := range first {
		if !both[i] {
			a.Steps = append(a.Steps, AgainstStep{ID: x.id, FirstNth: x.nth, First: &first[i].start})
		}
	}
	at := func(s AgainstStep) time.Duration {
		if s.First != nil {
			return *s.First
		}
		return *s.Second
	}
	slices.SortStableFunc(a.Steps, func(x, y AgainstStep) int {
		return cmp.Or(cmp.Compare(at(x), at(y)), cmp.Compare(x.FirstNth, y.FirstNth), cmp.Compare(x.ID, y.ID))
	})
}
