package rules

import (
	"slices"
	"strings"

	"sideport/annotate"
	"sideport/annotate/rule"
	"sideport/annotate/taxonomy"
	"sideport/timeline/source"
)

// orderMissing lists the expected steps that no stamp, chapter or entry names, in
// one note.
func orderMissing() rule.Rule {
	return rule.Rule{
		Name:     "order/missing-step",
		Severity: source.Note,
		Doc: "Steps that are expected in every case of the procedure and are not named anywhere, all in one note. " +
			"Said only where there are stamps; steps that are often done before the recording starts are not counted.",
		Run: func(p *rule.Pass) {
			c := p.Case
			if len(c.Marks) == 0 {
				return
			}
			var missing []string
			for _, s := range c.Procedure.Steps {
				if s.Required && !s.OffVideo && !hasStep(c, s.ID) && !excused(c, s.ID) {
					missing = append(missing, s.Label)
				}
			}
			for _, group := range c.Procedure.OneOf {
				if !slices.ContainsFunc(group, func(id string) bool { return hasStep(c, id) }) {
					missing = append(missing, strings.Join(labels(c.Procedure, group), " or "))
				}
			}
			if len(missing) == 0 {
				return
			}
			p.Report(source.Finding{
				Pos: c.Marks[0].Pos.Source.Whole(), Severity: source.Note, Rule: "order/missing-step",
				Message:  "expected and not named: " + strings.Join(missing, ", "),
				Evidence: "common-practice", Source: rule.SourceText("", "common-practice"),
				Hint: "a step may have been left out of the list, or its name was not understood",
			})
		},
	}
}

func labels(p *taxonomy.Procedure, ids []string) []string {
	var out []string
	for _, id := range ids {
		if s, ok := p.Step(id); ok {
			out = append(out, s.Label)
		}
	}
	return out
}

func hasStep(c *annotate.Case, id string) bool {
	return slices.ContainsFunc(c.Steps, func(s annotate.Step) bool { return s.ID == id })
}

// excused reports whether the case has what makes the step's absence normal.
func excused(c *annotate.Case, id string) bool {
	for _, a := range c.Procedure.Absences {
		if slices.Contains(a.Steps, id) && slices.ContainsFunc(a.When, func(w taxonomy.Condition) bool { return holds(c, w) }) {
			return true
		}
	}
	return false
}

func holds(c *annotate.Case, w taxonomy.Condition) bool {
	if w.Step != "" {
		return slices.ContainsFunc(c.Steps, func(s annotate.Step) bool {
			return s.ID == w.Step && (w.Variant == "" || s.Variant == w.Variant)
		})
	}
	return c.HasFact(w.Fact, w.Value)
}
