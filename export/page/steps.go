package page

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sideport/annotate"
	"sideport/annotate/placing"
	"sideport/annotate/taxonomy"
	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// step is the section of run i.
func (b *builder) step(i int, found notes) stepView {
	s := &b.c.Steps[i]
	out := stepView{
		ID: b.anchor(s.ID, s.Nth), Number: i + 1, Name: b.label(s.Procedure, s.ID),
		Variant: b.spaced(s.Variant), Reason: s.Reason, Note: s.Note, Tips: s.Tips,
	}
	if s.Nth > 1 {
		out.Again = fmt.Sprintf("(%d)", s.Nth)
	}
	for k, span := range s.Video {
		m := b.moment(span)
		if s.EndAssumed && k == len(s.Video)-1 {
			m = b.moment(timeline.Span{From: span.From, To: span.From})
		}
		if k == 0 {
			first := b.moment(timeline.Span{From: span.From, To: span.From})
			out.First = &first
		}
		out.Moments = append(out.Moments, m)
		out.Spans = strings.TrimSpace(out.Spans + " " + secondsText(span.From) + " " + secondsText(span.To))
	}
	if r := s.Recording; r != nil {
		out.RecordingFrom = timecode.FormatShort(r.From)
		out.Recording = out.RecordingFrom
		if s.EndAssumed {
			b.v.EndsAssumed = true
		} else if r.To > r.From {
			out.Recording += "–" + timecode.FormatShort(r.To)
		}
	}
	out.NotShown = b.c.HasVideoClock && s.Recording != nil && len(s.Video) == 0
	out.Untimed = s.Recording == nil && len(s.Video) == 0
	out.Remarks = strings.Join(b.remarks(s), "; ")
	out.valuesView = b.values(out.Name.Text, s.Values)
	if n := b.noteFor[i]; n >= 0 {
		out.Notes = found.sections[n]
	}
	for _, e := range b.c.Events {
		if b.stepOf(e) == i {
			out.Events = append(out.Events, b.event(e))
		}
	}
	for _, p := range b.c.Proposals {
		if p.Step == s.ID && p.Nth == s.Nth {
			out.Proposals = append(out.Proposals, b.proposal(p))
		}
	}
	for _, f := range b.opt.Findings {
		if f.Step == s.ID && f.Nth == s.Nth && b.shows(f) {
			out.Findings, out.Exceptions = b.sortFinding(f, out.Findings, out.Exceptions)
		}
	}
	out.Bare = out.Reason == "" && out.Note == "" && out.Notes == "" &&
		len(out.Values)+len(out.Tips)+len(out.Events)+len(out.Proposals)+len(out.Findings)+len(out.Exceptions) == 0
	return out
}

// remarks say how sure a step's times are, where that is not plain.
func (b *builder) remarks(s *annotate.Step) []string {
	var list []string
	if s.Placed == placing.Interpolated {
		list = append(list, b.v.say("time.interpolated"))
	}
	for _, m := range b.c.Marks {
		if m.Step == s.ID && m.Nth == s.Nth && m.Within >= time.Second {
			list = append(list, fmt.Sprintf("%s %d s", b.v.say("time.within"), int((m.Within+time.Second-1)/time.Second)))
			break
		}
	}
	return list
}

// stepOf is the run an event falls into: the last that had begun on the recording,
// or that shows the moment in the video; -1 for none.
func (b *builder) stepOf(e annotate.Event) int {
	for i := len(b.c.Steps) - 1; i >= 0; i-- {
		s := &b.c.Steps[i]
		if e.Recording != nil && s.Recording != nil && s.Recording.From <= *e.Recording && *e.Recording < s.Recording.To {
			return i
		}
		if e.Recording == nil && e.Video != nil && slices.ContainsFunc(s.Video, func(v timeline.Span) bool { return v.From <= *e.Video && *e.Video < v.To }) {
			return i
		}
	}
	return -1
}

func (b *builder) event(e annotate.Event) eventView {
	out := eventView{Name: b.label(nil, e.ID), Note: e.Note, Moment: b.momentAt(e.Video)}
	if e.Info != nil && e.Info.Complication {
		out.Kind = b.v.say("page.complication")
	}
	if e.Recording != nil {
		out.Recording = timecode.FormatShort(*e.Recording)
	}
	return out
}

func (b *builder) proposal(p annotate.Proposal) proposalView {
	out := proposalView{Heard: p.Heard, Quote: p.Quote, Moment: b.momentAt(p.Video)}
	if p.Heard == "as noted" || p.Heard == "as spoken" {
		out.Heard = b.v.say("how." + strings.ReplaceAll(p.Heard, " ", "-"))
	}
	switch {
	case p.Event != "":
		out.Name = b.label(nil, p.Event).Text
	case p.Parameter != "":
		out.Name, out.Value = b.parameter(p.Parameter), printed(p.Quantity.String())
	}
	return out
}

// loose are events, proposals and findings that belong to no step's section.
func (b *builder) loose() {
	v := b.v
	for _, e := range b.c.Events {
		if b.stepOf(e) < 0 {
			v.Events = append(v.Events, b.event(e))
		}
	}
	has := func(step string, nth int) bool {
		return slices.ContainsFunc(b.c.Steps, func(s annotate.Step) bool { return s.ID == step && s.Nth == nth })
	}
	for _, p := range b.c.Proposals {
		if !has(p.Step, p.Nth) {
			v.Proposals = append(v.Proposals, b.proposal(p))
		}
	}
	for _, f := range b.opt.Findings {
		if b.shows(f) && !has(f.Step, f.Nth) {
			v.Findings, v.Exceptions = b.sortFinding(f, v.Findings, v.Exceptions)
		}
	}
}

// readNotes renders notes.md and finds which of its sections belong to a step. A
// heading that names a step goes to its first run, or to the run whose number it
// ends in; the sections of one run follow each other. The Case holds the file as it
// is, so what source.Printable leaves out of other texts is left out here.
func (b *builder) readNotes() notes {
	b.noteFor = make([]int, len(b.c.Steps))
	for i := range b.noteFor {
		b.noteFor[i] = -1
	}
	if b.c.Notes == nil {
		return notes{}
	}
	return readNotes([]byte(source.Printable(string(b.c.Notes.Text()))), len(b.c.Steps), func(heading string) int {
		i := b.stepNamed(heading)
		if i >= 0 {
			b.noteFor[i] = i
		}
		return i
	})
}

func (b *builder) stepNamed(heading string) int {
	name, nth := heading, 1
	if cut := strings.LastIndexByte(heading, ' '); cut > 0 {
		var n int
		if _, err := fmt.Sscanf(strings.Trim(heading[cut+1:], "()#."), "%d", &n); err == nil && n >= 1 && n < 100 {
			name, nth = heading[:cut], n
		}
	}
	for i, s := range b.c.Steps {
		if s.Nth == nth && (strings.EqualFold(name, s.ID) || strings.EqualFold(name, b.label(s.Procedure, s.ID).Text)) {
			return i
		}
	}
	m := b.c.Procedure.Match(name, taxonomy.Context{})
	if m.Kind != taxonomy.KindStep || m.ID == "" {
		return -1
	}
	return slices.IndexFunc(b.c.Steps, func(s annotate.Step) bool { return s.ID == m.ID && s.Nth == nth })
}
