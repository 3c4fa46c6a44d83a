package source

import (
	"strings"
	"unicode"
)

// Printable is text without control characters, line ends and tabs excepted, and
// without the marks that override the direction of writing (U+202A to U+202E and
// U+2066 to U+2069): nothing in it moves a terminal's cursor or shows letters in
// another order than they stand. The text itself is unchanged where it has none.
func Printable(text string) string {
	if Hidden(text) < 0 {
		return text
	}
	return strings.Map(func(r rune) rune {
		if hidden(r) {
			return -1
		}
		return r
	}, text)
}

// Hidden is the offset of the first character that Printable leaves out, or -1.
func Hidden(text string) int { return strings.IndexFunc(text, hidden) }

func hidden(r rune) bool {
	switch {
	case r == '\n' || r == '\r' || r == '\t':
		return false
	case r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069:
		return true
	}
	return unicode.IsControl(r)
}
