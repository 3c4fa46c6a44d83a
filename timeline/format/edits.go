package format

import (
	"fmt"
	"math/big"
	"time"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// finishEdit puts the events of a list in the order of the video, reports those that
// cover each other, and notes what carries no time of a source.
func finishEdit(events []timeline.EditEvent, report source.Report) timeline.Edit {
	events = timeline.SortEvents(events, func(ev, before timeline.EditEvent) {
		report(source.Finding{
			Pos: ev.Pos, Severity: source.Error, Rule: "read/edit-overlap",
			Message: fmt.Sprintf("the event begins at video %s, %s before the one that began ahead of it ends; what they share is taken for that one",
				timecode.Format(ev.Record.From), inSeconds(before.Record.To-ev.Record.From)),
			Related: []source.Related{{Pos: before.Pos, Message: "the event ahead of it"}},
		})
	})
	for _, kind := range []struct {
		shows     timeline.Shows
		one, many string
	}{
		{timeline.Black, "an event shows nothing", "%d events show nothing"},
		{timeline.Freeze, "an event shows a frame that stands still", "%d events show a frame that stands still"},
		{timeline.Reverse, "an event is played backwards", "%d events are played backwards"},
	} {
		var list skipped
		for _, ev := range events {
			if ev.Shows == kind.shows {
				list.add(ev.Pos)
			}
		}
		const none = "; no time of the recording belongs to such a place"
		list.say(report, "read/edit-still", kind.one+none, kind.many+none)
	}
	return timeline.Edit{Events: events}
}

// skipped gathers the places of which one note is to be made.
type skipped []source.Pos

func (s *skipped) add(p source.Pos) { *s = append(*s, p) }

// mostRelated bounds the places that a note names beside its own.
const mostRelated = 20

// say makes the note: one for a single place, many, with their number in it, for
// several.
func (s skipped) say(report source.Report, rule, one, many string) {
	if len(s) == 0 {
		return
	}
	f := source.Finding{Pos: s[0], Severity: source.Note, Rule: rule, Message: one}
	if len(s) > 1 {
		f.Message = fmt.Sprintf(many, len(s))
	}
	for _, p := range s[1:min(len(s), mostRelated+1)] {
		f.Related = append(f.Related, source.Related{Pos: p, Message: "the same here"})
	}
	report(f)
}

// ratio is r as a Ratio, and the nearest one there is when its parts are beyond 63
// bits.
func ratio(r *big.Rat) timeline.Ratio {
	if r.Num().IsInt64() && r.Denom().IsInt64() {
		return timeline.Ratio{Num: r.Num().Int64(), Den: r.Denom().Int64()}
	}
	const den = 1 << 30
	n := new(big.Rat).Mul(r, big.NewRat(den, 1))
	near := new(big.Int).Quo(n.Num(), n.Denom())
	out := new(big.Rat).SetFrac(near, big.NewInt(den))
	return timeline.Ratio{Num: out.Num().Int64(), Den: out.Denom().Int64()}
}

// duration is a number of seconds to the nearest nanosecond, halves away from zero.
// The seconds have to be below a thousand million.
func duration(seconds *big.Rat) time.Duration {
	n := new(big.Rat).Mul(seconds, big.NewRat(int64(time.Second), 1))
	half := big.NewRat(int64(n.Sign()), 2)
	n.Add(n, half)
	return time.Duration(new(big.Int).Quo(n.Num(), n.Denom()).Int64())
}
