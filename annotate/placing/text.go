package placing

import (
	"slices"
	"strings"
	"unicode"

	"sideport/annotate/quantity"

	"github.com/hbollon/go-edlib"
	"golang.org/x/text/unicode/norm"
)

// alike is the likeness from which two texts that the vocabulary does not know are
// taken for the same remark: two letters in a dozen, or a word more in four. Our own
// choice.
const alike = 0.9

// maxWords is how many bytes of a text are looked at, so that a pasted page costs no
// more than a line.
const maxWords = 600

// Likeness says how alike two texts are as they are spelt, 0 to 1: 1 for the same
// words in any order, 0 when either has none. Case, accents and punctuation do not
// count, nor do numbers and values with their units, so that what was measured at a
// step does not make two names of it differ.
//
// It is the Jaro-Winkler similarity of the texts or of their words in alphabetical
// order, whichever is more. Only the first 600 bytes of each are looked at. The order
// of the arguments does not matter. Cost is O(n m) for n and m letters.
//
// Source: Winkler WE, Proc Section on Survey Research Methods, American Statistical
// Association 1990:354-359, with a prefix of at most four letters weighing 0.1 each.
func Likeness(a, b string) float64 {
	x, y := wordsOf(a), wordsOf(b)
	return x.like(&y)
}

// wording is a text made ready for Likeness.
type wording struct {
	whole, sorted string
	numbers       string // its digits, in order
	letters       int
	count         [buckets]uint16 // of letters, by their code modulo buckets
}

const buckets = 32

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
	w.whole = strings.Join(words, " ")
	slices.Sort(words)
	w.sorted = strings.Join(words, " ")
	for _, r := range w.whole {
		w.letters++
		w.count[r%buckets]++
	}
	return w
}

// atMost is a bound that like never exceeds, for a fraction of its cost: as if every
// letter that both have were met in order and the first four were the same.
func (w *wording) atMost(other *wording) float64 {
	common := 0
	for k, n := range w.count {
		common += int(min(n, other.count[k]))
	}
	if common == 0 {
		return 0
	}
	jaro := (float64(common)/float64(w.letters) + float64(common)/float64(other.letters) + 1) / 3
	return jaro + 0.4*(1-jaro)
}

func (w *wording) like(other *wording) float64 {
	return max(jaroWinkler(w.whole, other.whole), jaroWinkler(w.sorted, other.sorted))
}

// jaroWinkler is the library's, made the same for both orders: which letters meet can
// depend on whose are looked for.
func jaroWinkler(a, b string) float64 {
	return float64(max(edlib.JaroWinklerSimilarity(a, b), edlib.JaroWinklerSimilarity(b, a)))
}

// like says how far a stamp and a chapter name the same thing, as likeness does, and
// beyond it whether two labels that the vocabulary does not know are nearly the same
// remark. Numbers tell such labels apart: part 1 is not part 2.
func (p *placer) like(i, j int) (float64, string) {
	s, c := p.stamps[i], p.chapters[j]
	like, step := likeness(s, c, p.vocab)
	if like != unlike || s.Step != "" || c.Step != "" || len(s.Candidates)+len(c.Candidates) > 0 {
		return like, step
	}
	a, b := &p.stampWords[i], &p.chapterWords[j]
	if a.atMost(b) < alike || a.numbers != b.numbers && a.numbers != "" && b.numbers != "" {
		return unlike, ""
	}
	if near := a.like(b); near >= alike {
		return sameText * near, ""
	}
	return unlike, ""
}
