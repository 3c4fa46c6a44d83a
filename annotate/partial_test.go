package annotate_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// What a case knows of its video when part of its material is missing: whether there
// is a video clock, how long the video is (~ when that is assumed), what of the
// narration is on it, and the steps. The lists are invented.
func TestPartialMaterial(t *testing.T) {
	const (
		stamps   = "0:10 side port\n0:20 rhexis\n0:40 IOL\n"
		chapters = "0:00 Side port\n0:10 Rhexis\n0:30 IOL\n"
	)
	spoken := cues("10-14 Nucleus delivery now.")
	for _, tt := range []struct {
		name, keys string
		files      map[string]string
		want       string
		steps      []string
	}{
		{"chapters only", "", map[string]string{"chapters.txt": chapters}, "clock true, 40 s~, 0 cues",
			[]string{"side-port 1 chapter -~ 0-10", "capsulotomy 1 chapter -~ 10-30", "iol-insertion 1 chapter -~ 30-40"}},
		{"stamps only", "", map[string]string{"recording.txt": stamps}, "clock false, 0 s~, 0 cues",
			[]string{"side-port 1 stamp 10-20~ -", "capsulotomy 1 stamp 20-40~ -", "iol-insertion 1 stamp 40-40~ -"}},
		{"both, and chapters without an end", "", map[string]string{"recording.txt": stamps, "chapters.txt": chapters}, "clock true, 40 s~, 0 cues",
			[]string{"side-port 1 stamp 10-20~ 0-10", "capsulotomy 1 stamp 20-40~ 10-30", "iol-insertion 1 stamp 40-50~ 30-40"}},
		{"pins for chapters", "pins: [{recording: \"0:20\", video: \"0:10\"}, {recording: \"0:40\", video: \"0:30\"}]\n",
			map[string]string{"recording.txt": stamps}, "clock true, 40 s~, 0 cues",
			[]string{"side-port 1 stamp 10-20~ -", "capsulotomy 1 stamp 20-40~ 10-30", "iol-insertion 1 stamp 40-50~ 30-40"}},
		{"uncut, of no known length", "video: {shows: recording}\n", map[string]string{"recording.txt": stamps}, "clock true, 50 s~, 0 cues",
			[]string{"side-port 1 stamp 10-20~ 10-20", "capsulotomy 1 stamp 20-40~ 20-40", "iol-insertion 1 stamp 40-50~ 40-50"}},
		{"uncut, with a last stated end", "video: {shows: recording}\n", map[string]string{"recording.txt": "0:10 side port\n0:40-0:43 IOL\n"}, "clock true, 43 s~, 0 cues",
			[]string{"side-port 1 stamp 10-40~ 10-40", "iol-insertion 1 stamp 40-43 40-43"}},
		{"uncut, with times in case.yaml only", "video: {shows: recording}\nsteps: [{step: capsulotomy, at: \"0:20\", until: \"0:45\"}]\n", nil, "clock true, 45 s~, 0 cues",
			[]string{"capsulotomy 1 case 20-45 20-45"}},
		{"uncut, of a stated length", "video: {shows: recording, duration: \"1:30\"}\n", map[string]string{"recording.txt": stamps}, "clock true, 90 s, 0 cues",
			[]string{"side-port 1 stamp 10-20~ 10-20", "capsulotomy 1 stamp 20-40~ 20-40", "iol-insertion 1 stamp 40-90~ 40-90"}},
		{"uncut and nothing else", "video: {shows: recording}\n", nil, "clock true, 0 s~, 0 cues", nil},
		{"uncut, spoken over the recording", "video: {shows: recording}\nnarration: {clock: recording}\n", map[string]string{"narration.srt": spoken}, "clock true, 14 s~, 1 cues", nil},
		{"spoken over the video, nothing else", "", map[string]string{"narration.srt": spoken}, "clock false, 14 s~, 1 cues", nil},
		{"spoken over the recording, nothing else", "narration: {clock: recording}\n", map[string]string{"narration.srt": spoken}, "clock false, 0 s~, 0 cues", nil},
		{"nothing", "", nil, "clock false, 0 s~, 0 cues", nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			files := map[string]string{"case.yaml": head + tt.keys}
			for name, text := range tt.files {
				files[name] = text
			}
			c := resolve(t, files)
			assumed := map[bool]string{true: "~"}[c.VideoLengthAssumed]
			if got := fmt.Sprintf("clock %t, %g s%s, %d cues", c.HasVideoClock, c.VideoLength.Seconds(), assumed, len(c.Speech)); got != tt.want {
				t.Errorf("%s, want %s", got, tt.want)
			}
			if diff := cmp.Diff(tt.steps, stepLines(c)); diff != "" {
				t.Errorf("steps (-want +got):\n%s", diff)
			}
			if got := faults(c.Findings); len(got) > 0 {
				t.Errorf("faults %v, want none", got)
			}
		})
	}
}
