package source

import (
	"sort"
	"unicode/utf8"
)

// mark is a place in a line whose column is known, so that no column has to be
// counted from the start of a long line.
type mark struct{ offset, column int }

// markEvery is how far apart the marks of a line lie, in bytes.
const markEvery = 1 << 10

// markLongLines sets the marks of every line longer than markEvery, in order of
// their offsets.
func (s *Source) markLongLines() {
	for n, from := range s.lines {
		if n+1 < len(s.lines) && s.lines[n+1]-from <= markEvery {
			continue
		}
		text, _ := s.Line(n)
		at, column := 0, 1
		for at+markEvery < len(text) {
			next := at + markEvery
			for next < len(text) && !utf8.RuneStart(text[next]) {
				next++
			}
			column += utf8.RuneCount(text[at:next])
			at = next
			s.marks = append(s.marks, mark{from + at, column})
		}
	}
}

// markBefore is the last mark at or before offset in the line that begins at
// start, or start itself.
func (s *Source) markBefore(start mark, offset int) mark {
	i := sort.Search(len(s.marks), func(i int) bool { return s.marks[i].offset > offset })
	if i == 0 || s.marks[i-1].offset < start.offset {
		return start
	}
	return s.marks[i-1]
}

// markOfColumn is the last mark at or before a column in the line that begins at
// start and ends at end, or start itself.
func (s *Source) markOfColumn(start mark, end, column int) mark {
	first := sort.Search(len(s.marks), func(i int) bool { return s.marks[i].offset > start.offset })
	n := sort.Search(len(s.marks)-first, func(i int) bool {
		m := s.marks[first+i]
		return m.offset > end || m.column > column
	})
	if n == 0 {
		return start
	}
	return s.marks[first+n-1]
}
