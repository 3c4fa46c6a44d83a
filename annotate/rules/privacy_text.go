package rules

import (
	"fmt"
	"strings"

	"sideport/annotate"
	"sideport/annotate/privacy"
	"sideport/annotate/rule"
	"sideport/timeline/source"
)

// privacyText looks through every text that an export could carry. A message never
// repeats what it found.
func privacyText() rule.Rule {
	return rule.Rule{
		Name:     "privacy/text",
		Severity: source.Stop,
		Doc: "A text of the case holds something of a class that could identify the patient, or one of the case's private words. " +
			"Every output of the case is withheld until the text is changed or the place is accepted with a reason.",
		Run: func(p *rule.Pass) {
			opt := privacy.Options{PrivateWords: p.Case.PrivateWords(), AllowYear: true}
			for _, t := range p.Case.File.FreeTexts() {
				o := opt
				o.Published = strings.HasPrefix(t.Path, "references[")
				scan(p, t.Value, t.Pos, t.Path, o)
			}
			for _, s := range p.Case.Material.Stamps {
				scan(p, s.Text, s.TextPos, "", opt)
			}
			for _, t := range p.Case.Material.Chapters {
				scan(p, t.Title, t.TitleP, "", opt)
			}
			for _, c := range p.Case.Cues {
				scan(p, p.Case.PlainCue(c), c.TextPos, "", opt)
			}
			if n := p.Case.Notes; n != nil {
				scan(p, string(n.Text()), n.Pos(0), "", opt)
			}
		},
	}
}

func scan(p *rule.Pass, text string, at source.Pos, path string, opt privacy.Options) {
	for _, h := range privacy.Scan(text, opt) {
		pos := at
		if at.IsValid() {
			pos = at.Source.Pos(at.Offset + h.Start)
		}
		p.Report(identifier(p.Case, h.Class, pos, path, "the text"))
	}
}

func identifier(_ *annotate.Case, class string, pos source.Pos, path, where string) source.Finding {
	label := class
	for _, c := range privacy.Classes() {
		if c.ID == class {
			label = c.Label
		}
	}
	return source.Finding{
		Pos: pos, Path: path, Severity: source.Stop, Rule: "privacy/text",
		Message:  fmt.Sprintf("%s reads like a %s; every output of the case is withheld", where, label),
		Evidence: "confirmed", Source: "45 CFR 164.514(b)(2)(i), classes of identifiers", SourceID: "45CFR164.514",
		Hint: "change the text, or accept this place in waivers with its position, a reason and a code",
	}
}
