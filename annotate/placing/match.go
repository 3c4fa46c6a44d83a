package placing

import (
	"math"
	"time"

	"sideport/timeline/align"
)

// The prices of the chain, in units of half a match of sure labels. Our own choice.
// A match earns matchWorth times its likeness. A removal is common and cheap. An
// insert is rare: with the removal that a wrong match brings beside it, it is worth
// a little more than the match, so that one wrong match among right ones does not
// pay, and a real card before a last chapter still does.
const (
	matchWorth   = 2.0
	scatterCost  = 0.15 // gaps that just agree; less, by the square, when they agree better
	removalCost  = 0.25 // on top of scatterCost
	insertCost   = 1.2  // on top of scatterCost
	longInsert   = 0.65 // on top of both, for an insert far longer than longCard
	openingCost  = 0.2  // a card before the first match or after the last
	backwardCost = 0.15 // the second of two steps comes earlier in the usual order
	laterRunCost = 0.25 // a stamp that goes on with a step against a chapter that begins one
	frameCost    = 1.0  // a speed other than 1
)

const longCard = 20 * time.Second

// tie is the least margin that counts as a decision.
const tie = 0.05

// surely is the margin at which a match counts as all but decided.
const surely = 1.0

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
			if nodes[k].later {
				return laterRunCost - matchWorth*nodes[k].like
			}
			return -matchWorth * nodes[k].like
		},
		Step: func(k, l int) float64 {
			if skips(k+1, l) {
				return math.Inf(1)
			}
			return transition(&nodes[k], &nodes[l], rate)
		},
		End:   func(k int) float64 { return blocked(skips(k+1, len(nodes))) + p.closing(nodes[k], rate) },
		Empty: blocked(all > 0),
		Grid:  grid(nodes),
	}
	chain := align.Chain(len(nodes), costs)
	return weigh(nodes, chain, rate)
}

// weigh turns the best chain into links, and its ties into open ones.
func weigh(nodes []node, chain *align.Chained, rate float64) matching {
	m := matching{rate: rate, cost: chain.Cost()}
	last := node{recording: math.MinInt64, video: math.MinInt64}
	for _, k := range chain.Nodes() {
		n, margin := nodes[k], chain.Margin(k)
		switch {
		case n.pin >= 0:
			m.links = append(m.links, link{n, 1})
		case !n.after(&last): // two matches beside one pin need not be in order
		case margin >= tie:
			m.links = append(m.links, link{n, n.like * weight(margin)})
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

// weight grows from 0 at no margin to 94 % at surely and 99 % at most: nothing
// inferred is certain.
func weight(margin float64) float64 { return .99 * (1 - math.Exp(-3*margin/surely)) }

func blocked(yes bool) float64 {
	if yes {
		return math.Inf(1)
	}
	return 0
}

// opening is the price of n as the first match: a card when the video is further
// on than the recording.
func (p *placer) opening(n node, rate float64) float64 {
	if -surplus(n.recording, n.video, rate) > agreeWithin {
		return openingCost
	}
	return 0
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
func transition(n, m *node, rate float64) float64 {
	switch {
	case n.pin >= 0 && m.pin >= 0:
		return 0 // both have to be there
	case (n.pin >= 0 || m.pin >= 0) && n.near(m):
		return scatterCost
	case !m.after(n):
		return math.Inf(1)
	}
	cost := misfit(m.recording-n.recording, m.video-n.video, rate)
	if n.rank >= 0 && m.rank >= 0 && m.rank < n.rank {
		cost += backwardCost
	}
	return cost
}

// misfit prices the difference of two distances: a continuous curve that grows by
// the square while they agree and levels off beyond.
func misfit(recording, video time.Duration, rate float64) float64 {
	gap := surplus(recording, video, rate)
	allowed := tolerance(times(recording, rate), video)
	share := float64(gap.Abs()) / float64(allowed)
	if share <= 1 {
		return scatterCost * share * share
	}
	beyond := 1 - 1/(share*share) // 0 where the gaps just agree, towards 1 from there on
	if gap > 0 {
		return scatterCost + removalCost*beyond
	}
	over := float64(gap.Abs() - allowed)
	return scatterCost + insertCost*beyond + longInsert*over/(over+float64(longCard))
}

// rank is where a step stands in the usual order, -1 when that is not known or
// the step comes more than once.
func (p *placer) rank(step string) int {
	if p.vocab == nil || step == "" || p.vocab.MayRepeat(step) {
		return -1
	}
	return p.vocab.Rank(step)
}
