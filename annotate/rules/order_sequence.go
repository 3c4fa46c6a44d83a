package rules

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

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
		Doc: "Two steps stand in the reverse of their usual order. A fixed order weighs as look again first, " +
			"a mere custom as information. Fixed orders add up: where the step between two is not there, the two are compared.",
		Run: func(p *rule.Pass) {
			firsts := firstSteps(p.Case)
			for _, o := range orders(p.Case.Procedure, firsts) {
				before, after := firsts[o.Before], firsts[o.After]
				b, a, ok := times(before, after)
				if ok && a < b {
					p.Report(outOfOrder(o, before, after, b, a))
				}
			}
		},
	}
}

// firstSteps are the first timed occurrences of the case's steps, by id. A time
// heard in the narration does not count: one speaks of a step before it and after
// it.
func firstSteps(c *annotate.Case) map[string]*annotate.Step {
	out := map[string]*annotate.Step{}
	for i := range c.Steps {
		s := &c.Steps[i]
		if out[s.ID] == nil && s.From != "narration" && (s.Recording != nil || len(s.Video) > 0) {
			out[s.ID] = s
		}
	}
	return out
}

// orders are the pairs of timed steps to compare: customs as they stand, and of
// what the fixed orders come to only neighbours, so that one step in the wrong
// place is said once and not against each of those it has passed.
func orders(p *taxonomy.Procedure, firsts map[string]*annotate.Step) []taxonomy.Order {
	var out []taxonomy.Order
	add := func(o taxonomy.Order) {
		if firsts[o.After] != nil && !slices.Contains(p.SwapsWith(o.Before), o.After) {
			out = append(out, o)
		}
	}
	chains := map[string][]taxonomy.Order{}
	for id := range firsts {
		chains[id] = fixed(p, id)
	}
	ahead := func(before, after string) bool {
		return slices.ContainsFunc(chains[before], func(o taxonomy.Order) bool { return o.After == after }) &&
			sameClock(firsts[before], firsts[after])
	}
	for _, s := range p.Steps {
		if firsts[s.ID] == nil {
			continue
		}
		for _, o := range chains[s.ID] {
			between := func(t taxonomy.Step) bool { return ahead(s.ID, t.ID) && ahead(t.ID, o.After) }
			if !slices.ContainsFunc(p.Steps, between) {
				add(o)
			}
		}
		for _, o := range p.Order {
			if !o.Hard && o.Before == s.ID {
				add(o)
			}
		}
	}
	return out
}

// fixed are the fixed orders in which the step stands first, those of the
// vocabulary and what they come to over steps between, the shortest way to each
// and on it the weakest evidence.
func fixed(p *taxonomy.Procedure, id string) []taxonomy.Order {
	var out []taxonomy.Order
	seen := map[string]bool{id: true}
	next := func(from string, extend func(taxonomy.Order) taxonomy.Order) {
		for _, o := range p.Order {
			if o.Hard && o.Before == from && !seen[o.After] {
				seen[o.After] = true
				out = append(out, extend(o))
			}
		}
	}
	next(id, func(o taxonomy.Order) taxonomy.Order { return o })
	for i := 0; i < len(out); i++ {
		next(out[i].After, func(o taxonomy.Order) taxonomy.Order { return together(out[i], o) })
	}
	return out
}

// together is what two orders that share a step come to: the weaker evidence, and
// both sources.
func together(x, y taxonomy.Order) taxonomy.Order {
	tags := []string{"confirmed", "derived", "common-practice", "from-memory", "assumption"}
	x.After, x.OrSame = y.After, x.OrSame && y.OrSame
	if slices.Index(tags, y.Evidence) > slices.Index(tags, x.Evidence) {
		x.Evidence = y.Evidence
	}
	if !strings.Contains(x.Source, y.Source) {
		x.Source += "; " + y.Source
	}
	return x
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

func sameClock(x, y *annotate.Step) bool {
	if x == nil || y == nil {
		return false
	}
	_, _, ok := times(x, y)
	return ok
}

func outOfOrder(o taxonomy.Order, before, after *annotate.Step, b, a time.Duration) source.Finding {
	severity := source.Note
	if o.Hard {
		severity = source.Stop
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

// name is the English label of a step as messages use it: in lower case, but for
// abbreviations.
func name(s *annotate.Step) string {
	label, _ := taxonomy.Label(s.Procedure, s.ID, "en")
	return lower(label)
}

// lower writes the first letter small where it begins a word and no abbreviation.
func lower(label string) string {
	first, n := utf8.DecodeRuneInString(label)
	if second, _ := utf8.DecodeRuneInString(label[n:]); !unicode.IsLower(second) {
		return label
	}
	return string(unicode.ToLower(first)) + label[n:]
}
