package rules

import (
	"fmt"

	"sideport/annotate"
	"sideport/annotate/rule"
	"sideport/timeline/source"
)

// orderRepeat notes a second occurrence of a step that is done once.
func orderRepeat() rule.Rule {
	return rule.Rule{
		Name:     "order/repeat",
		Severity: source.Note,
		Doc:      "A step that is usually done once occurs a second time. The vocabulary says which steps may repeat.",
		Run: func(p *rule.Pass) {
			for i := range p.Case.Steps {
				s := &p.Case.Steps[i]
				if s.Nth != 2 || s.Recording == nil && len(s.Video) == 0 || s.Info == nil || s.Procedure.MayRepeat(s.ID) {
					continue
				}
				p.Report(source.Finding{
					Pos: s.Pos, Severity: source.Note, Rule: "order/repeat", Step: s.ID, Nth: s.Nth, Recording: s.Recording, Video: firstSpan(s),
					Message:  fmt.Sprintf("%s occurs %s; it is usually done once", name(s), occurrences(p.Case, s.ID)),
					Evidence: "common-practice", Source: rule.SourceText("", "common-practice"),
				})
			}
		},
	}
}

// occurrences is how often a step occurs, in words. An entry's nth counts: who
// writes down the second occurrence alone has seen two.
func occurrences(c *annotate.Case, id string) string {
	n := 0
	for _, s := range c.Steps {
		if s.ID == id {
			n = max(n, s.Nth)
		}
	}
	if n == 2 {
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}
