package narration

import (
	"strconv"
	"strings"
)

// numberWord is one token of a number in words.
type numberWord struct {
	text       string
	start, end int
}

// units, teens and tens of English cardinals.
func cardinal(word string) (value int, kind byte) {
	switch word {
	case "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine":
		return index(word, "zero one two three four five six seven eight nine"), 'u'
	case "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen":
		return 10 + index(word, "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen"), 't'
	case "twenty", "thirty", "forty", "fourty", "fifty", "sixty", "seventy", "eighty", "ninety":
		if word == "fourty" {
			word = "forty"
		}
		return 20 + 10*index(word, "twenty thirty forty fifty sixty seventy eighty ninety"), 'y'
	case "hundred":
		return 100, 'h'
	case "thousand":
		return 1000, 'h'
	}
	return 0, 0
}

func index(word, list string) int {
	for i, w := range strings.Fields(list) {
		if w == word {
			return i
		}
	}
	return -1
}

func isDigits(word string) bool { return word != "" && word[0] >= '0' && word[0] <= '9' }

func isFractionWord(word string) bool {
	return word == "half" || word == "quarter" || word == "quarters"
}

// numberRuns are the maximal stretches of number words, joined by one space, or
// by a hyphen between words; a lone number in digits is none. "and" and "a" belong to a run only where English puts them in a number:
// "three hundred and fifty", "six and a half", "half a".
func numberRuns(text string) [][]numberWord {
	words := splitNumberWords(text)
	joined := func(i int) bool { // is word i joined to word i-1
		gap := text[words[i-1].end:words[i].start]
		return gap == " " || gap == "-" && !isDigits(words[i-1].text) && !isDigits(words[i].text)
	}
	numeral := func(i int) bool {
		_, kind := cardinal(words[i].text)
		return kind != 0 || isDigits(words[i].text) && !inCode(text, words[i])
	}
	next := func(i int) string {
		if i+1 < len(words) && joined(i+1) {
			return words[i+1].text
		}
		return ""
	}
	var runs [][]numberWord
	var run []numberWord
	flush := func() {
		if len(run) > 1 || len(run) == 1 && !isDigits(run[0].text) {
			runs = append(runs, run)
		}
		run = nil
	}
	for i, w := range words {
		if len(run) > 0 && !joined(i) {
			flush()
		}
		last := ""
		if len(run) > 0 {
			last = run[len(run)-1].text
		}
		ok := false
		switch {
		case numeral(i), isFractionWord(w.text):
			ok = true
		case w.text == "point":
			ok = len(run) > 0 || isNumberStart(next(i))
		case w.text == "oh":
			ok = len(run) > 0 || isNumberStart(next(i))
		case w.text == "minus":
			ok = len(run) == 0 && isNumberStart(next(i))
		case w.text == "a":
			ok = last == "half" || last == "and" || next(i) == "hundred" || next(i) == "thousand" || isFractionWord(next(i))
		case w.text == "and" && len(run) > 0:
			n := next(i)
			_, kind := cardinal(n)
			big := last == "hundred" || last == "thousand"
			fraction := isFractionWord(n) || n == "a" && i+2 < len(words) && isFractionWord(words[i+2].text) ||
				n == "three" && i+2 < len(words) && words[i+2].text == "quarters"
			ok = big && kind != 0 || fraction
		}
		if !ok {
			flush()
			continue
		}
		run = append(run, w)
	}
	flush()
	return runs
}

// inCode reports whether digits are part of 10-0, 1:17, 6/18 or their like.
func inCode(text string, w numberWord) bool {
	mark := func(i int) bool { return i >= 0 && i < len(text) && strings.IndexByte("-/:", text[i]) >= 0 }
	digit := func(i int) bool { return i >= 0 && i < len(text) && isDigits(text[i:i+1]) }
	return mark(w.start-1) && digit(w.start-2) || mark(w.end) && digit(w.end+1)
}

func isNumberStart(word string) bool {
	_, kind := cardinal(word)
	return kind != 0 || word == "oh" || word == "point" || isDigits(word)
}

// splitNumberWords cuts text into words in lower case and decimal numbers.
func splitNumberWords(text string) []numberWord {
	var out []numberWord
	for i := 0; i < len(text); {
		c := text[i]
		j := i + 1
		switch {
		case c >= '0' && c <= '9':
			for j < len(text) && (text[j] >= '0' && text[j] <= '9' || text[j] == '.' && j+1 < len(text) && text[j+1] >= '0' && text[j+1] <= '9') {
				j++
			}
		case isLetter(c):
			for j < len(text) && (isLetter(text[j]) || text[j] == '\'') {
				j++
			}
		default:
			i = j
			continue
		}
		out = append(out, numberWord{strings.ToLower(text[i:j]), i, j})
		i = j
	}
	return out
}

// isLetter counts every byte beyond ASCII as part of a word, so that a word with
// an accent is not cut into number words.
func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' || c >= 0x80 }

// parseNumber reads a whole run as one number and returns it in digits. It refuses
// what can be heard in two ways: two numbers in a row, a leading "oh", "three
// fifty", "point fifteen".
func parseNumber(run []numberWord) (string, bool) {
	words := make([]string, len(run))
	for i, w := range run {
		words[i] = w.text
	}
	sign := ""
	if words[0] == "minus" {
		sign, words = "-", words[1:]
	}
	if f, rest, ok := parseFraction(words); ok && len(rest) == 0 {
		return sign + "0" + f, true
	}
	whole, rest, ok := parseWhole(words)
	if !ok && words[0] == "point" {
		whole, rest, ok = "0", words, true
	}
	if !ok {
		return "", false
	}
	switch {
	case len(rest) == 0:
		return sign + whole, true
	case rest[0] == "point" && !strings.Contains(whole, "."):
		decimals, ok := parseDecimals(rest[1:])
		return sign + whole + "." + decimals, ok
	case rest[0] == "and" && !strings.Contains(whole, "."):
		f, rest, ok := parseFraction(rest[1:])
		return sign + whole + f, ok && len(rest) == 0
	}
	return "", false
}

// parseWhole reads the cardinal at the start of words.
func parseWhole(words []string) (string, []string, bool) {
	if len(words) == 0 {
		return "", nil, false
	}
	if isDigits(words[0]) {
		return words[0], words[1:], true
	}
	n, rest, ok := below1000(words)
	if !ok {
		return "", words, false
	}
	if len(rest) > 0 && rest[0] == "thousand" {
		n, rest = n*1000, rest[1:]
		tail := rest
		if len(tail) > 0 && tail[0] == "and" {
			tail = tail[1:]
		}
		if more, left, ok := below1000(tail); ok && !(len(tail) > 0 && tail[0] == "a") {
			n, rest = n+more, left
		}
	}
	return strconv.Itoa(n), rest, true
}

// below1000 reads "twenty five", "three hundred and fifty", "a hundred"; also
// "fifteen hundred".
func below1000(words []string) (int, []string, bool) {
	n, rest, ok := below100(words)
	if !ok && len(words) > 1 && words[0] == "a" && (words[1] == "hundred" || words[1] == "thousand") {
		n, rest, ok = 1, words[1:], true
	}
	if !ok {
		return 0, words, false
	}
	if len(rest) == 0 || rest[0] != "hundred" {
		return n, rest, true
	}
	n, rest = n*100, rest[1:]
	tail := rest
	if len(tail) > 0 && tail[0] == "and" {
		tail = tail[1:]
	}
	if more, left, ok := below100(tail); ok && more > 0 {
		return n + more, left, true
	}
	return n, rest, true
}

func below100(words []string) (int, []string, bool) {
	if len(words) == 0 {
		return 0, words, false
	}
	n, kind := cardinal(words[0])
	switch kind {
	case 'u', 't':
		return n, words[1:], true
	case 'y':
		if len(words) > 1 {
			if u, k := cardinal(words[1]); k == 'u' && u > 0 {
				return n + u, words[2:], true
			}
		}
		return n, words[1:], true
	}
	return 0, words, false
}

// parseFraction reads a half or quarters as decimals: ".5".
func parseFraction(words []string) (string, []string, bool) {
	if len(words) > 0 && words[0] == "a" {
		words = words[1:]
	}
	switch {
	case len(words) == 0:
		return "", words, false
	case words[0] == "half":
		if len(words) > 1 && words[1] == "a" {
			return ".5", words[2:], true
		}
		return ".5", words[1:], true
	case words[0] == "quarter":
		return ".25", words[1:], true
	case len(words) > 1 && words[0] == "three" && words[1] == "quarters":
		return ".75", words[2:], true
	}
	return "", words, false
}

// parseDecimals reads what follows "point": single digits one by one, or one
// number of two digits such as twenty-five. "point fifteen" and "point fifty" are
// heard as each other and refused.
func parseDecimals(words []string) (string, bool) {
	if len(words) == 1 && isDigits(words[0]) {
		return words[0], !strings.Contains(words[0], ".")
	}
	if len(words) == 2 {
		if tens, kind := cardinal(words[0]); kind == 'y' {
			u, k := cardinal(words[1])
			return strconv.Itoa(tens + u), k == 'u' && u > 0
		}
	}
	var out strings.Builder
	for _, w := range words {
		u, kind := cardinal(w)
		switch {
		case kind == 'u':
			out.WriteString(strconv.Itoa(u))
		case w == "oh":
			out.WriteString("0")
		default:
			return "", false
		}
	}
	return out.String(), out.Len() > 0
}
