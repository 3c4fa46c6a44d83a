package annotate

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"sideport/annotate/placing"
	"sideport/annotate/ranges"
	"sideport/annotate/taxonomy"
	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// resolver carries the state of one Resolve.
type resolver struct {
	c            *Case
	names        namer
	clock        recordingClock
	converted    bool                       // the operation was converted: both vocabularies apply
	exact        bool                       // the map is stated, not inferred
	recordingEnd time.Duration              // where the last step ends at the latest
	pinned       []int                      // which entry of File.Pins each pin is
	entryPlace   map[int]placing.StampPlace // where the time an entry states lies, by entry
}

func (r *resolver) report(f source.Finding) { r.c.Findings = append(r.c.Findings, f) }

// Resolve names, places and judges the material of a case. It needs a procedure:
// without one that is known the result holds the findings and nothing else, and
// ok is false. Cost is that of the alignment, O(stamps · chapters) at the least.
func Resolve(m *Material, table *ranges.Table) (c *Case, ok bool) {
	c = &Case{Material: m, Table: table, Rate: 1}
	c.Findings = slices.Clone(m.Findings)
	procedure, ok := taxonomy.ByID(m.File.Procedure.Value)
	if !ok {
		return c, false
	}
	r := &resolver{c: c, names: newNamer(procedure)}
	c.Procedure = procedure
	r.header()
	stamps := r.readTimes()
	r.nameMarks(stamps)
	r.length()
	r.place0()
	runs := r.addEntries(r.addTitles(r.runsFromMarks()))
	c.Steps = r.finish(runs)
	r.events()
	r.speech()
	r.values()
	r.proposals()
	r.clockNote()
	if !c.HasVideoClock {
		r.report(source.Finding{
			Pos: m.CaseFile.Whole(), Severity: source.Note, Rule: "time/no-video-clock",
			Message: "there are neither chapters nor an edit list, so video times are unknown; page and reports are written, tracks and chapters are not",
			Hint:    "video: {shows: recording} in case.yaml says that the video was not edited",
		})
	}
	return c, true
}

// header reads the keys that need no material.
func (r *resolver) header() {
	f := r.c.File
	for _, l := range f.Languages {
		r.c.Languages = append(r.c.Languages, l.Value)
	}
	if len(r.c.Languages) == 0 {
		r.c.Languages = []string{"en"}
	}
	r.c.Purpose = cmp.Or(f.Purpose.Value, "curriculum")
	r.c.ShowOnPage = f.Page.Findings.Value
	if r.c.ShowOnPage == "" {
		r.c.ShowOnPage = "explained"
		if r.c.Purpose == "review" {
			r.c.ShowOnPage = "all"
		}
	}
	recorded, _ := truth(f.Consent.Recorded)
	r.c.Consent = ConsentScope{Scope: cmp.Or(f.Consent.Scope.Value, "none"), Recorded: recorded, Sound: f.Consent.Sound.Value}
	for _, e := range f.Events {
		r.converted = r.converted || e.Event.Value == "conversion"
	}
}

// readTimes reads the clock and leaves out what lies outside recording.part.
func (r *resolver) readTimes() []stampTime {
	clock, stamps := readClock(r.c.Material, r.report)
	r.clock, r.c.Clock = clock, clock.Clock
	part := r.c.File.Recording.Part
	from, hasFrom := r.clock.when(part.From, r.report)
	to, hasTo := r.clock.when(part.To, r.report)
	if hasTo {
		r.recordingEnd = to
	}
	before := len(stamps)
	stamps = slices.DeleteFunc(stamps, func(s stampTime) bool {
		return hasFrom && s.at < from || hasTo && s.at > to
	})
	if left := before - len(stamps); left > 0 {
		r.report(source.Finding{
			Pos: cmp.Or(part.From.Pos, part.To.Pos), Severity: source.Note, Rule: "time/outside-part",
			Message: fmt.Sprintf("%d stamps lie outside recording.part and are left out of everything", left),
		})
	}
	return stamps
}

// nameMarks looks up stamps and chapter titles.
func (r *resolver) nameMarks(stamps []stampTime) {
	var texts []labelled
	for _, s := range stamps {
		texts = append(texts, labelled{text: s.Text, pos: s.TextPos})
	}
	matches := r.names.name(texts, false)
	reportNames(texts, matches, r.names.main, r.report)
	for i, s := range stamps {
		mark := Mark{Stamp: s.Stamp, Match: matches[i], Recording: s.at}
		if s.length != nil {
			end := s.at + *s.length
			mark.EndAt = &end
		}
		r.converted = r.converted || matches[i].ID == "conversion"
		r.c.Marks = append(r.c.Marks, mark)
	}
	texts = nil
	for _, t := range r.c.Material.Chapters {
		texts = append(texts, labelled{text: t.Title, pos: t.TitleP})
	}
	matches = r.names.name(texts, false)
	reportNames(texts, matches, r.names.main, r.report)
	for i, t := range r.c.Material.Chapters {
		r.c.Titles = append(r.c.Titles, Title{Chapter: t, Match: matches[i]})
	}
}

// length finds the video's length: stated, else from the container, else the last
// chapter or cue, which is assumed.
func (r *resolver) length() {
	m := r.c.Material
	if d := m.File.Video.Duration; d.Set {
		length, err := timecode.ParseClockDuration(d.Value)
		if err == nil && length > 0 {
			r.c.VideoLength = length
			return
		}
		if err == nil {
			err = fmt.Errorf("the length is not above 0")
		}
		fault(d, r.report, "read/bad-time", "video.duration: %v", err)
	}
	if m.Media != nil && m.Media.Duration > 0 {
		r.c.VideoLength = m.Media.Duration
		return
	}
	for _, t := range m.Chapters {
		r.c.VideoLength = max(r.c.VideoLength, t.From+shortestChapter, t.To)
	}
	if m.File.Narration.Clock.Value != "recording" {
		for _, cue := range m.Cues {
			r.c.VideoLength = max(r.c.VideoLength, cue.To)
		}
	}
	r.c.VideoLengthAssumed = true
	if r.c.VideoLength > 0 {
		r.report(source.Finding{
			Pos: m.CaseFile.Whole(), Severity: source.Note, Rule: "time/length-assumed",
			Message: fmt.Sprintf("the length of the video is not known; it is taken to end at %s, with the last chapter or cue", timecode.Format(r.c.VideoLength)),
			Hint:    `video: {duration: "4:05"} in case.yaml states the length`,
		})
	}
}

// shortestChapter is how long a last chapter without an end is taken to last at
// the least: what video platforms ask of a chapter. Common practice, no source.
const shortestChapter = 10 * time.Second

// place0 lays the map between the clocks and places stamps and chapters on it.
func (r *resolver) place0() {
	c := r.c
	identity := c.File.Video.Shows.Value == "recording"
	opt := placing.Options{VideoLength: c.VideoLength, Identity: identity, Pins: r.pins()}
	if c.VideoLengthAssumed {
		opt.VideoLength = 0
	}
	stamps, entryAt := r.placingStamps()
	var chapters []placing.Chapter
	for _, t := range c.Titles {
		chapters = append(chapters, placing.Chapter{
			From: t.From, To: t.To, HasTo: t.HasTo, Step: t.Match.ID, Confidence: t.Match.Confidence,
			Title: t.Title, Kind: string(t.Match.Kind), Candidates: ids(t.Match.Candidates),
		})
	}
	c.HasVideoClock = identity || len(chapters) > 0 || len(opt.Pins) > 0
	if !c.HasVideoClock {
		return
	}
	r.exact = identity
	res := placing.Place(stamps, chapters, c.Procedure, opt)
	c.Map, c.Rate, c.MedianResidual = res.Map, res.Rate, res.MedianResidual
	c.Pairs, c.Cuts, c.Inserts = res.Pairs, res.Cuts, res.Inserts
	for i := range c.Marks {
		p := res.Stamps[i]
		c.Marks[i].Video, c.Marks[i].Placed, c.Marks[i].Within = p.Video, p.Placed, p.Within
	}
	for i := range c.Titles {
		c.Titles[i].Recording, c.Titles[i].Placed = res.Chapters[i].Recording, res.Chapters[i].Placed
	}
	r.entryPlace = map[int]placing.StampPlace{}
	for entry, i := range entryAt {
		r.entryPlace[entry] = res.Stamps[i]
	}
	c.Pairs = slices.DeleteFunc(c.Pairs, func(p placing.Pair) bool { return p.Stamp >= len(c.Marks) })
	r.placingFindings(res.Findings)
	if n := len(c.Map.Pieces); n > 0 && r.recordingEnd == 0 {
		r.recordingEnd = c.Map.Pieces[n-1].Recording.To
	}
}

// placingStamps are the moments the aligner is to place: the stamps, and the times
// that entries of case.yaml state. A stated time stands for the stamp of the same
// occurrence; one without a stamp comes on top. at says which moment each such
// entry is.
func (r *resolver) placingStamps() (stamps []placing.Stamp, at map[int]int) {
	for _, m := range r.c.Marks {
		stamps = append(stamps, placing.Stamp{
			At: m.Recording, Step: m.Match.ID, Confidence: m.Match.Confidence, Text: m.Text,
			Kind: string(m.Match.Kind), Candidates: ids(m.Match.Candidates),
		})
	}
	runs := r.runsFromMarks()
	at = map[int]int{}
	seen := map[string]int{}
	for i, keys := range r.c.File.Steps {
		id, _, info := r.names.step(keys.Step.Value, r.converted)
		if info == nil {
			continue
		}
		seen[id]++
		when, ok := r.clock.when(keys.At, func(source.Finding) {}) // said when the entry is read
		if !ok {
			continue
		}
		if x := nthRun(runs, id, cmp.Or(count(keys.Nth), seen[id])); x != nil {
			stamps[x.mark].At, at[i] = when, x.mark
			continue
		}
		at[i] = len(stamps)
		stamps = append(stamps, placing.Stamp{At: when, Step: id, Confidence: 1, Kind: string(taxonomy.KindStep)})
	}
	return stamps, at
}

// placingFindings gives the aligner's findings their places.
func (r *resolver) placingFindings(list []placing.Finding) {
	for _, f := range list {
		switch {
		case f.Stamp >= len(r.c.Marks):
			f.Pos = r.c.CaseFile.Whole()
		case f.Stamp >= 0:
			f.Pos = r.c.Marks[f.Stamp].Pos
		case f.Chapter >= 0:
			f.Pos = r.c.Titles[f.Chapter].Pos
		case f.Pin >= 0:
			f.Pos = r.c.File.Pins[r.pinned[f.Pin]].Recording.Pos
		default:
			f.Pos = r.c.CaseFile.Whole()
		}
		r.report(f.Finding)
	}
}

func ids(list []taxonomy.Candidate) []string {
	var out []string
	for _, c := range list {
		if c.ID != "" {
			out = append(out, c.ID)
		}
	}
	return out
}

// pins are the moments matched by hand. A pin that cannot be read is reported and
// left out; r.pinned keeps which entry of the file each of the rest is.
func (r *resolver) pins() []placing.Pin {
	var pins []placing.Pin
	for i, p := range r.c.File.Pins {
		at, ok := r.clock.when(p.Recording, r.report)
		video, err := timecode.ParseClockDuration(p.Video.Value)
		if err != nil {
			fault(p.Video, r.report, "read/bad-time", "%v", err)
		}
		if ok && err == nil {
			pins = append(pins, placing.Pin{Recording: at, Video: video})
			r.pinned = append(r.pinned, i)
		}
	}
	return pins
}

// events resolves the events of case.yaml.
func (r *resolver) events() {
	for i := range r.c.File.Events {
		keys := &r.c.File.Events[i]
		info, ok := r.names.event(keys.Event.Value, r.converted)
		if !ok {
			fault(keys.Event, r.report, "read/unknown-event", "unknown event %q%s", keys.Event.Value, nearest(keys.Event.Value, r.names.eventIDs()))
			continue
		}
		e := Event{ID: info.ID, Info: info, Note: keys.Note.Value, Pos: keys.Event.Pos}
		if at, ok := r.clock.when(keys.At, r.report); ok {
			e.Recording = &at
			if shown := r.c.Map.ToVideo(at); len(shown) > 0 {
				e.Video = &shown[0]
			}
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
	if err != nil || n < 1 {
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
