package privacy

import (
	_ "embed"
	"regexp"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

func runeLen(s string) int {
	_, n := utf8.DecodeRuneInString(s)
	return max(n, 1)
}

func before(text string, at int) rune {
	r, _ := utf8.DecodeLastRuneInString(text[:at])
	return r
}

func after(text string, at int) rune {
	r, _ := utf8.DecodeRuneInString(text[at:])
	return r
}

func isDigit(r rune) bool { return '0' <= r && r <= '9' }

// isWord reports whether r continues a word; marks count, so that a word in an
// Indian script ends where its reader sees it end.
func isWord(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) }

// standsAlone reports whether the number [start, end) is not a piece of a longer
// number: no digit touches it, nor a digit behind one dot, comma, slash, colon or
// hyphen.
func standsAlone(text string, start, end int) bool {
	if r := before(text, start); isWord(r) {
		return false
	} else if start > 1 && strings.ContainsRune(".,/:-", r) && isDigit(before(text, start-1)) {
		return false
	}
	r := after(text, end)
	if isWord(r) {
		return false
	}
	return !(end+1 < len(text) && strings.ContainsRune(".,/:-", r) && isDigit(after(text, end+1)))
}

// unitAhead are the words that make the number before them a quantity.
var unitAhead = regexp.MustCompile(`^[ \t\x{00a0}-]?(?:mm|cm|µm|μm|um|nm|mmHg|cmH2O|kPa|Pa|psi|mL|ml|cc|L|%|°|deg|degrees?|D|dpt|diopters?|dioptres?|G|gauge|s|sec|secs|seconds?|min|mins|minutes?|h|hrs?|hours?|ms|Hz|kHz|MHz|IU|iu|U|units?|mg|µg|μg|ug|mcg|g|kg|mJ|J|mW|W|lux|px|pixels?|cells?|eyes?|cases?|patients?|operations?|surgeries|procedures?|frames?|fps|bytes?|kB|MB|GB|videos?|times|rpm|x|×|million|percent|weeks?|months?|days?)(?:[^\p{L}\d]|$)`)

func unitFollows(text string, end int) bool {
	return unitAhead.MatchString(text[end:min(len(text), end+24)])
}

func countDigits(s string) int {
	n := 0
	for _, r := range s {
		if isDigit(r) {
			n++
		}
	}
	return n
}

//go:embed words.txt
var wordsFile string

// trade holds the words of the trade and of everyday headings, in lower case,
// that are written with a capital and are nobody's name.
var trade = sync.OnceValue(func() map[string]bool {
	set := map[string]bool{}
	for line := range strings.Lines(wordsFile) {
		line, _, _ = strings.Cut(line, "#")
		for _, w := range strings.Fields(line) {
			set[strings.ToLower(w)] = true
		}
	}
	return set
})

// isTrade reports whether a word is known not to be a name, a possessive or a
// plural of one included.
func isTrade(word string) bool {
	w := strings.ToLower(strings.Trim(word, ".,'’-"))
	w = strings.TrimSuffix(strings.TrimSuffix(w, "'s"), "’s")
	if trade()[w] || trade()[strings.TrimSuffix(w, "s")] {
		return true
	}
	for part := range strings.SplitSeq(w, "-") {
		if part == w || !trade()[part] {
			return false
		}
	}
	return true
}

// wordsIn splits text into runs of letters, marks, digits, apostrophes, dots and
// hyphens and returns their offsets.
func wordsIn(text string) [][2]int {
	var out [][2]int
	start := -1
	for i, r := range text {
		part := isWord(r) || r == '\'' || r == '’' || r == '-' || r == '&'
		switch {
		case part && start < 0:
			start = i
		case !part && start >= 0:
			out = append(out, [2]int{start, i})
			start = -1
		}
	}
	if start >= 0 {
		out = append(out, [2]int{start, len(text)})
	}
	return out
}

func capital(word string) bool {
	r, _ := utf8.DecodeRuneInString(word)
	return unicode.IsUpper(r)
}
