package placing

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"sideport/annotate/quantity"

	"github.com/hbollon/go-edlib"
	"golang.org/x/text/unicode/norm"
)

// Words of at least alikeFrom letters that begin with the same one are taken for one
// word from the likeness alikeWord on: a letter left out or doubled, two swapped, a
// plural. Our own choice; whole texts are no measure, as on and off at the end of the
// same words leave them nearly alike.
const (
	alikeWord = 0.95
	alikeFrom = 4
)

// maxWords is how many bytes of a text are looked at, so that a pasted page costs no
// more than a line.
const maxWords = 600

// wording is a text made ready to be held against another.
type wording struct {
	numbers  string   // its digits, in order
	words    []string // sorted
	initials string   // the first letters of words
}

// wordsOf leaves out case, accents and punctuation, and numbers with their units from
// the words, so that what was measured at a step does not make two names of it differ.
// Only the first 600 bytes are looked at.
func wordsOf(text string) wording {
	if len(text) > maxWords {
		text = strings.ToValidUTF8(text[:maxWords], "")
	}
	var w wording
	w.numbers = strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) {
			return r
		}
		return -1
	}, text)
	var rest strings.Builder
	at := 0
	for _, q := range quantity.Find(text) {
		rest.WriteString(text[at:q.Start] + " ")
		at = q.End
	}
	rest.WriteString(text[at:])
	plain := strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return unicode.ToLower(r)
	}, norm.NFKD.String(rest.String()))
	words := strings.FieldsFunc(plain, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsMark(r) })
	slices.Sort(words)
	w.words = words
	for _, word := range words {
		first, _ := utf8.DecodeRuneInString(word)
		w.initials += string(first)
	}
	return w
}

// sameRemark reports whether two texts have the same words but for misspellings, and
// no number tells them apart: part 1 is not part 2.
func (w *wording) sameRemark(other *wording) bool {
	if w.initials != other.initials || w.initials == "" { // told soonest
		return false
	}
	if w.numbers != other.numbers && w.numbers != "" && other.numbers != "" {
		return false
	}
	for i, word := range w.words {
		if word != other.words[i] && !misspelt(word, other.words[i]) {
			return false
		}
	}
	return true
}

// misspelt reports whether two different words with the same first letter are one,
// spelt in two ways.
func misspelt(a, b string) bool {
	return min(utf8.RuneCountInString(a), utf8.RuneCountInString(b)) >= alikeFrom && jaroWinkler(a, b) >= alikeWord
}

// jaroWinkler is how alike two words are as they are spelt, 0 to 1: the library's measure,
// made the same for both orders, since which letters meet can depend on whose are looked
// for.
//
// Source: Winkler WE, Proc Section on Survey Research Methods, American Statistical
// Association 1990:354-359, with a prefix of at most four letters weighing 0.1 each.
func jaroWinkler(a, b string) float64 {
	return float64(max(edlib.JaroWinklerSimilarity(a, b), edlib.JaroWinklerSimilarity(b, a)))
}
