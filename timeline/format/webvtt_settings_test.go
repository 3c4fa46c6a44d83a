package format_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline/format"
)

// TestParseSettings follows W3C, WebVTT, "WebVTT cue timings and settings
// parsing", step by step.
func TestParseSettings(t *testing.T) {
	number := func(v float64) *float64 { return &v }
	type change = func(*format.CueSettings)
	line := func(v float64, snap bool) change {
		return func(s *format.CueSettings) { s.Line, s.SnapToLines = number(v), snap }
	}
	position := func(v float64) change { return func(s *format.CueSettings) { s.Position = number(v) } }
	none := func(*format.CueSettings) {}
	tests := []struct {
		text string
		want change // from the defaults
	}{
		{"", none},
		{" \t\f ", none},
		{"line", none}, {":1", none}, {"line:", none}, {"Line:1", none}, {"a:b:c", none},
		{"vertical:rl", func(s *format.CueSettings) { s.Vertical = "rl" }},
		{"vertical:lr vertical:x", func(s *format.CueSettings) { s.Vertical = "lr" }},
		{"vertical:RL", none},
		{"line:0", line(0, true)}, {"line:-1", line(-1, true)}, {"line:-0", line(0, true)},
		{"line:1.5", line(1.5, true)}, {"line:007", line(7, true)}, {"line:101", line(101, true)},
		{"line:0%", line(0, false)}, {"line:100%", line(100, false)}, {"line:33.3%", line(33.3, false)},
		{"line:100.1%", none}, {"line:-1%", none}, {"line:1.%", none}, {"line:.1%", none}, {"line:%", none},
		{"line:--1", none}, {"line:1-", none}, {"line:1.2.3", none}, {"line:.5", none}, {"line:5.", none}, {"line:-.5", none},
		{"line:-", none}, {"line:+1", none}, {"line:1e2", none}, {"line:0x1", none}, {"line:Inf", none}, {"line:1_0", none},
		{"line:1" + strings.Repeat("0", 400), none},
		{"line:1,end", func(s *format.CueSettings) { s.Line, s.LineAlign = number(1), "end" }},
		{"line:1,middle", none}, {"line:1,", none}, {"line:,end", none}, {"line:1,end,end", none},
		{"line:1,center line:2", func(s *format.CueSettings) { s.Line, s.LineAlign = number(2), "center" }},
		{"position:50%", position(50)}, {"position:50", none}, {"position:-1%", none}, {"position:101%", none},
		{"position:10%,line-right", func(s *format.CueSettings) { s.Position, s.PositionAlign = number(10), "line-right" }},
		{"position:10%,center", func(s *format.CueSettings) { s.Position, s.PositionAlign = number(10), "center" }},
		{"position:10%,start", none}, {"position:10%,", none},
		{"size:0%", func(s *format.CueSettings) { s.Size = 0 }},
		{"size:33.25%", func(s *format.CueSettings) { s.Size = 33.25 }},
		{"size:33", none}, {"size:100.5%", none}, {"size:1%%", none}, {"size:-0%", none},
		{"align:start", func(s *format.CueSettings) { s.Align = "start" }},
		{"align:left", func(s *format.CueSettings) { s.Align = "left" }},
		{"align:right", func(s *format.CueSettings) { s.Align = "right" }},
		{"align:end", func(s *format.CueSettings) { s.Align = "end" }},
		{"align:middle", none},
		{"align:end align:center", none},
		{"region:a", func(s *format.CueSettings) { s.Region = "a" }},
		{"region:a size:100%", func(s *format.CueSettings) { s.Region = "a" }},
		{"region:a size:99% size:100%", none},
		{"region:a line:1", line(1, true)},
		{"line:1 region:a", func(s *format.CueSettings) { s.Line, s.Region = number(1), "a" }},
		{"region:a vertical:x", func(s *format.CueSettings) { s.Region = "a" }},
		{"vertical:rl region:a vertical:x", func(s *format.CueSettings) { s.Vertical = "rl" }},
	}
	for _, tt := range tests {
		want := format.CueSettings{SnapToLines: true, LineAlign: "start", PositionAlign: "auto", Size: 100, Align: "center"}
		tt.want(&want)
		if diff := cmp.Diff(want, format.ParseSettings(tt.text)); diff != "" {
			t.Errorf("ParseSettings(%q) (-want +got):\n%s", tt.text, diff)
		}
	}
}

// TestKeptSettingsSayTheSame draws rows of settings and checks that what a cue
// keeps of them leads to the same drawing, with fewer or as many tokens, and
// that each token is either kept or reported.
func TestKeptSettingsSayTheSame(t *testing.T) {
	tokens := []string{
		"line:1", "line:2%,end", "line:x", "line:3,center", "line:4,middle", "position:5%", "position:6%,center",
		"position:7%,x", "size:8%", "size:100%", "size:101%", "vertical:rl", "vertical:lr", "vertical:x",
		"align:end", "align:x", "region:a", "region:b", "region:zzz", "what:1", "junk",
	}
	const seed = 20260301
	random := rand.New(rand.NewPCG(seed, 0))
	for range 5000 {
		var row []string
		for range random.IntN(8) {
			row = append(row, tokens[random.IntN(len(tokens))])
		}
		text := strings.Join(row, " ")
		cues, findings := readCues(t, "webvtt", "a.vtt", []byte("WEBVTT\n\nREGION\nid:a\n\nREGION\nid:b\n\n00:01.000 --> 00:02.000 "+text+"\nA"))
		if len(cues) != 1 {
			t.Fatalf("%q: %d cues, want 1 (seed %d)", text, len(cues), seed)
		}
		kept := strings.Fields(cues[0].Settings)
		if got, want := len(kept)+len(findings), len(row); got != want {
			t.Errorf("%q: %d kept and %d reported, want %d in all (seed %d)", text, len(kept), len(findings), want, seed)
		}
		// ParseSettings takes any region for defined; the table above has the
		// region that is not.
		want, got := format.ParseSettings(text), format.ParseSettings(cues[0].Settings)
		if strings.Contains(text, "region:zzz") {
			want.Region, got.Region = "", ""
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("kept %q of %q (-want +got):\n%s (seed %d)", cues[0].Settings, text, diff, seed)
		}
	}
}
