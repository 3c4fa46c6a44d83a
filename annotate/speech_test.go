package annotate_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sideport/annotate"
	"sideport/timeline/timelinetest"

	"github.com/google/go-cmp/cmp"
)

// cues is a SubRip narration: from and to in whole seconds below a minute.
func cues(list ...string) string {
	var b strings.Builder
	for i, c := range list {
		from, rest, _ := strings.Cut(c, "-")
		to, text, _ := strings.Cut(rest, " ")
		b.WriteString(itoa(i+1) + "\n00:00:" + from + ",000 --> 00:00:" + to + ",000\n" + text + "\n\n")
	}
	return b.String()
}

func speechLines(c *annotate.Case) []string {
	var out []string
	for _, cue := range c.Speech {
		out = append(out, spanText(timelineSpan(cue.From, cue.To))+" "+cue.Text)
	}
	return out
}

// Narration on the recording's clock goes through the map: design section 5,
// point 8. Kept are 0:10-0:30 and 0:40-1:00 of the recording.
func TestNarrationOnTheRecordingClock(t *testing.T) {
	files := map[string]string{
		"case.yaml": head + "recording: {clock: elapsed}\nvideo: {duration: \"0:40\"}\nnarration: {clock: recording}\n" +
			"pins: [{recording: \"0:10\", video: \"0:00\"}, {recording: \"0:29\", video: \"0:19\"}, {recording: \"0:41\", video: \"0:21\"}, {recording: \"0:59\", video: \"0:39\"}]\n",
		"recording.txt": "0:10 groove\n",
		"narration.srt": cues("12-15 inside", "27-33 across the cut", "34-36 removed, bottle at 75 centimetres", "45-48 inside again"),
	}
	c := resolve(t, files)
	want := []string{"2-5 inside", "17-21 across the cut", "25-28 inside again"}
	if diff := cmp.Diff(want, speechLines(c)); diff != "" {
		t.Logf("map: %+v", c.Map)
		t.Errorf("speech (-want +got):\n%s", diff)
	}
	found := []string{"case/narration.srt:9:1: note: this cue of the narration is left out: the material is not in the video [time/speech-removed]"}
	if diff := cmp.Diff(found, printed(c.Findings, "time/speech-removed")); diff != "" {
		t.Errorf("findings (-want +got):\n%s", diff)
	}
}

// Without a place of the recording on the video the narration is left out, which is
// one fact; what it says is proposed all the same.
func TestNarrationWithoutAMap(t *testing.T) {
	c := resolve(t, map[string]string{
		"case.yaml":     head + "recording: {clock: elapsed}\nnarration: {clock: recording}\n",
		"recording.txt": "0:10 cortex\n0:50 IOL in\n",
		"narration.srt": cues("12-15 bottle at 75 centimetres", "20-22 oh, a rupture of the posterior capsule"),
	})
	want := []string{"case/narration.srt:1:1: note: the narration, 2 cues, is left out: the place of the recording on the video is not known [time/speech-removed]"}
	if diff := cmp.Diff(want, printed(c.Findings, "time/speech-removed")); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	proposals := []string{"bottle-height 75 cm of cortex-aspiration 1 as spoken at 12/-", "pc-rupture of cortex-aspiration 1 as spoken at 20/-"}
	if diff := cmp.Diff(proposals, proposalLines(c)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func proposalLines(c *annotate.Case) []string {
	var out []string
	for _, p := range c.Proposals {
		line := p.Event
		if p.Kind == "value" {
			line = p.Parameter + " " + p.Quantity.String()
		}
		step := "no step"
		if p.Step != "" {
			step = p.Step + " " + itoa(p.Nth)
		}
		out = append(out, line+" of "+step+" "+p.Heard+" at "+secs(p.Recording)+"/"+secs(p.Video))
	}
	return out
}

// Design section 5, point 5: a value with a unit and a complication word become
// proposals, until case.yaml confirms them.
func TestProposals(t *testing.T) {
	list := "0:10 keratome entry, 2.9 mm\n0:20 rhexis 5.5 mm\n0:30 PC rupture\n0:40 cortex\n"
	chapters := "WEBVTT\n\n00:10.000 --> 00:20.000\nKeratome entry 2.9 mm\n\n00:20.000 --> 00:40.000\nRhexis\n\n00:40.000 --> 00:59.000\nCortex, bottle 70 cm\n"
	spoken := cues("22-25 the rhexis is five point five millimetres", "41-44 bottle at seventy centimetres", "50-52 no rupture of the posterior capsule")
	files := map[string]string{
		"case.yaml":     head + "recording: {clock: elapsed}\nvideo: {shows: recording, duration: \"1:00\"}\n",
		"recording.txt": list, "chapters.vtt": chapters, "narration.srt": spoken,
	}
	want := []string{
		"keratome-width 2.9 mm of ac-entry 1 as noted at 10/10",
		"rhexis-diameter 5.5 mm of capsulotomy 1 as noted at 20/20",
		"pc-rupture of capsulotomy 1 as noted at 30/30",
		"bottle-height 70 cm of cortex-aspiration 1 as noted at 40/40",
		"rhexis-diameter 5.5 mm of capsulotomy 1 as spoken at 22/22",
		"bottle-height 70 cm of cortex-aspiration 1 as spoken at 41/41",
	}
	c := resolve(t, files)
	if diff := cmp.Diff(want, proposalLines(c)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	for _, s := range c.Steps {
		if len(s.Values) > 0 || s.Variant != "" {
			t.Errorf("%s has values or a variant that case.yaml does not state", s.ID)
		}
	}
	files["case.yaml"] += "steps:\n  - {step: ac-entry, values: {keratome-width: 2.9 mm}}\n  - {step: capsulotomy, values: {rhexis-diameter: 5.5 mm}}\n" +
		"  - {step: cortex-aspiration, readings: [{at: \"0:41\", bottle-height: 70 cm}]}\nevents: [{event: pc-rupture}]\n"
	if got := proposalLines(resolve(t, files)); got != nil {
		t.Errorf("confirmed and still proposed: %v", got)
	}
}

// Length of the video, in the order of design section 5, point 9.
func TestVideoLength(t *testing.T) {
	webm, err := os.ReadFile(filepath.Join(timelinetest.Root(t), "testdata", "cases", "msics-chevron", "video.webm"))
	if err != nil {
		t.Fatal(err)
	}
	var (
		chapters = "WEBVTT\n\n00:10.000 --> 00:20.000\nGroove\n\n00:20.000 --> 00:40.000\nRhexis\n"
		points   = "0:00 Groove\n0:20 Tunnel\n0:40 Rhexis\n"
		spoken   = cues("41-44 a word", "50-52 another")
	)
	tests := []struct {
		name, keys string
		files      map[string]string
		want       float64
		assumed    bool
		found      []string
	}{
		{"stated", "video: {duration: \"4:05.2\"}\n", map[string]string{"video.webm": string(webm), "chapters.vtt": chapters}, 245.2, false, nil},
		{"of the container", "", map[string]string{"video.webm": string(webm), "chapters.vtt": chapters, "narration.srt": spoken}, 276, false, nil},
		{"stated wrongly", "video: {duration: long}\n", map[string]string{"video.webm": string(webm)}, 276, false,
			[]string{`case/case.yaml:4:19: error: video.duration: "long" is not a length of time such as 4:05.2 or 65.2 s [read/bad-time]`}},
		{"nothing long", "video: {duration: 0 s}\n", nil, 0, true, []string{`case/case.yaml:4:19: error: video.duration: the length is not above 0 [read/bad-time]`}},
		{"the last chapter", "", map[string]string{"chapters.vtt": chapters}, 40, true,
			[]string{"case/case.yaml: note: the length of the video is not known; it is taken to end at 0:40.0, with the last chapter or cue [time/length-assumed]"}},
		{"a last chapter without an end", "", map[string]string{"chapters.txt": points}, 50, true,
			[]string{"case/case.yaml: note: the length of the video is not known; it is taken to end at 0:50.0, with the last chapter or cue [time/length-assumed]"}},
		{"the last cue", "", map[string]string{"chapters.vtt": chapters, "narration.srt": spoken}, 52, true,
			[]string{"case/case.yaml: note: the length of the video is not known; it is taken to end at 0:52.0, with the last chapter or cue [time/length-assumed]"}},
		{"a cue of another clock does not count", "narration: {clock: recording}\n", map[string]string{"chapters.vtt": chapters, "narration.srt": spoken}, 40, true,
			[]string{"case/case.yaml: note: the length of the video is not known; it is taken to end at 0:40.0, with the last chapter or cue [time/length-assumed]"}},
		{"nothing", "", nil, 0, true, nil},
		{"a cue past the end", "video: {duration: \"0:45\"}\n", map[string]string{"chapters.vtt": chapters, "narration.srt": spoken}, 45, false,
			[]string{"case/narration.srt:5:1: caution: this cue begins at 50.0 s; the video ends at 45.0 s [time/speech-past-end]"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			files := map[string]string{"case.yaml": head + tt.keys}
			for name, text := range tt.files {
				files[name] = text
			}
			c := resolve(t, files)
			if got := c.VideoLength.Seconds(); got != tt.want || c.VideoLengthAssumed != tt.assumed {
				t.Errorf("length = %g s, assumed %v, want %g s, %v", got, c.VideoLengthAssumed, tt.want, tt.assumed)
			}
			found := append(faults(c.Findings), printed(c.Findings, "time/length-assumed")...)
			if diff := cmp.Diff(tt.found, found); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// A time heard in the narration is the last source of all: design section 5, point
// 1. It places an entry that nothing else does, with half the confidence.
func TestSpokenStep(t *testing.T) {
	files := map[string]string{
		"case.yaml":     head + "recording: {clock: elapsed}\nvideo: {shows: recording, duration: \"1:00\"}\nsteps: [{step: peritomy}, {step: capsulotomy}, {step: wound-check}]\n",
		"recording.txt": "0:30 rhexis\n",
		"narration.srt": cues("05-08 a wide peritomy first", "20-24 now the rhexis", "40-44 we will do the leak test later"),
	}
	want := []string{"peritomy 1 narration 5-30~ 5-30", "capsulotomy 1 stamp 30-60~ 30-60", "wound-check 1 untimed - -"}
	c := resolve(t, files)
	if diff := cmp.Diff(want, stepLines(c)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if got := c.Steps[0].Confidence; got <= 0 || got > 0.5 {
		t.Errorf("confidence = %g, want at most a half", got)
	}
}

// No step comes from the narration alone.
func TestNarrationMakesNoSteps(t *testing.T) {
	c := resolve(t, map[string]string{"case.yaml": head, "narration.srt": cues("05-08 a wide peritomy first")})
	if got := stepLines(c); got != nil {
		t.Errorf("steps = %v, want none", got)
	}
}
