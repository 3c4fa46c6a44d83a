package placing

import (
	"math"
	"slices"
)

// How much of what one step's name means holds for another step. Our own choice;
// only the order of the numbers is argued for.
const (
	widerMeaning   = 0.7  // one is the whole of which the other is a part
	siblingMeaning = 0.3  // two parts of one whole
	akinMeaning    = 0.04 // label sets have one class for both
)

// chance is how often two marks of a case name the same thing by chance: an
// operation has about sixteen different steps on its video.
const chance = 1.0 / 16

// How much of what a mark means is its name, and how much is left to the guess by its
// words. Our own choice: the guess was the better of the two for a name that is part
// of a longer text.
const (
	namedShare  = 0.9 // of the stated confidence, where there is no guess
	wholeShare  = 0.7 // a name that is the whole text
	partShare   = 0.3 // a name inside a longer text, or a letter off
	amongShares = 0.8 // shared by the candidates of a name that stays open
	likelyShare = 0.9 // the guess, of what the name leaves open
)

// leastChance bounds how much two different names speak against one moment: names are
// wrong now and then.
const leastChance = 0.02

// nameless is the share below which the words of a mark are taken to say nothing.
const nameless = 0.3

// meaning is what the words of a mark may mean: shares that add up to at most 1.
type meaning []Share

func (m meaning) total() (sum float64) {
	for _, s := range m {
		sum += s.Share
	}
	return sum
}

// meaningOf joins the name of a mark and the guess by its words.
func meaningOf(step string, confidence float64, candidates []string, likely []Share) meaning {
	var m meaning
	left := 1.0
	switch {
	case step != "":
		named := sureness(confidence) * namedShare
		if len(likely) > 0 {
			named = partShare
			if sureness(confidence) >= surelyNamed {
				named = wholeShare
			}
		}
		m = append(m, Share{step, named})
		left -= named
	case len(candidates) > 0:
		for _, id := range candidates {
			m = append(m, Share{id, amongShares / float64(len(candidates))})
		}
		left -= amongShares
	}
	for _, l := range likely {
		m = append(m, Share{l.ID, l.Share * left * likelyShare})
	}
	return m
}

// contradict reports whether two marks are surely named and surely not alike.
func contradict(a, b string, sureA, sureB float64, vocab Vocabulary) bool {
	return a != "" && b != "" && sureness(sureA) >= surelyNamed && sureness(sureB) >= surelyNamed && related(a, b, vocab) == 0
}

// surelyNamed is the confidence of a name that is the whole text.
const surelyNamed = 0.95

// best is the id with the greatest share in both, and "" when none stands out.
func (m meaning) best(other meaning) string {
	best, most, sum := "", 0.0, 0.0
	for _, a := range m {
		for _, b := range other {
			if a.ID != b.ID {
				continue
			}
			both := a.Share * b.Share
			if sum += both; both > most {
				best, most = a.ID, both
			}
		}
	}
	if most*2 < sum {
		return ""
	}
	return best
}

// spread is how likely a mark means something that another mark calls id, by id.
func (m meaning) spread(ids []string, vocab Vocabulary) []float64 {
	out := make([]float64, len(ids))
	for k, id := range ids {
		for _, s := range m {
			out[k] += s.Share * related(s.ID, id, vocab)
		}
	}
	return out
}

func related(a, b string, vocab Vocabulary) float64 {
	if a == b {
		return 1
	}
	if vocab == nil {
		return 0
	}
	pa, hasA := vocab.Parent(a)
	pb, hasB := vocab.Parent(b)
	switch {
	case hasA && pa == b, hasB && pb == a:
		return widerMeaning
	case hasA && hasB && pa == pb:
		return siblingMeaning
	case vocab.Akin(a, b):
		return akinMeaning
	}
	return 0
}

// gain is how much more likely two marks with these meanings stand for one moment
// than for two, as a natural logarithm: 0 when the words of either say nothing,
// about 2.5 for the same sure name and -2 for two different ones.
func gain(total, otherTotal, both float64) float64 {
	w := total * otherTotal
	return math.Log(max(1-w+both/chance, leastChance))
}

// idsOf are the ids that a list of marks may mean, each once, in order.
func idsOf(list []name) []string {
	var ids []string
	for _, m := range list {
		for _, s := range m.meaning {
			if !slices.Contains(ids, s.ID) {
				ids = append(ids, s.ID)
			}
		}
	}
	return ids
}

func sureness(confidence float64) float64 {
	if confidence <= 0 {
		return 1
	}
	return min(confidence, 1)
}
