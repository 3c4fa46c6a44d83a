package caption

import (
	"bufio"
	"io"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"sideport/timeline/timecode"
)

// WriteSubRip writes t as SubRip: UTF-8 without a mark, LF line ends. The format
// has no escapes, so what a player would take for markup is broken up by a space
// behind its first sign: "<b" becomes "< b" and "{\an8" becomes "{ \an8"; an
// ASCII arrow becomes U+2192. A speaker is written in front of the text. Ids,
// notes, title and edge have no place in the format.
//
// Source: IETF CELLAR codec draft, SRT Subtitles, for the blocks; what players
// take for markup is common practice, no source.
func WriteSubRip(w io.Writer, t Track) error {
	cues, err := prepare(t, time.Millisecond)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	for i, c := range cues {
		if i > 0 {
			out.WriteString("\n")
		}
		out.WriteString(strconv.Itoa(i+1) + "\n")
		out.WriteString(commaClock(c.From) + " --> " + commaClock(c.To) + "\n")
		out.WriteString(breakMarkup(arrowless(spoken(c))) + "\n")
	}
	return out.Flush()
}

// commaClock is the time with the comma that the format has for a decimal sign.
func commaClock(d time.Duration) string {
	return strings.Replace(timecode.FormatMS(d), ".", ",", 1)
}

// spoken is the text of a cue with its speaker in front, for formats that have
// no other place for the name.
func spoken(c Cue) string {
	if c.Speaker == "" {
		return c.Text
	}
	return c.Speaker + ": " + c.Text
}

// breakMarkup puts a space behind a sign that would open a tag or an override.
func breakMarkup(text string) string {
	if !strings.ContainsAny(text, "<{") {
		return text
	}
	var out strings.Builder
	for i, r := range text {
		out.WriteRune(r)
		next, n := utf8.DecodeRuneInString(text[i+utf8.RuneLen(r):])
		switch r {
		case '<':
			if unicode.IsLetter(next) || next == '/' || next == '!' || next == '?' {
				out.WriteByte(' ')
			}
		case '{':
			// Overrides are {\...} and, in an older habit, {x:...}.
			after := text[i+1+n:]
			if next == '\\' || strings.HasPrefix(after, ":") {
				out.WriteByte(' ')
			}
		}
	}
	return out.String()
}
