package taxonomy

import "slices"

// Candidate is one thing a text may name.
type Candidate struct {
	ID      string // empty for a meaning outside the vocabulary
	Kind    Kind
	Variant string
	Meaning string  // of an empty ID: what else the text may stand for
	Score   float64 // share among the candidates, 0..1
}

// Match is what a text names.
//
// ID is empty for a remark and for a text that stays ambiguous; then Candidates
// holds more than one. With an ID, Candidates is empty, or it lists what else the
// text names: the step a complication came in, the second of two steps.
type Match struct {
	Kind        Kind
	ID, Variant string
	Confidence  float64
	Candidates  []Candidate
}

// Context is what stands beside the text: the ids of the resolved steps before
// and after it, empty when unknown.
type Context struct{ Previous, Next string }

// The confidence of a match, by how it was made.
const (
	sureID        = 1.0  // the whole text is an id or a label
	sureName      = 0.97 // the whole text is another name, values and numbering aside
	surePhrase    = 0.9  // the name stands in a longer text
	sureContext   = 0.85 // an ambiguous name that the neighbours settle
	sureStem      = 0.8  // equal word stems; or the first of two steps that the text names
	sureNear      = 0.75 // the whole text is one letter from a name
	sureNearPart  = 0.65 // part of the text is one letter from a name
	nearLetter    = 0.05 // off for a second letter
	besideAnother = 0.8  // the most a text can have that names two steps
)

// Match says what a text names, such as a stamp, a chapter title or the class name
// of an open data set.
//
// The whole text is looked up first, then names inside it, the longest first, by
// spelling and by word stem, then names within a small edit distance: none up to
// four letters, one up to eight, two beyond. A complication named without a
// negation wins over an event, an event over a step, and of several steps the
// first that does not follow a preposition: a stamp marks a beginning. Names that
// several things share are settled by ctx where it can.
//
// Only the first 600 bytes are read. Cost is some microseconds for a name that is
// known and about a millisecond for any text. The result depends on nothing but
// the arguments and p.
func (p *Procedure) Match(text string, ctx Context) Match {
	tokens := tokenise(text)
	if words(tokens) == 0 && len(tokens) == 0 {
		return Match{Kind: KindRemark}
	}
	if n, sure, ok := p.lookup().whole(tokens); ok {
		return p.named(n, sure, ctx, tokens)
	}
	stemmer{}.add(tokens)
	hits := p.lookup().find(tokens)
	hits = dropNegated(tokens, hits)
	m, ok := p.decide(tokens, hits, ctx)
	if ok && m.Kind == KindComplication {
		return m
	}
	if near := dropNegated(tokens, p.lookup().findNear(tokens, hits, ok)); len(near) > 0 {
		if fuzzy, found := p.decide(tokens, replace(hits, near), ctx); found {
			return fuzzy
		}
	}
	if ok {
		return m
	}
	if n, ok := p.lookup().wholeStem(tokens); ok {
		return p.named(n, sureStem, ctx, tokens)
	}
	return Match{Kind: KindRemark}
}

// whole looks the text up as it is, then without values, then without words such
// as "done" and "start".
func (x *index) whole(tokens []token) (*name, float64, bool) {
	for _, k := range []string{key(tokens, true), key(tokens, false)} {
		if n, ok := x.exact[k]; ok {
			return n, sureOf(n), true
		}
	}
	if bare := strip(tokens); len(bare) < len(tokens) {
		if n, ok := x.exact[key(bare, true)]; ok {
			return n, surePhrase, true
		}
	}
	return x.wholeBeside(tokens)
}

// wholeBeside looks for a common word and, with nothing else, a variant's words or
// another name of the step beside it: "blue under air", "flip epi".
func (x *index) wholeBeside(tokens []token) (*name, float64, bool) {
	for cut := 1; cut < len(tokens); cut++ {
		for _, halves := range [...][2][]token{{tokens[:cut], tokens[cut:]}, {tokens[cut:], tokens[:cut]}} {
			n, ok := x.exact[key(strip(halves[0]), true)]
			if !ok || !n.common || n.kind != KindStep {
				continue
			}
			other := key(strip(halves[1]), true)
			if _, ok := x.beside[n.id][other]; ok {
				return n, surePhrase, true
			}
			if o, ok := x.exact[other]; ok && o.target == n.target {
				return n, surePhrase, true
			}
		}
	}
	return nil, 0, false
}

func (x *index) wholeStem(tokens []token) (*name, bool) {
	bare := strip(tokens)
	n, ok := x.commonStems[stemKey(bare)]
	return n, ok && !x.foreign(bare, n)
}

func sureOf(n *name) float64 {
	if n.canonical {
		return sureID
	}
	return sureName
}

// strip leaves out values and the words that only say how far a step has come.
func strip(tokens []token) []token {
	var out []token
	for _, t := range tokens {
		if !t.silent() && !isProgress(t.text) {
			out = append(out, t)
		}
	}
	return out
}

func isProgress(word string) bool {
	switch word {
	case "start", "starts", "started", "starting", "begin", "begins", "began", "begun", "beginning", "commenced",
		"done", "made", "make", "making", "finish", "finished", "finishing", "complete", "completed", "over", "end", "ended",
		"ok", "now", "again", "then", "next", "still", "repeat", "repeated", "first", "1st", "in", "of", "for", "with",
		"about", "approx", "approximately", "at", "diameter", "size", "to", "given", "injected", "applied", "used", "taken",
		"and", "by", "on", "up", "position", "place", "placed", "real", "time", "video", "step", "phase", "part":
		return true
	}
	return false
}

// named turns a name into a Match.
func (p *Procedure) named(n *name, sure float64, ctx Context, tokens []token) Match {
	if n.collision == nil {
		m := Match{Kind: n.kind, ID: n.id, Variant: n.variant, Confidence: sure}
		if m.Kind == KindStep && m.Variant == "" {
			m.Variant = p.lookup().variantBeside(m.ID, tokens, nil)
		}
		return m
	}
	best, decided, all := p.settle(n.collision, ctx)
	if !decided {
		return Match{Kind: all[0].Kind, Confidence: all[0].Score, Candidates: all}
	}
	if !n.collision.Default || best.ID != n.collision.Readings[0].ID {
		sure = min(sure, sureContext)
	}
	return Match{Kind: best.Kind, ID: best.ID, Variant: best.Variant, Confidence: sure}
}

// decide chooses among the names found inside a text.
func (p *Procedure) decide(tokens []token, hits []hit, ctx Context) (Match, bool) {
	found, open := p.settleHits(hits, ctx)
	if len(found) == 0 {
		if open == nil {
			return Match{}, false
		}
		return p.named(open, surePhrase, ctx, tokens), true
	}
	first := p.leading(tokens, found)
	m := Match{Kind: first.kind, ID: first.id, Variant: first.variant, Confidence: first.sure}
	for _, h := range found {
		if h.id == m.ID && h.variant != m.Variant && h.kind == KindStep {
			m.Variant = p.together(m.ID, m.Variant, h.variant)
		}
	}
	if m.Kind == KindStep && m.Variant == "" {
		m.Variant = p.lookup().variantBeside(m.ID, tokens, found)
	}
	m.Candidates = others(first, found)
	if m.Kind == KindStep && slices.ContainsFunc(found, func(h hit) bool { return h.id != m.ID && !subordinate(tokens, h, found) }) {
		m.Confidence = min(m.Confidence, besideAnother)
	}
	return m, true
}

// leading is the hit a text is about: a complication before an event before a
// step, among equals the first that does not follow a preposition.
func (p *Procedure) leading(tokens []token, found []hit) hit {
	for _, kind := range []Kind{KindComplication, KindEvent, KindStep} {
		var of []hit
		for _, h := range found {
			if h.kind == kind {
				of = append(of, h)
			}
		}
		for _, h := range of {
			if !subordinate(tokens, h, found) {
				return h
			}
		}
		if len(of) > 0 {
			return of[0]
		}
	}
	return found[0]
}

// together is the variant of a step named in two ways: the one that is written,
// "both" where the step has it, else none.
func (p *Procedure) together(id, a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	if s, ok := p.Step(id); ok {
		if v, ok := s.Variant("both"); ok {
			return v.ID
		}
	}
	return a
}

// others lists the match and what else was found, when there is anything else.
func others(first hit, found []hit) []Candidate {
	out := []Candidate{{ID: first.id, Kind: first.kind, Variant: first.variant, Score: first.sure}}
	for _, h := range found {
		if !slices.ContainsFunc(out, func(c Candidate) bool { return c.ID == h.id }) {
			out = append(out, Candidate{ID: h.id, Kind: h.kind, Variant: h.variant, Score: h.sure})
		}
	}
	if len(out) == 1 {
		return nil
	}
	return out
}
