package align

import (
	"fmt"
	"math"
	"strings"
)

// Costs prices an alignment by the indices of the elements. A cost may be
// negative; +Inf forbids the operation. NaN and -Inf are programmer errors and
// panic. Every function is called once for each of its arguments.
type Costs struct {
	Pair  func(i, j int) float64
	SkipX func(i int) float64
	SkipY func(j int) float64
}

// Table holds the cheapest cost of every prefix and every suffix of an alignment.
type Table struct {
	nx, ny       int
	pair         []float64 // nx*ny
	skipX        []float64
	skipY        []float64
	prefix       []float64 // (nx+1)*(ny+1): best cost up to (i, j)
	suffix       []float64 // (nx+1)*(ny+1): best cost from (i, j) on
	step         []Op      // the choice that attains suffix
	crossNode    []float64 // by anti-diagonal d: cheapest way through a point with i+j == d
	jump, second []float64 // by d: cheapest and next cheapest way through a pair that starts on d
	jumpAt       []int     // i of the pair that attains jump
}

// Align solves the strictly monotone matching of lists of nx and ny elements:
// each element is matched with at most one of the other list, matches do not
// cross, and the sum of pair and skip costs is least.
//
// Tie-break: of equally cheap alignments the one that comes first when compared
// operation by operation from the start, with Pair before SkipX before SkipY.
// Equal means equal as float64, so costs that are multiples of a power of two tie
// exactly and others may differ in the last bit.
//
// Cost is O(nx*ny) time and memory, margins included.
func Align(nx, ny int, costs Costs) *Table {
	t := &Table{
		nx: nx, ny: ny,
		pair: make([]float64, nx*ny), skipX: make([]float64, nx), skipY: make([]float64, ny),
		prefix: make([]float64, (nx+1)*(ny+1)), suffix: make([]float64, (nx+1)*(ny+1)),
		step: make([]Op, (nx+1)*(ny+1)),
	}
	for i := range nx {
		t.skipX[i] = checked(costs.SkipX(i))
		for j := range ny {
			t.pair[i*ny+j] = checked(costs.Pair(i, j))
		}
	}
	for j := range ny {
		t.skipY[j] = checked(costs.SkipY(j))
	}
	t.fillPrefix()
	t.fillSuffix()
	t.fillCrossings()
	return t
}

func checked(c float64) float64 {
	if math.IsNaN(c) || math.IsInf(c, -1) {
		panic(fmt.Sprintf("align: cost %v", c))
	}
	return c
}

func (t *Table) at(i, j int) int { return i*(t.ny+1) + j }

func (t *Table) fillPrefix() {
	for i := 0; i <= t.nx; i++ {
		for j := 0; j <= t.ny; j++ {
			if i == 0 && j == 0 {
				continue
			}
			best := math.Inf(1)
			if i > 0 && j > 0 {
				best = t.prefix[t.at(i-1, j-1)] + t.pair[(i-1)*t.ny+j-1]
			}
			if i > 0 {
				best = min(best, t.prefix[t.at(i-1, j)]+t.skipX[i-1])
			}
			if j > 0 {
				best = min(best, t.prefix[t.at(i, j-1)]+t.skipY[j-1])
			}
			t.prefix[t.at(i, j)] = best
		}
	}
}

func (t *Table) fillSuffix() {
	for i := t.nx; i >= 0; i-- {
		for j := t.ny; j >= 0; j-- {
			if i == t.nx && j == t.ny {
				continue
			}
			best, op := math.Inf(1), Op(0)
			if i < t.nx && j < t.ny {
				best, op = t.suffix[t.at(i+1, j+1)]+t.pair[i*t.ny+j], Pair
			}
			if i < t.nx {
				if c := t.suffix[t.at(i+1, j)] + t.skipX[i]; op == 0 || c < best {
					best, op = c, SkipX
				}
			}
			if j < t.ny {
				if c := t.suffix[t.at(i, j+1)] + t.skipY[j]; op == 0 || c < best {
					best, op = c, SkipY
				}
			}
			t.suffix[t.at(i, j)], t.step[t.at(i, j)] = best, op
		}
	}
}

// fillCrossings prepares Forbidden. A path from the first corner to the last
// passes the anti-diagonal i+j == d+1 either at a point of it or on a pair that
// starts at i+j == d; so the cheapest path without one such pair is the cheapest
// of the points and of the other pairs.
func (t *Table) fillCrossings() {
	n := t.nx + t.ny + 1
	t.crossNode, t.jump, t.second = infs(n), infs(n), infs(n)
	t.jumpAt = make([]int, n)
	for i := 0; i <= t.nx; i++ {
		for j := 0; j <= t.ny; j++ {
			d := i + j
			t.crossNode[d] = min(t.crossNode[d], t.prefix[t.at(i, j)]+t.suffix[t.at(i, j)])
			if i == t.nx || j == t.ny {
				continue
			}
			switch c := t.Forced(i, j); {
			case c < t.jump[d]:
				t.second[d], t.jump[d], t.jumpAt[d] = t.jump[d], c, i
			case c < t.second[d]:
				t.second[d] = c
			}
		}
	}
}

func infs(n int) []float64 {
	s := make([]float64, n)
	for i := range s {
		s[i] = math.Inf(1)
	}
	return s
}

// Cost is the cost of the best alignment, +Inf when every alignment is forbidden.
func (t *Table) Cost() float64 { return t.suffix[0] }

// Ops is the best alignment, nil when every alignment is forbidden.
func (t *Table) Ops() Ops {
	if math.IsInf(t.Cost(), 1) {
		return nil
	}
	ops := make(Ops, 0, t.nx+t.ny)
	for i, j := 0, 0; i < t.nx || j < t.ny; {
		op := t.step[t.at(i, j)]
		ops = append(ops, op)
		if op != SkipY {
			i++
		}
		if op != SkipX {
			j++
		}
	}
	return ops
}

// Forced is the cost of the best alignment that matches i with j.
func (t *Table) Forced(i, j int) float64 {
	return t.prefix[t.at(i, j)] + t.pair[i*t.ny+j] + t.suffix[t.at(i+1, j+1)]
}

// Forbidden is the cost of the best alignment that does not match i with j.
func (t *Table) Forbidden(i, j int) float64 {
	d := i + j
	other := t.jump[d]
	if t.jumpAt[d] == i {
		other = t.second[d]
	}
	return min(t.crossNode[d+1], other)
}

// Margin is Forbidden less Forced: how much dearer the list gets without the
// match. It is above 0 when every best alignment holds the match, 0 (but for
// rounding) when only some do, and below 0 when none does. Where neither is
// possible it is NaN.
func (t *Table) Margin(i, j int) float64 { return t.Forbidden(i, j) - t.Forced(i, j) }

// String draws the matrix of prefix costs, X down and Y across, for debugging.
func (t *Table) String() string {
	var b strings.Builder
	for i := 0; i <= t.nx; i++ {
		for j := 0; j <= t.ny; j++ {
			fmt.Fprintf(&b, "%8.4g", t.prefix[t.at(i, j)])
		}
		b.WriteByte('\n')
	}
	return b.String()
}
