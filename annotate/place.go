package annotate

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"sideport/annotate/placing"
	"sideport/annotate/taxonomy"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// length finds the video's length: stated, else from the container, else the end of
// the edit list or of the last chapter or cue, which is assumed.
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
		end := t.To
		if !t.HasTo {
			end = t.From + shortestChapter
		}
		r.c.VideoLength = max(r.c.VideoLength, end)
	}
	if m.File.Narration.Clock.Value != "recording" {
		for _, cue := range m.Cues {
			r.c.VideoLength = max(r.c.VideoLength, cue.To)
		}
	}
	with := "the last chapter or cue"
	if m.Edit != nil {
		if end := m.Edit.Length(); end >= r.c.VideoLength {
			r.c.VideoLength, with = end, "the edit list"
		}
	}
	for _, p := range m.File.Pins {
		if at, err := timecode.ParseClockDuration(p.Video.Value); err == nil && at+shortestChapter > r.c.VideoLength {
			r.c.VideoLength, with = at+shortestChapter, "the last pin"
		}
	}
	if last := r.lastMoment(); m.File.Video.Shows.Value == "recording" && last > r.c.VideoLength {
		r.c.VideoLength, with = last, "the last that is known of the recording"
	}
	r.c.VideoLengthAssumed = true
	if r.c.VideoLength > 0 {
		r.report(source.Finding{
			Pos: m.CaseFile.Whole(), Severity: source.Note, Rule: "time/length-assumed",
			Message: fmt.Sprintf("the length of the video is not known; it is taken to end at %s, with %s", timecode.Format(r.c.VideoLength), with),
			Hint:    `video: {duration: "4:05"} in case.yaml states the length`,
		})
	}
}

// shortestChapter is how long a last chapter without an end is taken to last at
// the least: what video platforms ask of a chapter. Common practice, no source.
const shortestChapter = 10 * time.Second

// layMap lays the map between the clocks and places stamps and chapters on it.
func (r *resolver) layMap() {
	c := r.c
	identity := c.File.Video.Shows.Value == "recording"
	opt := placing.Options{VideoLength: c.VideoLength, Identity: identity, Pins: r.pins(), ZeroAssumed: c.Clock.Zero == "first-stamp"}
	if cuts, ok := r.editMap(); ok {
		opt.Cuts, opt.Partial, r.edited = &cuts, c.Edit.Partial, true
	} else if identity {
		r.checkZero()
	}
	r.exact = r.edited || identity
	if c.VideoLengthAssumed {
		opt.VideoLength = 0
		if r.exact {
			opt.RecordingLength = c.VideoLength
		}
	}
	stamps, entryAt, times := r.placingStamps()
	var chapters []placing.Chapter
	for _, t := range c.Titles {
		chapters = append(chapters, placing.Chapter{
			From: t.From, To: t.To, HasTo: t.HasTo, Step: t.Match.ID, Confidence: t.Match.Confidence,
			Title: t.Title, Kind: string(t.Match.Kind), Candidates: ids(t.Match.Candidates), Likely: r.likely(t.Title, t.Match),
		})
	}
	c.HasVideoClock = r.exact || len(chapters) > 0 || len(opt.Pins) > 0
	if !c.HasVideoClock {
		return
	}
	res := placing.Place(stamps, chapters, c.Procedure, opt)
	c.Map, c.Rate, c.MedianResidual = res.Map, res.Rate, res.MedianResidual
	c.Pairs, c.Cuts, c.Inserts, r.places = res.Pairs, res.Cuts, res.Inserts, res.Stamps
	for i := range c.Marks {
		p := res.Stamps[i]
		c.Marks[i].Video, c.Marks[i].Placed, c.Marks[i].Within = p.Video, p.Placed, p.Within
	}
	for i := range c.Titles {
		c.Titles[i].Recording, c.Titles[i].Placed = res.Chapters[i].Recording, res.Chapters[i].Placed
	}
	r.entryPlace, r.placed = map[int]placing.StampPlace{}, map[time.Duration]placing.StampPlace{}
	for entry, i := range entryAt {
		r.entryPlace[entry] = res.Stamps[i]
	}
	for t, i := range times {
		r.placed[t] = res.Stamps[i]
	}
	said := r.disagreements(stamps, entryAt, opt.Pins)
	c.Pairs = slices.DeleteFunc(c.Pairs, func(p placing.Pair) bool { return p.Stamp >= len(c.Marks) })
	res.Findings = slices.DeleteFunc(res.Findings, func(f placing.Finding) bool {
		return f.Rule == "time/not-matched" && said[f.Chapter]
	})
	r.placingFindings(res.Findings, entryAt)
	if r.recordingEnd == 0 {
		for _, p := range c.Map.Pieces { // an edit may go back to an earlier stretch
			r.recordingEnd = max(r.recordingEnd, p.Recording.To)
		}
	}
}

// checkZero says that a video which shows the recording is taken to begin with the
// first stamp, where nothing says what the clock showed at its beginning.
func (r *resolver) checkZero() {
	if r.clock.Zero != "first-stamp" || !r.clock.known {
		return
	}
	first := "the first stamp"
	if len(r.c.Marks) == 0 {
		first = "the first time of case.yaml"
	}
	r.report(source.Finding{
		Pos: r.c.File.Video.Shows.Pos, Path: r.c.File.Video.Shows.Path, Severity: source.Caution, Rule: "time/zero-assumed",
		Message: "the video shows the recording, and nothing says what the clock showed when it began; " + first + " is taken for the beginning of the video",
		Hint:    "recording.starts in case.yaml states it",
	})
}

// placingStamps are the moments the aligner is to place: the stamps, and the times
// that entries, readings and events of case.yaml state. The stated time of an entry
// stands for the stamp of the same occurrence; one without a stamp comes on top.
// Readings and events are given without a name: they are placed and match nothing.
// at says which moment each entry is, times which each other time is.
func (r *resolver) placingStamps() (stamps []placing.Stamp, at map[int]int, times map[time.Duration]int) {
	for _, m := range r.c.Marks {
		stamps = append(stamps, placing.Stamp{
			At: m.Recording, Half: r.clock.half(m.At), Step: m.Match.ID, Confidence: m.Match.Confidence, Text: m.Text,
			Kind: string(m.Match.Kind), Candidates: ids(m.Match.Candidates), Likely: r.likely(m.Text, m.Match),
		})
	}
	silent := func(source.Finding) {} // said when the entry is read
	runs := byOccurrence(r.runsFromMarks())
	at, times = map[int]int{}, map[time.Duration]int{}
	for i, keys := range r.c.File.Steps {
		id, _, info := r.names.step(keys.Step.Value, r.converted)
		if info == nil {
			continue
		}
		when, ok := r.clock.when(keys.At, silent)
		if !ok {
			continue
		}
		if x := runs[occurrence{id, r.occurrence[i]}]; x != nil {
			first := &stamps[x.marks[0]]
			first.At, first.Half, at[i] = when, r.clock.halfOf(keys.At), x.marks[0]
			continue
		}
		at[i] = len(stamps)
		stamps = append(stamps, placing.Stamp{At: when, Half: r.clock.halfOf(keys.At), Step: id, Confidence: 1, Kind: string(taxonomy.KindStep)})
	}
	if len(stamps) == 0 && len(r.c.File.Pins) == 0 && !r.exact {
		return stamps, at, times // nothing that could tie the clocks together
	}
	moment := func(t Text) {
		if when, ok := r.clock.when(t, silent); ok {
			times[when] = len(stamps)
			stamps = append(stamps, placing.Stamp{At: when, Half: r.clock.halfOf(t), Kind: string(taxonomy.KindRemark)})
		}
	}
	for _, s := range r.c.File.Steps {
		for _, reading := range s.Readings {
			moment(reading.At)
		}
	}
	for _, e := range r.c.File.Events {
		moment(e.At)
	}
	return stamps, at, times
}

// likely is what the words of a mark may mean beside its name. An event or a
// complication is named for itself and not for a step.
func (r *resolver) likely(text string, m taxonomy.Match) []placing.Share {
	if m.Kind == taxonomy.KindEvent || m.Kind == taxonomy.KindComplication {
		return nil
	}
	var out []placing.Share
	for _, c := range r.names.main.Likely(text) {
		out = append(out, placing.Share{ID: c.ID, Share: c.Score})
	}
	return out
}

// onVideo is where a time that case.yaml states lies on the video, or nil.
func (r *resolver) onVideo(at time.Duration) *time.Duration { return r.placed[at].Video }

// placingFindings gives the aligner's findings their places.
func (r *resolver) placingFindings(list []placing.Finding, entryAt map[int]int) {
	for _, f := range list {
		f.Pos = r.c.CaseFile.Whole()
		switch {
		case f.Stamp >= len(r.c.Marks):
			for _, entry := range slices.Sorted(maps.Keys(entryAt)) {
				if entryAt[entry] == f.Stamp {
					f.Pos = r.c.File.Steps[entry].At.Pos
					break
				}
			}
		case f.Stamp >= 0:
			f.Pos = r.c.Marks[f.Stamp].Pos
		case f.Chapter >= 0:
			f.Pos = r.c.Titles[f.Chapter].Pos
		case f.Pin >= 0:
			f.Pos = r.c.File.Pins[r.pinned[f.Pin]].Recording.Pos
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
		if !p.Recording.Set || !p.Video.Set {
			continue // said by the reader
		}
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
