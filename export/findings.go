package export

import (
	"fmt"
	"io"
	"slices"

	"sideport/annotate/privacy"
	"sideport/export/report"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

func findingsFile(b *Bundle) ([]File, error) {
	f, err := file("findings.json", func(w io.Writer) error { return report.JSON(w, []report.Case{FindingsOf(b)}) })
	return []File{f}, err
}

// FindingsOf is what leaves the case folder of a case's findings: every one, with
// any text that could identify a patient, and any reading of a wall clock,
// replaced by its class and place, under the case folder's name and not its path.
func FindingsOf(b *Bundle) report.Case {
	c := b.Case
	opt := privacy.Options{PrivateWords: c.PrivateWords(), WallClock: c.Clock.Kind == timecode.Wall}
	list := slices.Clone(b.Findings)
	for i, f := range list {
		list[i].Message = redact(f.Message, f.Pos, opt)
		list[i].Hint = redact(f.Hint, f.Pos, opt)
		list[i].WaivedBy = redact(f.WaivedBy, f.Pos, opt)
		list[i].Related = slices.Clone(f.Related)
		for k, r := range f.Related {
			list[i].Related[k].Message = redact(r.Message, r.Pos, opt)
		}
	}
	return report.Case{Path: c.Name, Shown: c.Shown, Procedure: c.File.Procedure.Value, Findings: list}
}

func redact(text string, at source.Pos, opt privacy.Options) string {
	return privacy.Redact(text, privacy.Scan(text, opt), func(int) string {
		return fmt.Sprintf("line %d", at.Position().Line)
	})
}
