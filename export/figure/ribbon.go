package figure

import (
	"fmt"
	"io"
	"strings"
	"time"

	"sideport/timeline"
	"sideport/timeline/timecode"
)

// RibbonStep is one step on both clocks.
type RibbonStep struct {
	Number    int            // as the page numbers its steps
	Name      string         // for the description
	Recording *timeline.Span // nil when unknown
	Video     []timeline.Span
}

// Ribbon is what the step ribbon is drawn from. A clock of length 0 has no bar.
type Ribbon struct {
	Recording, Video time.Duration // lengths of the two clocks
	Steps            []RibbonStep
	Kept             []timeline.Piece // sorted by Video.From; empty when there is no map
}

// Removed lists the stretches of the recording that no piece of the video shows,
// in order.
func (r Ribbon) Removed() []timeline.Span {
	return gaps(r.Recording, r.Kept, func(p timeline.Piece) timeline.Span { return p.Recording })
}

// Inserted lists the stretches of the video that show no recording, in order.
func (r Ribbon) Inserted() []timeline.Span {
	return gaps(r.Video, r.Kept, func(p timeline.Piece) timeline.Span { return p.Video })
}

// gaps is what of [0, length) no piece covers; stretches under a tenth of a
// second, which no drawing shows, are left out. Pieces may come in any order.
func gaps(length time.Duration, pieces []timeline.Piece, of func(timeline.Piece) timeline.Span) []timeline.Span {
	if len(pieces) == 0 || length <= 0 {
		return nil
	}
	free := []timeline.Span{{To: length}}
	for _, p := range pieces {
		s := of(p)
		var next []timeline.Span
		for _, f := range free {
			if a := (timeline.Span{From: f.From, To: min(f.To, s.From)}); a.To > a.From {
				next = append(next, a)
			}
			if b := (timeline.Span{From: max(f.From, s.To), To: f.To}); b.To > b.From {
				next = append(next, b)
			}
		}
		free = next
	}
	var out []timeline.Span
	for _, f := range free {
		if f.Len() >= 100*time.Millisecond {
			out = append(out, f)
		}
	}
	return out
}

const (
	ribbonWidth = 640.0
	ribbonLeft  = 2.0
	barHeight   = 38.0
	ribbonText  = 23.0
)

// RibbonSVG writes the step ribbon: the recording's steps above, the video's
// below, each over the full width with its own time marks, and between them what
// of the one is seen in the other. Removed stretches are hatched. A step's number
// is printed where it has room; the page's table says the rest.
//
// The only errors are those of w.
func RibbonSVG(w io.Writer, r Ribbon, opt Options) error {
	d := newDrawing()
	d.cover(0, 0)
	d.cover(ribbonWidth+2*ribbonLeft, 0)
	y := 0.0
	if r.Recording > 0 {
		y += 26
		d.group("recording-clock", "", append(ticks(r.Recording, y+24, -1), text(ribbonLeft, y-4, ribbonText, "start", ink, "on the recording"))...)
		y += 34
		bar(d, "recording", r.Recording, y, r.recordingRuns(), r.Removed())
		y += barHeight
	}
	if r.Recording > 0 && r.Video > 0 && len(r.Kept) > 0 {
		r.links(d, y, y+56)
		y += 56
	}
	if r.Video > 0 {
		if r.Recording > 0 && len(r.Kept) == 0 {
			y += 40
		}
		bar(d, "video", r.Video, y, r.videoRuns(), r.Inserted())
		y += barHeight
		d.group("video-clock", "", append(ticks(r.Video, y+10, 1), text(ribbonLeft, y+56, ribbonText, "start", ink, "in the video"))...)
		y += 56
	}
	if len(r.Removed())+len(r.Inserted()) > 0 {
		y += 34
		d.group("key", "", append(hatch(ribbonLeft+1, y-17, 44, 20),
			rect(ribbonLeft+1, y-17, 44, 20).line(soft, hair, Measured),
			text(ribbonLeft+56, y, ribbonText, "start", ink, "hatched: removed, or put in, by the edit"))...)
	}
	d.cover(0, y+8)
	title, desc := opt.Title, opt.Desc
	if title == "" {
		title = "The steps on the clock of the recording and on the clock of the video"
	}
	if desc == "" {
		desc = r.describe()
	}
	return d.write(w, opt, "drawing ribbon", title, desc)
}

// run is one piece of a bar.
type run struct {
	timeline.Span
	step RibbonStep
}

func (r Ribbon) recordingRuns() (out []run) {
	for _, s := range r.Steps {
		if s.Recording != nil {
			out = append(out, run{*s.Recording, s})
		}
	}
	return out
}

func (r Ribbon) videoRuns() (out []run) {
	for _, s := range r.Steps {
		for _, v := range s.Video {
			out = append(out, run{v, s})
		}
	}
	return out
}

func place(t, length time.Duration) float64 {
	t = max(0, min(t, length))
	return ribbonLeft + ribbonWidth*float64(t)/float64(length)
}

// bar draws one clock's steps side by side; odd numbers are tinted, so that the
// border between two steps shows where a hairline would be lost.
func bar(d *drawing, part string, length time.Duration, y float64, runs []run, empty []timeline.Span) {
	marks := []mark{rect(ribbonLeft, y, ribbonWidth, barHeight).filled(paper)}
	var lines []mark // over the hatching
	for _, r := range runs {
		x1, x2 := place(r.From, length), place(r.To, length)
		if r.step.Number%2 == 1 {
			marks = append(marks, rect(x1, y, x2-x1, barHeight).filled(tint))
		}
		lines = append(lines, rect(x1, y, max(x2-x1, 1), barHeight).line(ink, hair, Measured))
		label := fmt.Sprint(r.step.Number)
		if r.step.Number > 0 && x2-x1 > float64(len(label))*13+6 {
			lines = append(lines, text((x1+x2)/2, y+barHeight/2+8, ribbonText, "middle", ink, label))
		}
	}
	for _, e := range empty {
		x1, x2 := place(e.From, length), place(e.To, length)
		marks = append(marks, hatch(x1, y, x2-x1, barHeight)...)
	}
	marks = append(marks, lines...)
	marks = append(marks, rect(ribbonLeft, y, ribbonWidth, barHeight).line(ink, fine, Measured))
	d.group(part, "", marks...)
}

// links joins what was kept: the pieces of the recording to their places in the
// video.
func (r Ribbon) links(d *drawing, top, bottom float64) {
	var marks []mark
	for _, p := range r.Kept {
		a, b := place(p.Recording.From, r.Recording), place(p.Recording.To, r.Recording)
		c, e := place(p.Video.From, r.Video), place(p.Video.To, r.Video)
		marks = append(marks,
			path(fmt.Sprintf("M%s %sL%s %sL%s %sL%s %sZ", num(a), num(top), num(b), num(top), num(e), num(bottom), num(c), num(bottom))).filled(accent).opacity(0.12),
			segment(a, top, c, bottom).line(accent, hair, Measured),
			segment(b, top, e, bottom).line(accent, hair, Measured))
	}
	d.group("kept", "", marks...)
}

// hatch fills a rectangle with slanting lines, cut at its edges.
func hatch(x, y, w, h float64) []mark {
	var b strings.Builder
	for at := x - h + 4; at < x+w; at += 9 {
		x1, y1, x2, y2 := at, y+h, at+h, y
		if x1 < x {
			x1, y1 = x, y+h-(x-at)
		}
		if x2 > x+w {
			x2, y2 = x+w, y+(at+h-x-w)
		}
		fmt.Fprintf(&b, "M%s %sL%s %s", num(x1), num(y1), num(x2), num(y2))
	}
	if b.Len() == 0 {
		return nil
	}
	return []mark{path(b.String()).line(soft, hair, Measured)}
}

// ticks draws time marks at round times, above (-1) or below (+1) a bar.
func ticks(length time.Duration, y float64, side float64) []mark {
	var marks []mark
	step := tickStep(length)
	for t := time.Duration(0); t <= length; t += step {
		x := place(t, length)
		anchor := "middle"
		switch {
		case x < 24:
			anchor = "start"
		case x > ribbonWidth-20:
			anchor = "end"
		}
		textY := y + 16 + 6
		if side < 0 {
			textY = y - 4
		}
		marks = append(marks, segment(x, y+side*-10, x, y).line(ink, hair, Measured),
			text(x, textY, ribbonText*0.9, anchor, soft, timecode.FormatShort(t)))
	}
	return marks
}

// tickStep is a round step that gives at most seven marks after the first.
func tickStep(length time.Duration) time.Duration {
	for _, s := range []time.Duration{
		time.Second, 2 * time.Second, 5 * time.Second, 10 * time.Second, 15 * time.Second, 30 * time.Second, time.Minute, 2 * time.Minute,
		5 * time.Minute, 10 * time.Minute, 15 * time.Minute, 30 * time.Minute, time.Hour, 2 * time.Hour, 5 * time.Hour,
	} {
		if length/s <= 7 {
			return s
		}
	}
	return max(length/7, time.Hour)
}

func (r Ribbon) describe() string {
	var b strings.Builder
	b.WriteString("The table beside this drawing holds the same times.")
	if r.Recording > 0 {
		fmt.Fprintf(&b, " The recording lasts %s.", timecode.FormatShort(r.Recording))
	}
	if r.Video > 0 {
		fmt.Fprintf(&b, " The video lasts %s.", timecode.FormatShort(r.Video))
	}
	for _, s := range r.Removed() {
		fmt.Fprintf(&b, " Removed: recording %s to %s.", timecode.FormatShort(s.From), timecode.FormatShort(s.To))
	}
	for _, s := range r.Inserted() {
		fmt.Fprintf(&b, " Put in by the edit: video %s to %s.", timecode.FormatShort(s.From), timecode.FormatShort(s.To))
	}
	return b.String()
}
