package format_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline/source"
)

// A first line is a heading unless it looks like a time whose mark is missing.
func TestHeadingThatStartsWithANumber(t *testing.T) {
	const note, fault = "1:1: note read/heading", "1:1: error read/no-time"
	for heading, want := range map[string]string{
		"77 tunnel": fault, "105 Rhexis": fault, "77 marking": fault, "Case 12": note, "12 March": note, "3 sep": note, "3 March 2026": note, "2026 list": note,
		"2 eyes of one day": note, "12": note, "12. tape": note, "77 5mm": note,
	} {
		var said []string
		got := reader(t, "stamps").Stamps(source.New("a.txt", []byte(heading+"\n0:41 rhexis\n")), func(f source.Finding) { said = append(said, brief(f)) })
		if diff := cmp.Diff([]string{want}, said); diff != "" || len(got) != 1 {
			t.Errorf("%q: %d stamps (-want +got):\n%s", heading, len(got), diff)
		}
	}
}

// A sign right before a time is said to be lost, once and at the sign; a dash with a
// blank behind it is a bullet.
func TestSignBeforeATime(t *testing.T) {
	for _, tt := range []struct {
		name, text string
		said       []string
		related    int
	}{
		{"signs", "0:05 port\n-1:05 neg\n  -0:10 tunnel\n", []string{"2:1: caution read/sign"}, 1},
		{"behind a number", "1. -1:05 neg\n", []string{"1:4: caution read/sign"}, 0},
		{"bullets", "- 1:05 rhexis\n-\t1:10 hydro\n-- 1:15 phaco\n", nil, 0},
		{"dashes behind the time", "0:05-0:10 port\n0:12 -5 D\n", nil, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			for _, kind := range []string{"stamps", "description"} {
				var said []string
				report := func(f source.Finding) {
					if f.Severity == source.Note {
						return
					}
					if said = append(said, brief(f)); f.Rule == "read/sign" && len(f.Related) != tt.related {
						t.Errorf("%s: %d more places, want %d", kind, len(f.Related), tt.related)
					}
				}
				src := source.New("a.txt", []byte(tt.text))
				if r := reader(t, kind); r.Stamps != nil {
					r.Stamps(src, report)
				} else {
					r.Chapters(src, func(f source.Finding) {
						if f.Rule != "read/chapter-order" {
							report(f)
						}
					})
				}
				if diff := cmp.Diff(tt.said, said); diff != "" {
					t.Errorf("%s (-want +got):\n%s", kind, diff)
				}
			}
		})
	}
}
