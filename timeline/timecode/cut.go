package timecode

import (
	"errors"
	"strings"
	"unicode/utf8"
)

// Cut splits the time off the front of a line of notes:
//
//	0:41  rhexis                   09:14:32 - rhexis
//	[09:14:32] rhexis              9:14:32 am: rhexis
//	09:14:32-09:15:10 rhexis       the second time is the end
//	1. 0:41 rhexis                 a bullet or number may stand before it
//
// rest is the text behind the time and its separator, without space at either
// end, and restOffset its place in bytes. A minus sign before a number stays in
// rest. A line without a time gives an error that wraps [ErrNoTime], an
// impossible time another one; at.Offset is then the place it was looked for.
func Cut(line string) (at Reading, end *Reading, rest string, restOffset int, err error) {
	from := lead(line)
	at, n, err := scanOpen(line, from, false)
	if errors.Is(err, ErrNoTime) {
		if next := numbering(line, from); next > from {
			if r, m, e := scanOpen(line, next, false); !errors.Is(e, ErrNoTime) {
				from, at, n, err = next, r, m, e
			}
		}
	}
	if err != nil {
		return Reading{Offset: from}, nil, "", 0, err
	}
	i := n
	if r, next, err := cutEnd(line, i, at); err != nil {
		return Reading{Offset: next}, nil, "", 0, err
	} else if r != nil {
		end, i = r, next
		if i < len(line) && strings.IndexByte("])>}", line[i]) >= 0 {
			i++ // of a bracket that was opened before the first time
		}
	}
	i = separator(line, i)
	return at, end, strings.TrimRight(line[i:], " \t\r\n"), i, nil
}

// scanOpen reads a time at or, behind an opening bracket, just after offset i
// and returns the offset behind it and its closing bracket. arrow says that an
// arrow stands before it, which no dilution follows.
func scanOpen(line string, i int, arrow bool) (Reading, int, error) {
	open := byte(0)
	if i < len(line) && strings.IndexByte("[(<{", line[i]) >= 0 {
		open = line[i]
		i += 1 + spaces(line[i+1:])
	}
	r, n, err := scan(line[i:])
	if err != nil {
		return Reading{}, i, err
	}
	if !arrow && ratio(line[i:i+n], line[i+n:]) {
		return Reading{}, i, ErrNoTime
	}
	r.Offset = i
	i += n
	if open != 0 {
		if j := i + spaces(line[i:]); j < len(line) && strings.IndexByte("])>}", line[j]) >= 0 {
			i = j + 1
		}
	}
	return r, i, nil
}

// ratio reports whether text that scans as a time is a dilution: 1:10 000 or
// 1:10,000. Before an arrow it is a time.
func ratio(text, behind string) bool {
	if !strings.HasPrefix(text, "1:") || strings.HasPrefix(behind[spaces(behind):], "-->") {
		return false
	}
	if len(text) == len("1:10,000") {
		return strings.HasSuffix(text, ",000")
	}
	return len(text) == len("1:10") && strings.HasPrefix(behind, " 000") &&
		(len(behind) == len(" 000") || behind[4] < '0' || behind[4] > '9')
}

// cutEnd reads a dash, an arrow or the word "to" and a second time. Text behind
// a dash that is no time is left for the separator; two fields behind a start of
// three or more are left too, since they may be a ratio or a shortened end.
func cutEnd(line string, i int, at Reading) (*Reading, int, error) {
	i += spaces(line[i:])
	mark := ""
	for _, m := range []string{"-->", "->", "→", "–", "—", "--", "-", "to ", "until ", "till "} {
		if strings.HasPrefix(line[i:], m) {
			mark = m
			break
		}
	}
	if mark == "" {
		return nil, 0, nil
	}
	i += len(mark)
	i += spaces(line[i:])
	end, n, err := scanOpen(line, i, mark == "-->")
	if err == nil {
		if len(end.Fields) < len(at.Fields) && len(at.Fields) > 2 {
			return nil, 0, nil
		}
		return &end, n, nil
	}
	if !errors.Is(err, ErrNoTime) && strings.Count(start(line[i:]), ":") >= 2 {
		return nil, i, err // three fields are a time, if an impossible one
	}
	return nil, 0, nil
}

// spaces is the length of the blanks s starts with, no-break ones included.
func spaces(s string) int {
	return len(s) - len(strings.TrimLeft(s, " \t\u00a0\u202f"))
}

// lead is the offset behind leading blanks and bullets.
func lead(line string) int {
	i := spaces(line)
	for i < len(line) {
		r, n := utf8.DecodeRuneInString(line[i:])
		if !strings.ContainsRune("-*+•·‣▪–—@>", r) {
			break
		}
		i += n
		i += spaces(line[i:])
	}
	return i
}

// numbering is the offset behind "1.", "1)", "(1)", "#1" or a bare number with
// blanks behind it, or i when there is none.
func numbering(line string, i int) int {
	j := i
	if j < len(line) && (line[j] == '#' || line[j] == '(' || line[j] == '[') {
		j++
	}
	k := j
	for k < len(line) && line[k] >= '0' && line[k] <= '9' {
		k++
	}
	if k == j || k-j > 4 {
		return i
	}
	for k < len(line) && strings.IndexByte(".):]", line[k]) >= 0 {
		k++
	}
	n := spaces(line[k:])
	if n == 0 {
		return i
	}
	return lead(line[k+n:]) + k + n
}

// separator is the offset behind blanks and the mark that parts a time from its
// text. A dash after a blank and before a digit is a minus sign and stays.
func separator(line string, i int) int {
	n := spaces(line[i:])
	j := i + n
	if j >= len(line) {
		return j
	}
	r, size := utf8.DecodeRuneInString(line[j:])
	switch {
	case strings.ContainsRune(":|,;=→", r):
		j += size
	case r == '.' && (j+1 == len(line) || spaces(line[j+1:]) > 0):
		j++
	case strings.ContainsRune("-–—", r):
		k := j + size
		for k < len(line) && line[k] == '-' {
			k++
		}
		if n > 0 && k < len(line) && (line[k] >= '0' && line[k] <= '9' || line[k] == '.') {
			return j
		}
		j = k
		if j < len(line) && line[j] == '>' {
			j++
		}
	}
	return j + spaces(line[j:])
}
