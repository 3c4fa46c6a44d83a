package taxonomy_test

import (
	"bufio"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sideport/annotate/taxonomy"
)

// Words that someone wrote who had seen neither the vocabulary nor its phrases; they
// are invented, and the figures are on them.
func TestLikelyGuessesTheWordsOfStrangers(t *testing.T) {
	f, err := os.Open(filepath.Join("..", "testdata", "aligned_words.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	all, first, sure, sureRight := 0, 0, 0, 0
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		c := strings.Split(lines.Text(), "\t")
		if len(c) != 4 || c[0] == "any" {
			continue
		}
		p := procedure(t, c[0])
		want, _ := p.Resolve(c[1])
		all++
		got := p.Likely(c[3])
		if len(got) == 0 {
			continue
		}
		right := got[0].ID == want
		if right {
			first++
		}
		if got[0].Score >= .8 {
			sure++
			if right {
				sureRight++
			}
		}
	}
	t.Logf("%d invented texts: the likeliest step is right in %.1f %%; of %d above 0.8, %.1f %%", all, share(first, all), sure, share(sureRight, sure))
	if all < 900 || share(first, all) < 85 || share(sureRight, sure) < 94 || sure < all/2 {
		t.Errorf("%d texts, %.1f %% right, %d sure, %.1f %% of them right; want 900, 85 %%, half of them and 94 %%", all, share(first, all), sure, share(sureRight, sure))
	}
}

func share(a, b int) float64 { return 100 * float64(a) / float64(max(b, 1)) }

func TestLikely(t *testing.T) {
	p := procedure(t, "msics")
	for _, tt := range []struct {
		text, want string
		low, high  float64 // share of the likeliest
	}{
		{"washing the visco out", "ovd-removal", .5, 1},
		{"blue dye on the capsule", "capsule-stain", .8, 1},
		{"crescentt blade", "tunnel-dissection", .3, 1}, // a slip
		{"epinuc out", "epinucleus-removal", .5, 1},     // the beginning of a word
		{"phone rang", "", 0, .5},                       // a letter from the golden ring
		{"", "", 0, 0},
		{"2.8 mm", "", 0, 0},
		{"qqqq zzzz", "", 0, 0},
	} {
		got := p.Likely(tt.text)
		if tt.want == "" {
			if len(got) != 0 && got[0].Score > tt.high {
				t.Errorf("Likely(%q) = %v, want nothing above %v", tt.text, got, tt.high)
			}
			continue
		}
		if len(got) == 0 || got[0].ID != tt.want || got[0].Score < tt.low || got[0].Score > tt.high {
			t.Errorf("Likely(%q) = %v, want %s first, at %v to %v", tt.text, got, tt.want, tt.low, tt.high)
		}
		sum := 0.0
		for i, c := range got {
			sum += c.Score
			if i > 0 && c.Score > got[i-1].Score {
				t.Errorf("Likely(%q) = %v, want the likeliest first", tt.text, got)
			}
		}
		if sum > 1 {
			t.Errorf("Likely(%q) adds up to %v", tt.text, sum)
		}
		if again := p.Likely(tt.text); !slices.Equal(got, again) {
			t.Errorf("Likely(%q) = %v, then %v", tt.text, got, again)
		}
	}
}

// Every phrase is of a step that its procedure has, and none is there twice.
func TestPhrasesAreOfSteps(t *testing.T) {
	raw, err := os.ReadFile(filepath.Join("data", "phrases.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	seen, n := map[string]bool{}, 0
	for line := range strings.Lines(string(raw)) {
		if line[0] == '#' {
			continue
		}
		n++
		c := strings.Split(strings.TrimRight(line, "\n"), "\t")
		if len(c) != 3 || c[2] == "" || strings.TrimSpace(c[2]) != c[2] {
			t.Errorf("line %q", line)
			continue
		}
		if _, ok := procedure(t, c[0]).Step(c[1]); !ok {
			t.Errorf("%s has no step %q", c[0], c[1])
		}
		if key := strings.ToLower(line); seen[key] {
			t.Errorf("%q twice", line)
		} else {
			seen[key] = true
		}
	}
	if n < 2000 {
		t.Errorf("%d phrases, want 2000 or more", n)
	}
}

// Source: Cataract-101 phases.csv, whose Incision holds side port and main incision;
// SICS-155, whose OVD_IOL_insertion holds the refill, the lens and its dialling.
func TestAkinStepsShareAClass(t *testing.T) {
	for _, tt := range []struct {
		procedure, a, b string
		want            bool
	}{
		{"phaco", "side-port", "main-incision", true},
		{"msics", "ovd-refill", "iol-insertion", true},
		{"msics", "capsulotomy", "iol-insertion", false},
		{"msics", "capsulotomy", "capsulotomy", false},
	} {
		p := procedure(t, tt.procedure)
		if p.Akin(tt.a, tt.b) != tt.want || p.Akin(tt.b, tt.a) != tt.want {
			t.Errorf("Akin(%s, %s) in %s, want %v", tt.a, tt.b, tt.procedure, tt.want)
		}
	}
}

func BenchmarkLikely(b *testing.B) {
	p, _ := taxonomy.ByID("msics")
	b.Run("first", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			taxonomy.CountWords(p)
		}
	})
	for _, bb := range []struct{ name, text string }{{"known", "washing the visco out"}, {"slips", "wasihng viscco uot"}, {"page", strings.Repeat("wasihng ", 1<<17)}} {
		b.Run(bb.name, func(b *testing.B) {
			p.Likely("")
			b.ReportAllocs()
			for b.Loop() {
				p.Likely(bb.text)
			}
		})
	}
}
