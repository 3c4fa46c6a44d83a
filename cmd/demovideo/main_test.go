package main

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/export/page"
	"sideport/timeline/timelinetest"
)

const small = `sideport: 1
title: Two seconds
procedure: msics
video: {duration: "0:02"}
steps:
  - step: capsulotomy
    variant: ccc
    values: {rhexis-diameter: 6.4 mm}
`

const smallChapters = "WEBVTT\n\n00:00.000 --> 00:00.400\nTitle\n\n00:00.400 --> 00:02.000\nRhexis\n"

func smallCase(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{"case.yaml": small, "chapters.vtt": smallChapters} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func TestFramesAreWellFormedAndFollowTheCase(t *testing.T) {
	dir := smallCase(t)
	m, err := annotate.Load(dir, dir)
	if err != nil {
		t.Fatal(err)
	}
	c, _ := annotate.Resolve(m, ranges.Builtin())
	eye, ok := page.EyeOf(c)
	if !ok {
		t.Fatal("there is nothing to draw")
	}
	r := renderer{c: c, eye: eye, drawn: map[string][]byte{}}
	for at, want := range map[time.Duration]string{0: "Two", time.Second: "Anterior capsulotomy"} {
		var b bytes.Buffer
		if err := r.frame(&b, at); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.String(), want) {
			t.Errorf("the frame at %v does not say %q", at, want)
		}
		for dec := xml.NewDecoder(&b); ; {
			if _, err := dec.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("the frame at %v: %v", at, err)
			}
		}
	}
}

// ffprobe reads the video's length and finds no tag but the encoder's bare name.
func TestVideoHasTheLengthOfTheCase(t *testing.T) {
	timelinetest.NeedTool(t, "ffmpeg", "ffmpeg")
	ffprobe := timelinetest.NeedTool(t, "ffprobe", "ffmpeg")
	dir := smallCase(t)
	if err := run(dir); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(ffprobe, "-v", "error", "-of", "csv=p=0", "-show_entries", "format=duration", filepath.Join(dir, "video.webm")).Output()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.TrimSpace(string(out)); got != "2.000000" {
		t.Errorf("length = %s s, want 2", got)
	}
}
