package source_test

import (
	"slices"
	"strings"
	"testing"

	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
)

// Findings that differ in one thing only all stay, in the same order however they
// are given; an exact copy goes.
func TestSortDoesNotDependOnTheOrderGiven(t *testing.T) {
	src := source.New("f", []byte("one line"))
	low, lowAgain, high := 1.0, 1.0, 2.0
	base := source.Finding{Pos: src.Pos(0), Rule: "read/x", Message: "m", Value: &source.Bounds{Low: &low}}
	vary := func(change func(f *source.Finding)) source.Finding {
		f := base
		change(&f)
		return f
	}
	kinds := []source.Finding{
		base,
		vary(func(f *source.Finding) { f.Hint = "h" }),
		vary(func(f *source.Finding) { f.Path = "steps[0]" }),
		vary(func(f *source.Finding) { f.Step = "rhexis" }),
		vary(func(f *source.Finding) { f.Source = "s" }),
		vary(func(f *source.Finding) { f.End = src.Pos(3) }),
		vary(func(f *source.Finding) { f.Waived = true }),
		vary(func(f *source.Finding) { f.Video = &source.Span{To: 1} }),
		vary(func(f *source.Finding) { f.Value = nil }),
		vary(func(f *source.Finding) { f.Value = &source.Bounds{Low: &high} }),
		vary(func(f *source.Finding) { f.Related = []source.Related{{Pos: src.Pos(1), Message: "r"}} }),
		vary(func(f *source.Finding) { f.Fixes = []source.Fix{{Text: "t"}} }),
	}
	copied := vary(func(f *source.Finding) { f.Value = &source.Bounds{Low: &lowAgain} })
	want := source.Sort(append(slices.Clone(kinds), copied))
	if got := len(want); got != len(kinds) {
		t.Errorf("Sort left %d findings, want %d", got, len(kinds))
	}
	same := cmp.Comparer(func(a, b *source.Source) bool { return a == b })
	for i := range kinds {
		turned := append([]source.Finding{copied}, append(slices.Clone(kinds[i:]), kinds[:i]...)...)
		slices.Reverse(turned)
		if diff := cmp.Diff(want, source.Sort(turned), same); diff != "" {
			t.Errorf("Sort from turn %d (-want +got):\n%s", i, diff)
		}
	}
}

// Nothing a user wrote begins a line or moves the cursor.
func TestFindingsCannotBeForged(t *testing.T) {
	const forged = "\nz.txt:1:1: stop: forged [x/y]\r\n\rmore\u2028end\x1b[31m\u202e"
	src := source.New("a"+forged+".txt", []byte("x"))
	f := source.Finding{
		Pos: src.Pos(0), Rule: "read/x", Message: "m" + forged, Hint: "h" + forged,
		Source: "s" + forged, WaivedBy: "w" + forged,
		Related: []source.Related{{Pos: src.Pos(0), Message: "r" + forged}},
	}
	if got := f.String(); strings.ContainsAny(got, "\r\n\u2028\x1b\u202e") {
		t.Errorf("String() = %q, want one line without control characters", got)
	}
	got := f.Text()
	lines := strings.Split(strings.TrimSuffix(got, "\n"), "\n")
	begin := []string{"a z.txt:1:1: stop: forged [x/y]  more end[31m.txt:1:1: note: m ", "    source: s ", "    hint: h ", "    exception: w ", "    see a "}
	if len(lines) != len(begin) || strings.ContainsAny(got, "\r\u2028\x1b\u202e") {
		t.Fatalf("Text() = %q, want %d lines without control characters", got, len(begin))
	}
	for i, line := range lines {
		if !strings.HasPrefix(line, begin[i]) {
			t.Errorf("line %d of Text() = %q, want it to begin with %q", i+1, line, begin[i])
		}
	}
}
