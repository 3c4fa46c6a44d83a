package annotate

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"sideport/annotate/placing"
	"sideport/annotate/taxonomy"
	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// disagree is how far two sources of one time may lie apart before it is said.
const disagree = 2 * time.Second

// run is one stretch of a step while the runs are put together.
type run struct {
	Step
	start  *time.Duration // recording
	until  *time.Duration // recording, stated
	vstart *time.Duration // video, of a run known from chapters only
	vuntil *time.Duration // video, stated or the next chapter
	mark   int            // first mark, or -1
	title  int            // first chapter, or -1
	file   int            // order of untimed entries
}

// runsFromMarks merges the step stamps, in clock order, into runs: neighbours of
// the same step are one.
func (r *resolver) runsFromMarks() []*run {
	order := make([]int, 0, len(r.c.Marks))
	for i, m := range r.c.Marks {
		if m.Match.Kind == taxonomy.KindStep && m.Match.ID != "" {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(r.c.Marks[a].Recording, r.c.Marks[b].Recording) })
	var runs []*run
	for _, i := range order {
		m := &r.c.Marks[i]
		if n := len(runs); n > 0 && runs[n-1].ID == m.Match.ID {
			runs[n-1].until = m.EndAt
			continue
		}
		at := m.Recording
		runs = append(runs, &run{
			Step:  Step{ID: m.Match.ID, From: "stamp", Placed: m.Placed, Confidence: m.Match.Confidence, Pos: m.Pos},
			start: &at, until: m.EndAt, mark: i, title: -1,
		})
	}
	return runs
}

// addTitles lets chapters speak where the stamps are silent: a chapter whose step
// no run has becomes a run of its own, carried back through the map when there is
// one. With no step stamp at all the chapters are the steps.
func (r *resolver) addTitles(runs []*run) []*run {
	have := map[string]bool{}
	for _, x := range runs {
		have[x.ID] = true
	}
	var previous *run
	for i := range r.c.Titles {
		t := &r.c.Titles[i]
		if t.Match.Kind != taxonomy.KindStep || t.Match.ID == "" {
			previous = nil
			continue
		}
		if have[t.Match.ID] {
			previous = nil
			r.tieTitle(runs, i)
			continue
		}
		end := r.titleEnd(i)
		if previous != nil && previous.ID == t.Match.ID {
			previous.vuntil = &end
			continue
		}
		from := t.From
		previous = &run{
			Step:   Step{ID: t.Match.ID, From: "chapter", Placed: "matched", Confidence: t.Match.Confidence, Pos: t.Pos},
			vstart: &from, vuntil: &end, mark: -1, title: i, start: t.Recording,
		}
		runs = append(runs, previous)
	}
	return runs
}

// tieTitle says when a chapter and the stamp it was paired with lie apart after
// the map.
func (r *resolver) tieTitle(runs []*run, title int) {
	for _, p := range r.c.Pairs {
		if p.Chapter != title || p.Residual.Abs() <= disagree {
			continue
		}
		m, t := r.c.Marks[p.Stamp], r.c.Titles[title]
		r.report(source.Finding{
			Pos: t.Pos, Severity: source.Caution, Rule: "time/disagree", Step: t.Match.ID,
			Message: fmt.Sprintf("the chapter begins %.1f s away from where the stamp %s puts it", p.Residual.Abs().Seconds(), m.At.Text),
			Related: []source.Related{{Pos: m.Pos, Message: "the stamp"}},
		})
	}
	for _, x := range runs {
		if x.title < 0 && x.ID == r.c.Titles[title].Match.ID && r.paired(x.mark, title) {
			x.title = title
		}
	}
}

func (r *resolver) paired(mark, title int) bool {
	for _, p := range r.c.Pairs {
		if p.Stamp == mark && p.Chapter == title {
			return true
		}
	}
	return false
}

// titleEnd is where a chapter ends: as stated, else where the next one begins,
// else at the end of the video.
func (r *resolver) titleEnd(i int) time.Duration {
	t := r.c.Titles[i]
	if t.HasTo {
		return t.To
	}
	for _, next := range r.c.Titles[i+1:] {
		if next.From > t.From {
			return next.From
		}
	}
	return max(r.c.VideoLength, t.From)
}

// addEntries ties the entries of case.yaml to the runs: the k-th entry of a step
// belongs to its k-th run unless nth says otherwise. An entry without a run stays,
// untimed.
func (r *resolver) addEntries(runs []*run) []*run {
	sortRuns(runs)
	seen := map[string]int{}
	taken := map[*run]bool{}
	for i := range r.c.File.Steps {
		keys := &r.c.File.Steps[i]
		if !keys.Step.Set {
			continue
		}
		id, _, info := r.names.step(keys.Step.Value, r.converted)
		if info == nil {
			fault(keys.Step, r.report, "read/unknown-step", "unknown step %q%s", keys.Step.Value, nearest(keys.Step.Value, r.names.stepIDs()))
			continue
		}
		seen[id]++
		k := cmp.Or(count(keys.Nth), seen[id])
		x := nthRun(runs, id, k)
		if x != nil && taken[x] {
			r.report(source.Finding{
				Pos: keys.pos, Severity: source.Error, Rule: "read/same-occurrence", Step: id, Nth: k,
				Message: fmt.Sprintf("two entries speak of occurrence %d of %s; this one is not read", k, id),
				Related: []source.Related{{Pos: x.Pos, Message: "the other entry"}},
			})
			continue
		}
		if x == nil {
			x = &run{Step: Step{ID: id}, mark: -1, title: -1, file: i + 1}
			runs = append(runs, x)
		}
		taken[x] = true
		r.enter(x, keys, i)
	}
	return runs
}

func nthRun(runs []*run, id string, k int) *run {
	for _, x := range runs {
		if x.ID == id && x.file == 0 {
			if k--; k == 0 {
				return x
			}
		}
	}
	return nil
}

// enter writes an entry's keys into its run. Times of the entry win over every
// other source, and a difference is said.
func (r *resolver) enter(x *run, keys *StepKeys, index int) {
	if at, ok := r.clock.when(keys.At, r.report); ok {
		if x.start != nil && (*x.start-at).Abs() > disagree {
			r.report(source.Finding{
				Pos: keys.At.Pos, Path: keys.At.Path, Severity: source.Caution, Rule: "time/disagree", Step: x.ID,
				Message: fmt.Sprintf("case.yaml says %s, the %s lies %.1f s away; case.yaml counts", keys.At.Value, x.From, (*x.start - at).Abs().Seconds()),
				Related: []source.Related{{Pos: x.Pos, Message: "the " + x.From}},
			})
		}
		x.start, x.From, x.Placed, x.vstart, x.vuntil = &at, "case", "", nil, nil
		x.Confidence = 1
	}
	if until, ok := r.clock.when(keys.Until, r.report); ok {
		x.until = &until
	}
	x.HasEntry, x.Index, x.Pos = true, index, keys.pos
	x.Variant = keys.Variant.Value
	x.Reason, x.Note = keys.Reason.Value, keys.Note.Value
	for _, t := range keys.Tips {
		x.Tips = append(x.Tips, t.Value)
	}
	x.Shown = true
	if shown, said := truth(keys.Shown); said {
		x.Shown = shown
	}
}

// sortRuns puts runs in recording order; those known from the video only by its
// order; those without a time last, in file order.
func sortRuns(runs []*run) {
	slices.SortStableFunc(runs, func(a, b *run) int {
		switch {
		case a.start != nil && b.start != nil:
			return cmp.Compare(*a.start, *b.start)
		case a.vstart != nil && b.vstart != nil:
			return cmp.Compare(*a.vstart, *b.vstart)
		}
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a.file, b.file))
	})
}

func rank(x *run) int {
	switch {
	case x.start != nil:
		return 0
	case x.vstart != nil:
		return 1
	}
	return 2
}

// finish turns runs into steps: occurrence numbers, ends and video spans.
func (r *resolver) finish(runs []*run) []Step {
	sortRuns(runs)
	seen := map[string]int{}
	var out []Step
	for i, x := range runs {
		seen[x.ID]++
		x.Nth = seen[x.ID]
		_, x.Procedure, x.Info = r.names.step(x.ID, true)
		if !x.HasEntry {
			x.Shown = true
		}
		r.span(x, runs[i+1:])
		r.place(x)
		if x.mark >= 0 {
			r.c.Marks[x.mark].Step, r.c.Marks[x.mark].Nth = x.ID, x.Nth
		}
		r.reportUnplaced(x)
		out = append(out, x.Step)
	}
	return out
}

// span sets the recording span: to the stated end, else the next run's start,
// else the end of the part or of what the video shows; the latter two assumed.
func (r *resolver) span(x *run, later []*run) {
	if x.start == nil {
		return
	}
	s := timeline.Span{From: *x.start, To: *x.start}
	switch {
	case x.until != nil && *x.until >= *x.start:
		s.To = *x.until
	default:
		if x.until != nil {
			r.report(source.Finding{
				Pos: x.Pos, Severity: source.Caution, Rule: "time/end-before-start", Step: x.ID, Nth: x.Nth,
				Message: "the end of the step lies before its start; the end is not used",
			})
		}
		x.EndAssumed = true
		s.To = max(r.recordingEnd, s.From)
		for _, next := range later {
			if next.start != nil && *next.start > *x.start {
				s.To = *next.start
				break
			}
		}
	}
	x.Recording = &s
}

// place sets the video span. Under an inferred map a step counts as shown only when
// its beginning could be placed: beside removed material the map is a guess.
func (r *resolver) place(x *run) {
	switch {
	case x.vstart != nil:
		x.Video = []timeline.Span{{From: *x.vstart, To: max(*x.vuntil, *x.vstart)}}
	case x.Recording != nil && !r.c.Map.IsZero() && (r.exact || r.begins(x)):
		x.Video = r.c.Map.SpanToVideo(*x.Recording)
		if r.exact {
			x.Placed = placing.EditList
		}
	}
	if len(x.Video) == 0 {
		x.Placed = ""
	}
}

// begins reports whether the moment a run begins has a place on the video, and
// notes how it was placed.
func (r *resolver) begins(x *run) bool {
	if x.From == "case" {
		p := r.entryPlace[x.Index]
		x.Placed = p.Placed
		return p.Video != nil
	}
	return x.mark >= 0 && r.c.Marks[x.mark].Video != nil
}

func (r *resolver) reportUnplaced(x *run) {
	if x.start == nil && x.vstart == nil {
		r.report(source.Finding{
			Pos: x.Pos, Severity: source.Note, Rule: "time/not-placed", Step: x.ID, Nth: x.Nth,
			Message: "no stamp, chapter or time of case.yaml says when this step happened; its values are judged all the same",
		})
	}
}

// clockNote tells which clock the times were read from.
func (r *resolver) clockNote() {
	if !r.clock.known || len(r.c.Marks) == 0 {
		return
	}
	what := map[timecode.Kind]string{
		timecode.Elapsed: "time since the recording began", timecode.Wall: "time of day", timecode.Timecode: "timecode",
	}[r.clock.Kind]
	r.report(source.Finding{
		Pos: r.c.Marks[0].Pos.Source.Whole(), Severity: source.Note, Rule: "time/clock",
		Message: fmt.Sprintf("the times are read as %s: %s", what, r.clock.Why),
		Hint:    "recording.clock in case.yaml states the clock",
	})
}
