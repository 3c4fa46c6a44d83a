package chapter

import (
	"bufio"
	"fmt"
	"io"

	"sideport/export/caption"
	"sideport/timeline/timecode"
)

// WriteWebVTT writes l as WebVTT for kind=chapters: plain titles, children after
// and inside their parents, siblings apart. The id of a cue is the step's id, a
// hyphen and which of its occurrences it is, as in tunnel-1; a chapter of no step
// has no id. Ids of a file that was read stay as they were.
//
// Source: W3C WebVTT, "chapter title text" and "WebVTT file using only nested
// cues".
func WriteWebVTT(w io.Writer, l List) error {
	roots, err := arrange(l)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	out.WriteString("WEBVTT\n")
	empty := true
	for n := range walk(roots) {
		empty = false
		out.WriteString("\n")
		if n.key != "" {
			out.WriteString(n.key + "\n")
		}
		fmt.Fprintf(out, "%s --> %s\n%s\n", timecode.FormatMS(n.From), timecode.FormatMS(n.To), caption.EscapeWebVTT(n.Title))
	}
	if empty {
		out.WriteString("\n") // the signature has two line ends behind it
	}
	return out.Flush()
}
