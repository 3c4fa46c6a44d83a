package format_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A time behind a title is noted among the lines of a list and passed over in prose.
func TestDescriptionTimesBehindTheTitle(t *testing.T) {
	const long = "0:00 Intro\n0:20 Port\n2:00 End\n"
	for _, tt := range []struct {
		name, text string
		chapters   []string
		said       []string
	}{
		{"among chapters", "0:00 Intro\nPort 0:30\nRhexis (1:05)\n2:00 Hydro\n3:00 End\n", []string{"0 0>? |Intro", "0 2m0>? |Hydro", "0 3m0>? |End"}, []string{"2:6: note read/chapter-list"}},
		{"behind the last", long + "Credits: 2:30\n", []string{"0 0>? |Intro", "0 20>? |Port", "0 2m0>? |End"}, []string{"4:10: note read/chapter-list"}},
		{"prose of its own", "Filmed from 9:30 on.\n\n" + long + "\nUntil 0:30 nothing is shown.\n", []string{"0 0>? |Intro", "0 20>? |Port", "0 2m0>? |End"}, nil},
		{"a dilution and a time of day", long + "Adrenaline 1:10 000\nFilmed at 9:30 am\n", []string{"0 0>? |Intro", "0 20>? |Port", "0 2m0>? |End"}, nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			chapters, findings := readChapters(t, "description", "a.txt", []byte(tt.text))
			if diff := cmp.Diff(tt.chapters, mapped(chapters, showChapter)); diff != "" {
				t.Errorf("chapters (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(tt.said, mapped(findings, brief)); diff != "" {
				t.Errorf("findings (-want +got):\n%s", diff)
			}
		})
	}
}
