package taxonomy

import (
	"slices"
	"sync"
)

// AfterConversion is the vocabulary of a case after the event "conversion": that
// of p, and behind it the steps of the other built-in procedures that p lacks. A
// name that both use keeps p's meaning. The order constraints are p's alone, since
// the two orders are one only up to the conversion. Cost is that of reading all
// names, about a millisecond.
func (p *Procedure) AfterConversion() *Procedure {
	out := *p
	out.Steps, out.Collisions = slices.Clone(p.Steps), slices.Clone(p.Collisions)
	out.Events = slices.Clone(p.Events)
	taken := map[string]bool{}
	for _, n := range p.names() {
		taken[n.key] = true
	}
	for _, c := range p.Collisions {
		taken[key(tokenise(c.Text), true)] = true
	}
	free := func(texts []string) []string {
		return slices.DeleteFunc(slices.Clone(texts), func(t string) bool { return taken[key(tokenise(t), true)] })
	}
	for _, other := range all() {
		for _, s := range other.Steps {
			if _, own := p.Resolve(s.ID); own {
				continue
			}
			s.Synonyms, s.Words, s.Required = free(s.Synonyms), free(s.Words), false
			s.Variants = slices.Clone(s.Variants)
			for i := range s.Variants {
				v := &s.Variants[i]
				v.Synonyms, v.Words = free(v.Synonyms), free(v.Words)
			}
			out.Steps = append(out.Steps, s)
		}
	}
	out.index = sync.OnceValue(func() *index { return newIndex(&out) })
	out.guess = sync.OnceValue(func() *guess { return newGuess(&out) })
	return &out
}
