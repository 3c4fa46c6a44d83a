package source_test

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"sideport/timeline/source"
)

// Columns on a long line are those that counting its code points one by one gives.
func TestColumnsOfALongLine(t *testing.T) {
	long := strings.Repeat("rhexis µm लेंस 水晶体 ", 3000) // more than 80 KB
	if len(long) < 80_000 {
		t.Fatalf("the line has %d bytes, want at least 80,000", len(long))
	}
	text := "short\n" + long + "\r\n" + strings.Repeat("x", 1024) + "\n" + long
	src := source.New("f", []byte(text))
	line, column := 1, 1
	for offset, r := range text {
		at := src.Pos(offset)
		want := source.Position{File: "f", Line: line, Column: column}
		if got := at.Position(); got != want {
			t.Fatalf("Pos(%d).Position() = %v, want %v", offset, got, want)
		}
		if r != '\r' && r != '\n' && src.PosAt(line, column) != at {
			t.Fatalf("PosAt(%d, %d) = %v, want %v", line, column, src.PosAt(line, column), at)
		}
		column++
		if r == '\n' {
			line, column = line+1, 1
		}
	}
	end := utf8.RuneCountInString(long) + 1
	for _, n := range []int{2, 4} {
		if got, want := src.PosAt(n, 1<<30).Position(), (source.Position{File: "f", Line: n, Column: end}); got != want {
			t.Errorf("PosAt(%d, far right) = %v, want %v: the column is clamped to the line", n, got, want)
		}
	}
}

// Counting each column from the start of an 8 MB line would outlast the test's
// own limit of ten minutes.
func TestSortOfManyFindingsOnOneLine(t *testing.T) {
	const words = 1 << 20
	src := source.New("f", []byte(strings.Repeat("rhexis µ", words)))
	step := len(src.Text()) / words
	var list []source.Finding
	for i := range words / 4 {
		list = append(list, source.Finding{Pos: src.Pos((i * 7919 % words) * step), Rule: "read/x", Message: fmt.Sprint(i)})
	}
	list = source.Sort(list)
	if got, want := len(list), words/4; got != want {
		t.Fatalf("Sort left %d findings, want %d", got, want)
	}
	for i := 1; i < len(list); i++ {
		if list[i].Pos.Offset <= list[i-1].Pos.Offset {
			t.Fatalf("finding %d at byte %d stands behind one at byte %d", i, list[i].Pos.Offset, list[i-1].Pos.Offset)
		}
	}
}
