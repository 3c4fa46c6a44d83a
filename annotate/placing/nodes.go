package placing

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"time"

	"sideport/timeline/align"
)

// exactPairs is the most pairs of a stamp and a chapter that are all looked at.
// exactNodes is the most nodes between which every step is looked at, some tens of
// milliseconds' work; stepsEach is how many are looked at for each of more nodes.
const (
	exactPairs = 1000
	exactNodes = 2000
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
	} else {
		out = slices.Grow(out, p.labels.count(p))
	}
	for _, j := range p.chapterOrder {
		if p.pastEnd(p.chapters[j]) {
			continue
		}
		for _, i := range p.stampOrder {
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

// label is what a stamp's and a chapter's words have in common.
type label struct {
	gain float64
	step string
	rank int
}

// labels are looked up once for each two different texts and not for each two marks.
type labels struct {
	stamp, chapter []int // class of each mark
	stampTotal     []float64
	table          [][]label
}

func (l *labels) pair(i, j int) *label { return &l.table[l.stamp[i]][l.chapter[j]] }

// sortLabels sorts the marks into classes that mean the same.
func (p *placer) sortLabels() {
	l := &labels{stamp: make([]int, len(p.stamps)), chapter: make([]int, len(p.chapters))}
	var stamps, chapters []name
	seen := map[string]int{}
	for i, s := range p.stamps {
		m := meaningOf(s.Step, s.Confidence, s.Candidates, s.Likely)
		key := classOf(s.Step, s.Confidence, m, s.Text)
		k, ok := seen[key]
		if !ok {
			k, seen[key] = len(stamps), len(stamps)
			stamps = append(stamps, name{s.Step, s.Confidence, m, folded(s.Text), &p.stampWords[i], false})
			l.stampTotal = append(l.stampTotal, m.total())
		}
		l.stamp[i] = k
	}
	clear(seen)
	for j, c := range p.chapters {
		m := meaningOf(c.Step, c.Confidence, c.Candidates, c.Likely)
		key := classOf(c.Step, c.Confidence, m, c.Title)
		k, ok := seen[key]
		if !ok {
			k, seen[key] = len(chapters), len(chapters)
			chapters = append(chapters, name{c.Step, c.Confidence, m, folded(c.Title), &p.chapterWords[j], len(m) == 0 && calledCard(c.Title)})
		}
		l.chapter[j] = k
	}
	ids := idsOf(chapters)
	for _, m := range stamps {
		spread := m.spread(ids, p.vocab)
		row := make([]label, len(chapters))
		for j, other := range chapters {
			row[j] = p.compare(m, other, spread, ids)
		}
		l.table = append(l.table, row)
	}
	p.labels = l
}

// name is what a mark is called.
type name struct {
	step       string
	confidence float64
	meaning
	text  string
	words *wording
	card  bool // a chapter that shows a title and no recording
}

// compare says what a stamp and a chapter have in common; spread is the stamp's, by ids.
func (p *placer) compare(stamp, chapter name, spread []float64, ids []string) label {
	both := 0.0
	for _, s := range chapter.meaning {
		both += s.Share * spread[slices.Index(ids, s.ID)]
	}
	l := label{gain: gain(stamp.total(), chapter.total(), both), step: stamp.best(chapter.meaning)}
	if stamp.step != "" && chapter.step != "" && related(stamp.step, chapter.step, p.vocab) > 0 {
		l.step = chapter.step
	}
	unknown := len(stamp.meaning) == 0 && len(chapter.meaning) == 0
	if stamp.text != "" && stamp.text == chapter.text || unknown && stamp.words.sameRemark(chapter.words) {
		l.gain = max(l.gain, sameWords)
	}
	if chapter.card {
		l.gain = math.Inf(-1)
	}
	if contradict(stamp.step, chapter.step, stamp.confidence, chapter.confidence, p.vocab) {
		l.gain = math.Inf(-1)
	}
	l.rank = p.rank(l.step)
	return l
}

// sameWords is the gain of the same text on both sides, whatever it means.
const sameWords = 2.0

func classOf(step string, confidence float64, m meaning, text string) string {
	if step != "" && len(m) == 1 {
		return step + "\x00" + strconv.FormatFloat(confidence, 'f', 3, 64)
	}
	return step + "\x01" + folded(text)
}

// count is how many pairs have something in common.
func (l *labels) count(p *placer) (n int) {
	stamps := make([]int, len(l.table))
	for _, k := range l.stamp {
		stamps[k]++
	}
	for j := range p.chapters {
		for k := range l.table {
			if l.table[k][l.chapter[j]].gain >= telling {
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
