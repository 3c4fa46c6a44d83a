package placing

import (
	"cmp"
	"slices"
	"time"

	"sideport/timeline"
	"sideport/timeline/align"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

const (
	kindStep   = "step"
	kindRemark = "remark"
)

// placer holds one call's input and its result in the making.
type placer struct {
	stamps       []Stamp
	chapters     []Chapter
	vocab        Vocabulary
	opt          Options
	stampOrder   []int // indices by time, equal times as given
	chapterOrder []int
	labels       *labels
	loose        float64 // how much wider than usual the marks scatter
	stampWords   []wording
	chapterWords []wording
	// Marks that name the step of the one before them.
	stampGoesOn, chapterGoesOn []bool
	out                        Result
}

// Place matches the stamps of a recording with the chapters of its video and lays
// the map between the two clocks.
//
// With neither chapters, pins, an edit list nor Identity the map is zero and
// nothing is placed. With a single anchor the map carries its offset and no mark
// but the anchor's own is placed.
//
// Findings, all without a position: time/ambiguous (caution) for a match that
// another equals, which is left open; time/not-matched (note) for a chapter that
// names the step of a stamp and fits none in time; time/no-match (caution);
// time/few-anchors, time/rate (notes); time/pin and time/pin-order (cautions);
// time/past-end (caution) for chapters and pins at or after VideoLength, and for stamps
// that an edit list puts there; time/outside-kept (note) for a chapter that names a step
// and begins in no piece of an edit list.
//
// Equal input gives an equal result. Cost is O(n^2) in the number n of pairs of a stamp
// and a chapter that could name one thing, up to a few thousand; for longer lists about
// linear in it, and bounded: 10,000 stamps and chapters take about a second and 300 MB.
func Place(stamps []Stamp, chapters []Chapter, vocab Vocabulary, opt Options) Result {
	p := &placer{stamps: stamps, chapters: chapters, vocab: vocab, opt: opt}
	p.out.Rate = 1
	p.out.Stamps = make([]StampPlace, len(stamps))
	p.out.Chapters = make([]ChapterPlace, len(chapters))
	p.stampOrder = order(len(stamps), func(i int) time.Duration { return stamps[i].At })
	p.chapterOrder = order(len(chapters), func(j int) time.Duration { return chapters[j].From })
	for _, s := range stamps {
		p.stampWords = append(p.stampWords, wordsOf(s.Text))
	}
	for _, c := range chapters {
		p.chapterWords = append(p.chapterWords, wordsOf(c.Title))
	}
	p.checkEnd()
	pins := p.soundPins()
	switch {
	case opt.Cuts != nil:
		p.exact(*opt.Cuts, pins)
	case opt.Identity:
		p.exact(timeline.Identity(p.identityLength()), pins)
	default:
		p.infer(pins)
	}
	return p.out
}

func order(n int, at func(int) time.Duration) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(at(a), at(b)) })
	return out
}

// infer places everything from the matching and the pins.
func (p *placer) infer(pins []int) {
	p.stampGoesOn, p.chapterGoesOn = p.goesOn()
	p.sortLabels()
	nodes := p.nodes(pins)
	m, anchors, speed := p.settle(nodes)
	if speed.note != "" {
		p.say(aboutAll(), source.Note, "time/rate", "", "%s", speed.note)
	}
	p.sayOpen(m)
	if len(anchors) == 0 {
		if len(p.stamps) > 0 && len(p.chapters) > 0 && len(m.open) == 0 {
			p.say(aboutAll(), source.Caution, "time/no-match", "the step names of both lists, or a pin",
				"no stamp and no chapter name the same step; the two clocks are not connected")
		}
		return
	}
	l := p.lay(anchors, speed.value)
	p.out.Rate, p.out.Map = speed.value, timeline.Map{Pieces: l.pieces}
	p.out.Cuts, p.out.Inserts = l.cuts, l.inserts
	m.links = append(m.links, p.crossed(m)...)
	slices.SortStableFunc(m.links, func(a, b link) int { return cmp.Compare(a.recording, b.recording) })
	p.pairUp(m, anchors, speed.value)
	p.sayPins(m)
	p.sayUnmatched(nodes, m)
	p.mark(l, pins)
}

// pairUp lists the matches with their residuals from the line of their run.
func (p *placer) pairUp(m matching, anchors []anchor, rate float64) {
	rest := map[anchor]time.Duration{}
	for _, run := range runs(anchors, rate) {
		offsets := make([]float64, len(run))
		for k, a := range run {
			offsets[k] = float64(a.video - times(a.recording, rate))
		}
		middle := time.Duration(align.Median(offsets))
		for _, a := range run {
			rest[a] = a.video - times(a.recording, rate) - middle
		}
	}
	var sizes []float64
	for _, k := range m.links {
		if k.pin >= 0 {
			continue
		}
		residual, isAnchor := rest[p.anchor(&k)]
		if !isAnchor { // beside a pin: from the pin's map
			if at, ok := nearest(p.out.Map.ToVideo(k.recording), k.video); ok {
				residual = k.video - at
			}
		}
		p.out.Pairs = append(p.out.Pairs, Pair{
			Stamp: k.stamp, Chapter: k.chapter, Step: k.step, Residual: residual, Confidence: k.confidence,
		})
		sizes = append(sizes, float64(residual.Abs()))
	}
	if len(sizes) > 0 {
		p.out.MedianResidual = time.Duration(align.Median(sizes))
	}
	if len(anchors) == 1 {
		for k := range p.out.Pairs {
			p.out.Pairs[k].Confidence /= 2 // nothing else bears it out
		}
		p.say(aboutAll(), source.Note, "time/few-anchors", "", "the clocks are connected at one moment only: recording %s is video %s",
			timecode.Format(anchors[0].recording), timecode.Format(anchors[0].video))
	}
}

// nearest is the time of list closest to t.
func nearest(list []time.Duration, t time.Duration) (time.Duration, bool) {
	if len(list) == 0 {
		return 0, false
	}
	return slices.MinFunc(list, func(a, b time.Duration) int {
		return cmp.Compare((a - t).Abs(), (b - t).Abs())
	}), true
}

// mark places every stamp and chapter from the layout, the pins and the pairs, the
// surest last.
func (p *placer) mark(l *layout, pins []int) {
	for i, s := range p.stamps {
		if v, within, ok := l.toVideo(s.At); ok && p.inVideo(v) {
			p.out.Stamps[i] = StampPlace{Video: &v, Placed: Interpolated, Within: max(within, s.Half)}
		}
	}
	for j, c := range p.chapters {
		if r, within, ok := l.toRecording(c.From); ok && !p.pastEnd(c) {
			p.out.Chapters[j] = ChapterPlace{Recording: &r, Placed: Interpolated, Within: within}
		}
	}
	for _, pair := range p.out.Pairs {
		v, r := p.chapters[pair.Chapter].From, p.stamps[pair.Stamp].At
		within := max(written, p.stamps[pair.Stamp].Half, pair.Residual.Abs())
		p.out.Stamps[pair.Stamp] = StampPlace{Video: &v, Placed: Matched, Within: within}
		p.out.Chapters[pair.Chapter] = ChapterPlace{Recording: &r, Placed: Matched, Within: within}
	}
	for _, k := range pins {
		pin := p.opt.Pins[k]
		for i, s := range p.stamps {
			if s.At == pin.Recording {
				v := pin.Video
				p.out.Stamps[i] = StampPlace{Video: &v, Placed: Pinned}
			}
		}
		for j, c := range p.chapters {
			if c.From == pin.Video {
				r := pin.Recording
				p.out.Chapters[j] = ChapterPlace{Recording: &r, Placed: Pinned}
			}
		}
	}
}

func (p *placer) inVideo(v time.Duration) bool {
	return p.opt.VideoLength == 0 || v < p.opt.VideoLength
}

func (p *placer) pastEnd(c Chapter) bool { return !p.inVideo(c.From) }

// lastLeast is how long the video goes on behind a mark at the least: what video
// platforms ask of a chapter. Common practice, no source.
const lastLeast = 10 * time.Second

// lastMark is the latest moment that chapters and pins say the video has.
func (p *placer) lastMark() time.Duration {
	var last time.Duration
	for _, c := range p.chapters {
		end := c.From + lastLeast
		if c.HasTo {
			end = max(c.From+time.Second, c.To)
		}
		last = max(last, end)
	}
	for _, pin := range p.opt.Pins {
		last = max(last, pin.Video+lastLeast)
	}
	return last
}

// identityLength is the length of a video that is the recording: stated on either
// side, else as far as the marks reach.
func (p *placer) identityLength() time.Duration {
	switch {
	case p.opt.VideoLength > 0:
		return p.opt.VideoLength
	case p.opt.RecordingLength > 0:
		return p.opt.RecordingLength
	}
	last := p.lastMark()
	for _, s := range p.stamps {
		last = max(last, s.At+lastLeast)
	}
	return last
}
