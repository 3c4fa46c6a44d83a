package annotate_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A chapter that the moments on both sides of it contradict is named, whatever the
// aligner makes of it: design section 5, point 1.
func TestChapterApartFromItsNeighbours(t *testing.T) {
	const (
		list   = "0:30 groove\n1:00 OVD in\n1:17 rhexis\n3:00 hydrodissection\n4:10 I/A\n6:00 IOL\n7:00 visco wash\n"
		titles = "0:00 Opening\n0:30 Groove\n1:00 OVD in\n%s Rhexis\n3:00 Hydrodissection\n4:10 I/A\n6:00 IOL\n7:00 Visco wash\n"
		apart  = "case/chapters.txt:4:1: caution: the chapter begins %s s away from where the stamp at recording 1:17.0 puts it [time/disagree]"
	)
	said := func(seconds string) []string { return []string{fmt.Sprintf(apart, seconds)} }
	tests := []struct {
		name, keys, list, titles string
		want                     []string
	}{
		{"where it should be", "", list, fmt.Sprintf(titles, "1:17"), nil},
		{"2 s late", "", list, fmt.Sprintf(titles, "1:19"), nil},
		{"3 s late", "", list, fmt.Sprintf(titles, "1:20"), said("3.0")},
		{"3 s early", "", list, fmt.Sprintf(titles, "1:14"), said("3.0")},
		{"6 s late", "", list, fmt.Sprintf(titles, "1:23"), said("6.0")},
		{"15 s late, so that it fits nothing", "", list, fmt.Sprintf(titles, "1:32"), said("15.0")},
		{"a pin says that it is so", "pins: [{recording: \"1:17\", video: \"1:23\"}]\n", list, fmt.Sprintf(titles, "1:23"), nil},
		// Material that was removed shifts all that follows: the middle one lies between.
		{"two cuts", "", list, "0:00 Opening\n0:30 Groove\n1:00 OVD in\n1:12 Rhexis\n2:45 Hydrodissection\n3:50 I/A\n5:30 IOL\n6:20 Visco wash\n", nil},
		{"a short cut close behind it", "", "0:30 groove\n5:20 rhexis\n5:30 hydrodissection\n6:00 I/A\n7:00 IOL\n",
			"0:00 Opening\n0:30 Groove\n5:20 Rhexis\n5:24 Hydrodissection\n5:54 I/A\n6:54 IOL\n", nil},
		{"the first and the last have one neighbour", "", "0:30 groove\n1:17 rhexis\n3:00 hydrodissection\n",
			"0:00 Opening\n0:34 Groove\n1:17 Rhexis\n2:55 Hydrodissection\n", nil},
		{"a step that has two stamps", "", list + "7:30 rhexis\n", fmt.Sprintf(titles, "1:32"), nil},
		{"stamps to the minute", "recording: {clock: wall}\n", "9:10 groove\n9:11 OVD in\n9:12 rhexis\n9:14 hydrodissection\n9:15 I/A\n9:17 IOL\n",
			"0:00 Groove\n1:00 OVD in\n2:05 Rhexis\n4:00 Hydrodissection\n5:00 I/A\n7:00 IOL\n", nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := resolve(t, map[string]string{
				"case.yaml":     head + "video: {duration: \"8:00\"}\n" + tt.keys,
				"recording.txt": tt.list, "chapters.txt": tt.titles,
			})
			if diff := cmp.Diff(tt.want, printed(c.Findings, "time/disagree")); diff != "" {
				t.Errorf("(-want +got):\n%s\npairs %v", diff, c.Pairs)
			}
			for _, f := range c.Findings {
				if f.Rule != "time/disagree" {
					continue
				}
				if len(f.Related) != 1 || f.Related[0].Pos.String() != "case/recording.txt:3:1" || f.Step != "capsulotomy" {
					t.Errorf("step %q, related %v; want capsulotomy and the stamp's place", f.Step, f.Related)
				}
			}
			if got := printed(c.Findings, "time/not-matched"); len(tt.want) > 0 && got != nil {
				t.Errorf("said twice: %v", got)
			}
		})
	}
}
