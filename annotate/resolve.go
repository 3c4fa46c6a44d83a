package annotate

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"sideport/annotate/narration"
	"sideport/annotate/placing"
	"sideport/annotate/ranges"
	"sideport/annotate/taxonomy"
	"sideport/timeline"
	"sideport/timeline/source"

	"golang.org/x/text/language"
)

// resolver carries the state of one Resolve.
type resolver struct {
	c            *Case
	names        namer
	clock        recordingClock
	converted    bool                                 // the operation was converted: both vocabularies apply
	exact        bool                                 // the map is stated, not inferred
	edited       bool                                 // by an edit list
	still        []timeline.Span                      // of the recording, which that shows backwards or standing
	recordingEnd time.Duration                        // where the last step ends at the latest
	lexicons     []*narration.Lexicon                 // the case's own, beside the built-in one
	pinned       []int                                // which entry of File.Pins each pin is
	occurrence   []int                                // which occurrence of its step each entry of File.Steps speaks of
	entryPlace   map[int]placing.StampPlace           // where the time an entry states lies, by entry
	placed       map[time.Duration]placing.StampPlace // where the other times of case.yaml lie, by recording time
	places       []placing.StampPlace                 // where every moment given to the aligner lies
}

func (r *resolver) report(f source.Finding) { r.c.Findings = append(r.c.Findings, f) }

// Resolve names, places and judges the material of a case. It needs a procedure:
// without one that is known the result holds the findings and nothing else, and
// ok is false. Cost is that of the alignment, O(stamps · chapters) at the least.
func Resolve(m *Material, table *ranges.Table) (c *Case, ok bool) {
	c = &Case{Material: m, Table: table, Rate: 1}
	c.Findings = slices.Clone(m.Findings)
	r := &resolver{c: c}
	r.header()
	procedure, ok := taxonomy.ByID(m.File.Procedure.Value)
	if !ok {
		return c, false
	}
	r.names, c.Procedure = newNamer(procedure), procedure
	if m.Ranges != nil {
		c.Table = table.With(table.ParseLocal(m.Ranges, r.report))
	}
	if m.Lexicon != nil {
		r.lexicons = append(r.lexicons, narration.ReadLexicon(m.Lexicon, r.report))
	}
	stamps := r.readTimes()
	r.nameMarks(stamps)
	r.length()
	r.occurrence = r.occurrences()
	r.layMap()
	if end, ok := r.clock.files.end(); ok && r.recordingEnd == 0 {
		r.recordingEnd = end
	}
	r.speech()
	runs := r.addEntries(r.addTitles(r.runsFromMarks()))
	c.Steps = r.finish(r.addSpoken(runs))
	r.events()
	r.values()
	r.proposals()
	r.clockNote()
	c.clock, c.end = r.clock, r.knownEnd()
	if !c.HasVideoClock {
		lacking := "there are neither chapters nor an edit list"
		if c.EditList {
			lacking = "there are no chapters, and the edit list could not be used"
		}
		known := ", so video times are unknown; page and reports are written, tracks and chapters are not"
		if len(c.Speech) > 0 {
			known = ", so the video's times are known from the narration alone; its captions, page and reports are written, chapters and the steps' tracks are not"
		}
		r.report(source.Finding{
			Pos: m.CaseFile.Whole(), Severity: source.Note, Rule: "time/no-video-clock",
			Message: lacking + known,
			Hint:    "video: {shows: recording} in case.yaml says that the video was not edited",
		})
	}
	return c, true
}

// header reads the keys that need no material.
func (r *resolver) header() {
	f := r.c.File
	for _, l := range f.Languages {
		same := func(have string) bool { return strings.EqualFold(have, l.Value) } // tags have no case
		if _, err := language.Parse(l.Value); err == nil && !slices.ContainsFunc(r.c.Languages, same) {
			r.c.Languages = append(r.c.Languages, l.Value)
		}
	}
	if len(r.c.Languages) == 0 {
		r.c.Languages = []string{"en"}
	}
	r.c.Purpose = known(f.Purpose, "curriculum", "channel", "conference", "curriculum", "review")
	show := "explained"
	if r.c.Purpose == "review" {
		show = "all"
	}
	r.c.ShowOnPage = known(f.Page.Findings, show, "none", "explained", "all")
	recorded, _ := truth(f.Consent.Recorded)
	r.c.Consent = ConsentScope{
		Scope: known(f.Consent.Scope, "none", "none", "local", "course", "public"), Recorded: recorded,
		Sound: known(f.Consent.Sound, "", "commentary", "theatre", "none"),
	}
	for _, e := range f.Events {
		r.converted = r.converted || plainID(e.Event.Value) == conversion
	}
}

// readTimes reads the clock and the stamps.
func (r *resolver) readTimes() []stampTime {
	clock, stamps := readClock(r.c.Material, r.report)
	r.clock, r.c.Clock = clock, clock.Clock
	if clock.partEnd != nil {
		r.recordingEnd = *clock.partEnd
	}
	return stamps
}

// nameMarks looks up stamps and chapter titles.
func (r *resolver) nameMarks(stamps []stampTime) {
	var texts []labelled
	for _, s := range stamps {
		texts = append(texts, labelled{text: s.Text, pos: s.TextPos})
	}
	matches := r.names.name(texts, r.converted)
	reportNames(texts, matches, r.names.main, r.report)
	for i, s := range stamps {
		mark := Mark{Stamp: s.Stamp, Match: matches[i], Recording: s.at}
		if s.length != nil {
			end := s.at + *s.length
			mark.EndAt = &end
		}
		r.converted = r.converted || matches[i].ID == conversion
		r.c.Marks = append(r.c.Marks, mark)
	}
	texts = nil
	for _, t := range r.c.Material.Chapters {
		texts = append(texts, labelled{text: t.Title, pos: t.TitleP})
	}
	matches = r.names.name(texts, r.converted)
	reportNames(texts, matches, r.names.main, r.report)
	for i, t := range r.c.Material.Chapters {
		r.converted = r.converted || matches[i].ID == conversion
		r.c.Titles = append(r.c.Titles, Title{Chapter: t, Match: matches[i]})
	}
	r.c.converted = r.converted
}

// events resolves the events of case.yaml.
func (r *resolver) events() {
	for i := range r.c.File.Events {
		keys := &r.c.File.Events[i]
		if !keys.Event.Set {
			continue // said by the reader
		}
		info, ok := r.names.event(keys.Event.Value, r.converted)
		if !ok {
			fault(keys.Event, r.report, "read/unknown-event", "unknown event %q%s", keys.Event.Value, nearest(keys.Event.Value, r.names.eventIDs()))
			continue
		}
		e := Event{ID: info.ID, Info: info, Note: keys.Note.Value, Pos: keys.Event.Pos}
		if at, ok := r.clock.when(keys.At, r.report); ok {
			e.Recording = &at
			e.Video = r.onVideo(at)
		}
		r.c.Events = append(r.c.Events, e)
	}
}

// stepsTrackLength is how long a steps cue stands; 0 is the whole step.
func stepsTrackLength(text string) (time.Duration, bool) {
	switch text {
	case "":
		return 8 * time.Second, true
	case "whole":
		return 0, true
	}
	rest, ok := strings.CutPrefix(text, "first ")
	if !ok {
		return 0, false
	}
	n, err := strconv.Atoi(strings.TrimSpace(strings.TrimSuffix(rest, "s")))
	if err != nil || n < 1 || n > 24*60*60 {
		return 0, false
	}
	return time.Duration(n) * time.Second, true
}

// StepsCueLength is how long a cue of the steps track stands; 0 means for the
// whole step.
func (c *Case) StepsCueLength() time.Duration {
	length, ok := stepsTrackLength(c.File.StepsTrack.Value)
	if !ok {
		length, _ = stepsTrackLength("")
	}
	return length
}

// StepAt returns the index in Steps of the step going on at recording time t, or
// -1.
func (c *Case) StepAt(t time.Duration) int {
	for i := range c.Steps {
		if s := c.Steps[i].Recording; s != nil && s.From <= t && t < s.To {
			return i
		}
	}
	return -1
}

// StepAtVideo is StepAt for a moment of the video.
func (c *Case) StepAtVideo(t time.Duration) int {
	for i := range c.Steps {
		if slices.ContainsFunc(c.Steps[i].Video, func(s timeline.Span) bool { return s.From <= t && t < s.To }) {
			return i
		}
	}
	return -1
}
