package taxonomy

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/kljensen/snowball/english"
	"golang.org/x/text/unicode/norm"
)

// Limits on what is looked at, so that a pasted page costs no more than a line:
// bytes of a text, tokens of it, letters of a word.
const (
	maxText   = 600
	maxTokens = 48
	maxWord   = 40
)

// token is one word or number of a text in its canonical spelling.
type token struct {
	text    string
	stem    string // only of tokens that stems were asked for
	glue    rune   // what stood between the token before and this one, ' ' when there was space
	brk     bool   // a clause begins here
	capital bool   // written in capitals
	number  bool   // a number
	unit    bool   // the unit of the number before it
}

// silent reports whether the token is part of a value rather than of a name.
func (t token) silent() bool { return t.number || t.unit }

// tokenise splits a text into canonical tokens: compatibility forms and accents
// folded, lower case, British and American spellings made one, punctuation
// dropped, letters such as I/A or A.C. joined, articles left out, and the unit of
// a number marked. Cost is linear in the first maxText bytes.
func tokenise(text string) []token {
	s := scanner{text: fold(text), glue: ' '}
	s.run()
	tokens := joinLetters(s.tokens)
	tokens = slices.DeleteFunc(tokens, func(t token) bool {
		return t.text == "the" || t.text == "a" || t.text == "an" || t.text == ""
	})
	if len(tokens) > 0 {
		tokens[0].brk = true
	}
	markUnits(tokens)
	return dropNumbering(tokens)
}

// fold cuts a text to maxText and removes what NFKD calls compatibility and marks.
func fold(text string) string {
	if len(text) > maxText {
		n := maxText
		for n > 0 && !utf8.RuneStart(text[n]) {
			n--
		}
		text = text[:n]
	}
	ascii := true
	for i := 0; i < len(text) && ascii; i++ {
		ascii = text[i] < utf8.RuneSelf
	}
	if ascii {
		return text
	}
	text = ligatures.Replace(text)
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Mn, r):
			return -1
		case r == '’' || r == '‘' || r == 'ʼ':
			return '\''
		case r == '‐' || r == '‑' || r == '\u2044':
			return '-'
		}
		return r
	}, norm.NFKD.String(text))
}

// ligatures are letters that NFKD keeps whole.
var ligatures = strings.NewReplacer("æ", "ae", "Æ", "AE", "œ", "oe", "Œ", "OE", "ß", "ss")

type scanner struct {
	text   string
	at     int
	glue   rune
	brk    bool
	and    bool // a + or & is waiting for the word after it
	tokens []token
}

func (s *scanner) run() {
	for s.at < len(s.text) && len(s.tokens) < maxTokens {
		r, n := utf8.DecodeRuneInString(s.text[s.at:])
		switch {
		case unicode.IsDigit(r):
			s.number()
		case unicode.IsLetter(r):
			s.word()
		default:
			s.at += n
			s.separator(r)
		}
	}
}

func (s *scanner) separator(r rune) {
	switch {
	case unicode.IsSpace(r) || unicode.IsControl(r):
		if r == '\n' || r == '\r' {
			s.brk = true
		}
		if s.glue != '&' {
			s.glue = ' '
		}
	case r == '&':
		s.glue, s.and = '&', true
	case r == '+':
		s.glue, s.and = ' ', true
	case strings.ContainsRune("-–—", r):
		if s.glue == ' ' && (s.at >= len(s.text) || s.text[s.at] == ' ') { // a dash between clauses
			s.brk = true
		}
		s.glue = '-'
	case strings.ContainsRune(".,:", r):
		if next, _ := utf8.DecodeRuneInString(s.text[s.at:]); !unicode.IsLetter(next) || r != '.' {
			s.brk = true
		}
		s.glue = r
	case r == ')' && len(s.tokens) == 1 && !s.tokens[0].capital && strings.Trim(s.tokens[0].text, "ivx") == "":
		s.tokens, s.glue = s.tokens[:0], ' ' // a roman numeral before the name
	case strings.ContainsRune(";!?()[]{}|=<>→", r):
		s.brk = true
		s.glue = r
	default:
		s.glue = r
	}
}

func (s *scanner) add(text string, capital, number bool) {
	if s.and && len(s.tokens) > 0 && s.glue != '&' {
		s.tokens = append(s.tokens, token{text: "and", glue: ' '})
	}
	s.tokens = append(s.tokens, token{text: text, glue: s.glue, brk: s.brk, capital: capital, number: number})
	s.glue, s.brk, s.and = 0, false, false
}

func (s *scanner) word() {
	from, letters, upper := s.at, 0, 0
	var b strings.Builder
	for s.at < len(s.text) {
		r, n := utf8.DecodeRuneInString(s.text[s.at:])
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '\'' {
			break
		}
		if r == '\'' {
			s.at += len(contraction(s.text[s.at:]))
			continue
		}
		s.at += n
		letters++
		if unicode.IsUpper(r) {
			upper++
		}
		b.WriteRune(unicode.ToLower(r))
	}
	if letters > maxWord || s.at == from {
		s.glue = ' '
		return
	}
	s.add(spell(b.String()), upper == letters, false)
}

// contraction is the apostrophe and, of 's, 'll and their like, the letters after
// it, which are no part of a name: Tenon's is Tenon.
func contraction(s string) string {
	for _, tail := range [...]string{"'s", "'ll", "'d", "'re", "'ve", "'m"} {
		if len(s) >= len(tail) && strings.EqualFold(s[:len(tail)], tail) && !startsWithLetter(s[len(tail):]) {
			return tail
		}
	}
	return "'"
}

// number reads digits with inner points, commas, colons and dashes ("10-0", "1:15",
// "6.2-6.8") and the letters stuck to them: an ordinal makes a word, anything else
// a word of its own.
func (s *scanner) number() {
	from := s.at
	for s.at < len(s.text) {
		r, n := utf8.DecodeRuneInString(s.text[s.at:])
		if !unicode.IsDigit(r) {
			next, _ := utf8.DecodeRuneInString(s.text[s.at+n:])
			if !strings.ContainsRune(".,:/x×-–", r) || !unicode.IsDigit(next) {
				break
			}
		}
		s.at += n
	}
	digits := s.text[from:s.at]
	for _, ordinal := range []string{"st", "nd", "rd", "th"} {
		if tail := s.text[s.at:]; len(tail) >= 2 && strings.EqualFold(tail[:2], ordinal) && !startsWithLetter(tail[2:]) {
			s.at += 2
			s.add(digits+ordinal, false, false)
			return
		}
	}
	if len(digits) <= maxWord {
		s.add(digits, false, true)
	}
}

func startsWithLetter(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsLetter(r)
}

// joinLetters makes one word of single letters with no more than a mark between
// them: I/A, I & A, A.C.
func joinLetters(tokens []token) []token {
	single := func(t token) bool { return !t.number && utf8.RuneCountInString(t.text) == 1 }
	out := tokens[:0]
	joining := false
	for _, t := range tokens {
		if n := len(out); n > 0 && single(t) && strings.ContainsRune("./&-", t.glue) && t.glue != 0 && (joining || single(out[n-1])) {
			out[n-1].text += t.text
			out[n-1].capital = true // written with a mark between, it is as good as capitals
			joining = true
			continue
		}
		if n := len(out); t.glue == '&' && n > 0 {
			out = append(out, token{text: "and", glue: ' '})
		}
		joining = false
		out = append(out, t)
	}
	return out
}

// isUnit reports whether a word after a number is its unit.
func isUnit(word string) bool {
	switch word {
	case "mm", "cm", "m", "um", "μm", "micron", "microns", "ml", "cc", "l", "mg", "ug", "μg", "g", "gauge", "iu",
		"mmhg", "hg", "kpa", "d", "diopter", "deg", "degree", "degrees", "percent", "x", "times", "pps",
		"s", "sec", "secs", "second", "seconds", "min", "mins", "minute", "minutes", "h", "hr", "clock", "oclock", "hours":
		return true
	}
	return false
}

// markUnits marks the units after numbers, as in "20 mmHg" and "3 clock hours", and
// the x of "x2".
func markUnits(tokens []token) {
	for i := 0; i+1 < len(tokens); i++ {
		if tokens[i].text == "x" && tokens[i+1].number {
			tokens[i].unit = true
		}
	}
	for i := 1; i < len(tokens); i++ {
		t := &tokens[i]
		if tokens[i-1].silent() && isUnit(t.text) && (!t.brk || t.text == "oclock") {
			if tokens[i-1].unit && t.text != "hg" && t.text != "hours" {
				continue
			}
			t.unit = true
		}
	}
}

// dropNumbering removes "step 3" and "chapter 2" from the front. Bare numbers need
// no removal: they are silent.
func dropNumbering(tokens []token) []token {
	if len(tokens) > 2 && tokens[1].number {
		switch tokens[0].text {
		case "step", "chapter", "phase", "part", "ch", "no", "nr", "stage":
			tokens = tokens[2:]
			tokens[0].brk = true
		}
	}
	return tokens
}

// spellings turn British forms into American ones and double letters that are
// often left single into single ones; both sides of a comparison go through them.
var spellings = strings.NewReplacer(
	"ae", "e", "oede", "ede", "rrh", "rh", "dialling", "dialing", "dialled", "dialed", "dialler", "dialer",
	"isation", "ization", "centred", "centered", "centre", "center", "colour", "color", "sulph", "sulf", "grey", "gray", "lignocain", "lidocain",
)

// spell is the canonical spelling of a lower-case word.
func spell(word string) string {
	word = spellings.Replace(word)
	for _, end := range [...][2]string{{"ise", "ize"}, {"ised", "ized"}, {"ising", "izing"}} {
		if strings.HasSuffix(word, end[0]) && len(word) > len(end[0])+2 {
			return strings.TrimSuffix(word, end[0]) + end[1]
		}
	}
	return word
}

// stemmer holds the stems found so far, since one is dear and names share words.
type stemmer map[string]string

// add fills the stems of the words.
func (s stemmer) add(tokens []token) {
	for i := range tokens {
		t := &tokens[i]
		if t.silent() {
			continue
		}
		stem, ok := s[t.text]
		if !ok {
			stem = english.Stem(t.text, false)
			s[t.text] = stem
		}
		t.stem = stem
	}
}

// key joins the tokens of a name, so that side-port, side port and sideport are
// one. Units are left out, numbers too unless asked for.
func key(tokens []token, numbers bool) string {
	n := 0
	for _, t := range tokens {
		n += len(t.text)
	}
	var b strings.Builder
	b.Grow(n)
	for _, t := range tokens {
		if !t.unit && (numbers || !t.number) {
			b.WriteString(t.text)
		}
	}
	return b.String()
}

// stemKey is key over the stems, without numbers.
func stemKey(tokens []token) string {
	var b strings.Builder
	for _, t := range tokens {
		if !t.silent() {
			b.WriteString(t.stem)
		}
	}
	return b.String()
}

// words counts the tokens that are part of a name.
func words(tokens []token) int {
	n := 0
	for _, t := range tokens {
		if !t.silent() {
			n++
		}
	}
	return n
}
