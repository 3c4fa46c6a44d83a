package align

import "math"

// ChainCosts prices a chain through nodes 0..n-1 that visits some of them in
// increasing order. Start(k) is the price of beginning with k, Step(k, l) of going
// from k straight to l > k, End(k) of stopping at k, and Empty of visiting none.
// Costs may be negative; +Inf forbids; NaN and -Inf panic. Step is called twice a
// pair and has to answer the same both times.
//
// Window bounds l-k of a step; 0 means no bound. It trades exactness for time on
// very long lists only.
type ChainCosts struct {
	Start  func(k int) float64
	Node   func(k int) float64
	Step   func(k, l int) float64
	End    func(k int) float64
	Empty  float64
	Window int
}

// Chained is a solved chain problem.
type Chained struct {
	empty     float64
	node      []float64
	start     []float64
	prefix    []float64 // best cost of a chain up to and with k
	suffix    []float64 // best cost after k
	next      []int     // the node that attains suffix, -1 for the end
	stop      []float64 // best cost of a chain that stops at k
	forbidden []float64
	first     int
	cost      float64
}

// Chain finds the cheapest chain through n ordered nodes.
//
// Tie-break: of equally cheap chains the one that goes on rather than stops (or
// stays empty), and to the lowest node, decided from the front. Equal means equal
// as float64.
//
// Cost is O(n*min(n, Window)) time and O(n) memory.
func Chain(n int, costs ChainCosts) *Chained {
	c := &Chained{
		empty: checked(costs.Empty),
		node:  make([]float64, n), start: make([]float64, n), prefix: make([]float64, n),
		suffix: make([]float64, n), next: make([]int, n), stop: make([]float64, n), forbidden: infs(n),
	}
	window := costs.Window
	if window <= 0 {
		window = n
	}
	for l := range n {
		c.node[l], c.start[l] = checked(costs.Node(l)), checked(costs.Start(l))
		best := c.start[l]
		for k := max(0, l-window); k < l; k++ {
			best = min(best, c.prefix[k]+checked(costs.Step(k, l)))
		}
		c.prefix[l] = best + c.node[l]
	}
	c.fillSuffix(n, window, costs)
	c.finish(n)
	return c
}

// fillSuffix walks the nodes from the back. A chain without node k holds exactly
// one step (or start, or end) that jumps over k, so the cheapest way through each
// step is offered to all nodes it jumps over, as a running minimum.
func (c *Chained) fillSuffix(n, window int, costs ChainCosts) {
	for k := n - 1; k >= 0; k-- {
		best, next := checked(costs.End(k)), -1
		c.stop[k] = c.prefix[k] + best
		over := math.Inf(1)
		for l := min(n-1, k+window); l > k; l-- {
			step := checked(costs.Step(k, l))
			rest := step + c.node[l] + c.suffix[l]
			if rest <= best {
				best, next = rest, l
			}
			over = min(over, c.prefix[k]+rest)
			if l-1 > k {
				c.forbidden[l-1] = min(c.forbidden[l-1], over)
			}
		}
		c.suffix[k], c.next[k] = best, next
	}
}

// finish chooses the first node and spreads what starts, ends and the empty chain
// jump over.
func (c *Chained) finish(n int) {
	c.cost, c.first = c.empty, -1
	over := c.empty
	for k := n - 1; k >= 0; k-- {
		c.forbidden[k] = min(c.forbidden[k], over)
		whole := c.start[k] + c.node[k] + c.suffix[k]
		over = min(over, whole)
		if whole <= c.cost && !math.IsInf(whole, 1) {
			c.cost, c.first = whole, k
		}
	}
	over = math.Inf(1)
	for k := range n {
		c.forbidden[k] = min(c.forbidden[k], over)
		over = min(over, c.stop[k])
	}
}

// Cost is the cost of the best chain, +Inf when every chain is forbidden.
func (c *Chained) Cost() float64 { return c.cost }

// Nodes is the best chain, increasing; nil when the empty chain is best or every
// chain is forbidden.
func (c *Chained) Nodes() []int {
	var out []int
	for k := c.first; k >= 0; k = c.next[k] {
		out = append(out, k)
	}
	return out
}

// Forced is the cost of the best chain through node k.
func (c *Chained) Forced(k int) float64 { return c.prefix[k] + c.suffix[k] }

// Forbidden is the cost of the best chain that does not visit node k.
func (c *Chained) Forbidden(k int) float64 { return c.forbidden[k] }

// Margin is Forbidden less Forced, as in [Table.Margin].
func (c *Chained) Margin(k int) float64 { return c.forbidden[k] - c.Forced(k) }
