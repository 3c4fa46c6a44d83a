package caption

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// The directional signs of Unicode that open or close a stretch (UAX 9). Marks
// such as U+200E, which stand alone, are ordinary characters here.
const (
	lre = '\u202A' // left-to-right embedding
	rle = '\u202B' // right-to-left embedding
	pdf = '\u202C' // closes an embedding
	lro = '\u202D' // left-to-right override
	rlo = '\u202E' // right-to-left override
	lri = '\u2066' // left-to-right isolate
	rli = '\u2067' // right-to-left isolate
	fsi = '\u2068' // first-strong isolate
	pdi = '\u2069' // closes an isolate
)

// Clean makes text safe for any format and changes no word. Lines end in LF;
// lines without a visible character are left out; runs of spaces and tabs are one
// space and none stands at the end of a line. Control characters, NUL among them,
// and code points that XML 1.0 forbids are taken out; bytes that are not UTF-8
// become U+FFFD. Directional embeddings and isolates are closed on the line that
// opens them, and directional overrides, which show other text than is written,
// are taken out.
func Clean(text string) string {
	var lines []string
	for line := range strings.SplitSeq(unifyLineEnds(text), "\n") {
		line = strings.Join(strings.FieldsFunc(balance(strings.Map(keep, line)), isSpace), " ")
		if strings.ContainsFunc(line, isVisible) {
			lines = append(lines, line)
		}
	}
	return strings.Join(lines, "\n")
}

// CleanLine is Clean with line ends turned into spaces.
func CleanLine(text string) string {
	return strings.ReplaceAll(Clean(text), "\n", " ")
}

// unifyLineEnds turns everything that some reader takes for a line end into LF.
func unifyLineEnds(text string) string {
	return strings.NewReplacer("\r\n", "\n", "\r", "\n", "\v", "\n", "\f", "\n",
		"\u0085", "\n", "\u2028", "\n", "\u2029", "\n").Replace(text)
}

// isSpace reports the spaces that may be merged: a no-break space is kept.
func isSpace(r rune) bool { return r == ' ' || r == '\t' }

// isVisible reports a character a reader can see.
func isVisible(r rune) bool { return unicode.IsGraphic(r) && !unicode.IsSpace(r) }

// keep is for strings.Map: it drops what no format may carry.
func keep(r rune) rune {
	switch {
	case r == '\t':
		return r
	case unicode.IsControl(r), r == lro, r == rlo, r == '\uFEFF', r == '\uFFFE', r == '\uFFFF':
		return -1
	}
	return r
}

// balance closes the embeddings and isolates left open on a line and drops
// closing signs that close nothing.
func balance(line string) string {
	if !strings.ContainsFunc(line, func(r rune) bool { return r >= lre && r <= pdf || r >= lri && r <= pdi }) {
		return line
	}
	var out strings.Builder
	var open []rune // the closing sign each open stretch waits for
	for _, r := range line {
		switch r {
		case lre, rle:
			open = append(open, pdf)
		case lri, rli, fsi:
			open = append(open, pdi)
		case pdf, pdi:
			if len(open) == 0 || open[len(open)-1] != r {
				continue
			}
			open = open[:len(open)-1]
		}
		out.WriteRune(r)
	}
	for i := len(open) - 1; i >= 0; i-- {
		out.WriteRune(open[i])
	}
	return out.String()
}

// letters counts what a reader sees of a text: code points without combining
// marks, format signs and line ends.
func letters(text string) int {
	n := 0
	for _, r := range text {
		// Below U+0300, where combining marks begin, the soft hyphen is the only
		// format sign.
		if r != '\n' && r != '\u00AD' && (r < 0x300 || !unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf)) {
			n++
		}
	}
	return n
}

// rightToLeft reports whether the first letter of a text that has a direction is
// of a script written from right to left.
func rightToLeft(text string) bool {
	for _, r := range text {
		if unicode.In(r, unicode.Arabic, unicode.Hebrew, unicode.Syriac, unicode.Thaana, unicode.Nko, unicode.Adlam) && unicode.IsLetter(r) {
			return true
		}
		if unicode.IsLetter(r) {
			return false
		}
	}
	return false
}

// longestLine is the greatest number of letters on one line.
func longestLine(text string) int {
	longest := 0
	for line := range strings.SplitSeq(text, "\n") {
		longest = max(longest, letters(line))
	}
	return longest
}

// isASCII reports whether text is printable ASCII.
func isASCII(text string) bool {
	return strings.IndexFunc(text, func(r rune) bool { return r < ' ' || r >= 0x7F || r == utf8.RuneError }) < 0
}
