package align_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"sideport/timeline/align"
)

var senX, senY = []float64{1, 2, 3, 4, 10, 12, 18}, []float64{9, 15, 19, 20, 45, 55, 78}

func TestTheilSen(t *testing.T) {
	for _, tt := range []struct {
		name, source string
		x, y         []float64
		want         align.Fit
		tolerance    float64
	}{
		{"Sen's example", "Sen, J Am Stat Assoc 1968;63:1379-1389; intercept in the joint form", senX, senY, align.Fit{Slope: 4, Intercept: 6}, 0},
		{"even number of points above the step", "by hand: slopes 0, 0.5, 1", []float64{0, 1, 2}, []float64{0, 1, 1}, align.Fit{Slope: .5, Intercept: 0}, 0},
		{"two clocks, one wrong mark", "by construction: 3.25 + 1.001 t, the fourth 30 s late",
			[]float64{12, 95.5, 181, 402.2, 655, 911.3},
			line(3.25, 1.001, []float64{12, 95.5, 181, 402.2, 655, 911.3}, 3, 30),
			align.Fit{Slope: 1.001, Intercept: 3.25}, 1e-9},
		{"equal x is left out", "by hand: slopes 2, 2", []float64{1, 1, 2}, []float64{3, 3, 5}, align.Fit{Slope: 2, Intercept: 1}, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, ok := align.TheilSen(tt.x, tt.y)
			if !ok || math.Abs(got.Slope-tt.want.Slope) > tt.tolerance || math.Abs(got.Intercept-tt.want.Intercept) > tt.tolerance {
				t.Errorf("TheilSen(%v, %v) = %v %t, want %v true (%s)", tt.x, tt.y, got, ok, tt.want, tt.source)
			}
		})
	}
}

func line(a, b float64, x []float64, wrong int, by float64) []float64 {
	y := make([]float64, len(x))
	for i := range x {
		y[i] = a + b*x[i]
	}
	y[wrong] += by
	return y
}

// The least-squares line of the same points is 1.00227 and 7.77 by the normal
// equations: the check that the wrong mark would matter to a line that is not
// robust.
func TestLeastSquaresWouldHaveMoved(t *testing.T) {
	x := []float64{12, 95.5, 181, 402.2, 655, 911.3}
	y := line(3.25, 1.001, x, 3, 30)
	var sx, sy, sxx, sxy float64
	for i := range x {
		sx, sy, sxx, sxy = sx+x[i], sy+y[i], sxx+x[i]*x[i], sxy+x[i]*y[i]
	}
	n := float64(len(x))
	b := (n*sxy - sx*sy) / (n*sxx - sx*sx)
	if a := (sy - b*sx) / n; math.Abs(b-1.00227) > 5e-6 || math.Abs(a-7.77) > 5e-3 {
		t.Errorf("least squares = %.5f, %.2f, want 1.00227, 7.77", b, a)
	}
}

func TestTheilSenRefusesWhatHasNoSlope(t *testing.T) {
	for _, x := range [][]float64{nil, {3}, {3, 3, 3}} {
		if got, ok := align.TheilSen(x, make([]float64, len(x))); ok {
			t.Errorf("TheilSen(%v) = %v true, want false", x, got)
		}
	}
}

func TestTheilSenDoesNotDependOnOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 0))
	want, _ := align.TheilSen(senX, senY)
	for range 20 {
		x, y := append([]float64(nil), senX...), append([]float64(nil), senY...)
		r.Shuffle(len(x), func(i, j int) { x[i], x[j], y[i], y[j] = x[j], x[i], y[j], y[i] })
		if got, _ := align.TheilSen(x, y); got != want {
			t.Fatalf("TheilSen of a shuffled list = %v, want %v", got, want)
		}
	}
}

func TestPooledSlopeSharesOneSlope(t *testing.T) {
	// By construction: two stretches of one clock pair with a cut between them,
	// one mark of the second 8 s wrong.
	first := align.Series{X: []float64{0, 40, 90, 200}}
	second := align.Series{X: []float64{400, 470, 555, 610, 700}}
	first.Y, second.Y = line(5, 1.001, first.X, 0, 0), line(-120, 1.001, second.X, 2, 8)
	got, ok := align.PooledSlope([]align.Series{first, second, {X: []float64{9}, Y: []float64{9}}}, 0.01)
	if !ok || math.Abs(got.Value-1.001) > 1e-9 || got.Free != 6 {
		t.Errorf("PooledSlope = %+v %t, want 1.001 with 9 points - 2 series - 1 = 6 free", got, ok)
	}
	if got.Error <= 0 || got.Error > 1e-4 {
		t.Errorf("PooledSlope error = %v, want above 0 and below 1e-4", got.Error)
	}
	if got, _ := align.PooledSlope([]align.Series{{X: []float64{0, 1}, Y: []float64{0, 1}}}, 0); !math.IsInf(got.Error, 1) {
		t.Errorf("PooledSlope of two points has error %v, want +Inf", got.Error)
	}
	if _, ok := align.PooledSlope([]align.Series{{X: []float64{1}, Y: []float64{2}}, {}}, 0); ok {
		t.Error("PooledSlope of lone points = true, want false")
	}
}

// The error is checked against the scatter of the estimate over many generated
// series: within a factor of two, as its comment says an orientation.
func TestPooledSlopeErrorIsTheScatterOfTheEstimate(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 0))
	const rounds = 400
	sum, said := 0.0, 0.0
	for range rounds {
		var s [2]align.Series
		for k := range s {
			for i := range 8 {
				x := float64(i)*60 + 20*r.Float64()
				s[k].X, s[k].Y = append(s[k].X, x), append(s[k].Y, x+100*float64(k)+0.5*r.NormFloat64())
			}
		}
		got, _ := align.PooledSlope(s[:], 0.01)
		sum, said = sum+(got.Value-1)*(got.Value-1), said+got.Error/rounds
	}
	if scatter := math.Sqrt(sum / rounds); said < scatter/2 || said > scatter*2 {
		t.Errorf("mean error = %.5f, scatter of the slope %.5f", said, scatter)
	}
}

func TestMedian(t *testing.T) {
	for _, tt := range []struct {
		in   []float64
		want float64
	}{{[]float64{3, 1, 2}, 2}, {[]float64{4, 1, 3, 2}, 2.5}, {[]float64{7}, 7}} {
		if got := align.Median(tt.in); got != tt.want {
			t.Errorf("Median(%v) = %v, want %v", tt.in, got, tt.want)
		}
	}
	if got := align.Median(nil); !math.IsNaN(got) {
		t.Errorf("Median(nil) = %v, want NaN", got)
	}
}

func ExampleTheilSen() {
	// Stamps of a recording and the moments of the video that show them; the third
	// stamp was written half a minute late.
	fit, _ := align.TheilSen([]float64{12, 95, 211, 402}, []float64{15, 98, 184, 405})
	fmt.Printf("video = %.0f s + %.0f x recording\n", fit.Intercept, fit.Slope)
	// Output: video = 3 s + 1 x recording
}

func BenchmarkTheilSen(b *testing.B) {
	for _, n := range []int{16, 64, 256, 1024} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			r := rand.New(rand.NewPCG(5, uint64(n)))
			x, y := make([]float64, n), make([]float64, n)
			for i := range x {
				x[i] = 10 * float64(i)
				y[i] = 3.25 + 1.001*x[i] + r.NormFloat64()
			}
			b.ReportAllocs()
			for b.Loop() {
				fit, ok := align.TheilSen(x, y)
				if !ok || math.Abs(fit.Slope-1.001) > 0.02 {
					b.Fatalf("TheilSen = %v", fit)
				}
			}
		})
	}
}
