package narration

import (
	"regexp"
	"sort"
	"strings"

	"sideport/annotate/quantity"
)

// Options says what is known when a text is read.
type Options struct {
	// Lexicon holds the words; nil is English.
	Lexicon *Lexicon
	// Step is the step the text belongs to, or empty.
	Step string
	// Likely names the one parameter of a step that takes a unit, or none when
	// there are several; the unit is empty for a bare number. Nil is never.
	Likely func(step string, unit quantity.Unit) (parameter string, ok bool)
}

// Said is a quantity that a text ties to a parameter: a proposal, until the case
// file confirms it.
type Said struct {
	Parameter  string
	Quantity   quantity.Quantity
	Start, End int    // of the quantity in the text
	Quote      string // the text between, as written
	Confidence float64
}

// How sure a tie is, by how it was made; our own scale, not a probability.
const (
	besideWord = 0.9 // at most two words lie between the word and the value
	nearWord   = 0.8
	onlyUnit   = 0.7 // the step has one parameter of that unit
	bareNumber = 0.6 // no unit written
)

// Distances in words between a word and its value.
const (
	adjacent      = 2
	farthest      = 5
	commaDistance = 2
)

// Values finds the quantities of a text and the parameters they belong to, in
// order of appearance. A quantity is left when nothing ties it, when two things tie
// it equally, and when the sentence negates it, asks, plans, or tells of what is
// usual. A bare number is taken only right after a word for the one parameter that
// opt.Likely names for the step.
func Values(text string, opt Options) []Said {
	lex := opt.Lexicon
	if lex == nil {
		lex = English()
	}
	spoken := digitise(text)
	r := reading{lex: lex, opt: opt, spoken: spoken}
	r.words, r.questions = splitWords(spoken.text)
	r.mark()
	var out []Said
	add := func(q quantity.Quantity, start, end int, parameter string, sure float64) {
		start, end = spoken.original(start, end)
		q.Text = text[start:end]
		out = append(out, Said{parameter, q, start, end, text[start:end], sure})
	}
	found := quantity.Find(spoken.text)
	at := 0
	for i, c := range r.ties(found) {
		f := found[i]
		r.bare(at, f.Start, add)
		at = f.End
		if c.parameter != "" {
			add(f.Quantity, f.Start, f.End, c.parameter, c.sure())
		}
	}
	r.bare(at, len(spoken.text), add)
	return out
}

// reading is one text in work.
type reading struct {
	lex       *Lexicon
	opt       Options
	spoken    spoken
	words     []word
	questions map[int]bool
	mentions  []mention
	crowded   map[int]bool // segments that hold a mention
	negated   map[int]bool // segments
	planned   map[int]bool // sentences
}

// mention is a word or phrase of the lexicon in the text: words first to last.
type mention struct {
	first, last int
	entries     []int // empty for a word that has sizes and no parameter
}

func (r *reading) mark() {
	r.crowded, r.negated, r.planned = map[int]bool{}, map[int]bool{}, map[int]bool{}
	phrases(r.words, r.lex.longest, func(p string) bool {
		_, ok := r.lex.phrases[singular(r.lex, p)]
		return ok
	}, func(first, last int, p string) {
		r.mentions = append(r.mentions, mention{first, last, r.lex.phrases[singular(r.lex, p)]})
		r.crowded[r.words[first].segment] = true
	})
	r.markWords(r.lex.negations, func(w word) { r.negated[w.segment] = true })
	r.markWords(r.lex.plans, func(w word) { r.planned[w.sentence] = true })
}

func (r *reading) markWords(list map[string]bool, mark func(word)) {
	phrases(r.words, r.lex.longest, func(p string) bool { _, ok := list[p]; return ok }, func(first, _ int, p string) {
		if list[p] {
			mark(r.words[first])
		}
	})
}

// singular is the phrase the lexicon holds for p: p itself, or p without a final
// s.
func singular(l *Lexicon, p string) string {
	if _, ok := l.phrases[p]; !ok {
		if s, cut := strings.CutSuffix(p, "s"); cut {
			return s
		}
	}
	return p
}

// between are the indices of the words inside [start, end); last is before first
// when there are none.
func (r *reading) between(start, end int) (first, last int) {
	first = sort.Search(len(r.words), func(i int) bool { return r.words[i].end > start })
	last = sort.Search(len(r.words), func(i int) bool { return r.words[i].start >= end }) - 1
	return first, last
}

// leadingReach is how many bytes before a quantity leading sees.
const leadingReach = 32

// leading is a number right before a quantity, with at most a small word between:
// "5 5 mm", "6 to 5 mm", "6 by 12 mm". What was meant is then not certain.
var leading = regexp.MustCompile(`(?:^|[^\pL\d.:/])\d+(?:\.\d+)?\s*(?:to|and|or|by|x|×|into|point|-)?\s*$`)

// dubious reports whether a quantity is to be left whatever stands beside it.
func (r *reading) dubious(f quantity.Found) bool {
	if f.Kind == quantity.Place || f.Kind == quantity.Ratio || r.spoken.isUnsure(f.Start, f.End) {
		return true
	}
	if f.Unit != quantity.USP && leading.MatchString(r.spoken.text[max(0, f.Start-leadingReach):f.Start]) {
		return true
	}
	first, last := r.between(f.Start, f.End)
	if last < first || r.silenced(first) {
		return true
	}
	// "one second", "a minute" are pauses of speech.
	return (f.Unit == quantity.Second || f.Unit == "min") && f.Single() && *f.Low == 1
}

// silenced reports whether word i stands in a question, a negation or a plan.
func (r *reading) silenced(i int) bool {
	w := r.words[i]
	return r.questions[w.sentence] || r.planned[w.sentence] || r.negated[w.segment]
}

// claim is a mention that can own a quantity.
type claim struct {
	mention, distance int
	parameter         string // empty for a word that claims for no parameter
}

// ties finds the parameter of each quantity that is not dubious. A quantity whose
// nearest claims agree is settled first; the mention it takes then no longer
// counts where two claims are equally near: in "a 6.5 mm frown 2 mm behind the
// limbus" the frown is taken.
func (r *reading) ties(found []quantity.Found) []claim {
	out := make([]claim, len(found))
	nearest := make([][]claim, len(found))
	taken := map[int]bool{}
	for i, f := range found {
		if r.dubious(f) {
			continue
		}
		nearest[i] = r.nearest(found, i)
		if c, ok := agreed(nearest[i], nil); ok {
			out[i] = c
			taken[c.mention] = true
		}
	}
	for i, f := range found {
		if c, ok := agreed(nearest[i], taken); ok && out[i].parameter == "" {
			out[i] = c
		}
		if len(nearest[i]) == 0 && !r.dubious(f) {
			out[i] = r.byUnit(f)
		}
	}
	return out
}

// agreed is the claim that all claims but those of taken mentions amount to.
func agreed(claims []claim, taken map[int]bool) (claim, bool) {
	var left []claim
	for _, c := range claims {
		if !taken[c.mention] {
			left = append(left, c)
		}
	}
	if len(left) == 0 {
		return claim{}, false
	}
	for _, c := range left {
		if c.parameter != left[0].parameter {
			return claim{}, false
		}
	}
	return left[0], left[0].parameter != ""
}

// nearest are the claims on found[i] at the least distance: mentions in its
// sentence that take its unit, with no other quantity of that dimension between. A
// comma between counts as two words more.
func (r *reading) nearest(found []quantity.Found, i int) []claim {
	f := found[i]
	first, last := r.between(f.Start, f.End)
	var out []claim
	// Mentions stand in order and do not overlap: those within reach follow each
	// other.
	k := sort.Search(len(r.mentions), func(k int) bool { return first-r.mentions[k].last-1 <= farthest })
	for ; k < len(r.mentions) && r.mentions[k].first-last-1 <= farthest; k++ {
		m := r.mentions[k]
		if r.words[m.first].sentence != r.words[first].sentence {
			continue
		}
		// Negative, and so 0, for a word inside the quantity: 10-0 nylon.
		distance := max(first-m.last-1, m.first-last-1, 0)
		if r.words[m.first].segment != r.words[first].segment {
			distance += commaDistance
		}
		if distance > farthest || r.occupied(found, i, m) {
			continue
		}
		id, concerned := r.means(m, f.Unit)
		if !concerned {
			continue
		}
		switch {
		case len(out) == 0 || distance < out[0].distance:
			out = []claim{{k, distance, id}}
		case distance == out[0].distance:
			out = append(out, claim{k, distance, id})
		}
	}
	return out
}

// byUnit is the claim of the step itself, made when no word of the lexicon stands
// in the same stretch between commas.
func (r *reading) byUnit(f quantity.Found) claim {
	first, _ := r.between(f.Start, f.End)
	if r.crowded[r.words[first].segment] || r.opt.Likely == nil || r.opt.Step == "" {
		return claim{}
	}
	id, _ := r.opt.Likely(r.opt.Step, f.Unit)
	return claim{mention: -1, parameter: id}
}

// sure is how far a claim is trusted.
func (c claim) sure() float64 {
	switch {
	case c.mention < 0:
		return onlyUnit
	case c.distance <= adjacent:
		return besideWord
	}
	return nearWord
}

// means is the parameter that a mention gives a value of a unit, empty for a word
// that claims the value for something that is no parameter here; concerned is
// false when the unit cannot be the mention's.
func (r *reading) means(m mention, unit quantity.Unit) (parameter string, concerned bool) {
	if len(m.entries) == 0 {
		return "", true
	}
	for _, i := range m.entries {
		e := r.lex.entries[i]
		if e.unit != unit && !quantity.Compatible(unit, e.unit) {
			continue
		}
		concerned = true
		if id := e.at(r.opt.Step); id != "" {
			return id, true
		}
	}
	return "", concerned
}

// occupied reports whether another quantity of the same dimension stands between
// found[i] and a mention.
func (r *reading) occupied(found []quantity.Found, i int, m mention) bool {
	from, to := r.words[m.last].end, found[i].Start
	if r.words[m.first].start > found[i].Start {
		from, to = found[i].End, r.words[m.first].start
	}
	between := func(f quantity.Found) bool {
		return f.Start >= from && f.End <= to && quantity.Compatible(f.Unit, found[i].Unit)
	}
	for j := i - 1; j >= 0 && found[j].Start >= from; j-- {
		if between(found[j]) {
			return true
		}
	}
	for j := i + 1; j < len(found) && found[j].End <= to; j++ {
		if between(found[j]) {
			return true
		}
	}
	return false
}

// number is a bare number or range that ends its clause.
var number = regexp.MustCompile(`^(?:(?:about|approximately|around|roughly|nearly|~) ?)?\d+(?:\.\d+)?(?: ?(?:-|–|to) ?\d+(?:\.\d+)?)?(?:$|[,;.!)]?(?:\s+(?:and|with|now|then|so|here)\b|\s*$|[,;!)]|\.\s))`)

var numberEnd = regexp.MustCompile(`^(?:(?:about|approximately|around|roughly|nearly|~) ?)?\d+(?:\.\d+)?(?: ?(?:-|–|to) ?\d+(?:\.\d+)?)?`)

// bare looks for numbers without a unit in [from, to), between two quantities.
func (r *reading) bare(from, to int, add func(quantity.Quantity, int, int, string, float64)) {
	if r.opt.Likely == nil || r.opt.Step == "" {
		return
	}
	likely, ok := r.opt.Likely(r.opt.Step, "")
	if !ok {
		return
	}
	text := r.spoken.text[:to]
	for _, m := range r.mentions {
		start := r.words[m.last].end
		if start < from || start >= to || !r.names(m, likely) || r.silenced(m.last) {
			continue
		}
		at := skipLinks(text, start)
		if at < 0 || !number.MatchString(text[at:]) {
			continue
		}
		end := at + len(numberEnd.FindString(text[at:]))
		if r.spoken.isUnsure(at, end) {
			continue
		}
		if q, err := quantity.Parse(text[at:end]); err == nil && q.Unit == "" && q.Kind == quantity.Number {
			add(q, at, end, likely, bareNumber)
		}
	}
}

func (r *reading) names(m mention, parameter string) bool {
	for _, i := range m.entries {
		if r.lex.entries[i].at(r.opt.Step) == parameter {
			return true
		}
	}
	return false
}

var links = regexp.MustCompile(`^(?:[ :=]+(?:is|was|of|at|set to|set at|to|measures|measured)\b){0,2}[ :=]+`)

// skipLinks moves over "is", "of" and their like after a word, or returns -1.
func skipLinks(text string, at int) int {
	loc := links.FindStringIndex(text[at:])
	if loc == nil {
		return -1
	}
	return at + loc[1]
}
