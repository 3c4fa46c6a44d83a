package rules

import (
	"html"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// aside parts what was taken out of a sentence from the rest: a blank line, and a
// bar that joins no words.
const aside = "\n\n|\n\n"

// plainMarkdown is the text that a reader of rendered Markdown sees, or a little
// more: emphasis, strike-through and code marks, backslashes, brackets, quote marks
// and characters that do not show are gone, character references are what they stand
// for. Targets of links, footnote marks and tags follow at the end, apart from the
// sentence they interrupt. at holds the offset in text of every byte. It is no parser:
// a mark without its partner goes too. Cost is linear.
// Source: CommonMark 0.31.2 §2.4, §2.5, §6.
func plainMarkdown(text string) (plain string, at []int) {
	m := &markdown{text: text, closing: closings(text), lineStart: true}
	m.read(0, len(text))
	for len(m.asides) > 0 {
		span := m.asides[0]
		m.asides = m.asides[1:]
		m.write(aside, span[0])
		m.read(span[0], span[1])
	}
	return string(m.plain), m.at
}

type markdown struct {
	text      string
	closing   map[int]int // offset of an opening bracket to that of its partner
	plain     []byte
	at        []int
	asides    [][2]int // still to be read
	lineStart bool     // nothing but space and quote marks stands on the line yet
}

// closings pairs round, square and angle brackets, each kind by itself. An angle
// bracket ends with the first that follows.
func closings(text string) map[int]int {
	pairs := map[int]int{}
	var round, square, angle []int
	pop := func(open *[]int, i int) {
		if n := len(*open); n > 0 {
			pairs[(*open)[n-1]] = i
			*open = (*open)[:n-1]
		}
	}
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case '\\':
			i++
		case '(':
			round = append(round, i)
		case '[':
			square = append(square, i)
		case '<':
			angle = append(angle, i)
		case ')':
			pop(&round, i)
		case ']':
			pop(&square, i)
		case '>':
			for len(angle) > 0 {
				pop(&angle, i)
			}
		}
	}
	return pairs
}

// read writes what is seen of text[from:to].
func (m *markdown) read(from, to int) {
	for i := from; i < to; {
		if n := m.dropped(i, to); n > 0 {
			i += n
			continue
		}
		seen, n := m.shown(i, to)
		m.write(seen, i)
		i += n
	}
}

// dropped is how many bytes from i on are markup, 0 for none.
func (m *markdown) dropped(i, to int) int {
	switch c := m.text[i]; c {
	case '*', '_', '~', '`':
		if n := run(m.text[i:to]); m.marks(i, i+n) {
			return n
		}
	case '[':
		if strings.HasPrefix(m.text[i+1:to], "^") {
			return max(1, m.setAside(i, to))
		}
		return 1
	case ']':
		return 1 + m.target(i+1, to)
	case '<':
		return m.tag(i, to)
	case '>':
		if m.lineStart {
			return 1
		}
	}
	return 0
}

// run is how often the first byte of s is repeated.
func run(s string) int { return len(s) - len(strings.TrimLeft(s, s[:1])) }

// marks reports whether the marks text[i:j] can open or close anything: not between
// spaces, and underscores not inside a word.
func (m *markdown) marks(i, j int) bool {
	left, _ := utf8.DecodeLastRuneInString(m.text[:i])
	right, _ := utf8.DecodeRuneInString(m.text[j:])
	if m.text[i] == '_' && wordRune(left) && wordRune(right) {
		return false
	}
	open, closed := i == 0 || unicode.IsSpace(left), j == len(m.text) || unicode.IsSpace(right)
	return !open || !closed
}

func wordRune(r rune) bool { // what does not decode is none
	return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r))
}

// target is the length of the target or reference of a link at i.
func (m *markdown) target(i, to int) int {
	if i < to && (m.text[i] == '(' || m.text[i] == '[') {
		return m.setAside(i, to)
	}
	return 0
}

// autolink is the beginning of an address in angle brackets, which is shown.
// Both expressions are given the first bytes only, so that none looks at all of the
// text again and again.
var autolink = regexp.MustCompile(`^<(?:[A-Za-z][A-Za-z0-9+.-]{1,31}:|[^\s<>@]{1,64}@)`)

func head(s string) string { return s[:min(len(s), 80)] }

// tag is how much of what stands at i is a tag or a comment, none of which is shown,
// or the bracket of an address.
func (m *markdown) tag(i, to int) int {
	switch rest := m.text[i:to]; {
	case autolink.MatchString(head(rest)):
		return 1
	case len(rest) > 1 && (strings.IndexByte("/!?", rest[1]) >= 0 || 'a' <= rest[1]|0x20 && rest[1]|0x20 <= 'z'):
		return m.setAside(i, to)
	}
	return 0
}

// setAside puts what stands in the brackets that open at i off to the end; the
// length is that of all of it, 0 where no bracket closes.
func (m *markdown) setAside(i, to int) int {
	end, ok := m.closing[i]
	if !ok || end >= to {
		return 0
	}
	m.asides = append(m.asides, [2]int{i + 1, end})
	return end + 1 - i
}

const punctuation = "!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~\r\n" // and the line ends a backslash keeps

// reference is a character reference. The longest name has 31 letters.
var reference = regexp.MustCompile(`^&(?:#[0-9]{1,7}|#[xX][[:xdigit:]]{1,6}|[A-Za-z][A-Za-z0-9]{1,31});`)

// shown is what a reader sees of the n bytes at i.
func (m *markdown) shown(i, to int) (seen string, n int) {
	rest := m.text[i:to]
	switch c := rest[0]; {
	case c == '\\' && len(rest) > 1 && strings.IndexByte(punctuation, rest[1]) >= 0:
		return rest[1:2], 2
	case c == '&':
		if coded := reference.FindString(head(rest)); coded != "" {
			return visible(html.UnescapeString(coded)), len(coded)
		}
	case strings.IndexByte("*_~`", c) >= 0: // marks nothing, all of the run
		return rest[:run(rest)], run(rest)
	case c >= utf8.RuneSelf:
		if r, size := utf8.DecodeRuneInString(rest); r != utf8.RuneError {
			return visible(rest[:size]), size
		}
	}
	if c := rest[0]; c < ' ' && c != '\t' && c != '\n' && c != '\r' {
		return "", 1
	}
	return rest[:1], 1
}

// visible leaves out what does not show and makes every space a plain one.
func visible(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Zs, r):
			return ' '
		case unicode.Is(unicode.Cf, r), unicode.IsControl(r) && !unicode.IsSpace(r):
			return -1
		}
		return r
	}, s)
}

// write adds what is seen of the text at offset i.
func (m *markdown) write(seen string, i int) {
	literal := strings.HasPrefix(m.text[i:], seen)
	for k := range len(seen) {
		c := seen[k]
		m.plain = append(m.plain, c)
		if literal {
			m.at = append(m.at, i+k)
		} else {
			m.at = append(m.at, i)
		}
		m.lineStart = c == '\n' || c == '\r' || m.lineStart && (c == ' ' || c == '\t')
	}
}
