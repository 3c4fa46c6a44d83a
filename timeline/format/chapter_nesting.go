package format

import (
	"fmt"

	"sideport/timeline"
	"sideport/timeline/source"
)

// reportNesting reports chapters that start out of order among those of their
// level, overlap the one written ahead of them, or reach outside the chapter they
// lie in. They keep their times; the message names the end that writing them cuts, and
// to what. Cost is one pass.
func reportNesting(chapters []timeline.Chapter, standard string, report source.Report) {
	cross := func(c, other timeline.Chapter, which, format string, args ...any) {
		report(source.Finding{
			Pos: c.Pos, Severity: source.Caution, Rule: "read/chapter-cross", Source: standard,
			Message: fmt.Sprintf(format, args...),
			Related: []source.Related{{Pos: other.Pos, Message: which}},
		})
	}
	const lies, ahead = "the chapter it lies in", "the chapter written ahead of it"
	var last []timeline.Chapter // the last chapter of each level from the top down
	for _, c := range chapters {
		level := max(0, min(c.Level, len(last)))
		if level < len(last) {
			switch a := last[level]; {
			case c.From <= a.From:
				reportChapterOrder([]timeline.Chapter{a, c}, report)
			case a.HasTo && a.To > c.From:
				cross(c, a, ahead, "the chapter starts at %s, before the end %s of the chapter written ahead of it; written out, that end becomes %s",
					clockText(c.From), clockText(a.To), clockText(c.From))
			}
		}
		if level > 0 {
			switch in := last[level-1]; {
			case c.From < in.From:
				cross(c, in, lies, "the chapter starts at %s, before the start %s of the chapter it lies in", clockText(c.From), clockText(in.From))
			case in.HasTo && c.From > in.To:
				cross(c, in, lies, "the chapter starts at %s, after the end %s of the chapter it lies in", clockText(c.From), clockText(in.To))
			case in.HasTo && c.HasTo && c.To > in.To:
				cross(c, in, lies, "the chapter ends at %s, after the end %s of the chapter it lies in; written out, its end becomes %s",
					clockText(c.To), clockText(in.To), clockText(in.To))
			}
		}
		last = append(last[:level], c)
	}
}

// noteUntitled notes a chapter without a title.
func noteUntitled(ch timeline.Chapter, report source.Report) {
	if ch.Title == "" {
		report(source.Finding{Pos: ch.TitleP, Severity: source.Note, Rule: "read/no-title", Message: "the chapter has no title"})
	}
}

// counted is report that adds to faults for each error that goes through it.
func counted(report source.Report, faults *int) source.Report {
	return func(f source.Finding) {
		if f.Severity == source.Error {
			*faults++
		}
		report(f)
	}
}
