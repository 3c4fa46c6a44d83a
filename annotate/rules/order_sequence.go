package rules

import (
	"fmt"
	"time"

	"sideport/annotate"
	"sideport/annotate/rule"
	"sideport/annotate/taxonomy"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// orderSequence holds the first occurrences of two steps against the order that
// the vocabulary gives them. A pair that may be done either way is never said.
func orderSequence() rule.Rule {
	return rule.Rule{
		Name:     "order/sequence",
		Severity: source.Stop,
		Doc: "Two steps stand in the reverse of their usual order. A fixed order read in a source weighs as look again first, " +
			"any other fixed order as look again, a mere custom as information.",
		Run: func(p *rule.Pass) {
			for _, o := range p.Case.Procedure.Order {
				before, after := first(p.Case, o.Before), first(p.Case, o.After)
				if before == nil || after == nil {
					continue
				}
				b, a, ok := times(before, after)
				if ok && a < b {
					p.Report(outOfOrder(o, before, after, b, a))
				}
			}
		},
	}
}

// first is the first timed occurrence of a step. A time heard in the narration does
// not count: one speaks of a step before it and after it.
func first(c *annotate.Case, id string) *annotate.Step {
	for i := range c.Steps {
		s := &c.Steps[i]
		if s.ID == id && s.From != "narration" && (s.Recording != nil || len(s.Video) > 0) {
			return s
		}
	}
	return nil
}

// times are the beginnings of two steps on a clock that both have, the recording's
// if they can.
func times(x, y *annotate.Step) (a, b time.Duration, ok bool) {
	switch {
	case x.Recording != nil && y.Recording != nil:
		return x.Recording.From, y.Recording.From, true
	case len(x.Video) > 0 && len(y.Video) > 0:
		return x.Video[0].From, y.Video[0].From, true
	}
	return 0, 0, false
}

func outOfOrder(o taxonomy.Order, before, after *annotate.Step, b, a time.Duration) source.Finding {
	severity := source.Note
	if o.Hard {
		severity = source.Caution
		if o.Evidence == "confirmed" || o.Evidence == "derived" {
			severity = source.Stop
		}
	}
	return source.Finding{
		Pos: after.Pos, Severity: severity, Rule: "order/sequence", Step: after.ID, Nth: after.Nth,
		Recording: after.Recording, Video: firstSpan(after),
		Message: fmt.Sprintf("%s at %s comes before %s at %s; the usual order is %s first",
			name(after), timecode.Format(a), name(before), timecode.Format(b), name(before)),
		Evidence: o.Evidence, Source: rule.SourceText(o.Source, o.Evidence),
		Hint:    "a time or a name in the list may be wrong",
		Related: []source.Related{{Pos: before.Pos, Message: name(before)}},
	}
}

func firstSpan(s *annotate.Step) *source.Span {
	if len(s.Video) == 0 {
		return nil
	}
	return &s.Video[0]
}

// name is the English label of a step in lower case, as messages use it.
func name(s *annotate.Step) string {
	label, _ := taxonomy.Label(s.Procedure, s.ID, "en")
	return label
}
