package ranges

import (
	"slices"
	"strings"

	"sideport/annotate/quantity"
	"sideport/timeline/source"
)

// judgeWord judges a word or a yes or no. Rows whose conditions are not known stay
// silent: a word has no union.
func judgeWord(p Parameter, rows []*Row, q quantity.Quantity, facts Facts) Judgement {
	if q.Word == "" || p.Kind != KindWord && p.Kind != KindYesNo {
		return Judgement{Result: NotJudged}
	}
	worded := slices.DeleteFunc(slices.Clone(rows), func(r *Row) bool { return len(r.Words)+len(r.Against) == 0 })
	s := selectRows(worded, facts)
	j := Judgement{Result: NoRange}
	if s.chosen != nil {
		j = judgeWordRow(p, s.chosen, q)
	}
	for _, r := range s.also {
		j = j.with(judgeWordRow(p, r, q))
	}
	return j
}

func judgeWordRow(p Parameter, r *Row, q quantity.Quantity) Judgement {
	j := Judgement{Result: NoRange, Row: r, Evidence: r.Evidence.Accept, SourceID: r.SourceID, Source: r.sourceText(r.Evidence.Accept)}
	if slices.Contains(r.Against, q.Word) {
		return against(p, r, q)
	}
	if len(r.Words) == 0 {
		return j
	}
	if slices.Contains(r.Words, q.Word) {
		j.Result = Within
		return j
	}
	j.Result = Outside
	message := p.Label + " " + q.Word + " is recorded; quoted: " + strings.Join(r.Words, " or ")
	if r.Local != "" {
		message += ", the list of " + r.Local
	}
	j.Findings = []source.Finding{{
		Severity: r.severity(false), Rule: "range/" + p.ID, Message: message, Hint: hint(false, r),
		Evidence: j.Evidence, Source: j.Source, SourceID: j.SourceID,
	}}
	return j
}

// against is the judgement of a row that speaks against a value being there at all.
func against(p Parameter, r *Row, q quantity.Quantity) Judgement {
	j := Judgement{Result: Outside, Row: r, Evidence: r.Evidence.Accept, SourceID: r.SourceID, Source: r.sourceText(r.Evidence.Accept)}
	f := source.Finding{
		Severity: r.severity(false), Rule: "range/" + p.ID,
		Message: p.Label + " " + q.String() + " is recorded; " + r.Says, Hint: hint(false, r),
		Evidence: j.Evidence, Source: j.Source, SourceID: j.SourceID,
	}
	if q.Numeric() {
		j.Result, f.Value = NotJudged, ptr(bounds(q))
	}
	j.Findings = []source.Finding{f}
	return j
}
