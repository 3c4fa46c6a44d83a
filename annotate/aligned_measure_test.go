package annotate_test

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/timeline/align"
)

// answer is what an aligner says of a case: pairs of a stamp and a chapter with a
// confidence, and where each stamp lies in the video, -1 for unplaced.
type answer struct {
	pairs  []answerPair
	placed []time.Duration
}

type answerPair struct {
	stamp, chapter int
	confidence     float64
}

// measured gathers figures over many cases.
type measured struct {
	cases, said, right, possible int
	errors                       []float64 // seconds, of placed stamps whose moment is kept
	kept, unplaced               int       // stamps of a phase whose moment is kept
	cutPlaced, cutAll            int       // stamps whose moment was cut out
	marks                        []answerMark
}

type answerMark struct {
	confidence float64
	right      bool
}

func (m *measured) add(c alignedCase, a answer) {
	m.cases++
	stampOf := map[int]bool{}
	for _, k := range c.stampOf {
		stampOf[k] = k >= 0
	}
	for _, k := range c.chapterOf {
		if k >= 0 && stampOf[k] {
			m.possible++
		}
	}
	for _, p := range a.pairs {
		right := c.stampOf[p.stamp] >= 0 && c.stampOf[p.stamp] == c.chapterOf[p.chapter]
		m.said++
		if right {
			m.right++
		}
		m.marks = append(m.marks, answerMark{p.confidence, right})
	}
	for i, k := range c.stampOf {
		switch {
		case k < 0:
		case c.video[k] < 0:
			m.cutAll++
			if a.placed[i] >= 0 {
				m.cutPlaced++
			}
		default:
			m.kept++
			if a.placed[i] < 0 {
				m.unplaced++
				continue
			}
			m.errors = append(m.errors, math.Abs((a.placed[i] - c.video[k]).Seconds()))
		}
	}
}

func ratioOf(a, b int) float64 {
	if b == 0 {
		return 0
	}
	return float64(a) / float64(b)
}

func (m *measured) precision() float64 { return ratioOf(m.right, m.said) }
func (m *measured) recall() float64    { return ratioOf(m.right, m.possible) }
func (m *measured) f1() float64        { return ratioOf(2*m.right, m.said+m.possible) }

// quantile is the value below which the share q lies (type 7).
func quantile(list []float64, q float64) float64 {
	if len(list) == 0 {
		return math.NaN()
	}
	sorted := slices.Sorted(slices.Values(list))
	at := q * float64(len(sorted)-1)
	k := int(at)
	return sorted[k] + (at-float64(k))*(sorted[min(k+1, len(sorted)-1)]-sorted[k])
}

func (m *measured) String() string {
	return fmt.Sprintf("F1 %.4f (precision %.4f, recall %.4f), error median %.2f s, 95th %.2f s, unplaced %.1f %%, cut out but placed %.1f %% (invented: offsets, misspellings, cuts, MSICS orders, words)",
		m.f1(), m.precision(), m.recall(), quantile(m.errors, .5), quantile(m.errors, .95),
		100*ratioOf(m.unplaced, m.kept), 100*ratioOf(m.cutPlaced, m.cutAll))
}

// bin is a tenth of the pairs, by confidence.
type bin struct {
	n                        int
	said, seen, low, high    float64
	lowestSaid, greatestSaid float64
}

// bins cuts the pairs into ten bins of equal count. low and high are Wilson's 95 %
// interval. Source: Wilson EB, J Am Stat Assoc 1927;22:209-212.
func (m *measured) bins() []bin {
	marks := slices.Clone(m.marks)
	slices.SortStableFunc(marks, func(a, b answerMark) int { return cmp.Compare(a.confidence, b.confidence) })
	var out []bin
	for k := range 10 {
		part := marks[k*len(marks)/10 : (k+1)*len(marks)/10]
		if len(part) == 0 {
			continue
		}
		b := bin{n: len(part), lowestSaid: part[0].confidence, greatestSaid: part[len(part)-1].confidence}
		for _, p := range part {
			b.said += p.confidence / float64(len(part))
			if p.right {
				b.seen += 1 / float64(len(part))
			}
		}
		n, z := float64(b.n), 1.96
		middle := (b.seen + z*z/(2*n)) / (1 + z*z/n)
		half := z / (1 + z*z/n) * math.Sqrt(b.seen*(1-b.seen)/n+z*z/(4*n*n))
		b.low, b.high = middle-half, middle+half
		out = append(out, b)
	}
	return out
}

// align runs the whole chain on the written lists: readers, clock, names, placing.
func (c alignedCase) align(t testing.TB, dir string) (*annotate.Case, answer) {
	t.Helper()
	list, chapters := filepath.Join(dir, "list.txt"), filepath.Join(dir, "chapters.vtt")
	for name, text := range map[string]string{list: c.recording, chapters: c.chapters} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	m, err := annotate.LoadFiles(c.procedure, list, chapters, "", "")
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Stamps) != len(c.stampOf) || len(m.Chapters) != len(c.chapterOf) {
		t.Fatalf("read %d stamps and %d chapters, want %d and %d:\n%s\n%s", len(m.Stamps), len(m.Chapters), len(c.stampOf), len(c.chapterOf), c.recording, c.chapters)
	}
	r, ok := annotate.Resolve(m, ranges.Builtin())
	if !ok || len(r.Marks) != len(c.stampOf) {
		t.Fatalf("%d marks, want %d:\n%s", len(r.Marks), len(c.stampOf), c.recording)
	}
	a := answer{}
	for _, p := range r.Pairs {
		a.pairs = append(a.pairs, answerPair{p.Stamp, p.Chapter, p.Confidence})
	}
	for _, k := range r.Marks {
		at := time.Duration(-1)
		if k.Video != nil {
			at = *k.Video
		}
		a.placed = append(a.placed, at)
	}
	return r, a
}

// inOrder is the first thing to be measured against: names matched in order, as many
// as can be, without a look at the times; between two matches a stamp is placed in
// proportion.
func inOrder(c *annotate.Case) answer {
	free := func(int) float64 { return 0 }
	ops := align.Align(len(c.Marks), len(c.Titles), align.Costs{
		Pair: func(i, j int) float64 {
			if c.Marks[i].Match.ID != "" && c.Marks[i].Match.ID == c.Titles[j].Match.ID {
				return -1
			}
			return math.Inf(1)
		},
		SkipX: free, SkipY: free,
	}).Ops()
	a := answer{placed: make([]time.Duration, len(c.Marks))}
	for i := range a.placed {
		a.placed[i] = -1
	}
	pairs := ops.Pairs()
	for k, p := range pairs {
		a.pairs = append(a.pairs, answerPair{p[0], p[1], 1})
		a.placed[p[0]] = c.Titles[p[1]].From
		if k == 0 {
			continue
		}
		i, j := pairs[k-1][0], pairs[k-1][1]
		for s := i + 1; s < p[0]; s++ {
			share := float64(c.Marks[s].Recording-c.Marks[i].Recording) / float64(c.Marks[p[0]].Recording-c.Marks[i].Recording)
			a.placed[s] = c.Titles[j].From + time.Duration(share*float64(c.Titles[p[1]].From-c.Titles[j].From))
		}
	}
	return a
}

// inProportion is the second: the recording from its first to its last stamp
// stretched over the video from its first to its last chapter; a stamp and a chapter
// are a pair when each is the other's nearest.
func inProportion(c *annotate.Case) answer {
	a := answer{}
	first, last := c.Marks[0].Recording, c.Marks[len(c.Marks)-1].Recording
	from, to := c.Titles[0].From, c.Titles[len(c.Titles)-1].From
	for _, m := range c.Marks {
		a.placed = append(a.placed, from+time.Duration(float64(m.Recording-first)/float64(max(1, last-first))*float64(to-from)))
	}
	nearest := func(n int, far func(int) time.Duration) int {
		best := 0
		for k := range n {
			if far(k) < far(best) {
				best = k
			}
		}
		return best
	}
	for i, at := range a.placed {
		j := nearest(len(c.Titles), func(j int) time.Duration { return (c.Titles[j].From - at).Abs() })
		if nearest(len(c.Marks), func(i int) time.Duration { return (c.Titles[j].From - a.placed[i]).Abs() }) == i {
			a.pairs = append(a.pairs, answerPair{i, j, 1})
		}
	}
	return a
}

// measure draws n cases, half of each operation, and adds up what three ways make
// of them.
func measure(t testing.TB, seed uint64, n int, how conditions) (ours, ordered, scaled *measured, named float64) {
	t.Helper()
	g := newAlignedGen(t, seed, how)
	dir := t.TempDir()
	ours, ordered, scaled = &measured{}, &measured{}, &measured{}
	right, all := 0, 0
	for k := range n {
		c := g.next(k%2 == 0)
		r, a := c.align(t, dir)
		ours.add(c, a)
		if len(r.Titles) > 0 && len(r.Marks) > 0 {
			ordered.add(c, inOrder(r))
			scaled.add(c, inProportion(r))
		}
		for i, m := range r.Marks {
			if c.stampOf[i] >= 0 {
				all++
				if m.Match.ID != "" {
					right++
				}
			}
		}
	}
	return ours, ordered, scaled, ratioOf(right, all)
}

// table writes the bins for people.
func table(list []bin) string {
	var b strings.Builder
	for _, k := range list {
		fmt.Fprintf(&b, "  %5d pairs said %.3f (%.3f to %.3f), right %.3f [%.3f, %.3f]\n", k.n, k.said, k.lowestSaid, k.greatestSaid, k.seen, k.low, k.high)
	}
	return b.String()
}
