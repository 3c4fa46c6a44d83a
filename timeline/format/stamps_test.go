package format_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline/source"
)

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
