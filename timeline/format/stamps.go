package format

import (
	"bytes"
	"errors"
	"strings"
	"time"
	"unicode"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// sniffLines is how many lines with something on them a list is known by.
const sniffLines = 20

func plainStampsReader() Reader {
	return Reader{
		Name:       "stamps",
		Doc:        "plain list of times, one a line, with what was noted behind each",
		Extensions: []string{".txt", ".text", ".md"},
		Roles:      []Role{Recording},
		Sniff:      startsWithTimes,
		Stamps:     readStamps,
	}
}

// startsWithTimes reports whether one of the first lines starts with a time, in
// a text that carries no other format's mark.
func startsWithTimes(src *source.Source) bool {
	if hasWebVTTSignature(src.Text()) || hasFFMetadataSignature(src) {
		return false
	}
	for n, seen := 0, 0; n < src.Lines() && seen < sniffLines; n++ {
		line, _ := src.Line(n)
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		seen++
		if _, _, _, _, err := timecode.Cut(string(line)); err == nil {
			return true
		}
	}
	return false
}

// readStamps reads one stamp a line. Blank lines and lines whose first mark is #
// are passed over. A line without a readable time is an error finding, unless it
// is the first and holds nothing like a time: then it is a heading. A number and a
// word, such as 77 tunnel, are like a time whose mark is missing. Messages
// quote no text, since a line without a time may hold a name.
func readStamps(src *source.Source, report source.Report) []timeline.Stamp {
	var stamps []timeline.Stamp
	var signs skipped
	first := true
	for n := range src.Lines() {
		line, offset := src.Line(n)
		body := bytes.TrimSpace(line)
		if len(body) == 0 || body[0] == '#' {
			continue
		}
		at, end, text, textAt, err := timecode.Cut(string(line))
		switch {
		case err == nil:
			signs.addSign(src, offset, at.Offset)
			stamps = append(stamps, stamp(src, at, end, text, offset, offset+textAt))
		case first && errors.Is(err, timecode.ErrNoTime) && !holdsTime(line) && !bareNumber(body):
			report(source.Finding{
				Pos: src.Pos(offset + bytes.Index(line, body)), Severity: source.Note, Rule: "read/heading",
				Message: "the first line has no time and is taken for a heading",
			})
		default:
			reportNoTime(src.Pos(offset+at.Offset), err, "line", report)
		}
		first = false
	}
	signs.saySigns(report)
	return stamps
}

// addSign adds the minus sign right before a time at the offset in the line that begins
// at lineAt, where nothing stands right before the sign: with a blank behind it, it is
// a bullet.
func (s *skipped) addSign(src *source.Source, lineAt, at int) {
	text, sign := src.Text(), lineAt+at-1
	if at > 0 && text[sign] == '-' && (at == 1 || text[sign-1] == ' ' || text[sign-1] == '\t') {
		s.add(src.Pos(sign))
	}
}

// saySigns reports the signs, once for all: some people write their bullets like that.
func (s skipped) saySigns(report source.Report) {
	s.say(func(f source.Finding) {
		f.Severity = source.Caution
		report(f)
	}, "read/sign",
		"the sign in front of the time is read as a dash, and the time as one from the beginning on",
		"the signs in front of %d times are read as dashes, and the times as ones from the beginning on")
}

func stamp(src *source.Source, at timecode.Reading, end *timecode.Reading, text string, lineAt, textAt int) timeline.Stamp {
	return timeline.Stamp{At: at, End: end, Text: text, Pos: src.Pos(lineAt + at.Offset), TextPos: src.Pos(textAt)}
}

// reportNoTime reports a line or cell that has no time or an impossible one.
func reportNoTime(pos source.Pos, err error, where string, report source.Report) {
	f := source.Finding{Pos: pos, Severity: source.Error, Rule: "read/no-time", Message: "the " + where + " has no time that can be read: " + err.Error()}
	switch {
	case errors.Is(err, timecode.ErrDayFirst):
		f.Message = "the " + where + " starts with a date whose day and month can be taken for each other"
		f.Hint = "a date is read as 2026-03-01"
	case errors.Is(err, timecode.ErrNoTime):
		f.Message = "the " + where + " does not start with a time"
		f.Hint = "times are read as 0:41, 1:02:03, 09:14:32, 9:14:32 am, 2026-03-01 09:14:32 or 01:00:00:12; a line that starts with # is passed over"
	}
	report(f)
}

// holdsTime reports whether a digit, a colon and two digits stand anywhere.
func holdsTime(line []byte) bool {
	for i := 1; i+2 < len(line); i++ {
		if line[i] == ':' && isDigit(line[i-1]) && isDigit(line[i+1]) && isDigit(line[i+2]) {
			return true
		}
	}
	return false
}

// bareNumber reports whether a line is a number and one word, which is no month. A number
// such as 2026 is a year.
func bareNumber(body []byte) bool {
	words := bytes.Fields(body)
	if len(words) != 2 || !allDigits(string(words[0])) || bytes.IndexFunc(words[1], unicode.IsLetter) < 0 || bytes.IndexFunc(words[1], unicode.IsDigit) >= 0 {
		return false
	}
	if n := string(words[0]); len(n) == 4 && (strings.HasPrefix(n, "19") || strings.HasPrefix(n, "20")) {
		return false
	}
	const short = 3 // letters of a month's name at the least
	for m := time.January; m <= time.December; m++ {
		if word, name := string(words[1]), m.String(); len(word) >= short && len(word) <= len(name) && strings.EqualFold(name[:len(word)], word) {
			return false
		}
	}
	return true
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
