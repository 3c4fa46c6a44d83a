package align

import "math"

// row is the nodes of one X, [from, to).
type row struct{ from, to int }

// fillGrid fills the prefix costs for the steps that a Grid leaves. A row is filled
// at once: what stands in it cannot come before one another.
func (c *Chained) fillGrid(n int, start []float64, step func(k, l int) float64, g *Grid) {
	if len(g.X) != n || len(g.Y) != n {
		panic("align: a Grid with another number of nodes")
	}
	lead := newLeaders(g, n)
	var rows []row
	for from := 0; from < n; {
		to := from
		for to < n && g.X[to] == g.X[from] {
			to++
		}
		c.fillRow(row{from, to}, rows, start, step, g, lead)
		rows = append(rows, row{from, to})
		lead.add(c.prefix, g, row{from, to})
		from = to
	}
}

// fillRow fills one row from the rows within reach. In each of them a window of Y
// moves along with the nodes of the row.
func (c *Chained) fillRow(r row, rows []row, start []float64, step func(k, l int) float64, g *Grid, lead *leaders) {
	near := rows
	for len(near) > 0 && g.X[r.from]-g.X[near[0].from] > g.Reach {
		near = near[1:]
	}
	window := make([]row, len(near))
	for x := range near {
		window[x] = row{near[x].from, near[x].from}
	}
	var from []int32
	var cost []float64
	for l := r.from; l < r.to; l++ {
		best := start[l]
		from, cost = from[:0], cost[:0]
		take := func(k int) {
			s := checked(step(k, l))
			from, cost = append(from, int32(k)), append(cost, s)
			best = min(best, c.prefix[k]+s)
		}
		if k := lead.before(g.Y[l]); k >= 0 && (g.X[l]-g.X[k] > g.Reach || g.Y[l]-g.Y[k] > g.Reach) {
			take(k)
		}
		for x := range near {
			w := &window[x]
			for w.from < near[x].to && g.Y[w.from] < g.Y[l]-g.Reach {
				w.from++
			}
			for w.to < near[x].to && g.Y[w.to] < g.Y[l] {
				w.to++
			}
			for k := w.from; k < w.to; k++ {
				take(k)
			}
		}
		c.steps.add(from, cost)
		c.prefix[l] = best + c.node[l]
	}
}

// leaders answers which node below a Y has the cheapest chain so far.
type leaders struct {
	at []int32 // by Y: the node with that Y and the cheapest chain, -1 for none
	up []int32 // by Y: the cheapest of at[:Y]
}

func newLeaders(g *Grid, n int) *leaders {
	most := int32(-1)
	for k := range n {
		most = max(most, g.Y[k])
	}
	l := &leaders{at: make([]int32, most+1), up: make([]int32, most+2)}
	for y := range l.at {
		l.at[y] = -1
	}
	for y := range l.up {
		l.up[y] = -1
	}
	return l
}

func (l *leaders) before(y int32) int { return int(l.up[y]) }

// add takes in a row that is filled.
func (l *leaders) add(prefix []float64, g *Grid, r row) {
	cheaper := func(a, b int32) bool {
		if a < 0 || math.IsInf(prefix[a], 1) {
			return false
		}
		return b < 0 || prefix[a] < prefix[b] || prefix[a] == prefix[b] && a < b
	}
	lowest := int32(len(l.at))
	for k := r.from; k < r.to; k++ {
		if y := g.Y[k]; cheaper(int32(k), l.at[y]) {
			l.at[y], lowest = int32(k), min(lowest, y)
		}
	}
	for y := lowest; int(y) < len(l.at); y++ {
		l.up[y+1] = l.up[y]
		if cheaper(l.at[y], l.up[y]) {
			l.up[y+1] = l.at[y]
		}
	}
}
