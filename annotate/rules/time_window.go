package rules

import (
	"fmt"
	"strconv"
	"time"

	"sideport/annotate/rule"
	"sideport/timeline/source"
)

// timeWindow notes a step that took unusually long or short. A step whose end is
// only assumed is not judged.
func timeWindow() rule.Rule {
	return rule.Rule{
		Name:     "time/window",
		Severity: source.Note,
		Doc:      "A step with a stated end took less or more time than the vocabulary's window for it. Windows are sanity limits, not published times, unless their source says otherwise.",
		Run: func(p *rule.Pass) {
			for i := range p.Case.Steps {
				s := &p.Case.Steps[i]
				if s.Recording == nil || s.EndAssumed || s.Info == nil || s.Info.WindowS == [2]int{} {
					continue
				}
				took, w := s.Recording.Len().Round(time.Millisecond).Seconds(), s.Info.Window
				low, high := float64(w.Expert), float64(w.Trainee)
				if took >= low && took <= high {
					continue
				}
				p.Report(source.Finding{
					Pos: s.Pos, Severity: source.Note, Rule: "time/window", Step: s.ID, Nth: s.Nth, Recording: s.Recording, Video: firstSpan(s),
					Message:  fmt.Sprintf("%s took %s s, outside %d–%d s", name(s), strconv.FormatFloat(took, 'f', -1, 64), w.Expert, w.Trainee),
					Value:    &source.Bounds{Low: &took, High: &took, Unit: "s"},
					Accepted: &source.Bounds{Low: &low, High: &high, Unit: "s"},
					Evidence: w.Evidence, Source: rule.SourceText(w.Source, w.Evidence),
				})
			}
		},
	}
}
