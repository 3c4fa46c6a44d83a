package narration

import "strings"

// spoken is a text with the numbers in words written as digits, and the way back
// to the offsets of the original.
type spoken struct {
	text   string
	pieces []piece // the replaced stretches, in order
	unsure [][2]int
}

// piece is one replaced stretch: [from, to) of the original became
// [outFrom, outTo).
type piece struct{ from, to, outFrom, outTo int }

// digitise writes numbers in words as digits. A run of number words that is no
// single number, such as "five five", stays and is listed in unsure, in offsets of
// the new text, so that nothing is read from it or from the digits beside it.
func digitise(text string) spoken {
	var out strings.Builder
	s := spoken{}
	at := 0
	for _, run := range numberRuns(text) {
		from, to := run[0].start, run[len(run)-1].end
		out.WriteString(text[at:from])
		start := out.Len()
		at = to
		digits, ok := parseNumber(run)
		switch {
		case !ok:
			out.WriteString(text[from:to])
			if !only(run, "a", "and", "point", "half", "quarter", "minus") {
				s.unsure = append(s.unsure, [2]int{start, out.Len()})
			}
		case digits == text[from:to]:
			out.WriteString(digits)
		default:
			out.WriteString(digits)
			s.pieces = append(s.pieces, piece{from, to, start, out.Len()})
		}
	}
	out.WriteString(text[at:])
	s.text = out.String()
	return s
}

func only(run []numberWord, words ...string) bool {
	for _, w := range run {
		known := false
		for _, k := range words {
			known = known || w.text == k
		}
		if !known {
			return false
		}
	}
	return true
}

// original maps a stretch of the new text back. An end inside a replaced number
// takes in the whole of it.
func (s spoken) original(start, end int) (int, int) {
	return s.back(start, false), s.back(end, true)
}

func (s spoken) back(offset int, end bool) int {
	shift := 0
	for _, p := range s.pieces {
		switch {
		case offset < p.outFrom || offset == p.outFrom && !end:
			return offset + shift
		case offset < p.outTo || offset == p.outTo && end:
			if end {
				return p.to
			}
			return p.from
		}
		shift = p.to - p.outTo
	}
	return offset + shift
}

func (s spoken) isUnsure(start, end int) bool {
	for _, u := range s.unsure {
		// One character between is a space or a hyphen.
		if start <= u[1]+1 && u[0] <= end+1 {
			return true
		}
	}
	return false
}
