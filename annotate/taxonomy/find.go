package taxonomy

import (
	"cmp"
	"slices"
)

// hit is a name found at tokens [from, to).
type hit struct {
	target
	from, to int
	sure     float64
	name     *name
}

// maxName is the most words a name has in a text; names of the tables have six at
// most.
const maxName = 7

// shortAbbreviation is the length up to which a name in a longer text stands as one
// word, and in capitals where it is a word too, as la and id are.
const shortAbbreviation = 2

// joinable is the least length of a name that may be written as several words
// without being one in the table.
const joinable = 5

// find returns the names inside a text, none overlapping another, in text order.
// Where names overlap the one with more words wins, then the longer one, then the
// one spelt exactly, then the earlier one.
func (x *index) find(tokens []token) []hit {
	var all []hit
	for from := range tokens {
		if tokens[from].unit {
			continue
		}
		for to := from + 1; to <= len(tokens); to++ {
			if to-1 > from && tokens[to-1].brk && tokens[to-1].text != "oclock" || words(tokens[from:to]) > maxName {
				break
			}
			if h, ok := x.at(tokens, from, to); ok {
				all = append(all, h)
			}
			if h, ok := x.turned(tokens, from, to); ok {
				all = append(all, h)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b hit) int {
		return cmp.Or(
			cmp.Compare(words(tokens[b.from:b.to]), words(tokens[a.from:a.to])),
			cmp.Compare(len(b.name.key), len(a.name.key)),
			cmp.Compare(b.sure, a.sure),
			cmp.Compare(a.from, b.from),
		)
	})
	var kept []hit
	for _, h := range all {
		if !slices.ContainsFunc(kept, func(k hit) bool { return h.from < k.to && k.from < h.to }) {
			kept = append(kept, h)
		}
	}
	slices.SortFunc(kept, func(a, b hit) int { return cmp.Compare(a.from, b.from) })
	return kept
}

// at looks up tokens [from, to) as one name.
func (x *index) at(tokens []token, from, to int) (hit, bool) {
	part := tokens[from:to]
	last := part[len(part)-1]
	for _, numbers := range []bool{true, false} {
		if !numbers && (part[0].silent() || last.silent()) {
			break // a value at the edge is no part of the name
		}
		if n, ok := x.exact[key(part, numbers)]; ok && x.fits(n, part) {
			return hit{target: n.target, from: from, to: to, sure: surePhrase, name: n}, true
		}
	}
	if part[0].silent() || last.silent() {
		return hit{}, false
	}
	if n, ok := x.stems[stemKey(part)]; ok && x.fits(n, part) && !x.foreign(part, n) {
		return hit{target: n.target, from: from, to: to, sure: sureStem, name: n}, true
	}
	return hit{}, false
}

// foreign reports whether a plain English word takes the place of a word of n, as
// conversation has the stem of conversion.
func (x *index) foreign(part []token, n *name) bool {
	return slices.ContainsFunc(part, func(t token) bool {
		return x.plain[t.text] && !slices.ContainsFunc(n.tokens, func(w token) bool { return w.text == t.text })
	})
}

// fits reports whether a name may stand in a longer text as these tokens.
func (x *index) fits(n *name, part []token) bool {
	switch {
	case n.common, n.collision != nil && !slices.ContainsFunc(n.collision.Readings, func(r Reading) bool { return r.ID != "" }):
		return false
	case len(n.key) <= shortAbbreviation:
		return len(part) == 1 && (part[0].capital || !x.plain[part[0].text])
	case len(part) > 1 && len(n.key) < joinable:
		return false
	}
	return true
}

// turned looks up "removal of the cortex" as "cortex removal".
func (x *index) turned(tokens []token, from, to int) (hit, bool) {
	part := tokens[from:to]
	of := slices.IndexFunc(part, func(t token) bool { return t.text == "of" })
	if of < 1 || of == len(part)-1 {
		return hit{}, false
	}
	turned := slices.Concat(part[of+1:], part[:of])
	h, ok := x.at(turned, 0, len(turned))
	h.from, h.to = from, to
	return h, ok
}

// settleHits resolves the names with several readings: by what else the text
// names, then by the neighbours. open is the first that stays ambiguous.
func (p *Procedure) settleHits(hits []hit, ctx Context) (found []hit, open *name) {
	for _, h := range hits {
		if h.name.collision == nil {
			found = append(found, h)
		}
	}
	plain := slices.Clone(found)
	for _, h := range hits {
		c := h.name.collision
		if c == nil {
			continue
		}
		if r, ok := p.readingFor(c, plain); ok {
			h.target = target{kind: p.readingKind(r), id: r.ID, variant: r.Variant}
			found = append(found, h)
			continue
		}
		best, decided, _ := p.settle(c, ctx.within(plain, h))
		if !decided {
			if open == nil {
				open = h.name
			}
			continue
		}
		if best.ID == "" {
			continue
		}
		h.target = target{kind: best.Kind, id: best.ID, variant: best.Variant}
		if !c.Default || best.ID != c.Readings[0].ID {
			h.sure = min(h.sure, sureContext)
		}
		found = append(found, h)
	}
	slices.SortStableFunc(found, func(a, b hit) int { return cmp.Compare(a.from, b.from) })
	return found, open
}

// within fills an unknown neighbour with the step the text itself names before or
// after h.
func (c Context) within(plain []hit, h hit) Context {
	for _, o := range plain {
		switch {
		case o.kind != KindStep:
		case o.from < h.from && c.Previous == "":
			c.Previous = o.id
		case o.from > h.from && c.Next == "":
			c.Next = o.id
		}
	}
	return c
}

// readingFor is the reading of c that goes with the steps named beside it: the
// same step, or a complication that belongs to one of them.
func (p *Procedure) readingFor(c *Collision, beside []hit) (Reading, bool) {
	for _, h := range beside {
		for _, r := range c.Readings {
			if r.ID != "" && r.ID == h.id {
				return r, true
			}
		}
	}
	for _, h := range beside {
		for _, r := range c.Readings {
			if e, ok := p.Event(r.ID); ok && e.Complication && slices.Contains(e.Steps, h.id) {
				return r, true
			}
		}
	}
	return Reading{}, false
}

// variantBeside finds the variant of a step among the words of the text that name
// nothing else.
func (x *index) variantBeside(step string, tokens []token, found []hit) string {
	keys := x.beside[step]
	best, length := "", 0
	for from := range tokens {
		if negatedAt(tokens, from) {
			continue
		}
		for to := from + 1; to <= min(len(tokens), from+4); to++ {
			k := key(tokens[from:to], true)
			if id, ok := keys[k]; ok && len(k) > length && !claimed(step, from, to, found) {
				best, length = id, len(k)
			}
		}
	}
	return best
}

// claimed reports whether another step or event was found in tokens [from, to).
func claimed(step string, from, to int, found []hit) bool {
	return slices.ContainsFunc(found, func(h hit) bool { return h.id != step && from < h.to && h.from < to })
}
