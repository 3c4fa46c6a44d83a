package rules

import (
	"sideport/annotate"
	"sideport/annotate/rule"
	"sideport/timeline/source"
)

// rangeValues reports what judging the recorded values came to. The ranges, their
// sources and the wording are those of annotate/ranges.
func rangeValues() rule.Rule {
	return rule.Rule{
		Name:     "range/<parameter>",
		Severity: source.Stop,
		Doc: "A recorded value lies outside the range its source quotes, or cannot be compared: no unit, a unit of another kind, " +
			"a value ten, a hundred or a thousand times off, or a technique that is not known.",
		Run: func(p *rule.Pass) {
			for _, v := range p.Case.Header {
				reportValue(p, v, nil)
			}
			for i := range p.Case.Steps {
				s := &p.Case.Steps[i]
				for _, v := range s.Values {
					reportValue(p, v, s)
				}
			}
		},
	}
}

func reportValue(p *rule.Pass, v annotate.Value, s *annotate.Step) {
	for _, f := range v.Judgement.Findings {
		f.Pos, f.Path = v.Pos, v.Path
		if s != nil {
			f.Step, f.Nth, f.Recording, f.Video = s.ID, s.Nth, s.Recording, firstSpan(s)
		}
		if v.At != nil {
			f.Recording, f.Video = &source.Span{From: *v.At, To: *v.At}, nil
			if v.AtVideo != nil { // else the moment was cut, or has no place
				f.Video = &source.Span{From: *v.AtVideo, To: *v.AtVideo}
			}
		}
		p.Report(f)
	}
}
