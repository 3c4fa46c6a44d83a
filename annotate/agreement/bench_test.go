package agreement_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"sideport/annotate/agreement"
)

// BenchmarkAll times every figure of two lists of n segments with twenty names, of
// which the second has each end up to 2 s off.
func BenchmarkAll(b *testing.B) {
	for _, n := range []int{16, 64, 256, 1024, 4096} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			r := rand.New(rand.NewPCG(16, uint64(n)))
			var x, y []agreement.Segment
			for i := range n {
				name := fmt.Sprint("step ", r.IntN(20))
				s := span(30*i, 30*i+30)
				x = append(x, agreement.Segment{Label: name, Span: s})
				if i > 0 {
					s.From += time.Duration(r.IntN(2000)) * time.Millisecond
					y[i-1].To = s.From
				}
				y = append(y, agreement.Segment{Label: name, Span: s})
			}
			window := span(0, 30*n)
			b.ReportAllocs()
			for b.Loop() {
				if got := figures(x, y, window); got.Edit != 100 || got.Kappa < .9 {
					b.Fatalf("figures = %+v", got)
				}
			}
		})
	}
}

// BenchmarkEdit times the order of two lists that have nothing in common, the
// hardest case for it.
func BenchmarkEdit(b *testing.B) {
	for _, n := range []int{16, 64, 256, 1024, 4096} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			var x, y []agreement.Segment
			for i := range n {
				x = append(x, agreement.Segment{Label: fmt.Sprint("x", i%20), Span: span(i, i+1)})
				y = append(y, agreement.Segment{Label: fmt.Sprint("y", i%20), Span: span(i, i+1)})
			}
			b.ReportAllocs()
			for b.Loop() {
				if got := agreement.Edit(x, y); got != 0 {
					b.Fatalf("Edit = %v, want 0", got)
				}
			}
		})
	}
}
