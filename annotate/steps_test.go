package annotate_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Where the times of steps come from: design section 5, points 1 to 4 and 6. A
// line shows step, occurrence, source, recording (~ an assumed end) and video.
func TestSteps(t *testing.T) {
	const (
		identity = "recording: {clock: elapsed}\nvideo: {shows: recording, duration: \"10:00\"}\n"
		stamps   = "0:10 groove\n0:20 tunnel\n0:30 rhexis\n1:00 hydrodissection\n1:30 rhexis\n2:00 cortex\n"
		chapters = "WEBVTT\n\n00:10.000 --> 00:30.000\nGroove\n\n00:30.000 --> 01:00.000\nRhexis\n\n01:00.000 --> 02:00.000\nHydrodissection\n\n02:00.000 --> 02:30.000\nCortex\n"
	)
	tests := []struct {
		name, keys, list, chapters string
		want                       []string
		found                      []string // faults and time/ notes but time/clock and time/no-video-clock
	}{
		{"neighbours of one step are one run", "recording: {part: {to: \"2:30\"}}\n", "0:10 rhexis\n0:20 continue rhexis\n0:40 hydrodissection\n1:00 rhexis\n", "",
			[]string{"capsulotomy 1 stamp 10-40~ -", "hydroprocedure 1 stamp 40-60~ -", "capsulotomy 2 stamp 60-150~ -"}, nil},
		{"a remark between does not part them", "", "0:10 rhexis\n0:15 nice and round\n0:20 rhexis\n0:40 hydrodissection\n", "",
			[]string{"capsulotomy 1 stamp 10-40~ -", "hydroprocedure 1 stamp 40-40~ -"}, nil},
		{"clock order, not list order", "", "0:40 hydrodissection\n0:10 rhexis\n", "",
			[]string{"capsulotomy 1 stamp 10-40~ -", "hydroprocedure 1 stamp 40-40~ -"},
			[]string{"case/recording.txt:2:1: caution: 0:10 is earlier than the time before it; the list is put in clock order [time/out-of-order]"}},
		{"ends in the list", "", "0:10-0:25 rhexis\n0:40-0:50 hydrodissection\n", "",
			[]string{"capsulotomy 1 stamp 10-25 -", "hydroprocedure 1 stamp 40-50 -"}, nil},
		{"the end of a run is that of its last stamp", "", "0:10-0:15 rhexis\n0:20 rhexis\n0:40 hydrodissection\n", "",
			[]string{"capsulotomy 1 stamp 10-40~ -", "hydroprocedure 1 stamp 40-40~ -"}, nil},

		{"k-th entry, k-th run", "steps: [{step: capsulotomy, until: \"0:50\"}, {step: capsulotomy, until: \"1:40\"}]\n", stamps, "",
			[]string{"scleral-groove 1 stamp 10-20~ -", "tunnel-dissection 1 stamp 20-30~ -", "capsulotomy 1 stamp 30-50 -", "hydroprocedure 1 stamp 60-90~ -", "capsulotomy 2 stamp 90-100 -", "cortex-aspiration 1 stamp 120-120~ -"}, nil},
		{"nth picks the run", "steps: [{step: capsulotomy, nth: 2, until: \"1:40\"}, {step: capsulotomy, until: \"0:50\"}]\n", stamps, "",
			[]string{"scleral-groove 1 stamp 10-20~ -", "tunnel-dissection 1 stamp 20-30~ -", "capsulotomy 1 stamp 30-50 -", "hydroprocedure 1 stamp 60-90~ -", "capsulotomy 2 stamp 90-100 -", "cortex-aspiration 1 stamp 120-120~ -"}, nil},
		{"two entries for one run", "steps:\n  - {step: capsulotomy, nth: 2}\n  - {step: capsulotomy, nth: 2}\n", stamps, "",
			[]string{"scleral-groove 1 stamp 10-20~ -", "tunnel-dissection 1 stamp 20-30~ -", "capsulotomy 1 stamp 30-60~ -", "hydroprocedure 1 stamp 60-90~ -", "capsulotomy 2 stamp 90-120~ -", "cortex-aspiration 1 stamp 120-120~ -"},
			[]string{"case/case.yaml:6:5: error: two entries speak of occurrence 2 of capsulotomy; this one is not read [read/same-occurrence]"}},
		{"an entry without a run stays, untimed", "steps: [{step: side-port}]\n", "0:30 rhexis\n", "",
			[]string{"capsulotomy 1 stamp 30-30~ -", "side-port 1 untimed - -"},
			[]string{"case/case.yaml:4:9: note: no stamp, chapter or time of case.yaml says when this step happened; its values are judged all the same [time/not-placed]"}},
		{"an occurrence that no stamp has", "steps: [{step: capsulotomy, nth: 3}]\n", "0:30 rhexis\n", "",
			[]string{"capsulotomy 1 stamp 30-30~ -", "capsulotomy 3 untimed - -"},
			[]string{"case/case.yaml:4:9: note: no stamp, chapter or time of case.yaml says when this step happened; its values are judged all the same [time/not-placed]"}},
		{"nothing but facts: file order, one note", "steps: [{step: hydroprocedure}, {step: capsulotomy}]\n", "", "",
			[]string{"hydroprocedure 1 untimed - -", "capsulotomy 1 untimed - -"},
			[]string{"case/case.yaml:4:9: note: no stamp, chapter or time of case.yaml says when any of the 2 steps happened; they stand in the order of case.yaml and their values are judged all the same [time/not-placed]"}},

		{"a stated time without a stamp", "steps: [{step: side-port, at: \"0:25\", until: \"0:28\"}]\n", "0:10 groove\n0:30 rhexis\n", "",
			[]string{"scleral-groove 1 stamp 10-25~ -", "side-port 1 case 25-28 -", "capsulotomy 1 stamp 30-30~ -"}, nil},
		{"a stated time near its stamp", "steps: [{step: capsulotomy, at: \"0:32\"}]\n", "0:10 groove\n0:30 rhexis\n", "",
			[]string{"scleral-groove 1 stamp 10-32~ -", "capsulotomy 1 case 32-32~ -"}, nil},
		{"a stated time away from its stamp", "steps: [{step: capsulotomy, at: \"0:32.1\"}]\n", "0:10 groove\n0:30 rhexis\n", "",
			[]string{"scleral-groove 1 stamp 10-32.1~ -", "capsulotomy 1 case 32.1-32.1~ -"},
			[]string{"case/case.yaml:4:33: caution: the time of case.yaml and the stamp lie 2.1 s apart; case.yaml counts [time/disagree]"}},
		{"until before the start", "steps: [{step: capsulotomy, until: \"0:20\"}]\n", "0:30 rhexis\n0:50 hydrodissection\n", "",
			[]string{"capsulotomy 1 stamp 30-50~ -", "hydroprocedure 1 stamp 50-50~ -"},
			[]string{"case/case.yaml:4:9: caution: the end of the step lies before its start; the end is not used [time/end-before-start]"}},
		{"the part's end is the last step's", "recording: {clock: elapsed, part: {to: \"1:00\"}}\n", "0:30 rhexis\n", "",
			[]string{"capsulotomy 1 stamp 30-60~ -"}, nil},
		{"a step by a narrower name is the step", "steps: [{step: hydrodissection, until: \"0:45\"}]\n", "0:40 hydro one wave, hydrodissection\n", "",
			[]string{"hydroprocedure 1 stamp 40-45 -"}, nil},
		{"ids in any spelling", "steps: [{step: Nucleus Delivery, until: \"0:45\"}, {step: WOUND_CHECK}]\n", "0:40 nucleus out\n0:50 leak test\n", "",
			[]string{"nucleus-delivery 1 stamp 40-45 -", "wound-check 1 stamp 50-50~ -"}, nil},
		{"an unknown step", "steps: [{step: capsulotomi}]\n", "0:40 rhexis\n", "",
			[]string{"capsulotomy 1 stamp 40-40~ -"},
			[]string{`case/case.yaml:4:16: error: unknown step "capsulotomi"; the vocabulary calls it "capsulotomy" [read/unknown-step]`}},

		{"no stamps: the chapters are the steps", "video: {duration: \"3:00\"}\n", "", chapters,
			[]string{"scleral-groove 1 chapter - 10-30", "capsulotomy 1 chapter - 30-60", "hydroprocedure 1 chapter - 60-120", "cortex-aspiration 1 chapter - 120-150"}, nil},
		{"chapters without ends", "files: {chapters: c.txt}\nvideo: {duration: \"3:00\"}\n", "", "0:00 Groove\n0:30 Rhexis\n1:00 Rhexis\n2:00 Hydrodissection\n",
			[]string{"scleral-groove 1 chapter -~ 0-30", "capsulotomy 1 chapter -~ 30-120", "hydroprocedure 1 chapter -~ 120-180"}, nil},
		{"a title between parts two runs", "files: {chapters: c.txt}\nvideo: {duration: \"3:00\"}\n", "", "0:00 Rhexis\n0:30 A word from us\n1:00 Rhexis\n",
			[]string{"capsulotomy 1 chapter -~ 0-30", "capsulotomy 2 chapter -~ 60-180"}, nil},
		{"entries of a chapter", "video: {duration: \"3:00\"}\nsteps: [{step: capsulotomy}, {step: side-port}]\n", "", chapters,
			[]string{"scleral-groove 1 chapter - 10-30", "capsulotomy 1 chapter - 30-60", "hydroprocedure 1 chapter - 60-120", "cortex-aspiration 1 chapter - 120-150", "side-port 1 untimed - -"},
			[]string{"case/case.yaml:5:30: note: no stamp, chapter or time of case.yaml says when this step happened; its values are judged all the same [time/not-placed]"}},
		// The stamps say 0:10 in the video is 1:10 of the recording; nothing is cut.
		{"a chapter speaks where the stamps are silent", "recording: {clock: elapsed}\nvideo: {duration: \"3:00\"}\n", "1:10 groove\n1:30 rhexis\n3:00 cortex\n", chapters,
			[]string{"scleral-groove 1 stamp 70-90~ 10-30", "capsulotomy 1 stamp 90-120~ 30-60", "hydroprocedure 1 chapter 120-180~ 60-120", "cortex-aspiration 1 stamp 180-240~ 120-180"}, nil},
		{"identity", identity, "0:10 groove\n0:30 rhexis\n", "",
			[]string{"scleral-groove 1 stamp 10-30~ 10-30", "capsulotomy 1 stamp 30-600~ 30-600"}, nil},
		{"identity with a clock whose start is not said", "video: {shows: recording, duration: \"1:00\"}\n", "09:14:00 groove\n09:14:30 rhexis\n", "",
			[]string{"scleral-groove 1 stamp 0-30~ 0-30", "capsulotomy 1 stamp 30-60~ 30-60"},
			[]string{"case/case.yaml:4:16: caution: the video shows the recording, and nothing says what the clock showed when it began; the first stamp is taken for the beginning of the video [time/zero-assumed]"}},
		{"no chapters: no video times", "", "0:10 groove\n0:30 rhexis\n", "",
			[]string{"scleral-groove 1 stamp 10-30~ -", "capsulotomy 1 stamp 30-30~ -"}, nil},
		{"pins carry what no chapter does", "recording: {clock: elapsed}\nvideo: {duration: \"2:00\"}\npins: [{recording: \"0:10\", video: \"0:00\"}, {recording: \"1:10\", video: \"1:00\"}]\n", "0:10 groove\n0:30 rhexis\n1:10 cortex\n", "",
			[]string{"scleral-groove 1 stamp 10-30~ 0-20", "capsulotomy 1 stamp 30-70~ 20-60", "cortex-aspiration 1 stamp 70-130~ 60-120"}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			files := map[string]string{"case.yaml": head + tt.keys}
			if tt.list != "" {
				files["recording.txt"] = tt.list
			}
			if tt.chapters != "" {
				name := "chapters.vtt"
				if tt.chapters[0] == '0' {
					name = "c.txt"
				}
				files[name] = tt.chapters
			}
			c := resolve(t, files)
			if diff := cmp.Diff(tt.want, stepLines(c)); diff != "" {
				t.Errorf("steps (-want +got):\n%s", diff)
			}
			found := faults(c.Findings)
			found = append(found, printed(c.Findings, "time/not-placed")...)
			if diff := cmp.Diff(tt.found, found); diff != "" {
				t.Errorf("findings (-want +got):\n%s", diff)
			}
		})
	}
}

// A stamp and a chapter that a known map puts more than 2 s apart are both named:
// design section 5, point 1.
func TestStampAndChapterDisagree(t *testing.T) {
	chapters := "WEBVTT\n\n00:10.000 --> 00:30.000\nGroove\n\n00:32.100 --> 01:00.000\nRhexis\n"
	c := resolve(t, map[string]string{
		"case.yaml":     head + "recording: {clock: elapsed}\nvideo: {shows: recording, duration: \"1:00\"}\n",
		"recording.txt": "0:10 groove\n0:30 rhexis\n", "chapters.vtt": chapters,
	})
	want := []string{"case/chapters.vtt:6:1: caution: the chapter begins 2.1 s away from where the stamp at recording 0:30.0 puts it [time/disagree]"}
	if diff := cmp.Diff(want, faults(c.Findings)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	for _, f := range c.Findings {
		if f.Rule == "time/disagree" && (len(f.Related) != 1 || f.Related[0].Pos.String() != "case/recording.txt:2:1") {
			t.Errorf("related = %v, want the stamp's place", f.Related)
		}
	}
}

// Every stamp of a run is tied to it, the merged ones too.
func TestMarksOfARun(t *testing.T) {
	c := resolve(t, map[string]string{"case.yaml": head, "recording.txt": "0:10 rhexis\n0:20 rhexis\n0:40 hydrodissection\n1:00 rhexis\n"})
	want := []string{"capsulotomy 1", "capsulotomy 1", "hydroprocedure 1", "capsulotomy 2"}
	var got []string
	for _, m := range c.Marks {
		got = append(got, m.Step+" "+itoa(m.Nth))
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// A time that case.yaml states lies on the video only where a stamp would: in
// material that was removed it has no place.
func TestStatedTimesOnTheVideo(t *testing.T) {
	// Kept are 0:10-0:30 and 4:30-5:00; four minutes between them were removed.
	c := resolve(t, map[string]string{
		"case.yaml": head + "recording: {clock: elapsed}\nvideo: {duration: \"1:10\"}\n" +
			"events: [{event: pc-rupture, at: \"0:20\"}, {event: hyphaema, at: \"2:30\"}]\n" +
			"steps: [{step: capsulotomy, readings: [{at: \"0:15\", bottle-height: 60 cm}, {at: \"2:40\", bottle-height: 60 cm}]}]\n",
		"recording.txt": "0:10 rhexis\n0:30 hydrodissection\n4:30 cortex\n5:00 IOL in\n",
		"chapters.vtt": "WEBVTT\n\n00:00.000 --> 00:20.000\nRhexis\n\n00:20.000 --> 00:40.000\nHydrodissection\n\n" +
			"00:40.000 --> 01:10.000\nCortex\n\n01:10.000 --> 01:20.000\nIOL\n",
	})
	var got []string
	for _, e := range c.Events {
		got = append(got, e.ID+" "+secs(e.Recording)+" "+secs(e.Video))
	}
	for _, v := range c.Steps[0].Values {
		got = append(got, v.Text+" "+secs(v.At)+" "+secs(v.AtVideo))
	}
	want := []string{"pc-rupture 20 10", "hyphaema 150 -", "60 cm 15 5", "60 cm 160 -"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestEvents(t *testing.T) {
	c := resolve(t, map[string]string{
		"case.yaml": head + "events:\n  - {event: PC rupture, note: small}\n  - {event: pc-ruptur}\n  - {event: pc-rupture, at: soon}\n  - {note: what}\n",
	})
	if len(c.Events) != 2 || c.Events[0].ID != "pc-rupture" || c.Events[0].Note != "small" || c.Events[0].Recording != nil {
		t.Errorf("events = %+v, want two ruptures, the first with its note", c.Events)
	}
	want := []string{
		`case/case.yaml:6:13: error: unknown event "pc-ruptur"; the nearest known is "pc-rupture" [read/unknown-event]`,
		`case/case.yaml:7:29: error: no time: "soon" does not start with one [read/bad-time]`,
		`case/case.yaml:8:5: error: the key "event" is missing in this entry [read/missing-key]`,
	}
	if diff := cmp.Diff(want, faults(c.Findings)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// After the event `conversion` both vocabularies apply: design section 4.
func TestConversion(t *testing.T) {
	list := "0:10 rhexis\n0:20 sculpting\n0:40 converted to SICS\n1:00 peritomy\n2:00 nucleus delivered\n"
	for _, tt := range []struct {
		name, keys, list string
		want             []string
	}{
		{"none", "", "0:10 rhexis\n1:00 nucleus out\n", []string{"capsulotomy 1 stamp 10-10~ -"}},
		{"in the list", "", list,
			[]string{"capsulotomy 1 stamp 10-20~ -", "nucleus-sculpt 1 stamp 20-60~ -", "peritomy 1 stamp 60-120~ -", "nucleus-delivery 1 stamp 120-120~ -"}},
		{"in case.yaml", "events: [{event: conversion}]\nsteps: [{step: nucleus-delivery, variant: fish-hook}]\n", "0:10 rhexis\n1:00 nucleus delivered\n",
			[]string{"capsulotomy 1 stamp 10-60~ -", "nucleus-delivery 1 stamp 60-60~ -"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := resolve(t, map[string]string{"case.yaml": phacoHead + tt.keys, "recording.txt": tt.list})
			if diff := cmp.Diff(tt.want, stepLines(c)); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
			if got := printed(c.Findings, "read/"); got != nil {
				t.Errorf("findings: %v", got)
			}
		})
	}
	c := resolve(t, map[string]string{"case.yaml": phacoHead + "steps: [{step: nucleus-delivery}]\n"})
	want := []string{`case/case.yaml:4:16: error: unknown step "nucleus-delivery"; the nearest known is "nucleus-chop" [read/unknown-step]`}
	if diff := cmp.Diff(want, faults(c.Findings)); diff != "" {
		t.Errorf("without a conversion (-want +got):\n%s", diff)
	}
}
