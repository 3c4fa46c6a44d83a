package placing

import (
	"cmp"
	"math"
	"slices"
	"time"

	"sideport/timeline"
	"sideport/timeline/align"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// reach is how far a chapter may stand from its stamp's place in an exact map and
// still be its match: hands are slow, editors are late.
const reach = 10 * time.Second

// exactWeight grows with the margin, in units of one match of sure labels, from 0
// to 99 %.
func exactWeight(margin float64) float64 { return .99 * (1 - math.Exp(-6*margin)) }

// exact places everything by a map that is known. The matching only says which
// stamp and chapter belong together and how far they are apart.
func (p *placer) exact(m timeline.Map, pins []int) {
	p.out.Map = m
	p.out.Rate = exactRate(m)
	p.exactCuts(m)
	for i, s := range p.stamps {
		places := m.ToVideo(s.At)
		if k := slices.IndexFunc(places, p.inVideo); k >= 0 {
			p.out.Stamps[i] = StampPlace{Video: &places[k], Placed: EditList, Within: s.Half}
		} else if len(places) > 0 && p.opt.Cuts != nil {
			p.say(p.aboutStamp(i), source.Caution, "time/past-end", "", "the edit puts recording %s at video %s, past the end of the video, %s",
				timecode.Format(s.At), timecode.Format(places[0]), timecode.Format(p.opt.VideoLength))
		}
	}
	for j, c := range p.chapters {
		r, ok := m.ToRecording(c.From)
		switch {
		case p.pastEnd(c): // said
		case ok:
			p.out.Chapters[j] = ChapterPlace{Recording: &r, Placed: EditList}
		case p.opt.Cuts != nil && c.Step != "":
			p.say(p.aboutChapter(j), source.Note, "time/outside-kept", "", "the chapter at video %s%s begins where the edit shows nothing of the recording",
				timecode.Format(c.From), named(c.Step))
		}
	}
	p.exactPairs(m)
	for _, k := range pins {
		pin := p.opt.Pins[k]
		at, ok := nearest(m.ToVideo(pin.Recording), pin.Video)
		if ok && (at-pin.Video).Abs() <= agreeWithin {
			continue
		}
		where := "nowhere in the video"
		if ok {
			where = "at video " + timecode.Format(at)
		}
		p.say(aboutPin(k), source.Caution, "time/pin", "",
			"the pin puts recording %s at video %s, the edit puts it %s; the edit holds",
			timecode.Format(pin.Recording), timecode.Format(pin.Video), where)
	}
}

// exactRate is the median speed of the pieces.
func exactRate(m timeline.Map) float64 {
	var speeds []float64
	for _, piece := range m.Pieces {
		if n := piece.Recording.Len(); n > 0 {
			speeds = append(speeds, float64(piece.Video.Len())/float64(n))
		}
	}
	if len(speeds) == 0 {
		return 1
	}
	return align.Median(speeds)
}

// exactCuts lists what no piece keeps of the recording, in its order, and what lies
// between the pieces in the video. A cut is missing where the first piece behind it on
// the recording begins in the video, and the last one where the video's pieces end.
func (p *placer) exactCuts(m timeline.Map) {
	cut := func(from, to, video time.Duration) {
		if to > from {
			p.out.Cuts = append(p.out.Cuts, Cut{Removed: to - from, RecordingFrom: from, RecordingTo: to, Video: video, Source: EditList})
		}
	}
	kept := slices.Clone(m.Pieces)
	slices.SortStableFunc(kept, func(a, b timeline.Piece) int { return cmp.Compare(a.Recording.From, b.Recording.From) })
	var reached time.Duration
	for _, piece := range kept {
		cut(reached, piece.Recording.From, piece.Video.From)
		reached = max(reached, piece.Recording.To)
	}
	insert := func(from, to time.Duration, kind string) {
		if to > from {
			p.out.Inserts = append(p.out.Inserts, Insert{From: from, To: to, Kind: kind})
		}
	}
	var last timeline.Piece
	for k, piece := range m.Pieces {
		kind := "between"
		if k == 0 {
			kind = "before-first"
		}
		insert(last.Video.To, piece.Video.From, kind)
		last = piece
	}
	if len(m.Pieces) > 0 {
		cut(reached, p.opt.RecordingLength, last.Video.To)
		insert(last.Video.To, p.opt.VideoLength, "after-last")
	}
}

// exactPairs matches labels within reach of each other on the video clock.
func (p *placer) exactPairs(m timeline.Map) {
	places := make([][]time.Duration, len(p.stamps)) // looked up once a stamp, not once a pair
	for i, s := range p.stampOrder {
		places[i] = m.ToVideo(p.stamps[s].At)
	}
	away := func(i, j int) (time.Duration, bool) {
		c := p.chapters[p.chapterOrder[j]]
		at, ok := nearest(places[i], c.From)
		return c.From - at, ok && (c.From-at).Abs() <= reach
	}
	free := func(int) float64 { return 0 }
	table := align.Align(len(p.stamps), len(p.chapters), align.Costs{
		Pair: func(i, j int) float64 {
			like, _ := p.like(p.stampOrder[i], p.chapterOrder[j])
			d, ok := away(i, j)
			if !ok || like == 0 {
				return math.Inf(1)
			}
			share := float64(d) / float64(reach)
			return -like * (1 - share*share/2)
		},
		SkipX: free, SkipY: free,
	})
	var sizes []float64
	last := time.Duration(math.MinInt64)
	for _, ij := range table.Ops().Pairs() {
		i, j := p.stampOrder[ij[0]], p.chapterOrder[ij[1]]
		like, step := p.like(i, j)
		margin := table.Margin(ij[0], ij[1])
		if margin < tie || p.stamps[i].At <= last {
			continue // as good without: the places are known, so nothing is lost
		}
		last = p.stamps[i].At
		residual, _ := away(ij[0], ij[1])
		p.out.Pairs = append(p.out.Pairs, Pair{Stamp: i, Chapter: j, Step: step, Residual: residual, Confidence: like * exactWeight(margin)})
		sizes = append(sizes, float64(residual.Abs()))
	}
	if len(sizes) > 0 {
		p.out.MedianResidual = time.Duration(align.Median(sizes))
	}
}
