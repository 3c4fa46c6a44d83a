package narration

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// word is one word of a text, folded, with its offsets.
type word struct {
	text       string
	start, end int
	segment    int // counts the stretches between commas and the like
	sentence   int // counts the stretches between full stops, buts and the like
}

// splitWords cuts text into words. A sentence ends at . ! ? ; : … or a line end
// that no digit follows, and before a "but"; a segment ends at a comma too.
func splitWords(text string) (words []word, questions map[int]bool) {
	questions = map[int]bool{}
	sentence, segment, start := 0, 0, -1
	finish := func(i int) {
		if start < 0 {
			return
		}
		w := strings.ReplaceAll(strings.ToLower(text[start:i]), "’", "'")
		switch w {
		case "but", "however", "though", "whereas":
			sentence++
			segment++
		}
		words = append(words, word{w, start, i, segment, sentence})
		start = -1
	}
	for i, r := range text {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) || (r == '\'' || r == '’') && start >= 0 {
			if start < 0 {
				start = i
			}
			continue
		}
		_, width := utf8.DecodeRuneInString(text[i:])
		next, _ := utf8.DecodeRuneInString(text[i+width:])
		inNumber := start >= 0 && unicode.IsDigit(rune(text[i-1])) && unicode.IsDigit(next)
		if inNumber && (r == '.' || r == ',') {
			continue // 5.5 is one word
		}
		finish(i)
		switch r {
		case '?':
			questions[sentence] = true
			sentence++
			segment++
		case '!', ';', '…', '\u0964':
			sentence++
			segment++
		case '.':
			if !abbreviation(words) {
				sentence++
				segment++
			}
		case ',', '(', ')', '–', '—':
			segment++
		}
	}
	finish(len(text))
	return words, questions
}

func abbreviation(words []word) bool {
	if len(words) == 0 {
		return false
	}
	switch words[len(words)-1].text {
	case "approx", "ca", "vs", "no", "dr", "max", "min", "e", "i":
		return true
	}
	return false
}

// phrases calls found with each phrase of one to longest words that set holds,
// the longest first at each place, without overlap.
func phrases(words []word, longest int, has func(string) bool, found func(first, last int, phrase string)) {
	for i := 0; i < len(words); {
		step := 1
		for n := min(longest, len(words)-i); n > 0; n-- {
			key, ok := join(words[i : i+n])
			if !ok || !has(key) {
				continue
			}
			found(i, i+n-1, key)
			step = n
			break
		}
		i += step
	}
}

// join is the key of some words; words of two sentences are no phrase.
func join(words []word) (string, bool) {
	parts := make([]string, len(words))
	for i, w := range words {
		if w.sentence != words[0].sentence {
			return "", false
		}
		parts[i] = w.text
	}
	return strings.Join(parts, " "), true
}
