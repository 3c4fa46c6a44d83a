package caption

import (
	"bufio"
	"io"
	"strings"
	"time"

	"sideport/timeline/timecode"
)

// WriteWebVTT writes t as a WebVTT file. The file has no header lines, which the
// standard does not know: kind and language are for the page that names the
// file. Notes stand before the first cue. Ids are kept and made unique; a cue at
// the top has the setting line:0; a speaker is a voice span.
//
// The greater-than sign is written as a reference although the standard allows
// it raw, because a widespread decoder drops it, and so that no text can hold an
// arrow.
//
// Source: W3C WebVTT, section Syntax.
func WriteWebVTT(w io.Writer, t Track) error {
	cues, err := prepare(t, time.Millisecond)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	out.WriteString("WEBVTT")
	if title := arrowless(CleanLine(t.Title)); title != "" {
		out.WriteString(" " + title)
	}
	out.WriteString("\n\n")
	for _, note := range t.Notes {
		if note = arrowless(CleanLine(note)); note != "" {
			out.WriteString("NOTE " + note + "\n\n")
		}
	}
	ids := make([]string, len(cues))
	for i, c := range cues {
		ids[i] = blockless(arrowless(CleanLine(c.ID)))
	}
	ids = unique(ids)
	for i, c := range cues {
		if i > 0 {
			out.WriteString("\n")
		}
		if ids[i] != "" {
			out.WriteString(ids[i] + "\n")
		}
		out.WriteString(timecode.FormatMS(c.From) + " --> " + timecode.FormatMS(c.To))
		if c.Line == Top {
			out.WriteString(" line:0")
		}
		out.WriteString("\n")
		if c.Speaker != "" {
			// The space, which is no part of the name, keeps dashes at its end
			// from making an arrow with the closing sign.
			name := EscapeWebVTT(c.Speaker)
			if strings.HasSuffix(name, "-") {
				name += " "
			}
			out.WriteString("<v " + name + ">")
		}
		out.WriteString(EscapeWebVTT(c.Text) + "\n")
	}
	// bufio keeps the first error of all the writes above.
	return out.Flush()
}

// EscapeWebVTT writes the characters that WebVTT cue text gives a meaning as
// character references.
func EscapeWebVTT(text string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(text)
}

// arrowless takes the ASCII arrow out of text that stands where references mean
// nothing and the arrow would begin a cue.
func arrowless(text string) string { return strings.ReplaceAll(text, "-->", "→") }

// blockless keeps an id from being read as the first line of another block. The
// standard tells the two apart, some readers do not.
func blockless(id string) string {
	for _, block := range []string{"NOTE", "STYLE", "REGION"} {
		if strings.HasPrefix(strings.ToUpper(id), block) {
			return "cue " + id
		}
	}
	return id
}
