package placing

import (
	"slices"
	"time"
)

// Two marks set within seconds of each other may have been written in the wrong order on
// one of the clocks, and a chain in order takes only one of them. crossedGain is the
// least that the words of the other have to say for it, and crossedWeight the chance
// that it is right, found on cases made for it.
const (
	crossedGain   = 1.5
	crossedWeight = 0.9
)

// mostCrossed is how many marks of one list within seconds of a match are looked at.
// More are no notes of a hand, and of those nothing is told by their order.
const mostCrossed = 8

// crossed are the pairs that a chain in time order cannot hold: the words agree, and a
// match whose stamp lies within agreeWithin of theirs, on the other side on the video,
// puts them within the scatter of marks. A stamp or a chapter that could be of two such
// pairs is of none. Cost is linear in the matches but for a logarithm.
func (p *placer) crossed(m matching) []link {
	if len(m.links) < 3 || slices.ContainsFunc(m.links, func(l link) bool { return l.pin >= 0 }) {
		return nil // too little to hold them against, or an order made by hand
	}
	usedStamp, usedChapter := map[int]bool{}, map[int]bool{}
	for _, l := range m.links {
		usedStamp[l.stamp], usedChapter[l.chapter] = true, true
	}
	stamps, chapters := map[int]int{}, map[int]int{} // how often each could be one
	seen := map[[2]int]bool{}
	counted := p.counted()
	var found []link
	for k := range m.links {
		l := &m.links[k]
		for _, i := range p.free(p.stampOrder, usedStamp, l.recording, agreeWithin, p.stampAt) {
			for _, j := range p.free(p.chapterOrder, usedChapter, l.video, 2*agreeWithin, p.chapterAt) {
				if seen[[2]int{i, j}] || p.labels.pair(i, j).gain < crossedGain || p.pastEnd(p.chapters[j]) {
					continue
				}
				n := p.node(i, j, counted)
				if _, share := p.gap(&l.node, &n, m.rate); share > 2 || n.after(&l.node) || l.after(&n) || farAgainst(&n, around(m.links, k)) {
					continue
				}
				seen[[2]int{i, j}] = true
				stamps[i]++
				chapters[j]++
				found = append(found, link{n, crossedWeight})
			}
		}
	}
	found = slices.DeleteFunc(found, func(f link) bool { return stamps[f.stamp] > 1 || chapters[f.chapter] > 1 })
	var out []link
	for _, f := range found {
		if !farAgainst(&f.node, out[max(0, len(out)-mostCrossed):]) {
			out = append(out, f)
		}
	}
	return out
}

func (p *placer) stampAt(i int) time.Duration   { return p.stamps[i].At }
func (p *placer) chapterAt(j int) time.Duration { return p.chapters[j].From }

// free lists the marks within reach of t that no match has, or none when more than
// mostCrossed marks lie there.
func (p *placer) free(order []int, used map[int]bool, t, reach time.Duration, at func(int) time.Duration) []int {
	from, _ := slices.BinarySearchFunc(order, t-reach, func(i int, t time.Duration) int { return int(min(max(at(i)-t, -1), 1)) })
	var out []int
	for x := from; x < len(order) && at(order[x]) <= t+reach; x++ {
		if x-from >= mostCrossed {
			return nil
		}
		if !used[order[x]] {
			out = append(out, order[x])
		}
	}
	return out
}

// around are the matches beside the kth. What lies further off than mostCrossed of them
// on either side is seconds away as well, or free has given nothing.
func around(links []link, k int) []link {
	return links[max(0, k-mostCrossed):min(len(links), k+mostCrossed+1)]
}

// farAgainst reports whether one of the matches is out of order with n by more than
// hands are slow.
func farAgainst(n *node, links []link) bool {
	return slices.ContainsFunc(links, func(l link) bool {
		if n.after(&l.node) || l.after(n) {
			return false
		}
		return (n.recording-l.recording).Abs() > agreeWithin || (n.video-l.video).Abs() > 2*agreeWithin
	})
}
