package annotate

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"sideport/timeline"
	"sideport/timeline/media"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// recordingFiles says where the files of the recording lie in it. The zero value is
// a recording in one piece.
type recordingFiles struct {
	media.Joined
	places []media.Placed // by the index of the part
	// anchored says that the files have a place among the recording times; base is
	// then the time from recording zero to the start of the first file.
	anchored bool
	base     time.Duration
	again    *bool // what startsAgain found
}

// nearStart is how early a list of elapsed time may begin to look as if it counted
// from the start of its own file. Our own limit.
const nearStart = 5 * time.Minute

// joinFiles puts the files of the recording in order and says what that rests on.
func joinFiles(m *Material, reader timecode.Clock, report source.Report) recordingFiles {
	if len(m.Parts) == 0 {
		return recordingFiles{}
	}
	stated := statedStarts(m.File.Recording.Files, reader, report)
	var parts []media.Part
	for i, p := range m.Parts {
		parts = append(parts, media.Part{Name: p.Name, Facts: p.Facts, Stated: stated[i]})
	}
	f := recordingFiles{Joined: media.Join(parts), places: make([]media.Placed, len(parts)), anchored: reader.Kind == timecode.Elapsed}
	for _, p := range f.Parts {
		f.places[p.Part] = p
	}
	f.tell(m, report)
	return f
}

// statedStarts are the starts that case.yaml gives for files, by file, on one scale.
// On a clock of elapsed time they may be read from another clock, as only the time
// from one to the next counts.
func statedStarts(keys []RecordingFile, reader timecode.Clock, report source.Report) []*time.Duration {
	out := make([]*time.Duration, len(keys))
	var list []timecode.Reading
	var of []int
	for i, k := range keys {
		if !k.Starts.Set {
			continue
		}
		r, err := timecode.ParseReading(k.Starts.Value)
		if err != nil {
			fault(k.Starts, report, "read/bad-time", "the start of part %d: %v", i+1, err)
			continue
		}
		list, of = append(list, r), append(of, i)
	}
	if reader.Kind == timecode.Elapsed || reader.Kind == timecode.Unknown {
		reader.Kind, _, _ = timecode.Classify(list, timecode.Unknown)
	}
	var times []time.Duration
	var kept []int
	for i, r := range list {
		at, err := reader.Time(r)
		if err != nil {
			fault(keys[of[i]].Starts, report, "read/bad-time", "the start of part %d: %v", of[i]+1, err)
			continue
		}
		times, kept = append(times, at), append(kept, of[i])
	}
	rolled, _ := reader.Roll(times)
	for i := range rolled {
		out[kept[i]] = &rolled[i]
	}
	return out
}

// ordered are the lists of times in the order of the files they belong to; those of
// the whole recording come last. Material without lists is one.
func (f *recordingFiles) ordered(m *Material) []stampList {
	if len(m.lists) == 0 {
		return []stampList{{part: noPart, to: len(m.Stamps)}}
	}
	rank := func(l stampList) int {
		for i, p := range f.Parts {
			if p.Part == l.part {
				return i
			}
		}
		return len(f.Parts)
	}
	lists := slices.Clone(m.lists)
	slices.SortStableFunc(lists, func(a, b stampList) int { return cmp.Compare(rank(a), rank(b)) })
	return lists
}

// zero is the accepted start of the recording on the clock's own scale: what
// case.yaml says of its files, or for a timecode clock the timecode they carry when
// the list of times was read from the same count. A creation time is accepted by
// nothing but case.yaml.
func (f *recordingFiles) zero(c *recordingClock, m *Material) (at time.Duration, accepted bool) {
	switch {
	case c.Kind != timecode.Wall && c.Kind != timecode.Timecode:
		return 0, false
	case f.Zero != nil:
		at = *f.Zero
	case c.Kind == timecode.Timecode && (f.Basis == media.ByCode && f.counts(c, m) || f.startsAgain(c, m)):
		at = f.firstCode(m)
	default:
		f.anchored = m.File.Recording.Starts.Set && len(f.Parts) > 0
		return 0, false
	}
	f.anchored = true
	if at < 0 { // the first file began before the midnight that another one's start counts from
		at += c.reader.DayLength()
	}
	return at, true
}

// firstCode is the timecode at the start of the first file.
func (f *recordingFiles) firstCode(m *Material) time.Duration {
	code := m.Parts[f.Parts[0].Part].Facts.Start
	return code.Rate.Duration(code.Frame)
}

// counts reports whether any stamp lies in the stretch of the files' timecode, so
// that both are one count.
func (f *recordingFiles) counts(c *recordingClock, m *Material) bool {
	rate, day := m.Parts[f.Parts[0].Part].Facts.Start.Rate, c.reader.DayLength()
	if rate.Num*c.reader.Rate.Den != c.reader.Rate.Num*rate.Den || day == 0 {
		return false
	}
	last := f.Parts[len(f.Parts)-1]
	first, length := f.firstCode(m), last.Offset+last.Length
	return slices.ContainsFunc(readingsOf(m), func(r timecode.Reading) bool {
		at, err := c.reader.Time(r)
		return err == nil && (at-first+day)%day <= length
	})
}

// startsAgain reports whether the timecode of each file starts anew and the lists of
// the files go by it: a stamp of some list lies in the stretch of its own file.
func (f *recordingFiles) startsAgain(c *recordingClock, m *Material) bool {
	if f.again != nil {
		return *f.again
	}
	again := false
	for _, list := range m.lists {
		if list.part == noPart || !slices.ContainsFunc(f.Notes, func(r media.Remark) bool { return r.Topic == media.CodeRestarts }) {
			continue
		}
		code := m.Parts[list.part].Facts.Start
		if code.Rate.Num*c.reader.Rate.Den != c.reader.Rate.Num*code.Rate.Den {
			continue
		}
		starts, length := code.Rate.Duration(code.Frame), f.places[list.part].Length
		again = again || slices.ContainsFunc(m.Stamps[list.from:list.to], func(s timeline.Stamp) bool {
			at, err := c.read(s, s.At)
			return err == nil && at >= starts && at <= starts+length
		})
	}
	f.again = &again
	return again
}

// shift is the time from the zero of a list to that of the clock: a list of elapsed
// time counts from the start of its own file, and so does one of timecode where each
// file starts its count anew. known is false when that start has no place.
func (f *recordingFiles) shift(c *recordingClock, m *Material, list stampList, starts time.Duration) (shift time.Duration, known bool) {
	if list.part == noPart {
		return 0, true
	}
	again := c.Kind == timecode.Timecode && f.Zero == nil && f.startsAgain(c, m)
	if c.Kind != timecode.Elapsed && !again {
		return 0, true
	}
	p := f.places[list.part]
	shift = starts + p.Offset
	if again {
		code := m.Parts[list.part].Facts.Start
		shift -= code.Rate.Duration(code.Frame)
	}
	return shift, p.Known
}

// readingsOf are the times as written of the stamps, or of case.yaml without any.
func readingsOf(m *Material) []timecode.Reading {
	list, _ := readings(m)
	return list
}

// against compares recording.starts with the accepted start of the first file, which
// speak of one moment.
func (f *recordingFiles) against(m *Material, starts, file time.Duration, accepted bool, report source.Report) {
	if !accepted {
		return
	}
	f.base = file - starts
	if size := f.base.Abs(); size > time.Second {
		report(source.Finding{
			Pos: m.File.Recording.Starts.Pos, Path: m.File.Recording.Starts.Path, Severity: source.Caution, Rule: "time/disagree",
			Message: fmt.Sprintf("recording.starts and the start of the recording's first file lie %s apart; recording.starts counts", timecode.Format(size)),
		})
	}
}

// end is where the last file ends, in recording time.
func (f *recordingFiles) end() (time.Duration, bool) {
	if !f.anchored || len(f.Parts) == 0 {
		return 0, false
	}
	last := f.Parts[len(f.Parts)-1]
	return f.base + last.Offset + last.Length, last.Known && last.Length > 0
}

// checkStamp says when a stamp lies in none of the files, or past the end of the one
// whose list it stands in. A second more is what rounding makes of the last moment.
func (f *recordingFiles) checkStamp(c *recordingClock, s stampTime, report source.Report) {
	if !f.anchored || len(f.Parts) == 0 {
		return
	}
	say := func(format string, args ...any) {
		report(source.Finding{
			Pos: s.Pos, Severity: source.Caution, Rule: "time/outside-part-file",
			Message: c.shown(s.At) + " " + fmt.Sprintf(format, args...),
		})
	}
	if s.list.part != noPart {
		p := f.places[s.list.part]
		into := s.at - f.base - p.Offset
		switch {
		case !p.Known || p.Length == 0:
		case into < -time.Second:
			say("lies %s before the start of part %d of the recording, in whose list it stands", timecode.Format(-into), p.Part+1)
		case into > p.Length+time.Second:
			say("lies %s past the end of part %d of the recording, which lasts %s", timecode.Format(into-p.Length), p.Part+1, timecode.Format(p.Length))
		}
		return
	}
	for _, p := range f.Parts {
		into := s.at - f.base - p.Offset
		if !p.Known || p.Length == 0 || into >= -time.Second && into <= p.Length+time.Second {
			return // in this one, or perhaps in one whose place is not known
		}
	}
	say("lies in none of the files of the recording")
}

// begunAgain says when a list of elapsed time begins near 0 though the list before
// it, of the same recording, has come further: each may count from the start of a
// file of its own, and nothing says where that lies.
func begunAgain(stamps []stampTime, times []time.Duration, report source.Report) {
	for i := 1; i < len(stamps); i++ {
		a, b := stamps[i-1], stamps[i]
		if a.list == b.list || a.list.part != noPart || b.list.part != noPart || times[i] >= times[i-1] || times[i] > nearStart {
			continue
		}
		report(source.Finding{
			Pos: b.Pos, Severity: source.Caution, Rule: "time/part-offset",
			Message: fmt.Sprintf("this list begins again at %s, and the one before it ends at %s; both are counted from the start of the recording", b.At, a.At),
			Hint:    "where each list was jotted in a file of its own: recording: {files: [{video: part-1.mp4, times: part-1.txt}, {video: part-2.mp4, times: part-2.txt}]} in case.yaml",
		})
	}
}
