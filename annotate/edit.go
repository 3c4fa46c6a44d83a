package annotate

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"sideport/timeline"
	"sideport/timeline/format"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// cuts finds and reads the edit list. It comes after the video, whose frame rate it may
// be counted at.
func (l *loader) cuts() error {
	name := l.pick("edit list", l.m.File.Files.Cuts, stemWith("cuts", "edl", "otio"))
	if name == "" {
		return nil
	}
	l.m.EditList = true
	src, err := l.text(name)
	if err != nil {
		return err
	}
	if r, ok := format.Find(format.Cuts, src, "edit list", l.report); ok {
		l.m.readEdit(r, src, l.report)
	}
	return nil
}

// readEdit reads the edit list src. A format that counts frames takes their rate from
// recording.rate, else from the picture of the video's container, which is said.
func (m *Material) readEdit(r format.Reader, src *source.Source, report source.Report) {
	var rate timecode.Rate
	if r.NeedsRate {
		stated := m.File.Recording.Rate
		if stated.Set {
			var err error
			if rate, err = timecode.ParseRate(stated.Value); err != nil {
				return // said where the clock is read
			}
		} else if rate = m.pictureRate(); !rate.IsZero() {
			report(source.Finding{
				Pos: src.Whole(), Severity: source.Note, Rule: "time/edit-rate",
				Message: fmt.Sprintf("the frames of the edit list are counted at %s a second, the rate of the video's picture", rate),
				Hint:    "recording.rate in case.yaml states another",
			})
		}
	}
	if edit := r.Edit(src, rate, report); len(edit.Events) > 0 {
		m.Edit = &edit
	}
}

// pictureRate is the frame rate of the video's picture, where it is one that timecode
// is counted at.
func (m *Material) pictureRate() timecode.Rate {
	if m.Media == nil {
		return timecode.Rate{}
	}
	picture := m.Media.Rate()
	rate, err := timecode.ParseRate(fmt.Sprintf("%d/%d", picture.Num, picture.Den))
	if err != nil {
		return timecode.Rate{}
	}
	return rate
}

// editZero is how the source times of an edit become recording times.
type editZero struct {
	why   string // in words, for the note that tells the choice
	clock bool   // the sources show the clock that the times were read from
	at    func(timeline.EditEvent) time.Duration
}

// editMap is the map that the edit list makes, and false where there is none or its
// times and those of the list have nothing in common.
func (r *resolver) editMap() (timeline.Map, bool) {
	m := r.c.Material
	if m.Edit == nil || len(m.Edit.Kept()) == 0 {
		return timeline.Map{}, false
	}
	at := m.Edit.Events[0].Pos.Source.Whole()
	zero := r.editZero(m.Edit.Kept())
	own, said := r.ownSources(*m.Edit, zero)
	cuts := m.Edit.Map(func(ev timeline.EditEvent) (time.Duration, bool) { return zero.at(ev), own(ev) })
	if !r.inCommon(cuts) {
		r.report(source.Finding{
			Pos: at, Severity: source.Caution, Rule: "time/edit-clock",
			Message: "the edit list shows nothing of the stretch in which the times lie when its source times are read as " + zero.why +
				"; it is left aside, and the cuts are inferred",
			Hint: "recording.clock, recording.starts and recording.rate in case.yaml say how both are read; an OpenTimelineIO file also says where the clock of a source starts",
		})
		return timeline.Map{}, false
	}
	for _, f := range said {
		r.report(f)
	}
	r.still = still(m.Edit.Events, zero, own)
	r.report(source.Finding{
		Pos: at, Severity: source.Note, Rule: "time/edit-clock",
		Message: "the source times of the edit list are read as " + zero.why,
		Hint:    "recording.clock and recording.starts in case.yaml state the clock",
	})
	if shows := m.File.Video.Shows; shows.Value == "recording" {
		r.report(source.Finding{
			Pos: shows.Pos, Path: shows.Path, Severity: source.Caution, Rule: "time/disagree",
			Message: "the video is said to show the recording, and there is an edit list; the edit list counts",
			Related: []source.Related{{Pos: at, Message: "the edit list"}},
		})
	}
	if !zero.clock && r.clock.known && r.clock.Zero == "first-stamp" {
		r.report(source.Finding{
			Pos: at, Severity: source.Caution, Rule: "time/zero-assumed",
			Message: "the edit list counts from the beginning of the recording, and nothing says what the clock showed then; the first time there is is taken for it",
			Hint:    "recording.starts in case.yaml states it",
		})
	}
	return cuts, true
}

// editZero decides which moment of the recording a source time is. Timecode is the
// clock that the stamps were read from. A time of day is so only when every source
// time can be one: when the start of the recording is stated and none lies before it.
// Everything else counts from the beginning of the file.
func (r *resolver) editZero(kept []timeline.EditEvent) editZero {
	offset, kind := r.clock.Offset, r.clock.Kind
	if !r.clock.known {
		kind = timecode.Unknown
	}
	fromFile := func(ev timeline.EditEvent) time.Duration { return ev.Source.From - ev.FileStart }
	onClock := func(length time.Duration) func(timeline.EditEvent) time.Duration {
		return func(ev timeline.EditEvent) time.Duration {
			at := ev.Source.From - offset%length
			if at < -length/2 {
				at += length // behind midnight
			}
			return at
		}
	}
	const file = "time since the recording began"
	switch kind {
	case timecode.Timecode:
		return editZero{"timecode, as the times are", true, onClock(r.clock.reader.DayLength())}
	case timecode.Wall:
		if r.clock.Zero != "stated" && r.clock.Zero != "file" {
			return editZero{file + ": what the clock showed then is not stated", false, fromFile}
		}
		if !afterStart(kept, offset%(24*time.Hour)) {
			return editZero{file + ": one lies before the time at which the recording starts", false, fromFile}
		}
		return editZero{"time of day: none lies before the time at which the recording starts", true, onClock(24 * time.Hour)}
	case timecode.Elapsed:
		return editZero{file + ", as the times are", false, func(ev timeline.EditEvent) time.Duration { return fromFile(ev) - offset }}
	}
	first := fromFile(slices.MinFunc(kept, func(a, b timeline.EditEvent) int { return cmp.Compare(fromFile(a), fromFile(b)) }))
	if first < hoursIn {
		return editZero{file + ": there are no times to compare them with", false, fromFile}
	}
	return editZero{
		"a clock that does not begin with the recording, which is counted from the first moment shown", false,
		func(ev timeline.EditEvent) time.Duration { return fromFile(ev) - first },
	}
}

// hoursIn is from when on source times are no time since a recording began, as a
// list's first time is.
const hoursIn = 2 * time.Hour

// afterStart reports whether every source time can be a time of day since start, with
// midnight between only where one lies before it.
func afterStart(kept []timeline.EditEvent, start time.Duration) bool {
	before := false
	for _, ev := range kept {
		if ev.Source.From < start && ev.Source.From >= start-12*time.Hour {
			return false
		}
		before = before || ev.Source.From >= start
	}
	return before
}

// timesGiven is from the first to the last of the stamps and of the times of case.yaml,
// and false when there are none.
func (r *resolver) timesGiven() (s timeline.Span, ok bool) {
	add := func(at time.Duration) {
		if !ok {
			s, ok = timeline.Span{From: at, To: at}, true
		}
		s.From, s.To = min(s.From, at), max(s.To, at)
	}
	for _, mark := range r.c.Marks {
		add(mark.Recording)
	}
	for _, t := range r.c.File.times() {
		if at, known := r.clock.when(t, func(source.Finding) {}); known { // said when the entry is read
			add(at)
		}
	}
	return s, ok
}

// inCommon reports whether the kept material and the times given have a moment in
// common. Without such times there is nothing that could contradict.
func (r *resolver) inCommon(m timeline.Map) bool {
	if m.IsZero() {
		return false
	}
	given, any := r.timesGiven()
	if !any {
		return true
	}
	kept := m.Pieces[0].Recording
	for _, p := range m.Pieces {
		kept.From, kept.To = min(kept.From, p.Recording.From), max(kept.To, p.Recording.To)
	}
	return given.From < kept.To && kept.From <= given.To
}
