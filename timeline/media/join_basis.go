package media

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// byCode lays the files out by their timecodes. The count starts again after a day
// of frames, so that the first file is the one with the longest stretch of that day
// empty before it.
func (j *joiner) byCode() layout {
	if len(j.parts) == 0 {
		return layout{}
	}
	rate := j.parts[0].Facts.Start.Rate
	for _, p := range j.parts {
		if c := p.Facts.Start; c.Text == "" || c.Rate.IsZero() || c.Rate != rate {
			return layout{}
		}
	}
	day := rate.FramesPerDay()
	frame := func(p int) int64 { return j.parts[p].Facts.Start.Frame % day }
	order := identity(len(j.parts))
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(frame(a), frame(b)) })
	first, widest := 0, time.Duration(-1)
	for i, p := range order {
		prev := order[(i+len(order)-1)%len(order)]
		apart := (frame(p) - frame(prev) + day) % day
		if apart == 0 && len(order) == 1 {
			apart = day
		}
		if free := rate.Duration(apart) - j.lengths[prev]; i == 0 || free > widest {
			first, widest = i, free
		}
	}
	order = slices.Concat(order[first:], order[:first])
	l := layout{basis: ByCode, order: order, at: make([]time.Duration, len(order)), known: allKnown(len(order))}
	zero := order[0]
	for _, p := range order {
		frames := (frame(p) - frame(zero) + day) % day
		l.at[p] = rate.Duration(frames) - j.starts[p] + j.starts[zero]
	}
	if !j.runsOn(l) {
		j.note(Remark{Topic: CodeRestarts, Basis: ByCode})
		return layout{}
	}
	return l
}

// runsOn reports whether the files can have been written one behind the other: none
// begins before the one ahead of it is half over. Copies and exports made in a row
// have creation times that crowd together, and codes that start again at each file
// are all the same. Half is our own limit; a joint repeats a few frames at most.
func (j *joiner) runsOn(l layout) bool {
	for i := 1; i < len(l.order); i++ {
		a, b := l.order[i-1], l.order[i]
		if l.at[b]-l.at[a] <= j.lengths[a]/2 {
			return false
		}
	}
	return true
}

// byCreation lays the files out by their creation times. No file says what its time
// stands for; when the time from one to the next is the length of the later file
// more often than that of the earlier one, they are ends.
func (j *joiner) byCreation() layout {
	times := make([]time.Time, len(j.parts))
	whole := true
	for i, p := range j.parts {
		t, err := time.Parse(time.RFC3339Nano, p.Facts.Created)
		if err != nil {
			return layout{}
		}
		if p.Facts.CreatedIn != j.parts[0].Facts.CreatedIn {
			j.note(Remark{Topic: CreationMixed, Basis: ByCreation})
			return layout{}
		}
		times[i], whole = t, whole && t.Nanosecond() == 0
	}
	if len(times) == 0 {
		return layout{}
	}
	l := layout{basis: ByCreation, order: identity(len(times)), at: make([]time.Duration, len(times)), known: allKnown(len(times))}
	slices.SortStableFunc(l.order, func(a, b int) int { return times[a].Compare(times[b]) })
	starts, ends := 0, 0
	for i := 1; i < len(l.order); i++ {
		a, b := l.order[i-1], l.order[i]
		apart := times[b].Sub(times[a])
		if near(apart, j.lengths[a]) {
			starts++
		}
		if near(apart, j.lengths[b]) {
			ends++
		}
	}
	base := times[l.order[0]]
	for _, p := range l.order {
		l.at[p] = times[p].Sub(base)
		if ends > starts {
			l.at[p] += j.lengths[l.order[0]] - j.lengths[p]
		}
	}
	if !j.runsOn(l) {
		j.note(Remark{Topic: CreationCrowded, Basis: ByCreation})
		return layout{}
	}
	if len(times) > 1 {
		switch {
		case ends > starts:
			j.note(Remark{Topic: CreationIsEnd, Basis: ByCreation})
		case starts == 0:
			j.note(Remark{Topic: CreationUnclear, Basis: ByCreation})
		}
		if whole {
			j.note(Remark{Topic: CreationSeconds, Basis: ByCreation})
		}
	}
	return l
}

// near reports whether two creation times lie as far apart as a file is long.
func near(apart, length time.Duration) bool {
	off := apart - length
	return length > 0 && off <= closing && off >= -closing
}

// byName lets each file begin where the one before it ends, in the order of the
// numbers in their names, or in the order given where the names are not numbered
// alike.
func (j *joiner) byName() layout {
	l := layout{basis: ByList, order: identity(len(j.parts)), at: make([]time.Duration, len(j.parts)), known: make([]bool, len(j.parts))}
	if j.numbered() {
		l.basis = ByName
		slices.SortStableFunc(l.order, func(a, b int) int { return natural(j.parts[a].Name, j.parts[b].Name) })
	}
	for i, p := range l.order {
		if l.known[p] = i == 0; i > 0 {
			l.at[p], l.known[p] = j.after(l, i)
		}
	}
	return l
}

// numbered reports whether the names differ in their numbers alone.
func (j *joiner) numbered() bool {
	seen := map[string]bool{}
	for _, p := range j.parts {
		seen[p.Name] = true
		if shape(p.Name) != shape(j.parts[0].Name) {
			return false
		}
	}
	return len(seen) == len(j.parts)
}

// shape is a name with one mark for each of its numbers.
func shape(name string) string {
	var b strings.Builder
	for i := 0; i < len(name); i++ {
		if isDigit(name[i]) {
			if i == 0 || !isDigit(name[i-1]) {
				b.WriteByte(0)
			}
			continue
		}
		b.WriteByte(name[i])
	}
	return strings.ToLower(b.String())
}

// natural orders names of one shape by their numbers, the first one first.
func natural(a, b string) int {
	numbers := func(s string) []string {
		return strings.FieldsFunc(s, func(c rune) bool { return c < '0' || c > '9' })
	}
	x, y := numbers(a), numbers(b)
	for i := range min(len(x), len(y)) {
		n, m := strings.TrimLeft(x[i], "0"), strings.TrimLeft(y[i], "0")
		if c := cmp.Or(cmp.Compare(len(n), len(m)), cmp.Compare(n, m)); c != 0 {
			return c
		}
	}
	return cmp.Compare(a, b)
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func allKnown(n int) []bool {
	out := make([]bool, n)
	for i := range out {
		out[i] = true
	}
	return out
}
