package agreement_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"sideport/annotate/agreement"
	"sideport/timeline"

	"github.com/google/go-cmp/cmp"
)

// The second implementation of every figure: from the definitions, on arrays of
// one name a second, with none of the package's code.

func frames(list []agreement.Segment, n int) []string {
	out := make([]string, n)
	for i := range out {
		for _, s := range list {
			if at := time.Duration(i) * time.Second; s.From <= at && at < s.To {
				out[i] = s.Label
			}
		}
	}
	return out
}

type stretch struct {
	name     string
	from, to int
}

func stretches(f []string) []stretch {
	var out []stretch
	for i, name := range f {
		if i > 0 && f[i-1] == name {
			out[len(out)-1].to++
			continue
		}
		out = append(out, stretch{name, i, i + 1})
	}
	return slices.DeleteFunc(out, func(s stretch) bool { return s.name == "" })
}

func slowKappa(a, b []string) (observed, kappa float64) {
	n := float64(len(a))
	expected := 0.0
	for i := range a {
		if a[i] == b[i] {
			observed += 1 / n
		}
		for j := range b { // the chance that two seconds drawn apart bear one name
			if a[i] == b[j] {
				expected += 1 / (n * n)
			}
		}
	}
	return observed, (observed - expected) / (1 - expected)
}

func slowFound(a, b []stretch, least int) agreement.Found {
	used := make([]bool, len(b))
	var out agreement.Found
	for _, p := range a {
		best, at := 0.0, -1
		for j, t := range b {
			both := max(0, min(p.to, t.to)-max(p.from, t.from))
			if share := float64(both) / float64(max(p.to, t.to)-min(p.from, t.from)); p.name == t.name && share > best {
				best, at = share, j
			}
		}
		if at >= 0 && best >= float64(least)/100-1e-12 && !used[at] {
			used[at] = true
			out.Hits++
		} else {
			out.Extra++
		}
	}
	for _, u := range used {
		if !u {
			out.Missed++
		}
	}
	return out
}

func slowEdit(a, b []stretch) int {
	if len(a) == 0 || len(b) == 0 {
		return len(a) + len(b)
	}
	same := slowEdit(a[1:], b[1:])
	if a[0].name != b[0].name {
		same++
	}
	return min(same, slowEdit(a[1:], b)+1, slowEdit(a, b[1:])+1)
}

// slowMatch tries every way to give each of the shorter list one of the longer.
func slowMatch(short, long []time.Duration) time.Duration {
	if len(short) == 0 {
		return 0
	}
	best := time.Duration(math.MaxInt64)
	for j := range long {
		rest := slices.Delete(slices.Clone(long), j, j+1)
		best = min(best, (short[0]-long[j]).Abs()+slowMatch(short[1:], rest))
	}
	return best
}

// random is a row of up to n stretches of few names, some of them without one.
func random(r *rand.Rand, n int) []agreement.Segment {
	var parts []any
	for range r.IntN(n + 1) {
		parts = append(parts, []string{"A", "B", "C", "-"}[r.IntN(4)], 1+r.IntN(6))
	}
	return row(parts...)
}

func end(lists ...[]agreement.Segment) int {
	n := 1
	for _, l := range lists {
		if len(l) > 0 {
			n = max(n, int(l[len(l)-1].To/time.Second))
		}
	}
	return n
}

func TestFiguresAgreeWithTheDefinitions(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 0))
	undefined := 0
	for range 4000 {
		a, b := random(r, 6), random(r, 6)
		n := end(a, b)
		fa, fb := frames(a, n), frames(b, n)
		sa, sb := stretches(fa), stretches(fb)
		c := agreement.Bins(a, b, span(0, n), time.Second)
		observed, _ := c.Observed()
		kappa, ok := c.Kappa()
		wantO, wantK := slowKappa(fa, fb)
		one := len(slices.Compact(slices.Sorted(slices.Values(slices.Concat(fa, fb))))) == 1
		if ok == one || math.Abs(observed-wantO) > 1e-9 || ok && math.Abs(kappa-wantK) > 1e-9 {
			t.Fatalf("%v\n%v: observed %v, kappa %v %t, want %v, %v", a, b, observed, kappa, ok, wantO, wantK)
		}
		if one {
			undefined++
		}
		for _, least := range []int{1, 10, 25, 50, 75, 100} {
			want := agreement.Overlap{Least: least, First: slowFound(sa, sb, least), Second: slowFound(sb, sa, least)}
			if diff := cmp.Diff(want, agreement.F1(a, b, least)); diff != "" {
				t.Fatalf("%v\n%v: F1 at %d %% (-want +got):\n%s", a, b, least, diff)
			}
		}
		want := 100.0
		if m := max(len(sa), len(sb)); m > 0 {
			want = 100 * (1 - float64(slowEdit(sa, sb))/float64(m))
		}
		if got := agreement.Edit(a, b); math.Abs(got-want) > 1e-9 {
			t.Fatalf("%v\n%v: Edit = %v, want %v", a, b, got, want)
		}
	}
	if undefined == 0 {
		t.Error("no pair of rows without a kappa was drawn; the test looks at less than it says")
	}
}

func moments(r *rand.Rand, n int) []time.Duration {
	out := make([]time.Duration, n)
	for i := range out {
		out[i] = time.Duration(r.IntN(30)) * time.Second
	}
	slices.Sort(out)
	return out
}

// Also over pairs that cross: none of them is shorter than the best in order.
func TestMatchIsTheShortest(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 0))
	for range 2000 {
		a, b := moments(r, r.IntN(6)), moments(r, r.IntN(6))
		pairs := agreement.Match(a, b)
		if len(pairs) != min(len(a), len(b)) {
			t.Fatalf("Match(%v, %v) = %v, want as many pairs as the shorter has", a, b, pairs)
		}
		var sum time.Duration
		for k, p := range pairs {
			if k > 0 && (p[0] <= pairs[k-1][0] || p[1] <= pairs[k-1][1]) {
				t.Fatalf("Match(%v, %v) = %v, out of order", a, b, pairs)
			}
			sum += (a[p[0]] - b[p[1]]).Abs()
		}
		short, long := a, b
		if len(short) > len(long) {
			short, long = long, short
		}
		if want := slowMatch(short, long); sum != want {
			t.Fatalf("Match(%v, %v) sums to %v, want %v", a, b, sum, want)
		}
	}
}

func TestMatchTakesTheEarlierAtATie(t *testing.T) {
	s := time.Second
	for _, tt := range []struct {
		a, b []time.Duration
		want [][2]int
	}{
		{[]time.Duration{2 * s}, []time.Duration{1 * s, 3 * s}, [][2]int{{0, 0}}},
		{[]time.Duration{1 * s, 3 * s}, []time.Duration{2 * s}, [][2]int{{0, 0}}},
		{[]time.Duration{5 * s, 6 * s}, []time.Duration{5 * s, 5 * s, 6 * s}, [][2]int{{0, 0}, {1, 2}}},
		{nil, []time.Duration{s}, [][2]int{}},
	} {
		if diff := cmp.Diff(tt.want, agreement.Match(tt.a, tt.b)); diff != "" {
			t.Errorf("Match(%v, %v) (-want +got):\n%s", tt.a, tt.b, diff)
		}
	}
}

// rename gives every name another, one to one.
func rename(list []agreement.Segment) []agreement.Segment {
	out := slices.Clone(list)
	for i := range out {
		out[i].Label = map[string]string{"A": "z", "B": "y", "C": "x"}[out[i].Label]
	}
	return out
}

func shift(list []agreement.Segment, by time.Duration) []agreement.Segment {
	out := slices.Clone(list)
	for i := range out {
		out[i].Span = timeline.Span{From: out[i].From + by, To: out[i].To + by}
	}
	return out
}

type all struct {
	Observed, Kappa float64
	HasKappa        bool
	F1              [3]float64
	Edit            float64
	Boundaries      agreement.BoundaryError
}

func figures(a, b []agreement.Segment, window timeline.Span) all {
	c := agreement.Bins(a, b, window, time.Second)
	var out all
	out.Observed, _ = c.Observed()
	out.Kappa, out.HasKappa = c.Kappa()
	out.Kappa = round(out.Kappa, 12) // the order of the names is the order of the sum
	for i, least := range []int{10, 25, 50} {
		out.F1[i], _ = agreement.F1(a, b, least).F1()
	}
	out.Edit, out.Boundaries = agreement.Edit(a, b), agreement.Boundaries(a, b)
	return out
}

func TestFiguresAreSymmetricAndKnowNoNames(t *testing.T) {
	r := rand.New(rand.NewPCG(14, 0))
	for range 1000 {
		a, b := random(r, 8), random(r, 8)
		window := span(0, end(a, b))
		want := figures(a, b, window)
		back := figures(b, a, window)
		back.Boundaries.OnlyFirst, back.Boundaries.OnlySecond = back.Boundaries.OnlySecond, back.Boundaries.OnlyFirst
		if diff := cmp.Diff(want, back); diff != "" {
			t.Fatalf("%v\n%v: the other way round (-want +got):\n%s", a, b, diff)
		}
		if diff := cmp.Diff(want, figures(rename(a), rename(b), window)); diff != "" {
			t.Fatalf("%v\n%v: with other names (-want +got):\n%s", a, b, diff)
		}
		by := time.Duration(r.IntN(1e6)) * time.Millisecond
		moved := timeline.Span{From: window.From + by, To: window.To + by}
		if diff := cmp.Diff(want, figures(shift(a, by), shift(b, by), moved)); diff != "" {
			t.Fatalf("%v\n%v: %v later (-want +got):\n%s", a, b, by, diff)
		}
	}
}

func TestAListAgreesFullyWithItself(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 0))
	for range 1000 {
		a := random(r, 8)
		got := figures(a, a, span(0, end(a)))
		full := 100.0
		if len(a) == 0 {
			full = 0 // F1 has no value
		}
		if got.Observed != 1 || got.HasKappa && got.Kappa != 1 || got.Edit != 100 || got.F1 != [3]float64{full, full, full} ||
			got.Boundaries.OnlyFirst+got.Boundaries.OnlySecond != 0 {
			t.Fatalf("%v against itself: %+v", a, got)
		}
		if mean, ok := got.Boundaries.Mean(); ok && mean != 0 {
			t.Fatalf("%v against itself: mean boundary error %v", a, mean)
		}
	}
}
