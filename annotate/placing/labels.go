package placing

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// label is what a stamp's and a chapter's words have in common.
type label struct {
	gain float64
	step string
	rank int
}

// labels are looked up once for each two different meanings and not for each two marks.
// Marks whose words say nothing are of class saysNothing; among them those with the same
// words are of one remark.
type labels struct {
	stamp, chapter             []int // class of each mark
	stampRemark, chapterRemark []int // 0 for none
	stampTotal                 []float64
	table                      [][]label
}

const saysNothing = 0

// mostLabels bounds the table. Beyond it the guesses by words are left out, which every
// text may have of its own, and the names stay.
const mostLabels = 1 << 20

// sameWords is the gain of the same words on both sides, whatever they mean.
const sameWords = 2.0

func (l *labels) pair(i, j int) label {
	if l.stamp[i] == saysNothing && l.chapter[j] == saysNothing && l.stampRemark[i] > 0 && l.stampRemark[i] == l.chapterRemark[j] {
		return label{gain: sameWords, rank: -1}
	}
	return l.table[l.stamp[i]][l.chapter[j]]
}

// sortLabels sorts the marks into classes that mean the same.
func (p *placer) sortLabels() {
	if p.labels = p.labelsWith(true); p.labels.table == nil {
		p.labels = p.labelsWith(false)
	}
	p.sortRemarks()
}

// labelsWith sorts the marks with or without the guesses by their words. There is no
// table when it would be too large.
func (p *placer) labelsWith(guesses bool) *labels {
	l := &labels{}
	stamps, chapters := newClasses(), newClasses()
	for _, s := range p.stamps {
		l.stamp = append(l.stamp, stamps.of(s.Step, s.Confidence, s.Candidates, s.Likely, false, guesses))
	}
	for _, c := range p.chapters {
		l.chapter = append(l.chapter, chapters.of(c.Step, c.Confidence, c.Candidates, c.Likely, calledCard(c.Title), guesses))
	}
	if guesses && len(stamps.list)*len(chapters.list) > mostLabels {
		return l
	}
	for _, m := range stamps.list {
		l.stampTotal = append(l.stampTotal, m.total())
	}
	ids := idsOf(chapters.list)
	for _, m := range stamps.list {
		spread := m.spread(ids, p.vocab)
		row := make([]label, len(chapters.list))
		for j, other := range chapters.list {
			row[j] = p.compare(m, other, spread, ids)
		}
		l.table = append(l.table, row)
	}
	return l
}

// name is what marks of one class are called.
type name struct {
	step       string
	confidence float64
	meaning
	card bool // shows a title and no recording
}

// classes are the different names of a list, the first of them those that say nothing.
type classes struct {
	list []name
	seen map[string]int
}

func newClasses() *classes {
	return &classes{list: make([]name, 1), seen: map[string]int{"": saysNothing}}
}

func (c *classes) of(step string, confidence float64, candidates []string, likely []Share, card, guesses bool) int {
	if !guesses {
		likely = nil
	}
	n := name{step: step, confidence: confidence, meaning: meaningOf(step, confidence, candidates, likely)}
	n.card = card && len(n.meaning) == 0
	key := n.key()
	k, ok := c.seen[key]
	if !ok {
		k, c.seen[key] = len(c.list), len(c.list)
		c.list = append(c.list, n)
	}
	return k
}

// key is one for names that mean the same, and empty for one that says nothing.
func (n *name) key() string {
	var b strings.Builder
	if n.step != "" {
		b.WriteString(n.step + "=" + strconv.FormatFloat(n.confidence, 'g', -1, 64))
	}
	for _, s := range n.meaning {
		b.WriteString("\x00" + s.ID + "=" + strconv.FormatFloat(s.Share, 'g', -1, 64))
	}
	if n.card {
		b.WriteString("\x01")
	}
	return b.String()
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
	if chapter.card || contradict(stamp.step, chapter.step, stamp.confidence, chapter.confidence, p.vocab) {
		l.gain = math.Inf(-1)
	}
	l.rank = p.rank(l.step)
	return l
}

// count is how many pairs have something in common.
func (l *labels) count() (n int) {
	stamps, chapters := make([]int, len(l.table)), make([]int, len(l.table[0]))
	for _, k := range l.stamp {
		stamps[k]++
	}
	for _, k := range l.chapter {
		chapters[k]++
	}
	for i, row := range l.table {
		for j := range row {
			if row[j].gain >= telling {
				n += stamps[i] * chapters[j]
			}
		}
	}
	remarks := map[int]int{}
	for _, k := range l.stampRemark {
		if k > 0 {
			remarks[k]++
		}
	}
	for _, k := range l.chapterRemark {
		n += remarks[k]
	}
	return n
}
