package quantity

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Found is a quantity inside a text: Text[Start:End] in bytes.
type Found struct {
	Quantity
	Start, End int
}

// Find locates the quantities with a unit in running text, such as a stamp or a
// chapter title, left to right and without overlap. Bare numbers, clock times and
// dates are left alone; 10-0, 23 G, 1:100,000 and 12 o'clock are found. What cannot
// be read without doubt is not reported. Cost grows with the digits in the text.
func Find(text string) []Found {
	var found []Found
	for i := 0; i < len(text); {
		if !startsHere(text, i) {
			_, n := utf8.DecodeRuneInString(text[i:])
			i += n
			continue
		}
		q, end, ok := findAt(text, i)
		if !ok {
			i = skip(text, i)
			continue
		}
		q.Text = text[i:end]
		found = append(found, Found{Quantity: q, Start: i, End: end})
		i = end
	}
	return found
}

// startsHere reports whether a quantity can begin at byte i: at the start of a word
// or number, and not behind a mark that joins it to a number before, as in 0:41.
func startsHere(text string, i int) bool {
	r, _ := utf8.DecodeRuneInString(text[i:])
	if !unicode.IsDigit(r) && !unicode.IsLetter(r) && !strings.ContainsRune("~≈<>≤≥=.-−+", r) {
		return false
	}
	if i == 0 {
		return true
	}
	before, n := utf8.DecodeLastRuneInString(text[:i])
	if unicode.IsLetter(before) || unicode.IsDigit(before) || before == '_' {
		return false
	}
	if strings.ContainsRune(".,:/;-", before) && i > n {
		earlier, _ := utf8.DecodeLastRuneInString(text[:i-n])
		return !unicode.IsDigit(earlier)
	}
	return true
}

// skip is the start of the next word or number after i.
func skip(text string, i int) int {
	r, n := utf8.DecodeRuneInString(text[i:])
	i += n
	for inWord := unicode.IsLetter(r); inWord && i < len(text); i += n {
		if r, n = utf8.DecodeRuneInString(text[i:]); !unicode.IsLetter(r) {
			break
		}
	}
	return i
}

func findAt(text string, i int) (Quantity, int, bool) {
	window := text[i:]
	if len(window) > maxText {
		window = strings.ToValidUTF8(window[:maxText], "")
	}
	p := parser{s: window, loose: true}
	if p.prefix(); p.i == 0 && !startsValue(window) {
		return Quantity{}, 0, false
	}
	p.i = 0
	q, err := p.quantity()
	if err != nil || q.Unit == "" || p.i == 0 || !endsHere(window, p.i) || !credible(q, window[:p.i]) {
		return Quantity{}, 0, false
	}
	return q, i + p.i, true
}

func startsValue(s string) bool {
	s = strings.TrimLeft(s, "+-−.")
	return digits(s) != ""
}

// endsHere reports whether text may stop being the quantity at byte i.
func endsHere(text string, i int) bool {
	if i >= len(text) {
		return true
	}
	next, n := utf8.DecodeRuneInString(text[i:])
	if unicode.IsDigit(next) {
		return false
	}
	last, _ := utf8.DecodeLastRuneInString(text[:i])
	if unicode.IsLetter(next) && (unicode.IsLetter(last) || unicode.IsDigit(last)) {
		return false
	}
	if next == ':' || next == '/' || next == '-' {
		after, _ := utf8.DecodeRuneInString(text[i+n:])
		return !unicode.IsDigit(after)
	}
	return true
}

// credible drops readings that running text makes unlikely.
func credible(q Quantity, written string) bool {
	low, high := q.Ends()
	negative := low != nil && low.Sign() < 0 || high != nil && high.Sign() < 0
	switch {
	case negative && q.Unit != Dioptre && q.Unit != "°C":
		return false // a dash before a value
	case strings.HasPrefix(written, "+") && q.Unit != Dioptre:
		return false
	case q.Kind == Fraction:
		return false // 6/18 is an acuity, 1/3 may be a part of anything
	case q.Kind == Ratio: // 1:17 is a time
		return high.Cmp(ratio("1/100")) <= 0
	case q.Unit == Second && len(digits(written)) == 4 && strings.HasSuffix(written, "s") && !strings.Contains(written, " "):
		return false // 1980s
	}
	return true
}
