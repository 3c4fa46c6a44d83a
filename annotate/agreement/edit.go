package agreement

import (
	"github.com/agnivade/levenshtein"
)

// Edit compares which steps are named and in which order, whatever their times:
// 100 (1 - d/n), where d is the least number of names to put in, leave out or
// change between the two lists and n the longer list's length. Two lists without
// a segment agree fully.
//
// Cost is O(n m) time for n and m segments. Source: see the package.
func Edit(first, second []Segment) float64 {
	a, b := runs(first), runs(second)
	n := max(len(a), len(b))
	if n == 0 {
		return 100
	}
	letters := map[string]rune{}
	d := levenshtein.ComputeDistance(spell(a, letters), spell(b, letters))
	return 100 * float64(n-d) / float64(n)
}

// firstLetter begins a plane of code points in which each can stand in a string.
const firstLetter = 0x10000

// spell writes the names of a list as one letter each.
func spell(list []Segment, letters map[string]rune) string {
	text := make([]rune, len(list))
	for i, s := range list {
		if _, known := letters[s.Label]; !known {
			letters[s.Label] = firstLetter + rune(len(letters))
		}
		text[i] = letters[s.Label]
	}
	return string(text)
}
