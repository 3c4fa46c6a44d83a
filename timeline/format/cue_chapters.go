package format

import (
	"fmt"
	"strings"

	"sideport/timeline"
	"sideport/timeline/source"
)

// cueChapters makes chapters of timed text: one a cue, the title its text on
// one line, the level the number of chapters it lies in. Two chapters either
// lie one inside the other or do not overlap; one that ends after the chapter it
// begins in is reported and keeps its times.
func cueChapters(cues []readCue, title func(string) string, report source.Report) []timeline.Chapter {
	chapters := make([]timeline.Chapter, 0, len(cues))
	var open []timeline.Chapter // the chapters the next one may lie in
	for _, c := range cues {
		ch := timeline.Chapter{
			ID: c.ID, From: c.From, To: c.To, HasTo: c.To > c.From,
			Title: strings.Join(strings.Fields(title(c.Text)), " "),
			Pos:   c.times, TitleP: c.TextPos,
		}
		for len(open) > 0 && open[len(open)-1].To <= ch.From {
			open = open[:len(open)-1]
		}
		if n := len(open); n > 0 && ch.HasTo && ch.To > open[n-1].To {
			report(source.Finding{
				Pos: ch.Pos, Severity: source.Caution, Rule: "read/chapter-cross", Source: webvttSource,
				Message: fmt.Sprintf("the chapter ends at %s, after the end %s of the chapter it begins in; written out, the end of that one becomes %s",
					clockText(ch.To), clockText(open[n-1].To), clockText(ch.From)),
				Related: []source.Related{{Pos: open[n-1].Pos, Message: "the chapter it begins in"}},
			})
			open = open[:n-1] // siblings that overlap, not parent and child
		}
		if ch.Title == "" {
			report(source.Finding{Pos: ch.TitleP, Severity: source.Note, Rule: "read/no-title", Message: "the chapter has no title"})
		}
		ch.Level = len(open)
		if ch.HasTo {
			open = append(open, ch)
		}
		chapters = append(chapters, ch)
	}
	return chapters
}
