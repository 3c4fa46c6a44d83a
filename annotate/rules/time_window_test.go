package rules_test

import (
	"testing"

	"sideport/annotate/taxonomy"
)

// Windows are sanity limits of our own, 30 to 300 s for the rhexis: its finding is
// information and says so.
func TestTimeWindow(t *testing.T) {
	expect(t, "time/window", []sample{
		{"inside", with("", "1:00-2:30 rhexis\n"), nil},
		{"at the low end", with("steps: [{step: side-port, at: \"1:00\", until: \"1:03\"}]\n", ""), nil},
		{"at the high end", with("steps: [{step: side-port, at: \"1:00\", until: \"1:30\"}]\n", ""), nil},
		{"too short", with("", "1:00-1:01 side port\n"), []string{
			"case/recording.txt:1:1: note: side port took 1 s, outside 3–30 s [time/window]"}},
		{"too long by a little", with("steps: [{step: side-port, at: \"1:00\", until: \"1:30.4\"}]\n", ""), []string{
			"case/case.yaml:4:9: note: side port took 30.4 s, outside 3–30 s [time/window]"}},
		{"an end taken from the next step", with("", "1:00 side port\n9:00 rhexis\n"), nil},
		{"the end of the video", with("video: {shows: recording, duration: \"20:00\"}\n", "1:00 side port\n"), nil},
		{"the end of the part", with("recording: {part: {from: \"0:30\", to: \"20:00\"}}\n", "1:00 side port\n"), nil},
		{"an end before its start", with("steps: [{step: side-port, at: \"1:00\", until: \"0:10\"}]\n", "9:00 rhexis\n"), nil},
		{"the end of a chapter is the edit's", map[string]string{"case.yaml": head, "chapters.vtt": titles("Side port", "Rhexis")}, nil},
		{"no time", with("steps: [{step: side-port}]\n", ""), nil},
	})
}

func TestTimeWindowSaysWhoseItIs(t *testing.T) {
	p, _ := taxonomy.ByID("msics")
	step, _ := p.Step("side-port")
	for _, f := range found(t, with("", "1:00-9:00 side port\n")) {
		if f.Rule != "time/window" {
			continue
		}
		if *f.Value.Low != 480 || *f.Accepted.Low != float64(step.Window.Expert) || *f.Accepted.High != float64(step.Window.Trainee) ||
			f.Evidence != "assumption" || f.Source != step.Window.Source || f.Recording.To.Seconds() != 540 || f.Nth != 1 {
			t.Errorf("finding = %+v", f)
		}
		return
	}
	t.Error("nothing is said of a side port of 8 minutes")
}
