package annotate_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// A place is not known better than the stamps that it rests on were written.
func TestWithin(t *testing.T) {
	const titles = "0:00 Groove\n2:00 Rhexis\n4:00 Hydrodissection\n"
	tests := []struct {
		name, keys, list, titles string
		want                     time.Duration // of the last stamp
	}{
		{"seconds", "recording: {clock: wall}\n", "9:10:00 groove\n9:12:00 rhexis\n9:14:00 hydrodissection\n", titles, 500 * time.Millisecond},
		{"minutes, matched", "recording: {clock: wall}\n", "9:10 groove\n9:12 rhexis\n9:14 hydrodissection\n", titles, 30 * time.Second},
		{"minutes with am", "", "9:10 am groove\n9:12 am rhexis\n9:14 am hydrodissection\n", titles, 30 * time.Second},
		{"minutes and seconds", "", "0:00 groove\n2:00 rhexis\n4:00 hydrodissection\n", titles, 500 * time.Millisecond},
		{"minutes, between two matches", "recording: {clock: wall}\n", "9:10:00 groove\n9:14:00 hydrodissection\n9:13 nice\n", titles, 30 * time.Second},
		{"between two matches known to the minute", "recording: {clock: wall}\n", "9:10 groove\n9:14 hydrodissection\n9:13:00 nice\n", titles, 30 * time.Second},
		{"minutes, a known map", "recording: {clock: wall, starts: \"9:10:00\"}\nvideo: {shows: recording, duration: \"5:00\"}\n", "9:12 rhexis\n", "", 30 * time.Second},
		{"seconds, a known map", "recording: {clock: wall, starts: \"9:10:00\"}\nvideo: {shows: recording, duration: \"5:00\"}\n", "9:12:00 rhexis\n", "", 0},
		{"a stated time for a stamp to the minute", "recording: {clock: wall}\nsteps: [{step: hydroprocedure, at: \"9:14:00\"}]\n",
			"9:10:00 groove\n9:12:00 rhexis\n9:14 hydrodissection\n", titles, 500 * time.Millisecond},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			files := map[string]string{"case.yaml": head + tt.keys, "recording.txt": tt.list}
			if tt.titles != "" {
				files["chapters.txt"] = tt.titles
			}
			c := resolve(t, files)
			m := c.Marks[len(c.Marks)-1]
			if m.Video == nil || m.Within != tt.want {
				t.Errorf("within = %v at video %s, want %v and a place", m.Within, secs(m.Video), tt.want)
			}
		})
	}
}

// A time of case.yaml outside recording.part speaks of another operation, or is
// mistyped: it is said and nothing is placed by it.
func TestTimesOutsideThePart(t *testing.T) {
	const part = "recording: {part: {from: \"09:12:00\", to: \"09:20:00\"}}\n"
	tests := []struct {
		name, keys string
		want       []string // steps
		found      []string
	}{
		{"inside", "steps: [{step: side-port, at: \"09:12:30\", until: \"09:12:50\"}]\n",
			[]string{"side-port 1 case -30--10 -", "scleral-groove 1 stamp 0-120~ -", "capsulotomy 1 stamp 120-420~ -"}, nil},
		{"at before it", "steps: [{step: side-port, at: \"09:05:00\"}]\n",
			[]string{"scleral-groove 1 stamp 0-120~ -", "capsulotomy 1 stamp 120-420~ -", "side-port 1 untimed - -"},
			[]string{"case/case.yaml:5:31: caution: this time lies outside recording.part and is left out [time/outside-part]"}},
		{"at after it, beside a stamp", "steps: [{step: capsulotomy, at: \"09:25:00\"}]\n",
			[]string{"scleral-groove 1 stamp 0-120~ -", "capsulotomy 1 stamp 120-420~ -"},
			[]string{"case/case.yaml:5:33: caution: this time lies outside recording.part and is left out [time/outside-part]"}},
		{"until", "steps: [{step: capsulotomy, until: \"09:25:00\"}]\n",
			[]string{"scleral-groove 1 stamp 0-120~ -", "capsulotomy 1 stamp 120-420~ -"},
			[]string{"case/case.yaml:5:36: caution: this time lies outside recording.part and is left out [time/outside-part]"}},
		{"an event, a reading and a pin", "events: [{event: pc-rupture, at: \"09:05:00\"}]\n" +
			"steps: [{step: capsulotomy, readings: [{at: \"09:05:01\", bottle-height: 60 cm}]}]\npins: [{recording: \"09:05:02\", video: \"0:10\"}]\n",
			[]string{"scleral-groove 1 stamp 0-120~ -", "capsulotomy 1 stamp 120-420~ -"},
			[]string{
				"case/case.yaml:5:34: caution: this time lies outside recording.part and is left out [time/outside-part]",
				"case/case.yaml:6:45: caution: this time lies outside recording.part and is left out [time/outside-part]",
				"case/case.yaml:7:20: caution: this time lies outside recording.part and is left out [time/outside-part]",
			}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := resolve(t, map[string]string{"case.yaml": head + part + tt.keys, "recording.txt": "09:13:00 groove\n09:15:00 rhexis\n"})
			if diff := cmp.Diff(tt.want, stepLines(c)); diff != "" {
				t.Errorf("steps (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(tt.found, printed(c.Findings, "time/outside-part")); diff != "" {
				t.Errorf("findings (-want +got):\n%s", diff)
			}
			for _, e := range c.Events {
				if e.Recording != nil {
					t.Errorf("the event has the time %s", secs(e.Recording))
				}
			}
		})
	}

	// Without stamps the first time of the part is zero, not an earlier one.
	c := resolve(t, map[string]string{"case.yaml": head + part + "steps: [{step: side-port, at: \"09:05:00\"}, {step: capsulotomy, at: \"09:13:00\"}]\n"})
	if diff := cmp.Diff([]string{"capsulotomy 1 case 0-420~ -", "side-port 1 untimed - -"}, stepLines(c)); diff != "" {
		t.Errorf("steps without stamps (-want +got):\n%s", diff)
	}
}

// No step is shown past the end of the video where that end is known.
func TestStepsPastTheEnd(t *testing.T) {
	const (
		list   = "0:10 groove\n1:00 rhexis\n2:30 hydrodissection\n5:00 cortex\n"
		titles = "0:00 Opening\n0:10 Groove\n1:00 Rhexis\n2:30 Hydrodissection\n5:00 Cortex\n"
		closed = "WEBVTT\n\n00:10.000 --> 01:00.000\nGroove\n\n02:30.000 --> 05:00.000\nHydrodissection\n\n05:00.000 --> 06:00.000\nCortex\n"
	)
	tests := []struct {
		name, keys string
		files      map[string]string
		want       []string
	}{
		{"stamps and chapters", "video: {duration: \"3:00\"}\n", map[string]string{"recording.txt": list, "chapters.txt": titles},
			[]string{"scleral-groove 1 stamp 10-60~ 10-60", "capsulotomy 1 stamp 60-150~ 60-150", "hydroprocedure 1 stamp 150-300~ 150-180", "cortex-aspiration 1 stamp 300-300~ -"}},
		{"chapters alone", "video: {duration: \"3:00\"}\n", map[string]string{"chapters.vtt": closed},
			[]string{"scleral-groove 1 chapter - 10-60", "hydroprocedure 1 chapter - 150-180", "cortex-aspiration 1 chapter - -"}},
		{"stamps behind a length that is assumed", "recording: {clock: elapsed}\nvideo: {shows: recording}\n", map[string]string{"recording.txt": list, "chapters.txt": "0:10 Groove\n1:00 Rhexis\n"},
			[]string{"scleral-groove 1 stamp 10-60~ 10-60", "capsulotomy 1 stamp 60-150~ 60-150", "hydroprocedure 1 stamp 150-300~ 150-300", "cortex-aspiration 1 stamp 300-310~ 300-310"}},
		{"a length that is assumed", "", map[string]string{"chapters.vtt": closed},
			[]string{"scleral-groove 1 chapter - 10-60", "hydroprocedure 1 chapter - 150-300", "cortex-aspiration 1 chapter - 300-360"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tt.files["case.yaml"] = head + tt.keys
			c := resolve(t, tt.files)
			if diff := cmp.Diff(tt.want, stepLines(c)); diff != "" {
				t.Errorf("steps (-want +got):\n%s", diff)
			}
			for _, s := range c.Steps {
				if (len(s.Video) == 0) != (s.Placed == "") {
					t.Errorf("%s: placed %q with video %v", s.ID, s.Placed, s.Video)
				}
			}
		})
	}
}

// A cue says when a step begins; how long it lasts in the video follows from the
// recording span and the map, as for every other step.
func TestSpokenStepInTheVideo(t *testing.T) {
	c := resolve(t, map[string]string{
		"case.yaml":     head + "recording: {clock: elapsed}\nvideo: {duration: \"2:00\"}\nsteps: [{step: tunnel-dissection}]\n",
		"recording.txt": "0:35 groove\n1:17 rhexis\n1:55 hydrodissection\n",
		"chapters.txt":  "0:00 Opening\n0:10 Groove\n0:52 Rhexis\n1:30 Hydrodissection\n",
		"narration.srt": cues("45-50 now the scleral tunnel"),
	})
	want := []string{"scleral-groove 1 stamp 35-70~ 10-45", "tunnel-dissection 1 narration 70-77~ 45-52",
		"capsulotomy 1 stamp 77-115~ 52-90", "hydroprocedure 1 stamp 115-145~ 90-120"}
	if diff := cmp.Diff(want, stepLines(c)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
