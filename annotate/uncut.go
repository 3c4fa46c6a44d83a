package annotate

import (
	"time"

	"sideport/timeline/source"
)

// lastMoment is how far an uncut video reaches at the least, from recording zero: to
// the end of the part, to the last end that a stamp or an entry states, to a shortest
// chapter behind the last time without one, and to the last cue spoken over the
// recording. It is 0 when nothing has a time.
func (r *resolver) lastMoment() time.Duration {
	var last time.Duration
	if r.clock.partEnd != nil {
		last = *r.clock.partEnd
	}
	for _, m := range r.c.Marks {
		end := m.Recording + shortestChapter
		if m.EndAt != nil {
			end = *m.EndAt
		}
		last = max(last, end)
	}
	reach := func(at Text, behind time.Duration) bool {
		when, ok := r.clock.when(at, func(source.Finding) {}) // said when the entry is read
		if ok {
			last = max(last, when+behind)
		}
		return ok
	}
	for _, s := range r.c.File.Steps {
		if !reach(s.Until, 0) {
			reach(s.At, shortestChapter)
		}
		for _, reading := range s.Readings {
			reach(reading.At, shortestChapter)
		}
	}
	for _, e := range r.c.File.Events {
		reach(e.At, shortestChapter)
	}
	for _, cue := range r.c.Cues {
		last = max(last, cue.To)
	}
	return last
}
