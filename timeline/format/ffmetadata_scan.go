package format

import (
	"bytes"

	"sideport/timeline/source"
)

// ffScanner reads ffmetadata text entry by entry: a section or a key and value.
// A backslash takes the character behind it as it is, so that an escaped line
// end goes on with the value. Lines that start with ; or # are passed over.
type ffScanner struct {
	text []byte
	i    int

	at      int    // of the entry
	section string // "CHAPTER", "STREAM", or "" for an entry that is no section
	isPair  bool
	key     string
	value   string
	valueAt int
}

func newFFScanner(src *source.Source) *ffScanner { return &ffScanner{text: src.Text()} }

// next moves to the next entry, or returns false at the end.
func (s *ffScanner) next() bool {
	for s.i < len(s.text) {
		s.at = s.i
		c := s.text[s.i]
		if c == ';' || c == '#' {
			s.skipLine()
			continue
		}
		if isLineEnd(c) {
			s.i++
			continue
		}
		s.entry()
		if s.section == "" && !s.isPair && len(bytes.TrimSpace(s.text[s.at:s.i])) == 0 {
			continue
		}
		return true
	}
	return false
}

func (s *ffScanner) skipLine() {
	for s.i < len(s.text) && !isLineEnd(s.text[s.i]) {
		s.i++
	}
}

// entry reads from the start of a line to its end, over escaped line ends.
func (s *ffScanner) entry() {
	s.section, s.isPair, s.key, s.value = "", false, "", ""
	if s.text[s.i] == '[' {
		s.skipLine()
		line := bytes.TrimSpace(s.text[s.at:s.i])
		if line[len(line)-1] == ']' {
			s.section = string(bytes.ToUpper(line[1 : len(line)-1]))
			return
		}
		s.i = s.at
	}
	var part []byte
	for s.i < len(s.text) && !isLineEnd(s.text[s.i]) {
		c := s.text[s.i]
		s.i++
		switch {
		case c == '\\' && s.i < len(s.text):
			part = append(part, s.escaped())
		case c == '=' && !s.isPair:
			s.isPair, s.key, s.valueAt = true, string(bytes.TrimSpace(part)), s.i
			part = part[:0:0]
		default:
			part = append(part, c)
		}
	}
	if s.isPair {
		s.value = string(part)
	}
}

// escaped returns the character behind a backslash; a line end of two bytes is
// one line feed.
func (s *ffScanner) escaped() byte {
	c := s.text[s.i]
	s.i++
	if c == '\r' {
		if s.i < len(s.text) && s.text[s.i] == '\n' {
			s.i++
		}
		return '\n'
	}
	return c
}
