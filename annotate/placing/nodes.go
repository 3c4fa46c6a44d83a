package placing

import (
	"cmp"
	"math"
	"slices"
	"time"

	"sideport/timeline/align"
)

// exactPairs is the most pairs of a stamp and a chapter that are all looked at.
// exactNodes is the most nodes between which every step is looked at, some tens of
// milliseconds' work; stepsEach is how many are looked at for each of more nodes.
const (
	exactPairs = 1000
	exactNodes = 2000
	mostNodes  = 300_000
	stepsEach  = 12
)

// node is a stamp and a chapter that could be one moment, or a pin.
type node struct {
	recording, video time.Duration
	stamp, chapter   int     // -1 for a pin
	pin              int     // -1 for a pair
	gain             float64 // of the words, as in gain
	step             string
	rank             int  // place of the step in the usual order, -1 for none or a repeatable step
	later            bool // goes on with a run on one side and begins one on the other
	nameless         bool // the words of the stamp say nothing
	before, upTo     int  // named stamps before its recording time, and up to and with it
	half             time.Duration
}

// near reports whether two nodes name one moment within the scatter of stamps.
func (n *node) near(m *node) bool {
	return (n.recording-m.recording).Abs() <= agreeWithin && (n.video-m.video).Abs() <= agreeWithin
}

// after reports whether n comes after m on both clocks.
func (n *node) after(m *node) bool { return n.recording > m.recording && n.video > m.video }

// nodes lists the pairs of a stamp and a chapter that may be one moment and that no
// pin contradicts, and the pins, in the order of the video: all pairs, or in long
// lists those whose words have something in common.
func (p *placer) nodes(pins []int) []node {
	var out []node
	counted := p.counted()
	for _, k := range pins {
		pin := p.opt.Pins[k]
		n := node{recording: pin.Recording, video: pin.Video, stamp: -1, chapter: -1, pin: k, rank: -1}
		n.before, n.upTo = counted.around(pin.Recording)
		out = append(out, n)
	}
	fixed := slices.Clone(out)
	all := !p.long()
	if all {
		out = slices.Grow(out, len(p.stamps)*len(p.chapters))
	}
	band := len(p.stamps)
	if !all {
		count := p.labels.count()
		out = slices.Grow(out, min(count, mostNodes+len(p.chapters)))
		if count > mostNodes {
			band = 1 + int(float64(len(p.stamps))*float64(mostNodes)/float64(count)/2)
		}
	}
	for x, j := range p.chapterOrder {
		if p.pastEnd(p.chapters[j]) {
			continue
		}
		middle := x * len(p.stamps) / len(p.chapters)
		for _, i := range p.stampOrder[max(0, middle-band):min(len(p.stamps), middle+band)] {
			if g := p.labels.pair(i, j).gain; math.IsInf(g, -1) || !all && g < telling {
				continue
			}
			if n := p.node(i, j, counted); allowed(&n, fixed) {
				out = append(out, n)
			}
		}
	}
	sortNodes(out)
	return out
}

// telling is the least gain of words that have something in common.
const telling = 0.3

// node is stamp i and chapter j as one moment.
func (p *placer) node(i, j int, counted counter) node {
	s, l := &p.stamps[i], p.labels.pair(i, j)
	n := node{recording: s.At, video: p.chapters[j].From, stamp: i, chapter: j, pin: -1, gain: l.gain, step: l.step, rank: l.rank,
		later: p.stampGoesOn[i] != p.chapterGoesOn[j], nameless: p.labels.stampTotal[p.labels.stamp[i]] < nameless, half: s.Half}
	n.before, n.upTo = counted.around(s.At)
	return n
}

// counter counts the named stamps by their time.
type counter []time.Duration

func (p *placer) counted() counter {
	var out counter
	for _, i := range p.stampOrder {
		if p.labels.stampTotal[p.labels.stamp[i]] >= nameless {
			out = append(out, p.stamps[i].At)
		}
	}
	return out
}

func (c counter) around(t time.Duration) (before, upTo int) {
	before, _ = slices.BinarySearch(c, t)
	upTo, _ = slices.BinarySearch(c, t+1)
	return before, upTo
}

// long reports whether there are too many pairs to look at all of them.
func (p *placer) long() bool { return len(p.stamps)*len(p.chapters) > exactPairs }

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
	setReach(g)
	return g
}

// setReach lets about stepsEach nodes lie within reach of each, as dense as they are
// where there are any.
func setReach(g *align.Grid) {
	cells := 0.0
	for from := 0; from < len(g.X); {
		to := from
		for to < len(g.X) && g.X[to] == g.X[from] {
			to++
		}
		cells += float64(g.Y[to-1] - g.Y[from] + 1)
		from = to
	}
	g.Reach = max(2, int32(math.Sqrt(stepsEach*cells/float64(max(1, len(g.X))))))
}
