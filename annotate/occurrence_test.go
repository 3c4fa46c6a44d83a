package annotate_test

import (
	"testing"

	"sideport/annotate"
	"sideport/annotate/ranges"

	"github.com/google/go-cmp/cmp"
)

// Resolving leaves its material as it was.
func TestResolveTwice(t *testing.T) {
	m := load(t, map[string]string{"case.yaml": head + "lens: {optic-diameter: 60 mm}\n", "recording.txt": "0:10 rhexis\n0:20 nothing known\n"})
	before := len(m.Findings)
	first, _ := annotate.Resolve(m, ranges.Builtin())
	second, _ := annotate.Resolve(m, ranges.Builtin())
	if len(first.Findings) == before || len(m.Findings) != before {
		t.Errorf("findings: %d of the material, %d of it afterwards, %d of the case", before, len(m.Findings), len(first.Findings))
	}
	if diff := cmp.Diff(printed(first.Findings, ""), printed(second.Findings, "")); diff != "" {
		t.Errorf("a second time (-first +second):\n%s", diff)
	}
}

// The number of an occurrence is the one that case.yaml speaks of: waivers and
// entries name it, so no other run takes it, wherever the run lies.
func TestOccurrences(t *testing.T) {
	const stamps = "0:10 rhexis\n0:20 hydrodissection\n0:40 rhexis\n"
	tests := []struct {
		name, steps, list string
		want              []string
		found             []string // faults
	}{
		{"untimed, the second first", "[{step: capsulotomy, nth: 2}, {step: capsulotomy}]", "",
			[]string{"capsulotomy 2 untimed - -", "capsulotomy 1 untimed - -"}, nil},
		{"two entries for one occurrence that no stamp has", "[{step: capsulotomy, nth: 2}, {step: capsulotomy, nth: 2}]", "",
			[]string{"capsulotomy 2 untimed - -"},
			[]string{"case/case.yaml:4:38: error: two entries speak of occurrence 2 of capsulotomy; this one is not read [read/same-occurrence]"}},
		{"a second occurrence that its entry puts before the first", "[{step: capsulotomy, nth: 2, at: \"0:05\"}]", "0:10 rhexis\n0:20 hydrodissection\n",
			[]string{"capsulotomy 2 case 5-10~ -", "capsulotomy 1 stamp 10-20~ -", "hydroprocedure 1 stamp 20-20~ -"}, nil},
		{"a first occurrence that its entry puts behind the second", "[{step: capsulotomy, at: \"1:00\"}, {step: capsulotomy}]", stamps,
			[]string{"hydroprocedure 1 stamp 20-40~ -", "capsulotomy 2 stamp 40-60~ -", "capsulotomy 1 case 60-60~ -"},
			[]string{"case/case.yaml:4:33: caution: the time of case.yaml and the stamp lie 50.0 s apart; case.yaml counts [time/disagree]"}},
		{"a third entry between two runs", "[{step: capsulotomy}, {step: capsulotomy}, {step: capsulotomy, at: \"0:30\", until: \"0:35\"}]", stamps,
			[]string{"capsulotomy 1 stamp 10-20~ -", "hydroprocedure 1 stamp 20-30~ -", "capsulotomy 3 case 30-35 -", "capsulotomy 2 stamp 40-40~ -"}, nil},
		{"parts of one step", "[{step: hydrodissection}, {step: hydrodelineation}]", "0:20 hydrodissection\n0:40 cortex\n1:00 hydrodelineation\n",
			[]string{"hydroprocedure 1 stamp 20-40~ -", "cortex-aspiration 1 stamp 40-60~ -", "hydroprocedure 2 stamp 60-60~ -"}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			files := map[string]string{"case.yaml": head + "steps: " + tt.steps + "\n"}
			if tt.list != "" {
				files["recording.txt"] = tt.list
			}
			c := resolve(t, files)
			if diff := cmp.Diff(tt.want, stepLines(c)); diff != "" {
				t.Errorf("steps (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(tt.found, faults(c.Findings)); diff != "" {
				t.Errorf("findings (-want +got):\n%s", diff)
			}
		})
	}
}

// Of a step named by its parts, each entry keeps the part it names as its
// technique; where the vocabulary has the parts as steps, they are two steps.
func TestHydroprocedures(t *testing.T) {
	steps := "steps: [{step: hydrodissection}, {step: hydrodelineation}, {step: hydroprocedure, variant: both}]\n"
	for _, tt := range []struct {
		head string
		want []string
	}{
		{head, []string{"hydroprocedure 1 dissection", "hydroprocedure 2 delineation", "hydroprocedure 3 both"}},
		{phacoHead, []string{"hydrodissection 1 ", "hydrodelineation 1 ", "hydrodissection 2 both"}},
	} {
		c := resolve(t, map[string]string{"case.yaml": tt.head + steps})
		var got []string
		for _, s := range c.Steps {
			got = append(got, s.ID+" "+itoa(s.Nth)+" "+s.Variant)
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
	}
}

// A video that shows the recording needs nothing to tie the two clocks: the ends
// of its chapters are ends on both, and moments of case.yaml have their place.
func TestIdentity(t *testing.T) {
	shows := "recording: {clock: elapsed}\nvideo: {shows: recording, duration: \"3:00\"}\n"
	chapters := "WEBVTT\n\n00:10.000 --> 00:25.000\nGroove\n\n00:30.000 --> 01:00.000\nRhexis\n"
	c := resolve(t, map[string]string{
		"case.yaml": head + shows + "events: [{event: pc-rupture, at: \"0:20\"}]\n" +
			"steps: [{step: capsulotomy, readings: [{at: \"0:40\", bottle-height: 60 cm}]}]\n",
		"chapters.vtt": chapters,
	})
	want := []string{"scleral-groove 1 chapter 10-25 10-25", "capsulotomy 1 chapter 30-60 30-60"}
	if diff := cmp.Diff(want, stepLines(c)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if got := secs(c.Events[0].Video); got != "20" {
		t.Errorf("the event lies at video %s, want 20", got)
	}
	if got := secs(value(t, c, "bottle-height").AtVideo); got != "40" {
		t.Errorf("the reading lies at video %s, want 40", got)
	}

	c = resolve(t, map[string]string{"case.yaml": head + "video: {shows: recording, duration: \"3:00\"}\n" +
		"steps: [{step: capsulotomy, at: \"09:14:00\"}, {step: hydroprocedure, at: \"09:14:40\"}]\n"})
	found := []string{"case/case.yaml:4:16: caution: the video shows the recording, and nothing says what the clock showed when it began; " +
		"the first time of case.yaml is taken for the beginning of the video [time/zero-assumed]"}
	if diff := cmp.Diff(found, faults(c.Findings)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]string{"capsulotomy 1 case 0-40~ 0-40", "hydroprocedure 1 case 40-180~ 40-180"}, stepLines(c)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// What case.yaml states and a chapter lie apart: the chapter is named with the
// source that it was held against.
func TestStatedTimeAndChapterDisagree(t *testing.T) {
	shows := "recording: {clock: elapsed}\nvideo: {shows: recording, duration: \"3:00\"}\n"
	// Of seven moments 30 s apart on the recording the middle one is 4 s late in the
	// video, and its neighbours 2 s.
	spread := "recording: {clock: elapsed}\nvideo: {duration: \"4:00\"}\n"
	entries := "steps: [{step: peritomy, at: \"0:00\"}, {step: scleral-groove, at: \"0:30\"}, {step: tunnel-dissection, at: \"1:00\"}, " +
		"{step: capsulotomy, at: \"1:30\"}, {step: hydroprocedure, at: \"2:00\"}, {step: cortex-aspiration, at: \"2:30\"}, {step: iol-insertion, at: \"3:00\"}]\n"
	titles := "0:00 Peritomy\n0:30 Groove\n1:02 Tunnel\n1:34 Rhexis\n2:02 Hydrodissection\n2:30 Cortex\n3:00 IOL in\n"
	tests := []struct {
		name  string
		files map[string]string
		want  []string
	}{
		{"under a known map, beside a stamp", map[string]string{
			"case.yaml": head + shows + "steps: [{step: capsulotomy, at: \"0:36\"}]\n", "recording.txt": "0:10 groove\n0:30 rhexis\n", "chapters.txt": "0:10 Groove\n0:32 Rhexis\n1:00 End\n",
		}, []string{
			"case/case.yaml:6:33: caution: the time of case.yaml and the stamp lie 6.0 s apart; case.yaml counts [time/disagree]",
			"case/chapters.txt:2:1: caution: the chapter begins 4.0 s away from where the time of case.yaml puts it [time/disagree]",
		}},
		{"under a known map, without a stamp", map[string]string{
			"case.yaml": head + shows + "steps: [{step: capsulotomy, at: \"0:36\"}]\n", "chapters.txt": "0:10 Groove\n0:32 Rhexis\n1:00 End\n",
		}, []string{"case/case.yaml:6:33: caution: the time of case.yaml and the chapter lie 4.0 s apart; case.yaml counts [time/disagree]"}},
		{"under an inferred map", map[string]string{"case.yaml": head + spread + entries, "chapters.txt": titles},
			[]string{"case/chapters.txt:4:1: caution: the chapter begins 4.0 s away from where the time of case.yaml puts it [time/disagree]"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if diff := cmp.Diff(tt.want, printed(resolve(t, tt.files).Findings, "time/disagree")); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// The words of another vocabulary are open after a conversion wherever it is
// named: in a title, or in case.yaml in any spelling.
func TestConversionOpensBothVocabularies(t *testing.T) {
	steps := "steps: [{step: nucleus-delivery}]\n"
	for name, files := range map[string]map[string]string{
		"a title":   {"case.yaml": phacoHead + "video: {duration: \"3:00\"}\n" + steps, "chapters.txt": "0:00 Rhexis\n0:30 Converted to SICS\n1:00 Nucleus delivery\n"},
		"case.yaml": {"case.yaml": phacoHead + "events: [{event: Conversion}]\n" + steps},
	} {
		c := resolve(t, files)
		if got := printed(c.Findings, "read/unknown-step"); got != nil {
			t.Errorf("%s: %v", name, got)
		}
		for _, id := range []string{"msics", "phaco"} {
			if !c.HasFact("procedure", id) {
				t.Errorf("%s: %s is no procedure of the case", name, id)
			}
		}
	}
	c := resolve(t, map[string]string{"case.yaml": phacoHead})
	if c.HasFact("procedure", "msics") {
		t.Error("msics is a procedure of a case that was not converted")
	}
}

// An edit list that is there is not said to be missing.
func TestUnusedEditListIsNotMissing(t *testing.T) {
	for name, want := range map[string]string{"cuts.edl": "there are no chapters, and the edit list could not be used", "notes.md": "there are neither chapters nor an edit list"} {
		c := resolve(t, map[string]string{"case.yaml": head, name: "TITLE: A\n"})
		want = "case/case.yaml: note: " + want + ", so video times are unknown; page and reports are written, tracks and chapters are not [time/no-video-clock]"
		if diff := cmp.Diff([]string{want}, printed(c.Findings, "time/no-video-clock")); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
	}
}

// A step's video span is its recording span through the map: one piece, two where
// the editor put something in between, none where the material was removed. Design
// section 5, point 4.
func TestVideoPieces(t *testing.T) {
	c := resolve(t, map[string]string{
		// 0:10-0:29 and 0:31-0:50 are shown with a card of 20 s between, then 1:50 on.
		"case.yaml": head + "recording: {clock: elapsed}\nvideo: {duration: \"1:20\"}\n" +
			"pins: [{recording: \"0:10\", video: \"0:00\"}, {recording: \"0:30\", video: \"0:20\"}, {recording: \"0:31\", video: \"0:41\"}, " +
			"{recording: \"0:50\", video: \"1:00\"}, {recording: \"1:50\", video: \"1:00.5\"}, {recording: \"2:00\", video: \"1:10.5\"}]\n",
		"recording.txt": "0:10 groove\n0:20 rhexis\n0:40-0:45 hydrodissection\n1:10-1:20 nucleus prolapse\n1:50 cortex\n",
	})
	want := []string{
		"scleral-groove 1 stamp 10-20~ 0-10",
		"capsulotomy 1 stamp 20-40~ 10-21+41-50",
		"hydroprocedure 1 stamp 40-45 50-55",
		"nucleus-prolapse 1 stamp 70-80 -",
		"cortex-aspiration 1 stamp 110-129.5~ 60.5-80",
	}
	if diff := cmp.Diff(want, stepLines(c)); diff != "" {
		t.Errorf("map %v (-want +got):\n%s", c.Map, diff)
	}
}
