package taxonomy

import (
	"slices"
	"strings"

	"github.com/agnivade/levenshtein"
)

// findNear returns names within a small edit distance of words that no hit has
// taken. After a step was found only complications are looked for: they are what
// a slip of a letter must not hide.
func (x *index) findNear(tokens []token, taken []hit, onlyComplications bool) []hit {
	var out []hit
	for from := 0; from < len(tokens); from++ {
		best := hit{}
		distance := 1 << 10
		for to := from + 1; to <= min(len(tokens), from+4); to++ {
			if to-1 > from && tokens[to-1].brk || tokens[to-1].silent() {
				break
			}
			if slices.ContainsFunc(taken, func(h hit) bool { return h.from < to && from < h.to && !(onlyComplications && h.within(from, to)) }) {
				continue
			}
			if n, d, ok := x.nearest(tokens[from:to], onlyComplications); ok && (d < distance || d == distance && len(n.key) > len(best.name.key)) {
				best, distance = hit{target: n.target, from: from, to: to, name: n}, d
			}
		}
		if best.name == nil {
			continue
		}
		best.sure = sureNearPart
		if best.to-best.from == words(tokens) {
			best.sure = sureNear
		}
		best.sure -= nearLetter * float64(distance-1)
		out = append(out, best)
		from = best.to - 1
	}
	return out
}

// within reports whether h takes part of tokens [from, to) and nothing else.
func (h hit) within(from, to int) bool {
	return from <= h.from && h.to <= to && h.to-h.from < to-from
}

// replace adds near to hits and drops the hits that a near one contains.
func replace(hits, near []hit) []hit {
	kept := slices.DeleteFunc(slices.Clone(hits), func(h hit) bool {
		return slices.ContainsFunc(near, func(n hit) bool { return h.within(n.from, n.to) })
	})
	return append(kept, near...)
}

// nearest is the name with the least edit distance to the words, the first in the
// tables on a tie. The first letter is never in doubt: slips there are rare and
// "future" is no suture.
func (x *index) nearest(part []token, onlyComplications bool) (best *name, distance int, ok bool) {
	k := key(part, false)
	if len(k) < joinable || len(part) == 1 && x.plain[k] {
		return nil, 0, false
	}
	distance = 1 << 10
	for _, n := range x.near[k[0]] {
		if onlyComplications && n.kind != KindComplication {
			continue
		}
		bound := slips(len(n.key))
		if gap := len(n.key) - len(k); gap > bound || -gap > bound {
			continue
		}
		if d, fits := x.slip(part, k, n, bound); fits && d < distance {
			best, distance = n, d
		}
	}
	return best, distance, best != nil
}

// slip is the edit distance between the words and a name, and whether it is within
// bounds: word by word where both have as many words, else over the joined text of
// long names.
func (x *index) slip(part []token, k string, n *name, bound int) (int, bool) {
	if len(part) != len(n.tokens) {
		const longEnough = 10
		if len(n.key) < longEnough || slices.ContainsFunc(part, func(t token) bool { return len(t.text) < 4 }) {
			return 0, false
		}
		d := levenshtein.ComputeDistance(k, n.key)
		return d, d > 0 && d <= bound
	}
	total := 0
	for i, t := range part {
		want := n.tokens[i].text
		if t.text == want || t.stem == n.tokens[i].stem {
			continue
		}
		if x.plain[t.text] || !strings.HasPrefix(t.text, want[:1]) {
			return 0, false
		}
		d := levenshtein.ComputeDistance(t.text, want)
		if d > slips(min(len(want), len(t.text)+1)) {
			return 0, false
		}
		total += d
	}
	return total, total > 0 && total <= bound
}

// slips is how many letters may differ in a word of that length.
func slips(length int) int {
	switch {
	case length <= 4:
		return 0
	case length <= 8:
		return 1
	}
	return 2
}
