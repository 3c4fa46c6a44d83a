package rules

import (
	"bytes"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"sideport/timeline/source"
)

// locate is where the byte offset of a text stands in the text's file; at is where
// the text begins. A quoted or folded value of YAML and a cue with markup do not
// stand there letter by letter: then the file is walked along the text. What
// cannot be followed is placed at its beginning.
func locate(at source.Pos, text string, offset int) source.Pos {
	if !at.IsValid() {
		return at
	}
	file := at.Source.Text()[at.Offset:]
	if bytes.HasPrefix(file, []byte(text[:min(len(text), offset+1)])) {
		return at.Source.Pos(at.Offset + offset)
	}
	if n, ok := follow(file, text, offset); ok {
		return at.Source.Pos(at.Offset + n)
	}
	return at
}

var (
	// opening is what stands before the first letter of a value: a quotation mark,
	// or the line that opens a block.
	opening = regexp.MustCompile(`^(?:["']|[|>][-+0-9]*[ \t]*(?:#[^\r\n]*)?(?:\r\n|\r|\n))`)
	// markup is what stands between letters and is none: tags, the position marks of
	// SubRip, and a line end that YAML's backslash takes away.
	markup = regexp.MustCompile(`^(?:<[^<>]*>|\{\\an[1-9]\}|\\(?:\r\n|\r|\n)[ \t]*)`)
	// spaces is what reads as space: itself, and the escapes for it.
	spaces = regexp.MustCompile(`^(?:[\s\pZ]|\\[nrt_NLP ]|&nbsp;)+`)
	// letter is one letter written as an escape or a character reference.
	letter = regexp.MustCompile(`^(?:\\(?:x[[:xdigit:]]{2}|u[[:xdigit:]]{4}|U[[:xdigit:]]{8}|["\\/=;#])|&#?\w+;)`)
)

// follow is the offset in file of text[offset:], both beginning together.
func follow(file []byte, text string, offset int) (n int, ok bool) {
	first, _ := utf8.DecodeRuneInString(text)
	if !bytes.HasPrefix(file, []byte(string(first))) {
		n = len(opening.Find(file))
	}
	skip := func(re *regexp.Regexp) bool {
		length := len(re.Find(file[n:]))
		n += length
		return length > 0
	}
	for i, r := range text {
		if unicode.IsSpace(r) {
			for skip(markup) || skip(spaces) {
			}
			continue
		}
		length := written(file[n:], text[i:], r)
		for length == 0 {
			doubled := 0 < n && n < len(file) && file[n] == file[n-1] && (file[n] == '\'' || file[n] == '"')
			if doubled {
				n++
			} else if !skip(markup) && !skip(spaces) {
				return 0, false
			}
			length = written(file[n:], text[i:], r)
		}
		if i >= offset {
			return n, true
		}
		n += length
	}
	return 0, false
}

// written is how many bytes of file are the letter r that text begins with, 0 for
// none. What looks like an escape is one, unless the text has it too.
func written(file []byte, text string, r rune) int {
	if coded := letter.Find(file); len(coded) > 0 && !strings.HasPrefix(text, string(coded)) {
		return len(coded)
	}
	if plain := string(r); bytes.HasPrefix(file, []byte(plain)) {
		return len(plain)
	}
	return 0
}
