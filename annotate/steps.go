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
	// onVideo is where the run begins on the video, for the order of runs: vstart,
	// or the place of its stamp.
	onVideo *time.Duration
	marks   []int // its stamps, the first one first
	file    int   // order of untimed entries
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
			runs[n-1].marks = append(runs[n-1].marks, i)
			continue
		}
		at := m.Recording
		runs = append(runs, &run{
			Step:  Step{ID: m.Match.ID, From: "stamp", Placed: m.Placed, Confidence: m.Match.Confidence, Pos: m.Pos},
			start: &at, onVideo: m.Video, until: m.EndAt, marks: []int{i},
		})
	}
	number(runs)
	return runs
}

// number counts the occurrences of each step, in the order of the runs.
func number(runs []*run) {
	seen := map[string]int{}
	for _, x := range runs {
		seen[x.ID]++
		x.Nth = seen[x.ID]
	}
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
			continue
		}
		end := r.titleEnd(i)
		if previous != nil && previous.ID == t.Match.ID {
			previous.vuntil, previous.EndAssumed, previous.until = &end, !t.HasTo, r.titleUntil(*t)
			continue
		}
		from := t.From
		previous = &run{
			Step:   Step{ID: t.Match.ID, From: "chapter", Placed: "matched", Confidence: t.Match.Confidence, Pos: t.Pos, EndAssumed: !t.HasTo},
			vstart: &from, onVideo: &from, vuntil: &end, start: t.Recording, until: r.titleUntil(*t),
		}
		runs = append(runs, previous)
	}
	return runs
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

// titleUntil is the stated end of a chapter on the recording's clock. Only a map
// that is known carries it back: beside removed material an inferred one would say
// that the step ended where the cut is guessed to be.
func (r *resolver) titleUntil(t Title) *time.Duration {
	if !r.exact || !t.HasTo {
		return nil
	}
	last, ok := r.c.Map.ToRecording(t.To - 1) // of the half-open span
	if !ok {
		return nil
	}
	last++
	return &last
}

// sortRuns puts runs in recording order. One known from the video only stands
// behind what the video shows before it; those without a time come last, in file
// order.
func sortRuns(runs []*run) {
	var timed, shown, rest []*run
	for _, x := range runs {
		switch {
		case x.start != nil:
			timed = append(timed, x)
		case x.vstart != nil:
			shown = append(shown, x)
		default:
			rest = append(rest, x)
		}
	}
	slices.SortStableFunc(timed, func(a, b *run) int { return cmp.Compare(*a.start, *b.start) })
	slices.SortStableFunc(shown, func(a, b *run) int { return cmp.Compare(*a.vstart, *b.vstart) })
	slices.SortStableFunc(rest, func(a, b *run) int { return cmp.Compare(a.file, b.file) })
	for _, x := range shown {
		at := 0
		for i, y := range timed {
			if y.onVideo != nil && *y.onVideo <= *x.vstart {
				at = i + 1
			}
		}
		x.onVideo = x.vstart
		timed = slices.Insert(timed, at, x)
	}
	copy(runs, append(timed, rest...))
}

// finish turns runs into steps: ends and video spans.
func (r *resolver) finish(runs []*run) []Step {
	sortRuns(runs)
	var out []Step
	for i, x := range runs {
		_, x.Procedure, x.Info = r.names.step(x.ID, true)
		if !x.HasEntry {
			x.Shown = true
		}
		r.span(x, runs[i+1:])
		r.place(x)
		for _, m := range x.marks {
			r.c.Marks[m].Step, r.c.Marks[m].Nth = x.ID, x.Nth
		}
		out = append(out, x.Step)
	}
	r.reportUnplaced(runs)
	r.reportRemoved(runs)
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
	case x.From == "narration" && x.Recording != nil && len(r.c.Map.SpanToVideo(*x.Recording)) > 0:
		x.Video = r.c.Map.SpanToVideo(*x.Recording) // a cue says when a step begins, not how long it lasts
	case x.vstart != nil:
		x.Video = []timeline.Span{{From: *x.vstart, To: max(*x.vuntil, *x.vstart)}}
	case x.Recording != nil && !r.c.Map.IsZero() && (r.exact || r.begins(x)):
		x.Video = r.c.Map.SpanToVideo(*x.Recording)
		if r.exact {
			x.Placed = placing.EditList
		}
	}
	x.Video = r.inVideo(x.Video)
	if len(x.Video) == 0 {
		x.Placed = ""
	}
}

// inVideo clips spans to the video. A length that is only assumed ends nothing.
func (r *resolver) inVideo(spans []timeline.Span) []timeline.Span {
	length := r.c.VideoLength
	if r.c.VideoLengthAssumed || length == 0 {
		return spans
	}
	var out []timeline.Span
	for _, s := range spans {
		if s.From < length {
			out = append(out, timeline.Span{From: s.From, To: min(s.To, length)})
		}
	}
	return out
}

// begins reports whether the moment a run begins has a place on the video, and
// notes how it was placed.
func (r *resolver) begins(x *run) bool {
	if x.From == "case" {
		p := r.entryPlace[x.Index]
		x.Placed = p.Placed
		return p.Video != nil
	}
	return len(x.marks) > 0 && r.c.Marks[x.marks[0]].Video != nil
}

// reportUnplaced notes the entries that nothing gives a time for. Where nothing at
// all has a time, that is one fact and one note.
func (r *resolver) reportUnplaced(runs []*run) {
	unplaced := slices.DeleteFunc(slices.Clone(runs), func(x *run) bool { return x.start != nil || x.vstart != nil })
	if n := len(unplaced); n > 1 && n == len(runs) {
		r.report(source.Finding{
			Pos: unplaced[0].Pos, Severity: source.Note, Rule: "time/not-placed",
			Message: fmt.Sprintf("no stamp, chapter or time of case.yaml says when any of the %d steps happened; they stand in the order of case.yaml and their values are judged all the same", n),
		})
		return
	}
	for _, x := range unplaced {
		r.report(source.Finding{
			Pos: x.Pos, Severity: source.Note, Rule: "time/not-placed", Step: x.ID, Nth: x.Nth,
			Message: "no stamp, chapter or time of case.yaml says when this step happened; its values are judged all the same",
		})
	}
}

// clockNote tells which clock the times were read from.
func (r *resolver) clockNote() {
	from := r.c.CaseFile
	switch {
	case !r.clock.known:
		return
	case len(r.c.Marks) > 0:
		from = r.c.Marks[0].Pos.Source
	case !slices.ContainsFunc(r.c.File.times(), func(t Text) bool { return t.Set }):
		return
	}
	hint := "recording.clock in case.yaml states the clock"
	if r.c.File.Recording.Clock.Set || r.c.loose() {
		hint = ""
	}
	r.report(source.Finding{
		Pos: from.Whole(), Severity: source.Note, Rule: "time/clock",
		Message: fmt.Sprintf("the times are read as %s: %s", kindNames[r.clock.Kind], r.clock.Why),
		Hint:    hint,
	})
}
