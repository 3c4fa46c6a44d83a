package caption

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// An atom is what no line break may divide: a word, or a number with the words it
// belongs to.
type atom = string

// atoms cuts a text at the spaces where a line may end. A number keeps the next
// word, which may be its unit, whatever the language, unless that is a number or
// a sign itself; a sign of comparison or a bare operator keeps what it stands
// before, unless that is a sign; "mm" keeps "Hg". A number at the end of a clause
// keeps nothing. So an atom has four words at most, as "≥ 300 mm Hg" has.
func atoms(text string) []atom {
	var out []atom
	before := plain
	last := ""
	for _, word := range words(text) {
		is := kindOf(word)
		glue := before == number && is == plain || before == sign && is != sign ||
			strings.HasSuffix(last, "mm") && strings.TrimRight(word, ".,;:!?)]") == "Hg"
		if glue {
			out[len(out)-1] += " " + word
		} else {
			out = append(out, word)
		}
		before, last = is, word
	}
	return out
}

// words cuts at every space but the no-break ones.
func words(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool {
		return unicode.IsSpace(r) && r != '\u00A0' && r != '\u2007' && r != '\u202F'
	})
}

// kind is what a word is to the one behind it.
type kind int

const (
	plain  kind = iota
	number      // a number that does not end a clause
	sign        // such as "≥", "±" or "×" on its own
)

func kindOf(word string) kind {
	last, _ := utf8.DecodeLastRuneInString(word)
	if strings.ContainsRune("<>=≤≥≈~±×+−–/", last) && utf8.RuneCountInString(word) == 1 {
		return sign
	}
	if !unicode.IsDigit(last) && !strings.ContainsRune("½¼¾", last) {
		return plain
	}
	// "6.5", "6-7", "10:30", "≥3" and "x2" are numbers; "IOL2" is a name.
	first, _ := utf8.DecodeRuneInString(strings.TrimLeft(word, "([<>=≤≥≈~±×x+−–-"))
	if unicode.IsDigit(first) || strings.ContainsRune("½¼¾.", first) {
		return number
	}
	return plain
}

// chunks cuts a text into the texts of cues. A text that fits is returned as it
// is.
func chunks(text string, p Profile) []string {
	if fits(text, p) {
		return []string{text}
	}
	var out []string
	for rest := atoms(text); len(rest) > 0; {
		n := fill(rest, p)
		out = append(out, layout(rest[:n], p))
		rest = rest[n:]
	}
	return out
}

// fits reports whether a text may stay as it is: short enough, and no line break
// inside an atom.
func fits(text string, p Profile) bool {
	lines := strings.Split(text, "\n")
	if p.Lines > 0 && len(lines) > p.Lines || p.LineLetters > 0 && longestLine(text) > p.LineLetters {
		return false
	}
	n := 0
	for _, line := range lines {
		n += len(atoms(line))
	}
	return n == len(atoms(text))
}

// fill is how many atoms the next cue takes: as many as fit, and back to the end
// of a sentence or clause when that leaves the cue at least half full.
func fill(rest []atom, p Profile) int {
	if p.Lines == 0 || p.LineLetters == 0 {
		return len(rest)
	}
	n := 1
	for n < len(rest) && len(wrap(rest[:n+1], p)) <= p.Lines {
		n++
	}
	if n == len(rest) {
		return n
	}
	for _, ends := range []string{".!?।؟。", ",;:،،"} {
		for back := n; back > n/2; back-- {
			last, _ := utf8.DecodeLastRuneInString(rest[back-1])
			if strings.ContainsRune(ends, last) {
				return back
			}
		}
	}
	return n
}

// layout lays atoms out in lines. On two lines it looks for the break with the
// most even lines, a clause end counting as five letters and a shorter first line
// deciding a tie.
func layout(part []atom, p Profile) string {
	lines := wrap(part, p)
	if len(lines) != 2 {
		return strings.Join(lines, "\n")
	}
	best, text := -1, strings.Join(lines, "\n")
	for i := 1; i < len(part); i++ {
		first, second := strings.Join(part[:i], " "), strings.Join(part[i:], " ")
		a, b := letters(first), letters(second)
		if p.LineLetters > 0 && max(a, b) > p.LineLetters {
			continue
		}
		cost := 2*max(a-b, b-a) + 10
		if last, _ := utf8.DecodeLastRuneInString(first); unicode.IsPunct(last) {
			cost -= 10
		}
		if a > b {
			cost++
		}
		if best < 0 || cost < best {
			best, text = cost, first+"\n"+second
		}
	}
	return text
}

// wrap fills lines from the front; an atom longer than a line has one to itself.
func wrap(part []atom, p Profile) []string {
	if p.LineLetters == 0 {
		return []string{strings.Join(part, " ")}
	}
	var lines []string
	for _, a := range part {
		if n := len(lines); n > 0 {
			longer := lines[n-1] + " " + a
			if letters(longer) <= p.LineLetters {
				lines[n-1] = longer
				continue
			}
		}
		lines = append(lines, a)
	}
	return lines
}
