package placing

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"sideport/timeline/align"
)

// exactNodes is the most nodes between which every step is looked at, some tens of
// milliseconds' work; stepsEach is how many are then looked at for each node.
const (
	exactNodes = 2000
	stepsEach  = 20
)

// node is a stamp and a chapter that could be one moment, or a pin.
type node struct {
	recording, video time.Duration
	stamp, chapter   int // -1 for a pin
	pin              int // -1 for a pair
	like             float64
	step             string
	rank             int  // place of the step in the usual order, -1 for none or a repeatable step
	later            bool // goes on with a run on one side and begins one on the other
}

// near reports whether two nodes name one moment within the scatter of stamps.
func (n *node) near(m *node) bool {
	return (n.recording-m.recording).Abs() <= agreeWithin && (n.video-m.video).Abs() <= agreeWithin
}

// after reports whether n comes after m on both clocks.
func (n *node) after(m *node) bool { return n.recording > m.recording && n.video > m.video }

// nodes lists every pair with some likeness that no pin contradicts, and the pins,
// in the order of the video.
func (p *placer) nodes(pins []int) []node {
	var out []node
	for _, k := range pins {
		pin := p.opt.Pins[k]
		out = append(out, node{recording: pin.Recording, video: pin.Video, stamp: -1, chapter: -1, pin: k, rank: -1})
	}
	fixed := slices.Clone(out)
	stampGoesOn, chapterGoesOn := p.goesOn()
	labels := p.labels()
	out = slices.Grow(out, labels.count(p))
	for _, j := range p.chapterOrder {
		c := &p.chapters[j]
		if p.pastEnd(*c) {
			continue
		}
		for _, i := range p.stampOrder {
			l := labels.pair(i, j)
			if l.like == 0 {
				continue
			}
			s := &p.stamps[i]
			n := node{recording: s.At, video: c.From, stamp: i, chapter: j, pin: -1, step: l.step, rank: l.rank,
				like: l.like * sureness(s.Confidence) * sureness(c.Confidence), later: stampGoesOn[i] != chapterGoesOn[j]}
			if allowed(&n, fixed) {
				out = append(out, n)
			}
		}
	}
	sortNodes(out)
	return out
}

func sortNodes(list []node) {
	byTime := func(a, b node) int {
		return cmp.Or(cmp.Compare(a.video, b.video), cmp.Compare(a.recording, b.recording), cmp.Compare(b.pin, a.pin))
	}
	if !slices.IsSortedFunc(list, byTime) {
		slices.SortStableFunc(list, byTime)
	}
}

func allowed(n *node, pins []node) bool {
	for k := range pins {
		if pin := &pins[k]; !n.after(pin) && !pin.after(n) && !n.near(pin) {
			return false
		}
	}
	return true
}

// label is what a stamp's and a chapter's names have in common.
type label struct {
	like float64
	step string
	rank int
}

// labels are looked up once for each two different names and not for each two marks.
type labels struct {
	stamp, chapter []int // class of each mark
	table          [][]label
}

func (l *labels) pair(i, j int) *label { return &l.table[l.stamp[i]][l.chapter[j]] }

// labels sorts the marks into classes that are named alike.
func (p *placer) labels() *labels {
	l := &labels{stamp: make([]int, len(p.stamps)), chapter: make([]int, len(p.chapters))}
	var stamps []Stamp
	var chapters []Chapter
	seen := map[string]int{}
	for i, s := range p.stamps {
		key := classOf(s.Step, s.Candidates, s.Text)
		k, ok := seen[key]
		if !ok {
			k, seen[key] = len(stamps), len(stamps)
			s.Confidence = 1
			stamps = append(stamps, s)
		}
		l.stamp[i] = k
	}
	clear(seen)
	for j, c := range p.chapters {
		key := classOf(c.Step, c.Candidates, c.Title)
		k, ok := seen[key]
		if !ok {
			k, seen[key] = len(chapters), len(chapters)
			c.Confidence = 1
			chapters = append(chapters, c)
		}
		l.chapter[j] = k
	}
	for _, s := range stamps {
		row := make([]label, len(chapters))
		for k, c := range chapters {
			like, step := likeness(s, c, p.vocab)
			row[k] = label{like, step, p.rank(step)}
		}
		l.table = append(l.table, row)
	}
	return l
}

func classOf(step string, candidates []string, text string) string {
	if step != "" {
		return step
	}
	return "\x00" + strings.Join(candidates, "\x00") + "\x01" + folded(text)
}

// count is how many pairs have something in common.
func (l *labels) count(p *placer) (n int) {
	stamps := make([]int, len(l.table))
	for _, k := range l.stamp {
		stamps[k]++
	}
	for j := range p.chapters {
		for k := range l.table {
			if l.table[k][l.chapter[j]].like > 0 {
				n += stamps[k]
			}
		}
	}
	return n
}

// goesOn marks the stamps and chapters that name the step of the one before them:
// they go on with a run and do not begin one.
func (p *placer) goesOn() (stamps, chapters []bool) {
	stamps, chapters = make([]bool, len(p.stamps)), make([]bool, len(p.chapters))
	last := ""
	for _, i := range p.stampOrder {
		if s := p.stamps[i]; s.Step != "" && (s.Kind == "" || s.Kind == kindStep) {
			stamps[i], last = s.Step == last, s.Step
		}
	}
	last = ""
	for _, j := range p.chapterOrder {
		if c := p.chapters[j]; c.Step != "" && (c.Kind == "" || c.Kind == kindStep) {
			chapters[j], last = c.Step == last, c.Step
		}
	}
	return stamps, chapters
}

// grid places the nodes among the moments of both clocks, for lists too long to look
// at every step; nil for shorter ones. On a grid a match within the scatter of a pin
// has to be in order with it.
func grid(nodes []node) *align.Grid {
	n := len(nodes)
	if n <= exactNodes {
		return nil
	}
	g := &align.Grid{X: make([]int32, n), Y: make([]int32, n)}
	recordings := make([]time.Duration, n)
	for k := range nodes {
		recordings[k] = nodes[k].recording
		if k > 0 {
			g.X[k] = g.X[k-1]
			if nodes[k].video > nodes[k-1].video {
				g.X[k]++
			}
		}
	}
	slices.Sort(recordings)
	recordings = slices.Compact(recordings)
	for k := range nodes {
		y, _ := slices.BinarySearch(recordings, nodes[k].recording)
		g.Y[k] = int32(y)
	}
	cells := float64(g.X[n-1]+1) * float64(len(recordings))
	g.Reach = max(4, int32(math.Sqrt(stepsEach*cells/float64(n))))
	return g
}
