package source

import (
	"cmp"
	"slices"
)

// Sort puts findings in file order, then by line, column, weight, rule and
// message, and drops exact duplicates. Findings without a file come last. The
// result does not depend on the order given.
func Sort(findings []Finding) []Finding {
	slices.SortStableFunc(findings, compare)
	return slices.CompactFunc(findings, func(a, b Finding) bool {
		return compare(a, b) == 0 && a.Hint == b.Hint && a.Path == b.Path
	})
}

func compare(a, b Finding) int {
	p, q := a.Pos.Position(), b.Pos.Position()
	if (p.File == "") != (q.File == "") {
		if p.File == "" {
			return 1
		}
		return -1
	}
	return cmp.Or(
		cmp.Compare(p.File, q.File),
		cmp.Compare(p.Line, q.Line),
		cmp.Compare(p.Column, q.Column),
		cmp.Compare(b.Severity, a.Severity),
		cmp.Compare(a.Rule, b.Rule),
		cmp.Compare(a.Message, b.Message),
		cmp.Compare(a.Step, b.Step),
		cmp.Compare(a.Nth, b.Nth),
	)
}

// Worst returns the heaviest severity among findings that are not waived, and
// false when there are none.
func Worst(findings []Finding) (Severity, bool) {
	worst, any := Note, false
	for _, f := range findings {
		if !f.Waived {
			worst, any = max(worst, f.Severity), true
		}
	}
	return worst, any
}
