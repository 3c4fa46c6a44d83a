package taxonomy

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"sync"
)

// The numbers of the guess: tried on words written for the purpose, no source.
const (
	smoothing    = 0.13 // of a word that a step's phrases never hold
	othersWeight = 0.5  // of a phrase of another procedure for the same step
	nameWeight   = 0.3  // of a name of the vocabulary: there are many, and few are said
	slipWeight   = 0.6  // of a word that is a letter off
	startWeight  = 0.9  // of a word that another begins with
	shortest     = 3    // letters of a word that may stand for a longer one
	fewest       = 0.02 // share below which a candidate is left out
	mostLikely   = 0.98 // share of the best candidate of a text all of whose words are known
	wordSays     = 1.7  // weight of what a word says
	pairSays     = 1.3  // weight of what two neighbouring words say together
)

// guess holds how often each word, and each pair of words, stands in the phrases of
// each step.
type guess struct {
	steps  []string
	counts map[string][]float64 // by word stem or pair: per step
	totals []float64            // per step
	words  []string             // the stems among the keys of counts, sorted
}

// Likely guesses which steps a text may name by the words in it alone, as a share a
// step, the likeliest first; the shares add up to at most 1, and what is missing is
// how far the words are not known. Nothing is likely of a text without a known word.
//
// Unlike [Procedure.Match] it takes no account of what a word stands beside, and its
// answer names nothing by itself: it is evidence beside the times for those who put
// two lists beside each other. Cost is up to a millisecond for a text with several
// unknown words.
//
// Source: word counts with equal priors (naive Bayes; Maron ME, J ACM 1961;8:404-417,
// from memory) over the names of the vocabulary and phrases of the trade, the latter
// common practice, no source.
func (p *Procedure) Likely(text string) []Candidate {
	return p.guesser().likely(text)
}

func (p *Procedure) guesser() *guess {
	if p.guess == nil {
		return newGuess(p)
	}
	return p.guess()
}

func newGuess(p *Procedure) *guess {
	g := &guess{counts: map[string][]float64{}}
	stems := stemmer{}
	for _, s := range p.Steps {
		g.steps = append(g.steps, s.ID)
	}
	g.totals = make([]float64, len(g.steps))
	for k := range p.Steps {
		s := &p.Steps[k]
		g.add(k, s.Label, nameWeight, stems)
		for _, n := range s.Names() {
			g.add(k, n, nameWeight, stems)
		}
	}
	for _, ph := range phrases() {
		id, ok := p.Resolve(ph.step)
		if k := slices.Index(g.steps, id); ok && k >= 0 {
			weight := 1.0
			if ph.procedure != p.ID {
				weight = othersWeight
			}
			g.add(k, ph.text, weight, stems)
		}
	}
	for w := range g.counts {
		if !strings.Contains(w, " ") {
			g.words = append(g.words, w)
		}
	}
	slices.Sort(g.words)
	return g
}

// add counts each word and each pair of neighbours of a phrase once. A pair is two
// stems with a space between; at either end of the phrase one of them is empty.
func (g *guess) add(step int, phrase string, weight float64, stems stemmer) {
	tokens := tokenise(phrase)
	stems.add(tokens)
	seen := map[string]bool{}
	for _, w := range slices.Concat(stemsOf(tokens), pairsOf(tokens)) {
		if seen[w] {
			continue
		}
		seen[w] = true
		if g.counts[w] == nil {
			g.counts[w] = make([]float64, len(g.steps))
		}
		g.counts[w][step] += weight
		g.totals[step] += weight
	}
}

// stemsOf are the stems of the words that are part of a name.
func stemsOf(tokens []token) []string {
	var out []string
	for _, t := range tokens {
		if !t.silent() {
			out = append(out, t.stem)
		}
	}
	return out
}

func pairsOf(tokens []token) []string {
	var out []string
	last := ""
	for _, w := range stemsOf(tokens) {
		out = append(out, last+" "+w)
		last = w
	}
	if last != "" {
		out = append(out, last+" ")
	}
	return out
}

func (g *guess) likely(text string) []Candidate {
	tokens := tokenise(text)
	stemmer{}.add(tokens)
	score := make([]float64, len(g.steps))
	known, all := 0.0, 0.0
	for _, w := range stemsOf(tokens) {
		all++
		if counts, sure := g.of(w); sure > 0 {
			known += sure
			g.say(score, counts, sure, wordSays)
		}
	}
	if known == 0 {
		return nil
	}
	for _, w := range pairsOf(tokens) {
		if counts, ok := g.counts[w]; ok {
			g.say(score, counts, 1, pairSays)
		}
	}
	best := slices.Max(score)
	sum := 0.0
	for k := range score {
		score[k] = math.Exp(score[k] - best)
		sum += score[k]
	}
	var out []Candidate
	for k, s := range score {
		if share := mostLikely * s / sum * known / all; share >= fewest {
			out = append(out, Candidate{ID: g.steps[k], Kind: KindStep, Score: share})
		}
	}
	slices.SortStableFunc(out, func(a, b Candidate) int { return cmp.Compare(b.Score, a.Score) })
	return out
}

// say adds to the score of each step what a word with these counts says for it. A
// word that is only taken for another says less.
func (g *guess) say(score, counts []float64, sure, weight float64) {
	sum := 0.0
	for k, c := range counts {
		sum += g.share(c, k)
	}
	for k, c := range counts {
		score[k] += weight * math.Log(sure*g.share(c, k)/sum+(1-sure)/float64(len(counts)))
	}
}

// share is how much of what a step's phrases say is a word that they hold c times.
func (g *guess) share(c float64, step int) float64 {
	return (c + smoothing) / (g.totals[step] + smoothing*float64(len(g.counts)))
}

// of is how often a word stands in the phrases of each step, and how sure it is that
// it is that word: for a word that no phrase holds, those a letter off or begun by
// it.
func (g *guess) of(stem string) ([]float64, float64) {
	if c, ok := g.counts[stem]; ok {
		return c, 1
	}
	if len(stem) < shortest {
		return nil, 0
	}
	var sum []float64
	sure := 0.0
	take := func(word string, weight float64) {
		if weight < sure {
			return
		}
		if weight > sure {
			sum, sure = make([]float64, len(g.steps)), weight
		}
		for k, c := range g.counts[word] {
			sum[k] += c
		}
	}
	for _, w := range g.words {
		switch {
		case len(w) > len(stem) && strings.HasPrefix(w, stem), len(w) > shortest && strings.HasPrefix(stem, w):
			take(w, startWeight)
		case len(stem) > shortest && oneSlip(stem, w):
			take(w, slipWeight)
		}
	}
	return sum, sure
}

// oneSlip reports whether one letter dropped, added, changed or swapped with its
// neighbour makes a of b.
func oneSlip(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > 1 || len(b) == 0 {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	if len(a) < len(b) {
		return a[i:] == b[i+1:]
	}
	if i == len(a) {
		return true
	}
	return a[i+1:] == b[i+1:] || i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}

// phrase is a way of saying a step.
type phrase struct{ procedure, step, text string }

var phrases = sync.OnceValue(readPhrases)

func readPhrases() []phrase {
	text, err := files.ReadFile("data/phrases.tsv")
	if err != nil {
		panic("taxonomy: " + err.Error())
	}
	var out []phrase
	for line := range strings.Lines(string(text)) {
		cells := strings.Split(strings.TrimRight(line, "\n"), "\t")
		if line[0] != '#' && len(cells) == 3 {
			out = append(out, phrase{cells[0], cells[1], cells[2]})
		}
	}
	return out
}
