package chapter

import (
	"bufio"
	"fmt"
	"io"

	"sideport/timeline/timecode"
)

// WriteSimple writes l in the form that began with Ogg video: CHAPTER01= and a time,
// CHAPTER01NAME= and a title. It has no ends, no levels and no ids. Its file is
// called chapters.ogm.txt, as chapters.txt is the list for video sites and programs
// that read this form look for text files.
//
// Source: mkvmerge manual, the simple chapter format.
func WriteSimple(w io.Writer, l List) error {
	roots, err := arrange(l)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	for i, c := range flat(roots) {
		fmt.Fprintf(out, "CHAPTER%02d=%s\nCHAPTER%02dNAME=%s\n", i+1, timecode.FormatMS(c.From), i+1, c.Title)
	}
	return out.Flush()
}
