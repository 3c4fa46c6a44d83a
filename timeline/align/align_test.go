package align_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/agnivade/levenshtein"
	"github.com/google/go-cmp/cmp"

	"sideport/timeline/align"
)

func TestOpsDrawTheAlignment(t *testing.T) {
	letters := func(x, y string) align.Costs {
		return align.Costs{
			Pair: func(i, j int) float64 {
				if x[i] == y[j] {
					return 0
				}
				return math.Inf(1)
			},
			SkipX: func(int) float64 { return 1 },
			SkipY: func(int) float64 { return 1 },
		}
	}
	for _, tt := range []struct{ x, y, want string }{
		{"", "", ""},
		{"abc", "abc", "..."},
		{"abc", "", "XXX"},
		{"", "ab", "YY"},
		{"abc", "ac", ".X."},
		{"ac", "abc", ".Y."},
		{"abcd", "xbd", "XY.X."},
		{"aa", "a", ".X"}, // tie: a pair comes before a skip
		{"a", "aa", ".Y"},
		{"ab", "ba", "X.Y"}, // tie: X is skipped before Y
	} {
		if got := align.Align(len(tt.x), len(tt.y), letters(tt.x, tt.y)).Ops().String(); got != tt.want {
			t.Errorf("Align(%q, %q) = %s, want %s", tt.x, tt.y, got, tt.want)
		}
	}
}

func TestPairsAreTheMatchedIndices(t *testing.T) {
	got := align.Ops("X.Y.XY").Pairs()
	if diff := cmp.Diff([][2]int{{1, 0}, {2, 2}}, got); diff != "" {
		t.Errorf("Pairs mismatch (-want +got):\n%s", diff)
	}
}

func TestNothingAllowedGivesNoAlignment(t *testing.T) {
	never := func(int) float64 { return math.Inf(1) }
	table := align.Align(2, 1, align.Costs{Pair: func(i, j int) float64 { return 0 }, SkipX: never, SkipY: never})
	if !math.IsInf(table.Cost(), 1) || table.Ops() != nil {
		t.Errorf("Align = %s at %v, want nothing at +Inf", table.Ops(), table.Cost())
	}
}

func TestCostThatIsNoNumberPanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("Align with a NaN cost did not panic")
		}
	}()
	zero := func(int) float64 { return 0 }
	align.Align(1, 1, align.Costs{Pair: func(i, j int) float64 { return math.NaN() }, SkipX: zero, SkipY: zero})
}

// coOptimal counts the best alignments.
func coOptimal(table *align.Table, nx, ny int, c align.Costs) int {
	var count func(i, j int) int
	count = func(i, j int) int {
		if i == 0 && j == 0 {
			return 1
		}
		n := 0
		if i > 0 && j > 0 && table.Prefix(i-1, j-1)+c.Pair(i-1, j-1) == table.Prefix(i, j) {
			n += count(i-1, j-1)
		}
		if i > 0 && table.Prefix(i-1, j)+c.SkipX(i-1) == table.Prefix(i, j) {
			n += count(i-1, j)
		}
		if j > 0 && table.Prefix(i, j-1)+c.SkipY(j-1) == table.Prefix(i, j) {
			n += count(i, j-1)
		}
		return n
	}
	return count(nx, ny)
}

// Source: Durbin R, Eddy S, Krogh A, Mitchison G, Biological Sequence Analysis,
// Cambridge 1998, chapter 2: HEAGAWGHEE against PAWHEAE with BLOSUM50 and a linear
// gap cost of 8 scores 1, printed with HEAGAWGHE-E over --P-AW-HEAE.
func TestNeedlemanWunschTextbookScore(t *testing.T) {
	const x, y = "HEAGAWGHEE", "PAWHEAE"
	blosum50 := map[string]float64{ // the part of the table these letters use
		"HP": -2, "EP": -1, "AP": -1, "GP": -2, "WP": -4,
		"HA": -2, "EA": -1, "AA": 5, "GA": 0, "WA": -3,
		"HW": -3, "EW": -3, "AW": -3, "GW": -3, "WW": 15,
		"HH": 10, "EH": 0, "AH": -2, "GH": -2, "WH": -3,
		"HE": 0, "EE": 6, "AE": -1, "GE": -3, "WE": -3,
	}
	gap := func(int) float64 { return 8 }
	c := align.Costs{
		Pair: func(i, j int) float64 {
			s, ok := blosum50[x[i:i+1]+y[j:j+1]]
			if !ok {
				t.Fatalf("no score for %c%c", x[i], y[j])
			}
			return -s
		},
		SkipX: gap, SkipY: gap,
	}
	table := align.Align(len(x), len(y), c)
	if got := -table.Cost(); got != 1 {
		t.Errorf("score = %v, want 1", got)
	}
	printed := drawn("HEAGAWGHE-E", "--P-AW-HEAE")
	if got := -validate(t, printed, len(x), len(y), c); got != 1 {
		t.Errorf("score of the printed alignment %s = %v, want 1", printed, got)
	}
	if got := coOptimal(table, len(x), len(y), c); got != 3 {
		t.Errorf("best alignments = %d, want 3", got)
	}
}

// From memory, unconfirmed: the encyclopaedic example of the method, GCATGCG
// against GATTACA with +1 for a match and -1 otherwise, scores 0 three ways.
func TestNeedlemanWunschUnitScores(t *testing.T) {
	const x, y = "GCATGCG", "GATTACA"
	one := func(int) float64 { return 1 }
	c := align.Costs{
		Pair: func(i, j int) float64 {
			if x[i] == y[j] {
				return -1
			}
			return 1
		},
		SkipX: one, SkipY: one,
	}
	table := align.Align(len(x), len(y), c)
	var last []float64
	for j := 0; j <= len(y); j++ {
		last = append(last, 0-table.Prefix(len(x), j))
	}
	if diff := cmp.Diff([]float64{-7, -5, -3, -1, -1, -1, 0, 0}, last); diff != "" {
		t.Errorf("last row mismatch (-want +got):\n%s\n%s", diff, table)
	}
	if got := coOptimal(table, len(x), len(y), c); got != 3 {
		t.Errorf("best alignments = %d, want 3", got)
	}
}

// Source: the test data of public string libraries; computed again here by a second
// library of this module. Edit distance is the alignment in which every difference
// costs 1.
func TestAlignWithUnitCostsIsTheEditDistance(t *testing.T) {
	for _, tt := range []struct {
		x, y string
		want int
	}{{"kitten", "sitting", 3}, {"Saturday", "Sunday", 3}, {"", "abc", 3}, {"bc", "abc", 1}} {
		one := func(int) float64 { return 1 }
		got := align.Align(len(tt.x), len(tt.y), align.Costs{
			Pair: func(i, j int) float64 {
				if tt.x[i] == tt.y[j] {
					return 0
				}
				return 1
			},
			SkipX: one, SkipY: one,
		}).Cost()
		if second := levenshtein.ComputeDistance(tt.x, tt.y); got != float64(tt.want) || second != tt.want {
			t.Errorf("edit distance of %q and %q = %v, of the library %d, want %d", tt.x, tt.y, got, second, tt.want)
		}
	}
}

// drawn turns two rows with gaps into operations.
func drawn(x, y string) align.Ops {
	var ops align.Ops
	for k := range x {
		switch {
		case y[k] == '-':
			ops = append(ops, align.SkipX)
		case x[k] == '-':
			ops = append(ops, align.SkipY)
		default:
			ops = append(ops, align.Pair)
		}
	}
	return ops
}

func TestTableDrawsItsMatrix(t *testing.T) {
	one := func(int) float64 { return 1 }
	table := align.Align(1, 1, align.Costs{Pair: func(i, j int) float64 { return 0 }, SkipX: one, SkipY: one})
	want := "       0       1\n       1       0\n"
	if got := table.String(); got != want {
		t.Errorf("String() =\n%s, want\n%s", got, want)
	}
}

func ExampleAlign() {
	// Four steps of a list against three chapters: the same word costs nothing,
	// different words cannot pair, and leaving one alone costs 1.
	list := []string{"rhexis", "hydro", "delivery", "lens"}
	chapters := []string{"rhexis", "delivery", "lens"}
	one := func(int) float64 { return 1 }
	table := align.Align(len(list), len(chapters), align.Costs{
		Pair: func(i, j int) float64 {
			if list[i] == chapters[j] {
				return 0
			}
			return math.Inf(1)
		},
		SkipX: one, SkipY: one,
	})
	fmt.Println(table.Ops(), table.Cost(), table.Ops().Pairs())
	fmt.Printf("without the first pair the cost rises by %g\n", table.Margin(0, 0))
	// Output:
	// .X.. 1 [[0 0] [2 1] [3 2]]
	// without the first pair the cost rises by 2
}

func BenchmarkAlign(b *testing.B) {
	for _, n := range []int{16, 64, 256, 1024} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			r := rand.New(rand.NewPCG(1, uint64(n)))
			c := randomCosts(r, n, n)
			b.ReportAllocs()
			for b.Loop() {
				table := align.Align(n, n, c)
				if got := strings.Count(table.Ops().String(), "."); got == 0 {
					b.Fatal("nothing paired")
				}
			}
		})
	}
}

func BenchmarkChain(b *testing.B) {
	for _, n := range []int{16, 64, 256, 1024} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			r := rand.New(rand.NewPCG(2, uint64(n)))
			c := randomChain(r, n)
			b.ReportAllocs()
			for b.Loop() {
				if len(align.Chain(n, c).Nodes()) == 0 {
					b.Fatal("no chain")
				}
			}
		})
	}
}
