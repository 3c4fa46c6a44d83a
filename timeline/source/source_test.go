package source_test

import (
	"fmt"
	"strings"
	"testing"

	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
)

func TestPosition(t *testing.T) {
	text := "a\r\nµm x\rlast\n"
	src := source.New("f.txt", []byte(text))
	for _, tt := range []struct {
		name   string
		offset int
		want   string
	}{
		{"first byte", 0, "f.txt:1:1"},
		{"the CR of CRLF still belongs to its line", 1, "f.txt:1:2"},
		{"after CRLF", 3, "f.txt:2:1"},
		{"columns count code points, not bytes", 6, "f.txt:2:3"},
		{"after a lone CR", strings.Index(text, "last"), "f.txt:3:1"},
		{"after the last line end", len(text), "f.txt:4:1"},
		{"past the end is clamped", 999, "f.txt:4:1"},
	} {
		if got := src.Pos(tt.offset).String(); got != tt.want {
			t.Errorf("%s: Pos(%d) = %s, want %s", tt.name, tt.offset, got, tt.want)
		}
		if at := src.Pos(tt.offset); src.PosAt(at.Position().Line, at.Position().Column) != at {
			t.Errorf("%s: PosAt does not undo Position", tt.name)
		}
	}
	if got := src.Whole().String(); got != "f.txt" {
		t.Errorf("Whole() = %s, want f.txt", got)
	}
	if got := (source.Pos{}).String(); got != "-" {
		t.Errorf("zero Pos = %s, want -", got)
	}
}

func TestLine(t *testing.T) {
	src := source.New("f", []byte("one\r\ntwo\rthree\n"))
	var got []string
	for i := range src.Lines() {
		line, _ := src.Line(i)
		got = append(got, string(line))
	}
	if diff := cmp.Diff([]string{"one", "two", "three", ""}, got); diff != "" {
		t.Errorf("lines (-want +got):\n%s", diff)
	}
}

func TestDecode(t *testing.T) {
	for _, tt := range []struct {
		name, raw, want, finding string
	}{
		{"plain", "0:41 rhexis", "0:41 rhexis", ""},
		{"UTF-8 mark", "\xEF\xBB\xBF0:41", "0:41", ""},
		{"UTF-16 little-endian", "\xFF\xFEa\x00\xB5\x00", "aµ", ""},
		{"UTF-16 big-endian with a pair", "\xFE\xFF\xD8\x3D\xDC\x41", "👁", ""},
		{"UTF-16 cut in half", "\xFF\xFEa\x00b", "a\uFFFD", ""},
		{"Latin-1", "ok\n3 \xB5m", "", "f:2:3: error: the text is neither UTF-8 nor UTF-16 with a byte order mark (byte 0xB5); nothing of the file is read [read/encoding]"},
		{"empty", "", "", ""},
	} {
		var found []string
		src := source.Decode("f", []byte(tt.raw), func(f source.Finding) { found = append(found, f.String()) })
		if got := string(src.Text()); got != tt.want {
			t.Errorf("%s: text = %q, want %q", tt.name, got, tt.want)
		}
		if got := strings.Join(found, "\n"); got != tt.finding {
			t.Errorf("%s: findings = %q, want %q", tt.name, got, tt.finding)
		}
	}
}

func TestSortAndWorst(t *testing.T) {
	src := source.New("b.txt", []byte("x\ny\n"))
	other := source.New("a.txt", []byte("x"))
	list := []source.Finding{
		{Rule: "read/x", Message: "no place"},
		{Pos: src.Pos(2), Rule: "read/x", Message: "second line"},
		{Pos: src.Pos(0), Rule: "read/x", Severity: source.Note, Message: "light"},
		{Pos: src.Pos(0), Rule: "read/x", Severity: source.Stop, Message: "heavy", Waived: true},
		{Pos: src.Pos(2), Rule: "read/x", Message: "second line"},
		{Pos: other.Pos(0), Rule: "read/x", Severity: source.Caution, Message: "other file"},
	}
	var got []string
	for _, f := range source.Sort(list) {
		got = append(got, f.Message)
	}
	want := []string{"other file", "heavy", "light", "second line", "no place"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("Sort (-want +got):\n%s", diff)
	}
	if worst, ok := source.Worst(list[:4]); !ok || worst != source.Caution {
		t.Errorf("Worst = %v, %v, want caution, true: a waived finding counts for nothing", worst, ok)
	}
}

func ExampleFinding_Text() {
	src := source.New("case.yaml", []byte("steps:\n  rhexis-diameter: 5.2 mm\n"))
	fmt.Print(source.Finding{
		Pos: src.PosAt(2, 20), Severity: source.Caution, Rule: "range/rhexis-diameter",
		Message: "rhexis diameter 5.2 mm is below 5.5–7.5 mm",
		Source:  "common practice, no source",
	}.Text())
	// Output:
	// case.yaml:2:20: caution: rhexis diameter 5.2 mm is below 5.5–7.5 mm [range/rhexis-diameter]
	//     source: common practice, no source
}
