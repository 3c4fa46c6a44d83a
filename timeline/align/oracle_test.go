package align_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"sideport/timeline/align"
)

// validate fails when ops is no alignment of nx and ny elements, and returns its
// cost by adding the operations up again.
func validate(t *testing.T, ops align.Ops, nx, ny int, c align.Costs) float64 {
	t.Helper()
	i, j, sum := 0, 0, 0.0
	for _, op := range ops {
		switch op {
		case align.Pair:
			if i < nx && j < ny {
				sum += c.Pair(i, j)
			}
			i, j = i+1, j+1
		case align.SkipX:
			if i < nx {
				sum += c.SkipX(i)
			}
			i++
		case align.SkipY:
			if j < ny {
				sum += c.SkipY(j)
			}
			j++
		default:
			t.Fatalf("op %q", op)
		}
	}
	if i != nx || j != ny {
		t.Fatalf("ops %s take %d and %d elements, want %d and %d", ops, i, j, nx, ny)
	}
	return sum
}

// everyAlignment calls f with each alignment of nx and ny elements, in the order
// of the documented tie-break.
func everyAlignment(nx, ny int, f func(align.Ops)) {
	var walk func(i, j int, ops align.Ops)
	walk = func(i, j int, ops align.Ops) {
		if i == nx && j == ny {
			f(ops)
			return
		}
		if i < nx && j < ny {
			walk(i+1, j+1, append(ops, align.Pair))
		}
		if i < nx {
			walk(i+1, j, append(ops, align.SkipX))
		}
		if j < ny {
			walk(i, j+1, append(ops, align.SkipY))
		}
	}
	walk(0, 0, make(align.Ops, 0, nx+ny))
}

// randomCosts are multiples of 1/8, so that sums are exact and ties are common.
// One pair in eight is forbidden.
func randomCosts(r *rand.Rand, nx, ny int) align.Costs {
	eighth := func(n int) float64 { return float64(r.IntN(2*n)-n) / 8 }
	pair := make([][]float64, nx)
	x, y := make([]float64, nx), make([]float64, ny)
	for i := range pair {
		pair[i] = make([]float64, ny)
		for j := range pair[i] {
			pair[i][j] = eighth(8)
			if r.IntN(8) == 0 {
				pair[i][j] = math.Inf(1)
			}
		}
		x[i] = eighth(4)
	}
	for j := range y {
		y[j] = eighth(4)
	}
	return align.Costs{
		Pair:  func(i, j int) float64 { return pair[i][j] },
		SkipX: func(i int) float64 { return x[i] },
		SkipY: func(j int) float64 { return y[j] },
	}
}

func swap(c align.Costs) align.Costs {
	return align.Costs{
		Pair:  func(i, j int) float64 { return c.Pair(j, i) },
		SkipX: c.SkipY, SkipY: c.SkipX,
	}
}

func TestAlignIsTheBruteForceOptimum(t *testing.T) {
	const seed = 11
	r := rand.New(rand.NewPCG(seed, 0))
	for round := range 120 {
		nx, ny := r.IntN(7), r.IntN(7)
		if nx*ny > 25 && round%8 != 0 {
			nx = 3 // the large ones are slow to enumerate: some are enough
		}
		c := randomCosts(r, nx, ny)
		checkAgainstOracle(t, nx, ny, c)
		checkAgainstOracle(t, ny, nx, swap(c))
		if a, b := align.Align(nx, ny, c).Cost(), align.Align(ny, nx, swap(c)).Cost(); a != b {
			t.Fatalf("seed %d round %d: cost %v, with the lists exchanged %v", seed, round, a, b)
		}
	}
}

func checkAgainstOracle(t *testing.T, nx, ny int, c align.Costs) {
	t.Helper()
	best, first := math.Inf(1), ""
	with, without := map[[2]int]float64{}, map[[2]int]float64{}
	for i := range nx {
		for j := range ny {
			with[[2]int{i, j}], without[[2]int{i, j}] = math.Inf(1), math.Inf(1)
		}
	}
	everyAlignment(nx, ny, func(ops align.Ops) {
		cost := validate(t, ops, nx, ny, c)
		if cost < best {
			best, first = cost, ops.String()
		}
		held := map[[2]int]bool{}
		for _, p := range ops.Pairs() {
			held[p] = true
		}
		for p := range with {
			if held[p] {
				with[p] = min(with[p], cost)
			} else {
				without[p] = min(without[p], cost)
			}
		}
	})
	table := align.Align(nx, ny, c)
	if got := validate(t, table.Ops(), nx, ny, c); got != best || table.Cost() != best {
		t.Fatalf("Align(%d, %d) costs %v, its Cost says %v, want %v", nx, ny, got, table.Cost(), best)
	}
	if got := table.Ops().String(); got != first {
		t.Fatalf("Align(%d, %d) = %s, want the first of the best, %s", nx, ny, got, first)
	}
	for p, want := range with {
		if got := table.Forced(p[0], p[1]); got != want {
			t.Fatalf("Forced(%d, %d) = %v, want %v", p[0], p[1], got, want)
		}
		if got := table.Forbidden(p[0], p[1]); got != without[p] {
			t.Fatalf("Forbidden(%d, %d) = %v, want %v", p[0], p[1], got, without[p])
		}
	}
}

func TestChainIsTheBruteForceOptimum(t *testing.T) {
	const seed = 12
	r := rand.New(rand.NewPCG(seed, 0))
	for round := range 400 {
		n := r.IntN(9)
		c := randomChain(r, n)
		checkChain(t, seed, round, n, c, c)
	}
}

// With a Grid the chain is the best of those whose steps the Grid's doc names. The
// reference finds those steps anew, one pair of nodes at a time.
func TestChainOnAGridIsTheBruteForceOptimumOfItsSteps(t *testing.T) {
	const seed = 13
	r := rand.New(rand.NewPCG(seed, 0))
	for round := range 600 {
		var g align.Grid
		for x := range int32(4) {
			for y := range int32(4) {
				if r.IntN(2) == 0 && len(g.X) < 9 {
					g.X, g.Y = append(g.X, x), append(g.Y, y)
				}
			}
		}
		n := len(g.X)
		g.Reach = int32(1 + r.IntN(4))
		c := randomChain(r, n)
		limited := c
		limited.Step = limitedSteps(n, c, g)
		c.Grid = &g
		checkChain(t, seed, round, n, c, limited)
	}
}

func limitedSteps(n int, c align.ChainCosts, g align.Grid) func(k, l int) float64 {
	allowed := map[[2]int]bool{}
	prefix := make([]float64, n)
	for l := range n {
		leader := -1
		for k := range l {
			if g.X[k] >= g.X[l] || g.Y[k] >= g.Y[l] {
				continue
			}
			if g.X[l]-g.X[k] <= g.Reach && g.Y[l]-g.Y[k] <= g.Reach {
				allowed[[2]int{k, l}] = true
			}
			if !math.IsInf(prefix[k], 1) && (leader < 0 || prefix[k] < prefix[leader]) {
				leader = k
			}
		}
		if leader >= 0 {
			allowed[[2]int{leader, l}] = true
		}
		prefix[l] = c.Start(l)
		for k := range l {
			if allowed[[2]int{k, l}] {
				prefix[l] = min(prefix[l], prefix[k]+c.Step(k, l))
			}
		}
		prefix[l] += c.Node(l)
	}
	return func(k, l int) float64 {
		if !allowed[[2]int{k, l}] {
			return math.Inf(1)
		}
		return c.Step(k, l)
	}
}

// checkChain solves the chain with costs c and compares it with every subset of the
// nodes priced by reference.
func checkChain(t *testing.T, seed, round, n int, c, reference align.ChainCosts) {
	t.Helper()
	best, first := c.Empty, []int(nil)
	with, without := fill(n, math.Inf(1)), fill(n, c.Empty)
	for set := 1; set < 1<<n; set++ {
		cost, nodes := chainCost(set, n, reference)
		if cost < best || cost == best && !math.IsInf(cost, 1) && before(nodes, first) {
			best, first = cost, nodes
		}
		for k := range n {
			if set>>k&1 == 1 {
				with[k] = min(with[k], cost)
			} else {
				without[k] = min(without[k], cost)
			}
		}
	}
	got := align.Chain(n, c)
	if got.Cost() != best || !equal(got.Nodes(), first) {
		t.Fatalf("seed %d round %d: Chain(%d) = %v at %v, want %v at %v", seed, round, n, got.Nodes(), got.Cost(), first, best)
	}
	for k := range n {
		if got.Forced(k) != with[k] || got.Forbidden(k) != without[k] {
			t.Fatalf("seed %d round %d: node %d forced %v forbidden %v, want %v and %v",
				seed, round, k, got.Forced(k), got.Forbidden(k), with[k], without[k])
		}
	}
}

func randomChain(r *rand.Rand, n int) align.ChainCosts {
	cost := func() float64 {
		if r.IntN(10) == 0 {
			return math.Inf(1)
		}
		return float64(r.IntN(33)-16) / 8
	}
	start, node, end := make([]float64, n), make([]float64, n), make([]float64, n)
	step := make([][]float64, n)
	for k := range n {
		start[k], node[k], end[k], step[k] = cost(), cost(), cost(), make([]float64, n)
		for l := range n {
			step[k][l] = cost()
		}
	}
	return align.ChainCosts{
		Start: func(k int) float64 { return start[k] },
		Node:  func(k int) float64 { return node[k] },
		Step:  func(k, l int) float64 { return step[k][l] },
		End:   func(k int) float64 { return end[k] },
		Empty: cost(),
	}
}

func chainCost(set, n int, c align.ChainCosts) (float64, []int) {
	var nodes []int
	cost := 0.0
	for k := range n {
		if set>>k&1 == 0 {
			continue
		}
		switch last := len(nodes) - 1; {
		case last < 0:
			cost = c.Start(k)
		default:
			cost += c.Step(nodes[last], k)
		}
		cost += c.Node(k)
		nodes = append(nodes, k)
	}
	return cost + c.End(nodes[len(nodes)-1]), nodes
}

// before is the documented tie-break: the lower node first, going on before
// stopping.
func before(a, b []int) bool {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return a[i] < b[i]
		}
	}
	return len(a) > len(b)
}

func fill(n int, v float64) []float64 {
	s := make([]float64, n)
	for i := range s {
		s[i] = v
	}
	return s
}

func equal(a, b []int) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
