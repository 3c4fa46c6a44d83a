package placing

import "slices"

// Two marks set within seconds of each other may have been written in the wrong order on
// one of the clocks, and a chain in order takes only one of them. crossedGain is the
// least that the words of the other have to say for it, and crossedWeight the chance
// that it is right, found on cases made for it.
const (
	crossedGain   = 1.5
	crossedWeight = 0.9
)

// crossed are the pairs that a chain in time order cannot hold: the words agree, and a
// match whose stamp lies within agreeWithin of theirs, on the other side on the video,
// puts them within the scatter of marks. A stamp or a chapter that could be of two such
// pairs is of none.
func (p *placer) crossed(m matching) []link {
	if len(m.links) < 3 || slices.ContainsFunc(m.links, func(l link) bool { return l.pin >= 0 }) {
		return nil // too little to hold them against, or an order made by hand
	}
	stamps, chapters := map[int]int{}, map[int]int{} // how often each could be one
	used := func(i, j int) bool {
		return slices.ContainsFunc(m.links, func(l link) bool { return l.stamp == i || l.chapter == j })
	}
	counted := p.counted()
	var found []link
	for k := range m.links {
		l := &m.links[k]
		for _, i := range p.stampOrder {
			if (p.stamps[i].At - l.recording).Abs() > agreeWithin {
				continue
			}
			for _, j := range p.chapterOrder {
				if (p.chapters[j].From-l.video).Abs() > 2*agreeWithin || p.labels.pair(i, j).gain < crossedGain || used(i, j) || p.pastEnd(p.chapters[j]) {
					continue
				}
				n := p.node(i, j, counted)
				if _, share := p.gap(&l.node, &n, m.rate); share > 2 || n.after(&l.node) || l.after(&n) {
					continue
				}
				if slices.ContainsFunc(found, func(f link) bool { return f.stamp == i && f.chapter == j }) ||
					slices.ContainsFunc(m.links, n.farAgainst) || slices.ContainsFunc(found, n.farAgainst) {
					continue
				}
				stamps[i]++
				chapters[j]++
				found = append(found, link{n, crossedWeight})
			}
		}
	}
	return slices.DeleteFunc(found, func(f link) bool { return stamps[f.stamp] > 1 || chapters[f.chapter] > 1 })
}

// farAgainst reports whether a match is out of order with n by more than hands are slow.
func (n *node) farAgainst(l link) bool {
	if n.after(&l.node) || l.after(n) {
		return false
	}
	return (n.recording-l.recording).Abs() > agreeWithin || (n.video-l.video).Abs() > 2*agreeWithin
}
