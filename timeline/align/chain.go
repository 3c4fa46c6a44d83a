package align

import (
	"math"
	"math/bits"
)

// ChainCosts prices a chain through nodes 0..n-1 that visits some of them in
// increasing order. Start(k) is the price of beginning with k, Step(k, l) of going
// from k straight to l > k, End(k) of stopping at k, and Empty of visiting none.
// Costs may be negative; +Inf forbids; NaN and -Inf panic. Every function is called
// at most once for each of its arguments.
//
// Grid bounds the steps looked at on long lists; nil looks at all.
type ChainCosts struct {
	Start func(k int) float64
	Node  func(k int) float64
	Step  func(k, l int) float64
	End   func(k int) float64
	Empty float64
	Grid  *Grid
}

// Grid gives every node a place in two lists and bounds how far a step reaches.
// X and Y have a value a node, from 0; the nodes are sorted by X and those of one X
// by Y. A step goes to a node with a greater X and a greater Y. Looked at are the
// steps over at most Reach places of either list and, for each node, one longer
// step: from the node with the cheapest chain so far of all that may come before it,
// the first of them on a tie. So the chain found is always a real one, and the
// cheapest of those built from such steps.
type Grid struct {
	X, Y  []int32
	Reach int32
}

// Chained is a solved chain problem.
type Chained struct {
	node      []float64
	prefix    []float64 // best cost of a chain up to and with k
	suffix    []float64 // best cost after k
	next      []int32   // the node that attains suffix, -1 for the end
	steps     steps
	nodes     []int
	forbidden map[int]float64 // of the nodes on the best chain
	cost      float64
}

// steps are the steps looked at: those to node l come from the nodes from[l] at the
// prices cost[l].
type steps struct {
	from [][]int32
	cost [][]float64
	// What is left of the blocks that the lists are cut from: growing one list would
	// copy it over and over.
	freeFrom []int32
	freeCost []float64
}

const block = 1 << 15

// add takes over the steps to the next node.
func (s *steps) add(from []int32, cost []float64) {
	n := len(from)
	if len(s.freeFrom) < n {
		s.freeFrom, s.freeCost = make([]int32, max(n, block)), make([]float64, max(n, block))
	}
	s.from, s.cost = append(s.from, s.freeFrom[:n:n]), append(s.cost, s.freeCost[:n:n])
	copy(s.freeFrom, from)
	copy(s.freeCost, cost)
	s.freeFrom, s.freeCost = s.freeFrom[n:], s.freeCost[n:]
}

// Chain finds the cheapest chain through n ordered nodes.
//
// Tie-break: of equally cheap chains the one that goes on rather than stops (or
// stays empty), and to the lowest node, decided from the front. Equal means equal
// as float64.
//
// Cost is O(n^2) time and memory without a Grid. With one it is O(n*d+x*y), where d
// is the number of nodes within Reach of one and x, y are the lengths of the lists.
func Chain(n int, costs ChainCosts) *Chained {
	c := &Chained{node: make([]float64, n), prefix: make([]float64, n)}
	start := make([]float64, n)
	for k := range n {
		c.node[k], start[k] = checked(costs.Node(k)), checked(costs.Start(k))
	}
	c.steps.from, c.steps.cost = make([][]int32, 0, n), make([][]float64, 0, n)
	if costs.Grid == nil {
		c.fillAll(n, start, costs.Step)
	} else {
		c.fillGrid(n, start, costs.Step, costs.Grid)
	}
	stop := c.fillSuffix(n, costs.End)
	c.finish(start, stop, checked(costs.Empty))
	return c
}

// fillAll fills the prefix costs when every earlier node may come before.
func (c *Chained) fillAll(n int, start []float64, step func(k, l int) float64) {
	all, prices := make([]int32, n), make([]float64, n*(n-1)/2)
	for l := range n {
		all[l] = int32(l)
		best := start[l]
		for k := range l {
			prices[k] = checked(step(k, l))
			best = min(best, c.prefix[k]+prices[k])
		}
		c.steps.from, c.steps.cost = append(c.steps.from, all[:l:l]), append(c.steps.cost, prices[:l:l])
		prices = prices[l:]
		c.prefix[l] = best + c.node[l]
	}
}

// fillSuffix walks the nodes from the back and offers to every node the chains that
// go on from it. stop is the price of the best chain that ends with each node.
func (c *Chained) fillSuffix(n int, end func(k int) float64) (stop []float64) {
	c.suffix, c.next, stop = make([]float64, n), make([]int32, n), make([]float64, n)
	for k := range n {
		c.suffix[k], c.next[k] = checked(end(k)), -1
		stop[k] = c.prefix[k] + c.suffix[k]
	}
	for l := n - 1; l >= 0; l-- {
		rest := c.node[l] + c.suffix[l]
		from, cost := c.steps.from[l], c.steps.cost[l]
		for x, k := range from {
			if r := cost[x] + rest; r <= c.suffix[k] {
				c.suffix[k], c.next[k] = r, int32(l)
			}
		}
	}
	return stop
}

// finish chooses the first node, follows the best chain and finds what it costs to do
// without each of its nodes.
func (c *Chained) finish(start, stop []float64, empty float64) {
	first := -1
	c.cost = empty
	for k := len(start) - 1; k >= 0; k-- {
		if whole := start[k] + c.node[k] + c.suffix[k]; whole <= c.cost && !math.IsInf(whole, 1) {
			c.cost, first = whole, k
		}
	}
	for k := first; k >= 0; k = int(c.next[k]) {
		c.nodes = append(c.nodes, k)
	}
	without := c.without(start, stop, empty)
	c.forbidden = make(map[int]float64, len(c.nodes))
	for x, k := range c.nodes {
		c.forbidden[k] = without[x]
	}
}

// without is the cost of the best chain that lacks each node of the best one. A chain
// without node k holds exactly one step (or start, or end) that jumps over k, or is
// empty.
func (c *Chained) without(start, stop []float64, empty float64) []float64 {
	m := len(c.nodes)
	out := make([]float64, m)
	rank := make([]int, len(start)+1) // how many of the chain stand before each node
	on := 0
	for k := range start {
		rank[k] = on
		if on < m && c.nodes[on] == k {
			on++
		}
	}
	rank[len(start)] = on
	least := empty // the cheapest that ends before, walking up
	for x, k := range c.nodes {
		from := 0
		if x > 0 {
			from = c.nodes[x-1]
		}
		for ; from < k; from++ {
			least = min(least, stop[from])
		}
		out[x] = least
	}
	least = math.Inf(1) // the cheapest that starts behind, walking down
	for x, l := m-1, len(start)-1; x >= 0; x-- {
		for ; l > c.nodes[x]; l-- {
			least = min(least, start[l]+c.node[l]+c.suffix[l])
		}
		out[x] = min(out[x], least)
	}
	over := newRanges(m)
	for l := range start {
		rest := c.node[l] + c.suffix[l]
		from, cost := c.steps.from[l], c.steps.cost[l]
		for y, k := range from {
			low := rank[k+1]
			if low >= rank[l] {
				continue
			}
			over.lower(low, rank[l], c.prefix[k]+cost[y]+rest)
		}
	}
	for x, least := range over.least() {
		out[x] = min(out[x], least)
	}
	return out
}

// ranges takes lower bounds on ranges of places and gives the least that was put on
// each. levels[k][x] holds for the 2^k places from x, so that any range is two of them.
type ranges struct{ levels [][]float64 }

func newRanges(n int) ranges {
	var r ranges
	for size := 1; size <= n; size *= 2 {
		r.levels = append(r.levels, infs(n))
	}
	return r
}

// lower puts v on the places [from, to), of which there is at least one.
func (r ranges) lower(from, to int, v float64) {
	k := bits.Len(uint(to-from)) - 1
	level := r.levels[k]
	level[from] = min(level[from], v)
	level[to-1<<k] = min(level[to-1<<k], v)
}

func (r ranges) least() []float64 {
	if len(r.levels) == 0 {
		return nil
	}
	for k := len(r.levels) - 1; k > 0; k-- {
		half := 1 << (k - 1)
		for x, v := range r.levels[k][:len(r.levels[k])-2*half+1] {
			below := r.levels[k-1]
			below[x], below[x+half] = min(below[x], v), min(below[x+half], v)
		}
	}
	return r.levels[0]
}

// Cost is the cost of the best chain, +Inf when every chain is forbidden.
func (c *Chained) Cost() float64 { return c.cost }

// Nodes is the best chain, increasing; nil when the empty chain is best or every
// chain is forbidden. The slice is the solution's own.
func (c *Chained) Nodes() []int { return c.nodes }

// Forced is the cost of the best chain through node k.
func (c *Chained) Forced(k int) float64 { return c.prefix[k] + c.suffix[k] }

// Forbidden is the cost of the best chain that does not visit node k.
func (c *Chained) Forbidden(k int) float64 {
	if without, on := c.forbidden[k]; on {
		return without
	}
	return c.cost
}

// Margin is Forbidden less Forced, as in [Table.Margin].
func (c *Chained) Margin(k int) float64 { return c.Forbidden(k) - c.Forced(k) }
