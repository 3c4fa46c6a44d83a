package annotate

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sideport/timeline"
	"sideport/timeline/source"
)

// aroundTimes is how far beyond the first and last time given a source may reach and still
// be the recording.
const aroundTimes = time.Hour

// sourceOf is what tells the sources of an edit apart: the reel, or where that says
// nothing the clip.
func sourceOf(ev timeline.EditEvent) string {
	if ev.Reel == "" || strings.EqualFold(ev.Reel, "AX") {
		return ev.Clip
	}
	return ev.Reel
}

// ownSources reports which events are of the recording, where the edit draws on
// several sources. On a clock those are that have a moment within an hour of the
// times given. Times since a file began tell files not apart: the source that is shown
// longest counts, of equal ones the first. said tells what is left out, without the
// names of clips and reels, which may tell who the patient is.
func (r *resolver) ownSources(e timeline.Edit, zero editZero) (own func(timeline.EditEvent) bool, said []source.Finding) {
	given, any := r.timesGiven()
	var order []string
	first, shown, near := map[string]timeline.EditEvent{}, map[string]time.Duration{}, map[string]bool{}
	for _, ev := range e.Kept() {
		key := sourceOf(ev)
		if _, seen := first[key]; !seen {
			order = append(order, key)
			first[key] = ev
		}
		shown[key] += ev.Record.Len()
		at := zero.at(ev)
		near[key] = near[key] || !any || at <= given.To+aroundTimes && at+ev.Source.Len() >= given.From-aroundTimes
	}
	if len(order) < 2 {
		return func(timeline.EditEvent) bool { return true }, nil
	}
	longest := order[0]
	for _, key := range order {
		if shown[key] > shown[longest] {
			longest = key
		}
	}
	counts := func(key string) bool { return key == longest }
	severity, how := source.Caution, "times since a file began tell files not apart, and the one shown longest counts as the recording"
	if zero.clock {
		counts = func(key string) bool { return near[key] }
		severity, how = source.Note, "those with no moment near the times count as put in"
	}
	f := source.Finding{Severity: severity, Rule: "time/edit-sources"}
	for _, key := range order {
		if counts(key) {
			continue
		}
		if f.Related = append(f.Related, source.Related{Pos: first[key].Pos, Message: "counts as put in"}); len(f.Related) == 1 {
			f.Pos = first[key].Pos
		}
	}
	if n := len(f.Related); n > 0 && n < len(order) {
		f.Message = fmt.Sprintf("the edit list draws on %d sources; %s", len(order), how)
		said = append(said, f)
	}
	return func(ev timeline.EditEvent) bool { return counts(sourceOf(ev)) }, said
}

// still are the stretches of the recording that an edit shows backwards or standing.
// Whether the source of reverse play is written from its first frame or from the last
// is not settled between programs, so that both stretches count.
func still(events []timeline.EditEvent, zero editZero, own func(timeline.EditEvent) bool) []timeline.Span {
	var out []timeline.Span
	for _, ev := range events {
		if ev.Shows != timeline.Freeze && ev.Shows != timeline.Reverse || !own(ev) {
			continue
		}
		at := zero.at(ev)
		s := timeline.Span{From: at, To: at + 1}
		if ev.Shows == timeline.Reverse {
			played := timeline.Ratio{Num: -ev.Speed.Num, Den: ev.Speed.Den}.Of(ev.Record.Len())
			s = timeline.Span{From: at - played, To: at + max(played, ev.Source.Len())}
		}
		out = append(out, s)
	}
	return out
}

// reportRemoved notes the runs of which the edit keeps nothing, or nothing but what has
// no time of its own in the video. Of an edit that is read in part neither is known.
// The end of a run may be assumed here: no run is longer than up to the next.
func (r *resolver) reportRemoved(runs []*run) {
	if !r.edited || r.c.Edit.Partial {
		return
	}
	for _, x := range runs {
		if x.Recording == nil || x.vstart != nil || len(x.Video) > 0 || len(r.c.Map.SpanToVideo(*x.Recording)) > 0 ||
			len(r.c.Map.ToVideo(x.Recording.From)) > 0 {
			continue
		}
		message := "the edit keeps nothing of this step, so the video does not show it"
		if slices.ContainsFunc(r.still, func(s timeline.Span) bool {
			return s.From < max(x.Recording.To, x.Recording.From+1) && x.Recording.From < s.To
		}) {
			message = "the edit shows nothing of this step but what may run backwards or stand still, so it has no time in the video"
		}
		r.report(source.Finding{
			Pos: x.Pos, Severity: source.Note, Rule: "time/removed", Step: x.ID, Nth: x.Nth, Recording: x.Recording, Message: message,
		})
	}
}
