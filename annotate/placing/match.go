package placing

import (
	"math"
	"time"

	"sideport/timeline/align"
)

// The prices of the chain, as natural logarithms of how much likelier one account of
// the two lists is than another. Our own choice, tried on cases made for it: a removal
// is common; an insert is rare, and with the removal that a wrong match brings beside
// it, it is worth more than the match, so that one wrong match among right ones does
// not pay and a real card before a last chapter still does.
const (
	matchGain    = 2.0 // of any match but the first, before its words count
	scatterCost  = 1.0 // gaps that just agree; less, by the square, when they agree better
	removalCost  = 2.0 // a stretch removed between two matches
	longRemoval  = 1.0 // on top, for one far longer than longCut
	insertCost   = 4.5 // a stretch put in between two matches
	longInsert   = 1.0 // on top, for one far longer than longCard
	passedCost   = 1.1 // a named stamp passed over where nothing was removed
	openingCost  = 0.3 // a card before the first match or after the last
	backwardCost = 0.8 // the second of two steps comes earlier in the usual order
	laterRunCost = 0.6 // a stamp that goes on with a step against a chapter that begins one
	namelessCost = 0.3 // a stamp whose words say nothing may be no step at all
	frameCost    = 3.0 // a speed other than 1
)

const (
	longCard = 20 * time.Second
	longCut  = 60 * time.Second
)

// tie is the least margin that counts as a decision.
const tie = 0.1

// link is a node of the best chain with what it weighs.
type link struct {
	node
	confidence float64
}

// open is a node of the best chain that another would replace at no cost.
type open struct {
	node
	stamps, chapters []int // the others: stamps for its chapter, chapters for its stamp
}

// matching is the best chain at one rate.
type matching struct {
	rate  float64
	cost  float64
	links []link
	open  []open
	// likely are the nodes that are on the best chain or nearly; kept of long lists only.
	likely []node
}

// match solves the chain at the given rate.
func (p *placer) match(nodes []node, rate float64) matching {
	pinned := make([]int, len(nodes)+1) // pins before each node
	for k, n := range nodes {
		pinned[k+1] = pinned[k]
		if n.pin >= 0 {
			pinned[k+1]++
		}
	}
	all := pinned[len(nodes)]
	skips := func(from, to int) bool { return pinned[to] > pinned[from] }
	costs := align.ChainCosts{
		Start: func(k int) float64 { return blocked(skips(0, k)) + p.opening(nodes[k], rate) },
		Node: func(k int) float64 {
			return nodes[k].price()
		},
		Step: func(k, l int) float64 {
			if skips(k+1, l) {
				return math.Inf(1)
			}
			return p.transition(&nodes[k], &nodes[l], rate)
		},
		End:   func(k int) float64 { return blocked(skips(k+1, len(nodes))) + p.closing(nodes[k], rate) },
		Empty: blocked(all > 0),
		Grid:  grid(nodes),
	}
	chain := align.Chain(len(nodes), costs)
	m := weigh(nodes, chain, rate)
	if p.long() {
		for k := range nodes {
			if chain.Forced(k) <= chain.Cost()+beyond {
				m.likely = append(m.likely, nodes[k])
			}
		}
	}
	return m
}

// leastNamed is the gain that the words of all matches add up to at the least: times
// alone connect no clocks.
const leastNamed = 1.5

// weigh turns the best chain into links, and its ties into open ones.
func weigh(nodes []node, chain *align.Chained, rate float64) matching {
	m := matching{rate: rate, cost: chain.Cost()}
	said, pinned := 0.0, false
	for _, k := range chain.Nodes() {
		said, pinned = said+max(0, nodes[k].gain), pinned || nodes[k].pin >= 0
	}
	if said < leastNamed && !pinned {
		return m
	}
	last := node{recording: math.MinInt64, video: math.MinInt64}
	for _, k := range chain.Nodes() {
		n, margin := nodes[k], chain.Margin(k)
		switch {
		case n.pin >= 0:
			m.links = append(m.links, link{n, 1})
		case !n.after(&last): // two matches beside one pin need not be in order
		case margin >= tie:
			m.links = append(m.links, link{n, weight(margin)})
			last = n
		default:
			m.open = append(m.open, rivals(nodes, chain, k))
		}
	}
	return m
}

// rivals lists what could stand in the place of node k at no cost that counts.
func rivals(nodes []node, chain *align.Chained, k int) open {
	o := open{node: nodes[k]}
	for l, other := range nodes {
		if l == k || other.pin >= 0 || chain.Forced(l) > chain.Cost()+tie {
			continue
		}
		switch {
		case other.chapter == o.chapter:
			o.stamps = append(o.stamps, other.stamp)
		case other.stamp == o.stamp:
			o.chapters = append(o.chapters, other.chapter)
		}
	}
	return o
}

// price is the cost of a match by itself.
func (n *node) price() float64 {
	cost := -matchGain - n.gain
	if n.pin >= 0 {
		return cost
	}
	if n.later {
		cost += laterRunCost
	}
	if n.nameless {
		cost += namelessCost
	}
	return cost
}

// weight is the chance that a match is right, by its margin. The curve was fitted to
// what was right in cases made for it; nothing inferred is certain.
func weight(margin float64) float64 { return .99 / (1 + math.Exp(.2-1.8*margin)) }

func blocked(yes bool) float64 {
	if yes {
		return math.Inf(1)
	}
	return 0
}

// opening is the price of n as the first match, which no time bears out: a card when
// the video is further on than the recording.
func (p *placer) opening(n node, rate float64) float64 {
	if -surplus(n.recording, n.video, rate) > agreeWithin {
		return matchGain + openingCost
	}
	return matchGain
}

// closing is the price of n as the last match.
func (p *placer) closing(n node, rate float64) float64 {
	if p.opt.VideoLength == 0 || p.opt.RecordingLength == 0 {
		return 0
	}
	if -surplus(p.opt.RecordingLength-n.recording, p.opt.VideoLength-n.video, rate) > agreeWithin {
		return openingCost
	}
	return 0
}

// transition is the price of going straight from n to m.
func (p *placer) transition(n, m *node, rate float64) float64 {
	switch {
	case n.pin >= 0 && m.pin >= 0:
		return 0 // both have to be there
	case (n.pin >= 0 || m.pin >= 0) && n.near(m):
		return scatterCost
	case !m.after(n):
		return math.Inf(1)
	}
	cost := p.misfit(n, m, rate)
	if n.rank >= 0 && m.rank >= 0 && m.rank < n.rank {
		cost += backwardCost
	}
	return cost
}

// misfit prices the difference of two distances: as one stretch kept, as a removal or
// as an insert, whichever is the likeliest. Beside a pin an insert is no rarer than a
// removal: the pin says that there is one.
func (p *placer) misfit(n, m *node, rate float64) float64 {
	gap, share := p.gap(n, m, rate)
	kept := scatterCost*share*share + passedCost*float64(max(0, m.before-n.upTo))
	switch {
	case gap > 0 || n.pin >= 0 || m.pin >= 0:
		gap = gap.Abs()
		return min(kept, removalCost+longRemoval*float64(gap)/float64(gap+longCut))
	default:
		return min(kept, insertCost+longInsert*float64(-gap)/float64(-gap+longCard))
	}
}

// gap is how much longer the way from n to m is in the recording than in the video,
// and how large that is beside what the scatter of the marks explains.
func (p *placer) gap(n, m *node, rate float64) (gap time.Duration, share float64) {
	recording, video := m.recording-n.recording, m.video-n.video
	gap = surplus(recording, video, rate)
	return gap, float64(gap.Abs()) / (p.loose * float64(tolerance(times(recording, rate), video)+n.half+m.half))
}

// usualShare is the median share of the gaps between marks that are set to about a
// second, and loosest the most that a looser hand widens the tolerance.
const (
	usualShare = 0.3
	loosest    = 6
)

// looseness is how many times the marks scatter more than hands that set them to about
// a second, by the gaps of a matching that no cut explains. It is 1 for few marks.
func (p *placer) looseness(m matching) float64 {
	var shares []float64
	for k := 1; k < len(m.links); k++ {
		if _, share := p.gap(&m.links[k-1].node, &m.links[k].node, m.rate); share < loosest {
			shares = append(shares, p.loose*share)
		}
	}
	if len(shares) < 4 {
		return 1
	}
	return min(max(1, align.Median(shares)/usualShare), loosest)
}

// rank is where a step stands in the usual order, -1 when that is not known or
// the step comes more than once.
func (p *placer) rank(step string) int {
	if p.vocab == nil || step == "" || p.vocab.MayRepeat(step) {
		return -1
	}
	return p.vocab.Rank(step)
}
