package placing

import (
	"math"
	"slices"
	"time"
)

// beyond is how much dearer than the best chain the best one through a node may be for
// the node to be looked at again.
const beyond = 6

// reachWiden is how far from where a neighbouring match puts it a stamp may lie to be
// paired with a chapter by time alone.
const reachWiden = 3 * time.Second

// mostBeside is how many stamps before and behind that place are looked at.
const mostBeside = 8

// widen matches a long list once more. The first time only pairs whose words have
// something in common were looked at; now those are added whose times fit the match
// before or behind them, and the pairs that had no chance are left out. Cost is that of
// a matching among as many nodes as there are marks.
func (p *placer) widen(m matching) ([]node, matching) {
	nodes := slices.Clone(m.likely)
	counted := p.counted()
	known := map[[2]int]bool{}
	var pins []node
	for k := range nodes {
		known[[2]int{nodes[k].stamp, nodes[k].chapter}] = true
		if nodes[k].pin >= 0 {
			pins = append(pins, nodes[k])
		}
	}
	at := func(t time.Duration) int { // the first stamp in order not before t
		x, _ := slices.BinarySearchFunc(p.stampOrder, t, func(i int, t time.Duration) int {
			return int(min(max(p.stamps[i].At-t, -1), 1))
		})
		return x
	}
	link := 0
	for _, j := range p.chapterOrder {
		v := p.chapters[j].From
		for link < len(m.links) && m.links[link].video < v {
			link++
		}
		for _, k := range []int{link - 1, link} {
			if k < 0 || k >= len(m.links) || p.pastEnd(p.chapters[j]) {
				continue
			}
			r := m.links[k].recording + times(v-m.links[k].video, 1/m.rate)
			wide := times(reachWiden, p.loose)
			from, to := max(at(r-wide), at(r)-mostBeside), min(at(r+wide+1), at(r)+mostBeside)
			for x := from; x < to; x++ {
				pair := [2]int{p.stampOrder[x], j}
				if known[pair] || math.IsInf(p.labels.pair(pair[0], j).gain, -1) {
					continue
				}
				known[pair] = true
				if n := p.node(pair[0], j, counted); allowed(&n, pins) {
					nodes = append(nodes, n)
				}
			}
		}
	}
	sortNodes(nodes)
	return nodes, p.match(nodes, m.rate)
}
