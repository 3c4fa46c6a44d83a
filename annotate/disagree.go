package annotate

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"time"

	"sideport/annotate/placing"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// disagreements says which chapters lie apart from where the stamp or the time of
// case.yaml that names the same step is after the map, and returns those chapters.
// Under a known map a time of case.yaml without a stamp is held against its chapter
// where the entry is read. Where the map is an edit list's the finding is time/residual
// and says on which side of the exact place the chapter lies.
func (r *resolver) disagreements(stamps []placing.Stamp, entryAt map[int]int, pins []placing.Pin) (said map[int]bool) {
	entries := map[int]int{} // by the moment that each stands for, the first where several do
	for _, entry := range slices.Sorted(maps.Keys(entryAt)) {
		if i := entryAt[entry]; entries[i] == 0 {
			entries[i] = entry + 1
		}
	}
	said = map[int]bool{}
	report := func(i, chapter int, step string, apart time.Duration) {
		entry := entries[i] - 1
		if step == "" || apart.Abs() <= max(disagree, stamps[i].Half) || said[chapter] ||
			entry >= 0 && r.exact && i >= len(r.c.Marks) {
			return
		}
		said[chapter] = true
		r.sayApart(i, entry, chapter, step, apart)
	}
	for _, p := range r.c.Pairs {
		report(p.Stamp, p.Chapter, p.Step, p.Residual)
	}
	if r.edited {
		r.lonePairs(stamps, report)
	}
	if r.exact {
		return said
	}
	for _, o := range r.outliers(stamps, pins) {
		report(o.pair.Stamp, o.pair.Chapter, o.pair.Step, o.apart)
	}
	r.lonePairs(stamps, report)
	return said
}

func (r *resolver) sayApart(i, entry, chapter int, step string, apart time.Duration) {
	var other, place string
	var pos source.Pos
	if entry >= 0 {
		other, pos = "the time of case.yaml", r.c.File.Steps[entry].At.Pos
	} else {
		m := r.c.Marks[i]
		other, place, pos = "the stamp", " at recording "+timecode.Format(m.Recording), m.Pos
	}
	f := source.Finding{
		Pos: r.c.Titles[chapter].Pos, Severity: source.Caution, Rule: "time/disagree", Step: step,
		Message: fmt.Sprintf("the chapter begins %.1f s away from where %s%s puts it", apart.Abs().Seconds(), other, place),
		Related: []source.Related{{Pos: pos, Message: other}},
	}
	if r.edited {
		f.Rule = "time/residual"
		f.Message = fmt.Sprintf("the chapter begins %.1f s %s the place that the edit list gives %s%s", apart.Abs().Seconds(), side(apart), other, place)
	}
	r.report(f)
}

// side says on which side of a place something lies that is apart from it.
func side(apart time.Duration) string {
	if apart < 0 {
		return "before"
	}
	return "after"
}

// outlier is a pair that its neighbours contradict.
type outlier struct {
	pair  placing.Pair
	apart time.Duration // from the line between them
}

// outliers are the pairs off the line between two neighbours that agree with each
// other. An aligner that trusts every pair bends the map there: it takes an insert
// and a cut of one length. Real cuts only ever shift one way, so a pair that lies
// between the offsets of its neighbours, however far from either, is none. A pin is
// a neighbour like a pair, and a second opinion on a pair beside it.
func (r *resolver) outliers(stamps []placing.Stamp, pins []placing.Pin) []outlier {
	type spot struct {
		recording, offset time.Duration
		pair              int // -1 for a pin
	}
	var spots []spot
	add := func(recording, video time.Duration, pair int) {
		offset := video - time.Duration(r.c.Rate*float64(recording))
		spots = append(spots, spot{recording, offset, pair})
	}
	for k, p := range r.c.Pairs {
		add(stamps[p.Stamp].At, r.c.Titles[p.Chapter].From, k)
	}
	for _, pin := range pins {
		add(pin.Recording, pin.Video, -1)
	}
	slices.SortStableFunc(spots, func(a, b spot) int { return cmp.Compare(a.recording, b.recording) })
	var out []outlier
	for k := 1; k < len(spots)-1; k++ {
		a, x, b := spots[k-1], spots[k], spots[k+1]
		span := b.recording - a.recording
		tolerance := max(disagree, span/50) // as material without a cut is told
		low, high := min(a.offset, b.offset), max(a.offset, b.offset)
		if x.pair < 0 || span <= 0 || high-low > tolerance || x.offset >= low-disagree && x.offset <= high+disagree {
			continue
		}
		share := float64(x.recording-a.recording) / float64(span)
		line := a.offset + time.Duration(share*float64(b.offset-a.offset))
		out = append(out, outlier{r.c.Pairs[x.pair], x.offset - line})
	}
	return out
}

// lonePairs holds the one stamp of a step against the one chapter of it where the
// aligner matched neither and the map says where the stamp is.
func (r *resolver) lonePairs(stamps []placing.Stamp, report func(stamp, chapter int, step string, apart time.Duration)) {
	titles, marks := map[string][]int{}, map[string][]int{}
	for j, t := range r.c.Titles {
		titles[t.Match.ID] = append(titles[t.Match.ID], j)
	}
	for i := range stamps {
		marks[stamps[i].Step] = append(marks[stamps[i].Step], i)
	}
	for j, t := range r.c.Titles {
		id := t.Match.ID
		if id == "" || len(titles[id]) != 1 || len(marks[id]) != 1 {
			continue
		}
		i := marks[id][0]
		p := r.places[i]
		matched := slices.ContainsFunc(r.c.Pairs, func(p placing.Pair) bool { return p.Stamp == i || p.Chapter == j })
		if matched || p.Video == nil || (t.From-*p.Video).Abs() <= p.Within {
			continue
		}
		report(i, j, id, t.From-*p.Video)
	}
}
