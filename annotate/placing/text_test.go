package placing_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"sideport/annotate/placing"
	"sideport/timeline"

	"github.com/google/go-cmp/cmp"
	"github.com/hbollon/go-edlib"
)

// Published values of the two measures, to the digits given. Source: the tables of
// Winkler's papers as the test data of public string libraries carry them; computed
// again here by slowJaro.
var publishedLikeness = []struct {
	a, b          string
	jaro, winkler float64
	digits        float64
}{ // NaN: not published
	{"martha", "marhta", .944, .961, 5e-4},
	{"dixon", "dicksonx", .767, .813, 5e-4},
	{"dwayne", "duane", .822, .840, 5e-4},
	{"William", "Williams", math.NaN(), .975, 5e-4},
	{"jaz", "jal", math.NaN(), .822, 5e-4},
	{"a", "ab", math.NaN(), .85, 5e-4},
	{"012abc", "013abcd", math.NaN(), .879, 5e-4},
}

func TestLibraryAgreesWithPublishedValues(t *testing.T) {
	for _, tt := range publishedLikeness {
		if got := float64(edlib.JaroSimilarity(tt.a, tt.b)); !math.IsNaN(tt.jaro) && math.Abs(got-tt.jaro) > tt.digits {
			t.Errorf("Jaro(%s, %s) = %.4f, want %.3f", tt.a, tt.b, got, tt.jaro)
		}
		for _, got := range []float64{
			float64(edlib.JaroWinklerSimilarity(tt.a, tt.b)), float64(edlib.JaroWinklerSimilarity(tt.b, tt.a)), slowWinkler(tt.a, tt.b),
		} {
			if math.Abs(got-tt.winkler) > tt.digits {
				t.Errorf("Jaro-Winkler(%s, %s) = %.4f, want %.3f", tt.a, tt.b, got, tt.winkler)
			}
		}
	}
}

func TestLikenessOfPublishedWords(t *testing.T) {
	for _, tt := range publishedLikeness {
		if got := placing.JaroWinkler(tt.a, tt.b); math.Abs(got-tt.winkler) > tt.digits {
			t.Errorf("JaroWinkler(%s, %s) = %.4f, want %.3f", tt.a, tt.b, got, tt.winkler)
		}
	}
}

// slowJaro is the measure from its definition.
func slowJaro(s, t string) float64 {
	a, b := []rune(s), []rune(t)
	if len(a) == 0 || len(b) == 0 {
		return 0
	}
	reach := max(len(a), len(b))/2 - 1
	taken := map[int]bool{}
	var mine []rune
	for i, r := range a {
		for j := range b {
			if b[j] == r && !taken[j] && (j == i || max(i, j)-min(i, j) <= reach) {
				taken[j] = true
				mine = append(mine, r)
				break
			}
		}
	}
	m := float64(len(mine))
	if m == 0 {
		return 0
	}
	swapped, k := 0.0, 0
	for j := range b {
		if taken[j] {
			if b[j] != mine[k] {
				swapped++
			}
			k++
		}
	}
	return (m/float64(len(a)) + m/float64(len(b)) + (m-swapped/2)/m) / 3
}

func slowWinkler(s, t string) float64 {
	a, b := []rune(s), []rune(t)
	prefix := 0
	for prefix < min(len(a), len(b), 4) && a[prefix] == b[prefix] {
		prefix++
	}
	j := slowJaro(s, t)
	return j + 0.1*float64(prefix)*(1-j)
}

func TestLibraryAgreesWithTheDefinition(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 0))
	word := func() string {
		out := make([]rune, 1+r.IntN(9))
		for i := range out {
			out[i] = []rune("abcé")[r.IntN(4)]
		}
		return string(out)
	}
	for range 5000 {
		a, b := word(), word()
		if got, want := float64(edlib.JaroWinklerSimilarity(a, b)), slowWinkler(a, b); math.Abs(got-want) > 1e-6 {
			t.Fatalf("Jaro-Winkler(%q, %q) = %v, want %v", a, b, got, want)
		}
		if one, other := placing.JaroWinkler(a, b), placing.JaroWinkler(b, a); one != other || one < 0 || one > 1 {
			t.Fatalf("JaroWinkler of %q and %q = %v and %v, want one value of 0 to 1", a, b, one, other)
		}
		if got := placing.JaroWinkler(a, a); got != 1 {
			t.Fatalf("JaroWinkler(%q, itself) = %v, want 1", a, got)
		}
	}
}

// Labels that the vocabulary does not know are matched when their words are the same
// but for the spelling, and not when a word or a number tells them apart: where a
// removed stretch beside them leaves it to the words, and where an edit list says that
// the two are one moment.
func TestUnknownLabelsMatchByTheirWords(t *testing.T) {
	for _, tt := range []struct {
		stamp, chapter string
		want           bool
	}{
		{"iris hook placed", "Iris hooks, placed", true},
		{"end of the recordng", "End of the recording", true},
		{"hook in, iris", "iris hook in", true},
		{"speculum 12 mm", "Speculum", true},
		{"speculum, 12 mm", "speculum 14 mm", false},
		{"Capsulorhéxis paused!", "capsulorhexis  paused", true},
		{"конец записи", "Конец записи", true},
		{"speculum", "drape", false},
		{"end of recording", "end of the recording", false},
		{"microscope on", "microscope off", false},
		{"iris hook in", "iris hook out", false},
		{"end of the recording", "end of the operation", false},
		{"pupil small", "pupil smaller", false},
		{"no leak there", "leak there", false},
		{"part 1", "part 2", false},
		{"2.9 mm", "3.0 mm", false},
		{"", "", false},
	} {
		stamps := []placing.Stamp{{At: second(20), Text: tt.stamp, Kind: "remark"}, stamp(77, "capsulotomy"), stamp(200, "iol-insertion")}
		chapters := []placing.Chapter{{From: second(10), Title: tt.chapter, Kind: "remark"}, chapter(67, "capsulotomy"), chapter(190, "iol-insertion")}
		want := [][2]int{{1, 1}, {2, 2}}
		if tt.want {
			want = [][2]int{{0, 0}, {1, 1}, {2, 2}}
		}
		for name, opt := range map[string]placing.Options{"inferred": {}, "by an edit list": {Cuts: &timeline.Map{Pieces: []timeline.Piece{{Recording: span(10, 300), Video: span(0, 290)}}}}} {
			if stamps[0].At = second(20); opt.Cuts == nil {
				stamps[0].At = second(5)
			}
			if got := pairs(placing.Place(stamps, chapters, manual(), opt)); !cmp.Equal(want, got) {
				t.Errorf("%q and %q, %s: pairs %v, want %v", tt.stamp, tt.chapter, name, got, want)
			}
		}
	}
}

func second(n int) time.Duration { return time.Duration(n) * time.Second }

func BenchmarkUnknownLabels(b *testing.B) {
	for _, n := range []int{16, 64, 256, 1024} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			r := rand.New(rand.NewPCG(18, uint64(n)))
			var stamps []placing.Stamp
			var chapters []placing.Chapter
			for i := range n {
				text := ""
				for range 20 {
					text += string(rune('a' + r.IntN(26)))
				}
				stamps = append(stamps, placing.Stamp{At: second(10 * i), Text: text, Kind: "remark"})
				chapters = append(chapters, placing.Chapter{From: second(10 * i), Title: text + "s", Kind: "remark"})
			}
			b.ReportAllocs()
			for b.Loop() {
				if res := placing.Place(stamps, chapters, manual(), placing.Options{}); len(res.Pairs) != n {
					b.Fatalf("%d pairs, want %d", len(res.Pairs), n)
				}
			}
		})
	}
}
