package annotate

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"
	"time"

	"sideport/annotate/narration"
	"sideport/annotate/quantity"
	"sideport/annotate/taxonomy"
	"sideport/timeline"
	"sideport/timeline/source"
)

// spokenOnRecording reports whether the narration counts on the recording's clock.
func (r *resolver) spokenOnRecording() bool { return r.c.File.Narration.Clock.Value == "recording" }

// speech puts the narration on the video's clock.
func (r *resolver) speech() {
	if !r.spokenOnRecording() {
		r.c.Speech = slices.Clone(r.c.Cues)
		slices.SortStableFunc(r.c.Speech, func(a, b timeline.Cue) int {
			return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To))
		})
		r.checkSpeech()
		return
	}
	// Caption formats count from the start of what they belong to: recording zero.
	kept, left := narration.Shift(r.c.Cues, r.c.Map)
	r.c.Speech = kept
	if n := len(left); n > 1 && r.c.Map.IsZero() {
		r.report(source.Finding{
			Pos: left[0].Cue.Pos, Severity: source.Note, Rule: "time/speech-removed",
			Message: fmt.Sprintf("the narration, %d cues, is left out: the place of the recording on the video is not known", n),
		})
		return
	}
	for _, l := range left {
		r.report(source.Finding{
			Pos: l.Cue.Pos, Severity: source.Note, Rule: "time/speech-removed",
			Message: "this cue of the narration is left out: " + l.Reason,
		})
	}
}

// checkSpeech notes cues behind the end of the video.
func (r *resolver) checkSpeech() {
	if r.c.VideoLength == 0 || r.c.VideoLengthAssumed {
		return
	}
	for _, cue := range r.c.Speech {
		if cue.From >= r.c.VideoLength {
			r.report(source.Finding{
				Pos: cue.Pos, Severity: source.Caution, Rule: "time/speech-past-end",
				Message: fmt.Sprintf("this cue begins at %.1f s; the video ends at %.1f s", cue.From.Seconds(), r.c.VideoLength.Seconds()),
			})
		}
	}
}

// proposals collects what stamps, chapter titles and the narration say beyond case.yaml:
// values with a unit, and complications. Nothing is judged by them.
func (r *resolver) proposals() {
	for _, m := range r.c.Marks {
		at := m.Recording
		p := Proposal{Heard: "as noted", Recording: &at, Video: m.Video, Pos: m.TextPos}
		i := r.stepOfMark(m)
		r.propose(m.Text, i, p)
		r.proposeEvent(m.Match, m.Text, i, p)
	}
	for _, t := range r.c.Titles {
		from := t.From
		p := Proposal{Heard: "as noted", Recording: t.Recording, Video: &from, Pos: t.TitleP}
		i := r.c.StepAtVideo(t.From)
		r.propose(t.Title, i, p)
		r.proposeEvent(t.Match, t.Title, i, p)
	}
	for _, cue := range r.c.Cues { // what the edit removed was said all the same
		r.proposeSpoken(cue)
	}
}

// stepOfMark is the step a stamp belongs to: the one it begins or goes on with,
// else the last one begun of those that it names beside a complication, else the
// one going on.
func (r *resolver) stepOfMark(m Mark) int {
	if m.Step != "" {
		return slices.IndexFunc(r.c.Steps, func(s Step) bool { return s.ID == m.Step && s.Nth == m.Nth })
	}
	for _, c := range m.Match.Candidates {
		begun := r.begun(m.Recording, func(s Step) bool { return m.Match.ID != "" && s.ID == c.ID })
		if begun >= 0 {
			return begun
		}
	}
	return r.during(m.Recording)
}

// during is the step going on at a moment of the recording, or -1. Where nothing
// says how a step ended it goes on: a rupture noted behind the last step began in it.
func (r *resolver) during(t time.Duration) int {
	if i := r.c.StepAt(t); i >= 0 {
		return i
	}
	last := r.begun(t, func(Step) bool { return true })
	if last >= 0 && !r.c.Steps[last].EndAssumed {
		return -1
	}
	return last
}

// begun is the last step of a kind to begin by a moment of the recording, or -1.
func (r *resolver) begun(t time.Duration, of func(Step) bool) int {
	last := -1
	for i, s := range r.c.Steps {
		if s.Recording != nil && s.Recording.From <= t && of(s) && (last < 0 || s.Recording.From >= r.c.Steps[last].Recording.From) {
			last = i
		}
	}
	return last
}

func (r *resolver) proposeSpoken(cue timeline.Cue) {
	text := r.c.PlainCue(cue)
	from, middle := cue.From, cue.From+(cue.To-cue.From)/2
	p := Proposal{Heard: "as spoken", Pos: cue.TextPos}
	var i int
	if r.spokenOnRecording() {
		i = r.during(middle)
		p.Recording = &from
		if shown := r.c.Map.ToVideo(from); len(shown) > 0 {
			p.Video = &shown[0]
		}
	} else {
		i = r.c.StepAtVideo(middle)
		p.Video = &from
		if at, ok := r.c.Map.ToRecording(from); ok {
			p.Recording = &at
		}
	}
	r.propose(text, i, p)
	events := narration.Events(text, nil, func(stretch string) (string, bool) {
		m := r.c.Procedure.Match(stretch, taxonomy.Context{})
		return m.ID, m.Kind == taxonomy.KindComplication && m.ID != "" && m.Confidence >= sure
	})
	for _, e := range events {
		r.addEvent(e.Event, e.Quote, i, p)
	}
}

// propose finds values in a text. A value that case.yaml states for the step is no
// proposal.
func (r *resolver) propose(text string, step int, p Proposal) {
	opt := narration.Options{Likely: r.c.Table.LikelyParameter}
	if step >= 0 {
		opt.Step = r.c.Steps[step].ID
		p.Step, p.Nth = opt.Step, r.c.Steps[step].Nth
	}
	for _, lexicon := range append([]*narration.Lexicon{nil}, r.lexicons...) { // nil is the built-in one
		opt.Lexicon = lexicon
		for _, said := range narration.Values(text, opt) {
			q := p
			q.Kind, q.Parameter, q.Quantity, q.Quote = "value", said.Parameter, said.Quantity, said.Quote
			if !r.confirmed(step, said.Parameter, said.Quantity) && !slices.ContainsFunc(r.c.Proposals, q.repeats) {
				r.c.Proposals = append(r.c.Proposals, q)
			}
		}
	}
}

// repeats reports whether o says the same of the same step in the same way: a
// value jotted in the list and again in a chapter's title is one.
func (p Proposal) repeats(o Proposal) bool {
	return o.Kind == p.Kind && o.Heard == p.Heard && o.Parameter == p.Parameter &&
		o.Step == p.Step && o.Nth == p.Nth && o.Quantity.Equal(p.Quantity)
}

// confirmed reports whether case.yaml records the parameter with what was noted or
// said. Another number there confirms nothing: the two are seen side by side.
func (r *resolver) confirmed(step int, parameter string, said quantity.Quantity) bool {
	has := func(v Value) bool { return v.Parameter == parameter && meet(v.Quantity, said) }
	if step >= 0 && slices.ContainsFunc(r.c.Steps[step].Values, has) {
		return true
	}
	return slices.ContainsFunc(r.c.Header, has)
}

// meet reports whether two quantities have a value in common. Where they cannot be
// compared, as when one has no unit, the numbers as written count.
func meet(a, b quantity.Quantity) bool {
	if a.Kind == quantity.Word || b.Kind == quantity.Word {
		return a.Equal(b)
	}
	if converted, err := b.In(a.Unit); err == nil {
		b = converted
	}
	aLow, aHigh := a.Ends()
	bLow, bHigh := b.Ends()
	below := func(x, y *big.Rat) bool { return x != nil && y != nil && x.Cmp(y) < 0 }
	return !below(aHigh, bLow) && !below(bHigh, aLow)
}

// proposeEvent proposes what a stamp or a title names: the event it is about and
// those it names beside it.
func (r *resolver) proposeEvent(m taxonomy.Match, text string, step int, p Proposal) {
	if m.ID == "" {
		return
	}
	for _, c := range slices.Concat([]taxonomy.Candidate{{ID: m.ID, Kind: m.Kind}}, m.Candidates) {
		if c.ID != "" && (c.Kind == taxonomy.KindComplication || c.Kind == taxonomy.KindEvent) {
			r.addEvent(c.ID, text, step, p)
		}
	}
}

// addEvent proposes an event unless case.yaml records it or another text has
// proposed it at the same step.
func (r *resolver) addEvent(id, quote string, step int, p Proposal) {
	if slices.ContainsFunc(r.c.Events, func(e Event) bool { return e.ID == id }) {
		return
	}
	p.Kind, p.Event, p.Quote, p.Quantity = "event", id, quote, quantity.Quantity{}
	if step >= 0 {
		p.Step, p.Nth = r.c.Steps[step].ID, r.c.Steps[step].Nth
	}
	same := func(o Proposal) bool {
		return o.Event == id && o.Step == p.Step && o.Nth == p.Nth && o.Heard == p.Heard
	}
	if !slices.ContainsFunc(r.c.Proposals, same) {
		r.c.Proposals = append(r.c.Proposals, p)
	}
}
