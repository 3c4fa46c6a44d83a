package privacy

import (
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// HoldsWord reports whether one of words stands in text, by the same rules by
// which Scan finds Options.PrivateWords: in any case and any Unicode
// normalisation form, with any separators between its parts. Cost is one pass
// over the text and one search of it for each word.
func HoldsWord(text string, words []string) bool {
	found := false
	newMatcher(words).find(text, func(int, int) bool {
		found = true
		return false
	})
	return found
}

// matcher is a list of private words made ready for search: for each word its
// parts, folded as a text is.
type matcher struct{ words [][]string }

func newMatcher(words []string) *matcher {
	m := &matcher{}
	for _, w := range words {
		if parts := wordParts(fold(w).text); len(parts) > 0 {
			m.words = append(m.words, parts)
		}
	}
	return m
}

// wordParts cuts a word where a separator stands in it. A dot at either end is
// part of the word: without it the private word "M." would be every m.
func wordParts(word string) []string {
	word = strings.TrimFunc(word, func(r rune) bool { return r != '.' && separates(r) })
	parts := strings.FieldsFunc(word, separates)
	if len(parts) == 0 {
		return nil
	}
	last := len(parts) - 1
	parts[last] += word[len(strings.TrimRight(word, ".")):]
	parts[0] = word[:len(word)-len(strings.TrimLeft(word, "."))] + parts[0]
	return parts
}

// separates reports whether r may stand between the parts of a private word. The
// middle dots part names in Chinese and Japanese; a zero-width space parts words
// in Thai and Khmer.
func separates(r rune) bool {
	switch r {
	case '_', '-', '.', '‐', '‑', '·', '・', '\u200b':
		return true
	}
	return unicode.IsSpace(r)
}

// find yields the bytes [start, end) of text at which a word stands, word by
// word, until yield refuses.
func (m *matcher) find(text string, yield func(start, end int) bool) {
	if len(m.words) == 0 {
		return
	}
	f := fold(text)
	for _, parts := range m.words {
		for from := 0; ; {
			i := strings.Index(f.text[from:], parts[0])
			if i < 0 {
				break
			}
			start := from + i
			from = start + runeLen(f.text[start:])
			end, ok := partsEnd(f.text, start+len(parts[0]), parts[1:])
			if ok && startsWord(f.text, start) && endsWord(f.text, end) && !yield(f.start(start), f.end(end)) {
				return
			}
		}
	}
}

// partsEnd is where the remaining parts of a word end when they follow at.
func partsEnd(text string, at int, parts []string) (end int, ok bool) {
	for _, p := range parts {
		rest := strings.TrimLeftFunc(text[at:], separates)
		if !strings.HasPrefix(rest, p) {
			return 0, false
		}
		at = len(text) - len(rest) + len(p)
	}
	return at, true
}

func startsWord(text string, at int) bool {
	outside, inside := before(text, at), after(text, at)
	return !isWord(outside) || unspaced(outside) || unspaced(inside)
}

// endsWord reports whether a word may end at a place in folded text: never
// before a mark or a piece of a syllable that belongs to its last letter.
func endsWord(text string, at int) bool {
	outside, inside := after(text, at), before(text, at)
	if !isWord(outside) {
		return true
	}
	if unicode.IsMark(outside) || !norm.NFC.PropertiesString(text[at:]).BoundaryBefore() {
		return false
	}
	return unspaced(outside) || unspaced(inside)
}

// unspaced reports whether r is of a script whose words stand together without
// spaces. Korean has spaces, but its particles follow a name without one.
func unspaced(r rune) bool {
	return r >= 0x0E00 && unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana,
		unicode.Thai, unicode.Lao, unicode.Khmer, unicode.Myanmar, unicode.Hangul)
}

// folded is a text with its letters decomposed (Unicode normalisation form D)
// and of one case. moved lists the stretches whose length the folding changed.
type folded struct {
	text  string
	moved []moved
}

// moved is a stretch [from, to) of the folded text that stands for the bytes
// [wasFrom, wasTo) of the text as written.
type moved struct{ from, to, wasFrom, wasTo int }

func fold(text string) folded {
	f := folded{}
	b := make([]byte, 0, len(text)+len(text)/16)
	for i := 0; i < len(text); {
		if text[i] < utf8.RuneSelf && (i+1 == len(text) || text[i+1] < utf8.RuneSelf) {
			b = append(b, byte(foldRune(rune(text[i]))))
			i++
			continue
		}
		n := max(1, norm.NFD.NextBoundaryInString(text[i:], true))
		from := len(b)
		b = appendFolded(b, text[i:i+n])
		if len(b)-from != n {
			f.moved = append(f.moved, moved{from, len(b), i, i + n})
		}
		i += n
	}
	f.text = string(b)
	return f
}

// appendFolded folds one stretch of text that normalisation does not join with
// its neighbours.
func appendFolded(b []byte, text string) []byte {
	if !norm.NFD.IsNormalString(text) {
		text = norm.NFD.String(text)
	}
	for i, r := range text {
		if r == utf8.RuneError {
			b = append(b, text[i:i+runeLen(text[i:])]...)
			continue
		}
		b = utf8.AppendRune(b, foldRune(r))
	}
	return b
}

// foldRune is the one rune that stands for all that differ from r by case only.
// A mark never stands for a letter: the Greek iota has one among its cases.
func foldRune(r rune) rune {
	if r < utf8.RuneSelf {
		if 'A' <= r && r <= 'Z' {
			r += 'a' - 'A'
		}
		return r
	}
	least := r
	for c := unicode.SimpleFold(r); c != r; c = unicode.SimpleFold(c) {
		if unicode.IsMark(least) || c < least && !unicode.IsMark(c) {
			least = c
		}
	}
	if least < utf8.RuneSelf {
		return foldRune(least)
	}
	return least
}

// start is the place in the text as written of a place in the folded one; inside
// a changed stretch it is where the stretch begins.
func (f folded) start(at int) int {
	m, ok := f.before(at)
	switch {
	case !ok:
		return at
	case at < m.to:
		return m.wasFrom
	}
	return m.wasTo + at - m.to
}

// end is start for the end of a match; inside a changed stretch it is where the
// stretch ends.
func (f folded) end(at int) int {
	m, ok := f.before(at - 1)
	switch {
	case !ok:
		return at
	case at < m.to:
		return m.wasTo
	}
	return m.wasTo + at - m.to
}

// before is the last changed stretch that begins at or before a place.
func (f folded) before(at int) (moved, bool) {
	i := sort.Search(len(f.moved), func(i int) bool { return f.moved[i].from > at })
	if i == 0 {
		return moved{}, false
	}
	return f.moved[i-1], true
}
