package format

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

const edlSource = "CMX3600 edit lists as OpenTimelineIO's adapter reads them (github OpenTimelineIO/otio-cmx3600-adapter 4b02a66)"

func edlReader() Reader {
	return Reader{
		Name:       "edl",
		Doc:        "edit list in the form of CMX3600: events with source and record timecodes; its frame rate comes from outside",
		Extensions: []string{".edl"},
		Roles:      []Role{Cuts},
		Sniff:      looksLikeEDL,
		Edit:       readEDL,
		NeedsRate:  true,
	}
}

// looksLikeEDL reports whether one of the first lines is a title, a counting mode or
// an event.
func looksLikeEDL(src *source.Source) bool {
	for n, seen := 0, 0; n < src.Lines() && seen < sniffLines; n++ {
		line, offset := src.Line(n)
		fields := splitFields(line, offset)
		if len(fields) == 0 {
			continue
		}
		seen++
		if first := strings.ToUpper(fields[0].text); first == "TITLE:" || first == "FCM:" {
			return true
		}
		if _, err := edlEventLine(fields); err == nil && looksLikeEvent(fields) {
			return true
		}
	}
	return false
}

// edlReading is the state of one reading.
type edlReading struct {
	src    *source.Source
	rate   timecode.Rate
	report source.Report
	first  int64 // record frame that is the first of the video

	headless bool // an event ahead of all others has no place that can be read
}

// frames are the four timecodes of an event as frame numbers; out is exclusive.
type frames struct{ sourceIn, sourceOut, recordIn, recordOut int64 }

// readEDL reads an edit list whose frames are counted at rate; without one nothing can
// be read. The video begins with the first record timecode of any event, sound and what
// is left out included. Only what is shown counts: events without a picture, on an upper video
// track or keyed over another are counted in a note. In a dissolve or wipe the
// incoming clip has the whole of the overlap. A timecode that is smaller by more than
// half a day than the one it follows has passed midnight.
func readEDL(src *source.Source, rate timecode.Rate, report source.Report) timeline.Edit {
	if len(bytes.TrimSpace(src.Text())) == 0 {
		return timeline.Edit{}
	}
	if rate.IsZero() {
		report(source.Finding{
			Pos: src.Pos(0), Severity: source.Error, Rule: "time/no-rate", Source: edlSource,
			Message: "the edit list counts frames and does not say how many make a second; it is not read",
			Hint:    "recording: {rate: 25} in case.yaml, or --rate 25, states the frame rate",
		})
		return timeline.Edit{}
	}
	noteForeignExtension("edl", src, report)
	scanner := &edlScanner{src: src, report: report}
	scanner.scan()
	r := &edlReading{src: src, rate: rate, report: report, headless: scanner.headless}
	r.reportCounting(scanner.events)
	list := r.timed(scanner.events)
	r.origin(list)
	var events []timeline.EditEvent
	partial := scanner.said || len(list) < len(scanner.events)
	for _, e := range r.shown(list) {
		ev, ok := r.event(e)
		if ok {
			events = append(events, ev)
		}
		partial = partial || !ok
	}
	if len(scanner.events) == 0 && !scanner.said {
		report(source.Finding{
			Pos: src.Pos(0), Severity: source.Error, Rule: "read/no-events", Source: edlSource,
			Message: "the edit list holds no event that can be read",
		})
	}
	edit := finishEdit(events, report)
	edit.Partial = partial || slices.ContainsFunc(list, func(e timedEvent) bool { return e.left })
	return edit
}

// reportCounting says once that drop-frame counting is asked for at a rate that has
// none.
func (r *edlReading) reportCounting(events []edlEvent) {
	if r.rate.HasDrop() {
		return
	}
	for _, e := range events {
		if e.fcm != drop && !strings.Contains(e.times[0].text+e.times[2].text, ";") {
			continue
		}
		r.report(source.Finding{
			Pos: r.src.Pos(e.times[0].at), Severity: source.Caution, Rule: "read/drop-frame", Source: "SMPTE ST 12-1",
			Message: fmt.Sprintf("the list counts drop-frame, which %s frames a second do not have; its frames are counted without", r.rate),
			Hint:    "the frame rate that the list was made at",
		})
		return
	}
}

// timedEvent is an event whose place in the video could be read.
type timedEvent struct {
	edlEvent
	frames
	left bool // out of the edit, for another of its timecodes
}

// timed reads the timecodes of all events. One that cannot be read leaves its event
// out, which keeps its place all the same where that can be read: the video may begin
// there.
func (r *edlReading) timed(events []edlEvent) []timedEvent {
	var out []timedEvent
	for _, e := range events {
		const recordIn = 2
		var v [4]int64
		var left, nowhere bool
		for i, f := range e.times {
			n, err := edlTime(f.text, r.rate, e.fcm)
			if v[i] = n; err == nil {
				continue
			}
			if !left {
				r.report(source.Finding{
					Pos: r.src.Pos(f.at), Severity: source.Error, Rule: "read/bad-time", Source: edlSource,
					Message: "a timecode of this event cannot be read, and the event is left out: " + err.Error(),
					Hint:    fmt.Sprintf("the timecode, and the frame rate: the list is read at %s frames a second", r.rate),
				})
			}
			left, nowhere = true, nowhere || i == recordIn
		}
		if nowhere {
			r.headless = r.headless || len(out) == 0
			continue
		}
		t := timedEvent{e, frames{v[0], v[1], v[2], v[3]}, left}
		t.sourceOut = pastMidnight(t.sourceOut, t.sourceIn, r.day(e, 0))
		t.recordOut = pastMidnight(t.recordOut, t.recordIn, r.day(e, 2))
		out = append(out, t)
	}
	return out
}

// day is how many frames the counting of the kth timecode of an event has in a day.
func (r *edlReading) day(e edlEvent, k int) int64 {
	return edlRate(e.times[k].text, r.rate, e.fcm).FramesPerDay()
}

func pastMidnight(frame, after, day int64) int64 {
	if frame < after-day/2 {
		return frame + day
	}
	return frame
}

// origin finds the record frame at which the video begins and counts those behind
// midnight on.
func (r *edlReading) origin(list []timedEvent) {
	if len(list) == 0 {
		return
	}
	day := r.day(list[0].edlEvent, 2)
	r.first = list[0].recordIn
	for i := range list {
		e := &list[i]
		if in := pastMidnight(e.recordIn, list[0].recordIn, day); in != e.recordIn {
			e.recordIn, e.recordOut = e.recordIn+day, e.recordOut+day
		}
		r.first = min(r.first, e.recordIn)
	}
	if r.headless {
		r.report(source.Finding{
			Pos: r.src.Pos(list[0].at), Severity: source.Caution, Rule: "read/edit-span", Source: edlSource,
			Message: "where the event ahead of this one begins in the video cannot be read; the video is counted from the first place that can",
		})
	}
}

// shown leaves out what is no picture of its own: sound, upper tracks, keys over a
// background, and the first line of a transition, which has no length.
func (r *edlReading) shown(list []timedEvent) []timedEvent {
	background := map[string]bool{} // numbers of the events with one
	for _, e := range list {
		if e.transition == "KB" {
			background[e.number] = true
		}
	}
	var out []timedEvent
	var sound, above skipped
	for i, e := range list {
		switch picture, upper := edlChannel(e.channel); {
		case e.left:
		case !picture:
			sound.add(r.src.Pos(e.at))
		case upper, (e.transition == "K" || e.transition == "KO") && background[e.number]:
			above.add(r.src.Pos(e.at))
		case e.recordIn == e.recordOut && e.sourceIn == e.sourceOut && i+1 < len(list) && (list[i+1].number == e.number || list[i+1].transition != "C"):
		default:
			out = append(out, e)
		}
	}
	sound.say(r.report, "read/edit-tracks", "an event has no picture and is not counted", "%d events have no picture and are not counted")
	above.say(r.report, "read/edit-tracks", "an event is shown over another picture and is not counted", "%d events are shown over another picture and are not counted")
	return out
}

// edlChannel says whether a channel such as V, B, AA/V or A2/V2 carries a picture and
// whether that is on an upper track only.
func edlChannel(channel string) (picture, upper bool) {
	upper = true
	for part := range strings.SplitSeq(channel, "/") {
		switch {
		case part == "B" || part == "V" || part == "V1" || strings.HasPrefix(part, "V") && !allDigits(part[1:]):
			picture, upper = true, false
		case strings.HasPrefix(part, "V"):
			picture = true
		}
	}
	return picture, picture && upper
}
