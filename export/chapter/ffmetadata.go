package chapter

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"sideport/export/caption"
)

// WriteFFMetadata writes l for ffmpeg: time base, start and end of every chapter,
// in this order and none left out, since a missing end swallows the next line and
// a missing time base means nanoseconds. An entry is put in front when the first
// chapter does not start the video.
//
// Source: ffmpeg manual, Metadata.
func WriteFFMetadata(w io.Writer, l List) error {
	roots, err := arrange(l)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	out.WriteString(";FFMETADATA1\n")
	if title := caption.CleanLine(l.Title); title != "" {
		out.WriteString("title=" + escapeFFMetadata(title) + "\n")
	}
	for _, c := range led(roots, l) {
		fmt.Fprintf(out, "\n[CHAPTER]\nTIMEBASE=1/1000\nSTART=%d\nEND=%d\ntitle=%s\n",
			c.From.Milliseconds(), c.To.Milliseconds(), escapeFFMetadata(c.Title))
	}
	return out.Flush()
}

// escapeFFMetadata puts a backslash in front of what the format gives a meaning.
// A title has no line end, which would take one too.
func escapeFFMetadata(text string) string {
	return strings.NewReplacer(`\`, `\\`, `=`, `\=`, `;`, `\;`, `#`, `\#`).Replace(text)
}
