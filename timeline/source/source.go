package source

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"sort"
	"unicode/utf16"
	"unicode/utf8"
)

// Source is one decoded text with the name it is reported under.
//
// The text is UTF-8 without a byte order mark. Line ends are kept as they were
// written, so offsets of an 8-bit file without a mark equal those of its bytes.
type Source struct {
	name  string
	text  []byte
	lines []int // offset of the first byte of each line
	marks []mark
	bad   bool // Decode could not read the bytes as text
}

// New returns a Source over text that is already valid UTF-8. Cost is one pass
// over the text and a second one over lines longer than a kilobyte; the slice is
// kept, not copied.
func New(name string, text []byte) *Source {
	s := &Source{name: name, text: text, lines: []int{0}}
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case '\n':
			s.lines = append(s.lines, i+1)
		case '\r':
			if i+1 < len(text) && text[i+1] == '\n' {
				i++
			}
			s.lines = append(s.lines, i+1)
		}
	}
	s.markLongLines()
	return s
}

// MaxText bounds how much of one text is read into memory. A narration of 100,000
// cues is about 11 MB.
const MaxText = 256 << 20

// Read reads a whole text and decodes it. A text above MaxText gives one
// read/too-large error and no text. The error is of r.
func Read(r io.Reader, name string, report Report) (*Source, error) {
	raw, err := io.ReadAll(io.LimitReader(r, MaxText+1))
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", name, err)
	}
	if len(raw) <= MaxText {
		return Decode(name, raw, report), nil
	}
	src := New(name, nil)
	src.bad = true
	report(Finding{
		Pos: src.Whole(), Severity: Error, Rule: "read/too-large",
		Message: fmt.Sprintf("the file is larger than %d MB; nothing of it is read", MaxText>>20),
	})
	return src, nil
}

// Decode turns the bytes of a file into a Source. A UTF-8 mark is dropped and
// UTF-16 with a mark is converted. Anything else that is not UTF-8 gives an empty
// Source and one read/encoding error at the first bad byte's line.
func Decode(name string, raw []byte, report Report) *Source {
	switch {
	case bytes.HasPrefix(raw, []byte{0xEF, 0xBB, 0xBF}):
		raw = raw[3:]
	case bytes.HasPrefix(raw, []byte{0xFF, 0xFE}):
		raw = decodeUTF16(raw[2:], binary.LittleEndian)
	case bytes.HasPrefix(raw, []byte{0xFE, 0xFF}):
		raw = decodeUTF16(raw[2:], binary.BigEndian)
	}
	if utf8.Valid(raw) {
		return New(name, raw)
	}
	good := 0
	for good < len(raw) {
		r, n := utf8.DecodeRune(raw[good:])
		if r == utf8.RuneError && n == 1 {
			break
		}
		good += n
	}
	head := New(name, raw[:good])
	report(Finding{
		Pos: head.Pos(good), Severity: Error, Rule: "read/encoding",
		Message: fmt.Sprintf("the text is neither UTF-8 nor UTF-16 with a byte order mark (byte 0x%02X); nothing of the file is read", raw[good]),
		Hint:    "save the file again with the encoding UTF-8",
	})
	empty := New(name, nil)
	empty.bad = true
	return empty
}

func decodeUTF16(raw []byte, order binary.ByteOrder) []byte {
	units := make([]uint16, 0, len(raw)/2)
	for ; len(raw) >= 2; raw = raw[2:] {
		units = append(units, order.Uint16(raw))
	}
	if len(raw) == 1 { // half a code unit at the end of the file
		units = append(units, utf8.RuneError)
	}
	return []byte(string(utf16.Decode(units)))
}

// Name is the name the text is reported under, with forward slashes.
func (s *Source) Name() string { return s.name }

// Text is the decoded text. The caller must not change it.
func (s *Source) Text() []byte { return s.text }

// Unreadable reports whether Decode found no text in the file and has said so: a
// reader has nothing to add.
func (s *Source) Unreadable() bool { return s.bad }

// Lines is the number of lines; text that ends in a line end has an empty last
// line, and empty text has one line.
func (s *Source) Lines() int { return len(s.lines) }

// Line returns line n, counted from 0, without its line end, and the offset of
// its first byte. n must lie in [0, Lines()).
func (s *Source) Line(n int) (text []byte, offset int) {
	from, to := s.lines[n], len(s.text)
	if n+1 < len(s.lines) {
		to = s.lines[n+1]
	}
	return bytes.TrimRight(s.text[from:to], "\r\n"), from
}

// Pos returns the position of a byte offset in s, clamped to the text.
func (s *Source) Pos(offset int) Pos {
	return Pos{Source: s, Offset: max(0, min(offset, len(s.text)))}
}

// PosAt returns the position of a line and column counted from 1, the column in
// code points, clamped to the text.
func (s *Source) PosAt(line, column int) Pos {
	line = max(1, min(line, len(s.lines)))
	text, from := s.Line(line - 1)
	m := s.markOfColumn(mark{from, 1}, from+len(text), column)
	text, offset := text[m.offset-from:], m.offset
	for c := m.column; c < column && len(text) > 0; c++ {
		_, n := utf8.DecodeRune(text)
		text, offset = text[n:], offset+n
	}
	return s.Pos(offset)
}

// Whole returns the position that names the file without a place in it.
func (s *Source) Whole() Pos { return Pos{Source: s, Offset: -1} }

// Pos is a place in a Source: a byte offset, or -1 for the file as a whole. The
// zero Pos belongs to no file.
type Pos struct {
	Source *Source
	Offset int
}

// Position is a Pos made printable: Line and Column count from 1, the column in
// Unicode code points, and are 0 when the place is not known.
type Position struct {
	File         string
	Line, Column int
}

// IsValid reports whether p names a place inside a text.
func (p Pos) IsValid() bool { return p.Source != nil && p.Offset >= 0 }

// Position resolves p. Cost is a binary search over the lines and a pass over a
// kilobyte of the line at most.
func (p Pos) Position() Position {
	if p.Source == nil {
		return Position{}
	}
	if p.Offset < 0 {
		return Position{File: p.Source.name}
	}
	line := sort.SearchInts(p.Source.lines, p.Offset+1) - 1
	m := p.Source.markBefore(mark{p.Source.lines[line], 1}, p.Offset)
	return Position{
		File:   p.Source.name,
		Line:   line + 1,
		Column: m.column + utf8.RuneCount(p.Source.text[m.offset:p.Offset]),
	}
}

// String is file:line:column, or file, or - when nothing is known.
func (p Position) String() string {
	switch {
	case p.File == "":
		return "-"
	case p.Line == 0:
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// String is the printed form of p's Position.
func (p Pos) String() string { return p.Position().String() }
