package annotate_test

import (
	"os"
	"path/filepath"
	"testing"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/annotate/rule"
	"sideport/annotate/rules"
	"sideport/timeline/source"
	"sideport/timeline/timelinetest"
)

// FuzzCase feeds a case file, a list of times and chapters through everything this
// layer does. Whatever they hold, nothing panics, every finding points into its
// text and every message keeps the wording of findings.
func FuzzCase(f *testing.F) {
	demos, err := filepath.Glob(filepath.Join(timelinetest.Root(f), "testdata", "cases", "*", "case.yaml"))
	if err != nil || len(demos) == 0 {
		f.Fatalf("no case to start from: %v", err)
	}
	read := func(dir, name string) string {
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil && !os.IsNotExist(err) {
			f.Fatal(err)
		}
		return string(text)
	}
	for _, demo := range demos {
		dir := filepath.Dir(demo)
		f.Add(read(dir, "case.yaml"), read(dir, "recording.txt"), read(dir, "chapters.vtt"))
	}
	f.Add(head+"recording: {clock: timecode}\npins: [{recording: 1, video: 2}]\n", "", "WEBVTT\n")
	f.Add(phacoHead+"events: [{event: conversion, at: \"23:59\"}]\nvideo: {shows: recording}\n", "23:59:59 rhexis\n0:01 am hydro\n", "0:00 Rhexis\n0:10 Hydro\n1:00 End\n")
	f.Add(head+"recording: {part: {from: 9:00, to: 8:00}}\nwaivers: [{rule: order/missing-step, reason: a, by: b}]\n", "2026-03-01 08:00 groove\n", "")
	f.Add(head+"files: {ranges: case.yaml, lexicon: case.yaml, notes: recording.txt}\nbefore: {acuity: {corrected: HM}, acuity: x}\n", "\xef\xbb\xbf0:10-0:05 rhexis\r\n", "\x00")
	f.Add(head+"recording: {zone: Europe/London, files: [{video: chapters.vtt, times: recording.txt, starts: \"01:30\"}, {times: chapters.vtt, starts: \"2026-10-25 01:50:00\"}, {}]}\n", "2026-10-25 01:50:00 groove\n2026-10-25 01:10:00 rhexis\n2026-12-31T23:59:60Z wash\n", "0:10 rhexis\n")
	f.Add(head+"recording: {files: [{times: recording.txt}, {times: chapters.vtt, starts: \"10:00\"}, {video: recording.txt, times: recording.txt}]}\n", "0:10 groove\n0:40-0:50 rhexis\n", "0:05 hydro\n")
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, caseFile, recording, chapters string) {
		for name, text := range map[string]string{"case.yaml": caseFile, "recording.txt": recording, "chapters.vtt": chapters} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		m, err := annotate.Load(dir, "case")
		if err != nil {
			t.Fatal(err)
		}
		c, ok := annotate.Resolve(m, ranges.Builtin())
		findings := c.Findings
		if ok {
			findings = rules.Waive(append(findings, rules.Check(c)...), c)
			checkCase(t, c)
		}
		checkFindings(t, findings)
	})
}

// FuzzEdit is FuzzCase for an edit list beside a list of times, in either form.
func FuzzEdit(f *testing.F) {
	seeds, err := filepath.Glob(filepath.Join(timelinetest.Root(f), "testdata", "formats", "*", "*.edl"))
	more, err2 := filepath.Glob(filepath.Join(timelinetest.Root(f), "testdata", "formats", "*", "*.otio"))
	if seeds = append(seeds, more...); err != nil || err2 != nil || len(seeds) == 0 {
		f.Fatalf("no edit list to start from: %v %v", err, err2)
	}
	for i, seed := range seeds {
		text, err := os.ReadFile(seed)
		if err != nil {
			f.Fatal(err)
		}
		keys := []string{"", "clock: timecode, ", "clock: wall, ", "starts: \"00:01\", "}[i%4]
		f.Add(head+"recording: {"+keys+"rate: 25}\nvideo: {duration: 50}\n", "00:00:10:00 groove\n00:02:20:00 rhexis\n", string(text))
		f.Add(head+"recording: {"+keys+"rate: 25}\n", "0:10 groove\n2:20-2:30 rhexis\n", string(text))
	}
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, caseFile, recording, cuts string) {
		for name, text := range map[string]string{"case.yaml": caseFile, "recording.txt": recording, "cuts.edl": cuts, "chapters.txt": "0:00 Groove\n0:20 Rhexis\n0:40 IOL\n"} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		m, err := annotate.Load(dir, "case")
		if err != nil {
			t.Fatal(err)
		}
		c, ok := annotate.Resolve(m, ranges.Builtin())
		if ok {
			checkCase(t, c)
		}
		checkFindings(t, c.Findings)
	})
}

// checkFindings holds what is true of every finding about any material.
func checkFindings(t testing.TB, findings []source.Finding) {
	t.Helper()
	for _, f := range findings {
		for _, fault := range rule.Wording(f.Message) {
			t.Errorf("%s: %s", f, fault)
		}
		places := []source.Pos{f.Pos}
		for _, r := range f.Related {
			places = append(places, r.Pos)
		}
		for _, p := range places {
			if p.Source == nil {
				t.Errorf("%s: no place", f)
			} else if p.Offset > len(p.Source.Text()) {
				t.Errorf("%s: offset %d of %d", f, p.Offset, len(p.Source.Text()))
			}
		}
		if f.Group() == "" || f.Group() == f.Rule {
			t.Errorf("%s: no group", f)
		}
	}
}

// checkCase holds what is true of every resolved case.
func checkCase(t testing.TB, c *annotate.Case) {
	t.Helper()
	seen := map[string]bool{}
	for _, s := range c.Steps {
		if key := s.ID + " " + string(rune(s.Nth)); seen[key] || s.Nth < 1 {
			t.Errorf("occurrence %d of %s stands twice or is none", s.Nth, s.ID)
		} else {
			seen[key] = true
		}
		if s.Info == nil || s.Procedure == nil {
			t.Errorf("%s is of no vocabulary", s.ID)
		}
		if s.Recording != nil && s.Recording.To < s.Recording.From {
			t.Errorf("%s ends before it begins: %v", s.ID, *s.Recording)
		}
		for _, v := range s.Video {
			if v.To < v.From {
				t.Errorf("%s ends before it begins on the video: %v", s.ID, v)
			}
		}
	}
	for _, p := range c.Proposals {
		if (p.Parameter == "") == (p.Event == "") {
			t.Errorf("a proposal of neither or both: %+v", p)
		}
	}
}
