package rules

import (
	"fmt"
	"strings"

	"sideport/annotate/rule"
	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"
)

// stepVariant finds a variant that the vocabulary does not list for its step.
func stepVariant() rule.Rule {
	return rule.Rule{
		Name:     "step/variant",
		Severity: source.Caution,
		Doc:      "A step's variant is none of those the vocabulary lists for it, so no range that depends on the technique can be chosen.",
		Run: func(p *rule.Pass) {
			for _, s := range p.Case.Steps {
				if s.Variant == "" || s.Info == nil {
					continue
				}
				if _, ok := s.Info.Variant(s.Variant); ok {
					continue
				}
				var known []string
				for _, v := range s.Info.Variants {
					known = append(known, v.ID)
				}
				key := p.Case.File.Steps[s.Index].Variant
				f := source.Finding{
					Pos: key.Pos, Path: key.Path, Severity: source.Caution, Rule: "step/variant", Step: s.ID, Nth: s.Nth,
					Message: fmt.Sprintf("%q is no variant of %s in the vocabulary", s.Variant, s.ID),
					Hint:    "known: " + strings.Join(known, ", "),
				}
				if len(known) == 0 {
					f.Hint = "the vocabulary lists no variants for this step"
				}
				if near, ok := yamldoc.Nearest(s.Variant, known); ok {
					f.Message += fmt.Sprintf("; the nearest is %q", near)
				}
				p.Report(f)
			}
		},
	}
}
