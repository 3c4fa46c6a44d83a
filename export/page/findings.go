package page

import (
	"slices"
	"strings"

	"sideport/annotate"
	"sideport/timeline/source"
)

// shows says whether a finding stands on the page: those that speak of the
// operation, as far as page.findings lets them. What is wrong with files, clocks,
// tracks or privacy is the report's; such a message can quote a clock time of the
// day.
func (b *builder) shows(f source.Finding) bool {
	switch f.Group() {
	case "range", "cross", "order", "reporting":
	case "step":
		if f.Step == "" { // a remark that names no step is the author's business
			return false
		}
	default:
		return false
	}
	switch b.c.ShowOnPage {
	case "all":
		return true
	case "explained":
		return f.Waived || b.explained(f)
	}
	return false
}

// explained says whether the author has written about the step a finding is on.
func (b *builder) explained(f source.Finding) bool {
	return slices.ContainsFunc(b.c.Steps, func(s annotate.Step) bool {
		return s.ID == f.Step && s.Nth == f.Nth && (s.Note != "" || s.Reason != "")
	})
}

// tableSays says whether the hint of a range finding stands under the table beside
// it already, as the source of the range does.
func (b *builder) tableSays(f source.Finding) bool {
	for _, s := range b.c.Steps {
		if s.ID != f.Step || s.Nth != f.Nth {
			continue
		}
		for _, v := range s.Values {
			if row := v.Judgement.Row; row != nil && row.Why != "" && strings.Contains(f.Hint, row.Why) {
				return true
			}
		}
	}
	return false
}

func (b *builder) sortFinding(f source.Finding, found, exceptions []findingView) (_, _ []findingView) {
	out := findingView{
		Class: f.Severity.String(), Weight: capital(b.v.words.Severity(f.Severity)), Message: f.Message, Hint: f.Hint,
	}
	if f.Group() != "range" {
		out.Source = f.Source
	} else if b.tableSays(f) {
		out.Hint = ""
	}
	if f.Waived {
		out.By = f.WaivedBy
		return found, append(exceptions, out)
	}
	return append(found, out), exceptions
}
