package source

import (
	"cmp"
	"slices"
)

// Sort puts findings in file order, then by line, column, weight, rule and
// message, then by all else they hold, and drops exact duplicates. Findings
// without a file come last. The result does not depend on the order given; it
// takes the place of findings. Each place is resolved once.
func Sort(findings []Finding) []Finding {
	type placed struct {
		at Position
		f  *Finding
	}
	list := make([]placed, len(findings))
	for i := range findings {
		list[i] = placed{findings[i].Pos.Position(), &findings[i]}
	}
	compare := func(a, b placed) int {
		return cmp.Or(comparePositions(a.at, b.at), compareContent(a.f, b.f))
	}
	slices.SortFunc(list, compare)
	list = slices.CompactFunc(list, func(a, b placed) bool { return compare(a, b) == 0 })
	sorted := make([]Finding, len(list))
	for i, p := range list {
		sorted[i] = *p.f
	}
	clear(findings[copy(findings, sorted):])
	return findings[:len(sorted)]
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

func comparePositions(a, b Position) int {
	if (a.File == "") != (b.File == "") {
		if a.File == "" {
			return 1
		}
		return -1
	}
	return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
}

// compareContent orders findings at one place. It is 0 only when they are the
// same in all they hold.
func compareContent(a, b *Finding) int {
	if c := cmp.Or(
		cmp.Compare(b.Severity, a.Severity),
		cmp.Compare(a.Rule, b.Rule),
		cmp.Compare(a.Message, b.Message),
		cmp.Compare(a.Step, b.Step),
		cmp.Compare(a.Nth, b.Nth),
		cmp.Compare(a.Path, b.Path),
		cmp.Compare(a.Hint, b.Hint),
		cmp.Compare(a.Evidence, b.Evidence),
		cmp.Compare(a.Source, b.Source),
		cmp.Compare(a.SourceID, b.SourceID),
		cmp.Compare(a.WaivedBy, b.WaivedBy),
	); c != 0 {
		return c
	}
	return cmp.Or(
		compareBools(a.Final, b.Final),
		compareBools(a.Waived, b.Waived),
		comparePositions(a.End.Position(), b.End.Position()),
		comparePointers(a.Recording, b.Recording, compareSpans),
		comparePointers(a.Video, b.Video, compareSpans),
		comparePointers(a.Value, b.Value, compareBounds),
		comparePointers(a.Accepted, b.Accepted, compareBounds),
		slices.CompareFunc(a.Related, b.Related, compareRelated),
		slices.CompareFunc(a.Fixes, b.Fixes, compareFixes),
	)
}

func compareBools(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// comparePointers puts nil first.
func comparePointers[T any](a, b *T, compare func(a, b T) int) int {
	switch {
	case a == b:
		return 0
	case a == nil:
		return -1
	case b == nil:
		return 1
	}
	return compare(*a, *b)
}

func compareSpans(a, b Span) int {
	return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To))
}

func compareBounds(a, b Bounds) int {
	return cmp.Or(
		comparePointers(a.Low, b.Low, cmp.Compare[float64]),
		comparePointers(a.High, b.High, cmp.Compare[float64]),
		cmp.Compare(a.Unit, b.Unit),
	)
}

func compareRelated(a, b Related) int {
	return cmp.Or(comparePositions(a.Pos.Position(), b.Pos.Position()), cmp.Compare(a.Message, b.Message))
}

func compareFixes(a, b Fix) int {
	return cmp.Or(
		cmp.Compare(a.Message, b.Message),
		comparePositions(a.From.Position(), b.From.Position()),
		comparePositions(a.To.Position(), b.To.Position()),
		cmp.Compare(a.Text, b.Text),
	)
}
