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

// exact places everything by a map that is known. The matching only says which
// stamp and chapter belong together and how far they are apart.
func (p *placer) exact(m timeline.Map, pins []int) {
	p.sortLabels()
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
		case p.opt.Cuts != nil && c.Step != "" && !p.opt.Partial:
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
// the recording begins in the video, and the last one where the video's pieces end. Of
// what lies behind all pieces nothing is known where the edit was read in part.
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
	if len(m.Pieces) > 0 && !p.opt.Partial {
		cut(reached, p.opt.RecordingLength, last.Video.To)
		insert(last.Video.To, p.opt.VideoLength, "after-last")
	}
}

// mostReached is how many chapters on either side of a stamp's place are looked at.
const mostReached = 32

// spot is a stamp and a chapter within reach of each other on the video clock, by their
// places in order.
type spot struct {
	i, j int32
	label
	away time.Duration // of the chapter from where the map puts the stamp
}

// worth is what a match adds: less when the two are apart.
func (s *spot) worth() float64 {
	share := float64(s.away) / float64(reach)
	return s.gain * (1 - share*share/2)
}

// spots lists what may be matched under a known map, by the chapter and then the stamp.
func (p *placer) spots(m timeline.Map) []spot {
	at := func(v time.Duration) int {
		x, _ := slices.BinarySearchFunc(p.chapterOrder, v, func(j int, v time.Duration) int { return cmp.Compare(p.chapters[j].From, v) })
		return x
	}
	var out []spot
	for x, i := range p.stampOrder {
		places := m.ToVideo(p.stamps[i].At)
		seen := map[int]bool{} // a stretch shown twice may reach one chapter twice
		for _, v := range places {
			middle := at(v)
			for y := max(at(v-reach), middle-mostReached); y < min(at(v+reach+1), middle+mostReached); y++ {
				l := p.labels.pair(i, p.chapterOrder[y])
				if l.gain < telling || seen[y] {
					continue
				}
				seen[y] = true
				from := p.chapters[p.chapterOrder[y]].From
				near, _ := nearest(places, from)
				out = append(out, spot{int32(x), int32(y), l, from - near})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b spot) int { return cmp.Or(cmp.Compare(a.j, b.j), cmp.Compare(a.i, b.i)) })
	return out
}

// exactPairs matches labels within reach of each other on the video clock.
func (p *placer) exactPairs(m timeline.Map) {
	spots := p.spots(m)
	var grid *align.Grid
	if len(spots) > exactNodes {
		grid = &align.Grid{}
		for _, s := range spots {
			grid.X, grid.Y = append(grid.X, s.j), append(grid.Y, s.i)
		}
		setReach(grid)
	}
	free := func(int) float64 { return 0 }
	chain := align.Chain(len(spots), align.ChainCosts{
		Start: free, End: free,
		Node: func(k int) float64 { return -spots[k].worth() },
		Step: func(k, l int) float64 { return blocked(spots[k].i >= spots[l].i || spots[k].j >= spots[l].j) },
		Grid: grid,
	})
	var sizes []float64
	last := time.Duration(math.MinInt64)
	for _, k := range chain.Nodes() {
		s := &spots[k]
		i, j := p.stampOrder[s.i], p.chapterOrder[s.j]
		margin := chain.Margin(k)
		if margin < tie || p.stamps[i].At <= last {
			continue // as good without: the places are known, so nothing is lost
		}
		last = p.stamps[i].At
		p.out.Pairs = append(p.out.Pairs, Pair{Stamp: i, Chapter: j, Step: s.step, Residual: s.away, Confidence: weight(margin)})
		sizes = append(sizes, float64(s.away.Abs()))
	}
	if len(sizes) > 0 {
		p.out.MedianResidual = time.Duration(align.Median(sizes))
	}
}
