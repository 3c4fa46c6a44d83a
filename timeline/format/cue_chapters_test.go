package format_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline"
	"sideport/timeline/source"
)

func showChapter(c timeline.Chapter) string {
	to := "?"
	if c.HasTo {
		to = seconds(c.To)
	}
	return fmt.Sprintf("%d %s>%s %s|%s", c.Level, seconds(c.From), to, c.ID, c.Title)
}

func readChapters(t *testing.T, name, file string, raw []byte) ([]timeline.Chapter, []source.Finding) {
	t.Helper()
	var findings []source.Finding
	report := func(f source.Finding) { findings = append(findings, f) }
	return reader(t, name).Chapters(source.Decode(file, raw, report), report), source.Sort(findings)
}

// TestCueChapters: W3C, WebVTT, "WebVTT file using only nested cues" and "rules
// for extracting the chapter title".
func TestCueChapters(t *testing.T) {
	tests := []struct {
		name, reader, text string
		chapters, findings []string
	}{
		{"in a row, touching", "webvtt", "WEBVTT\n\na\n00:00.000 --> 00:10.000\nA &amp; B\n\nb\n00:10.000 --> 00:20.000\n<b>C</b>\nD",
			[]string{"0 0>10 a|A & B", "0 10>20 b|C D"}, []string{"9:1: note read/title-markup"}},
		{"nested twice and back", "webvtt", "WEBVTT\n\n00:00.000 --> 00:30.000\nA\n\n00:00.000 --> 00:20.000\nB\n\n00:05.000 --> 00:20.000\nC\n\n00:20.000 --> 00:30.000\nD\n\n00:30.000 --> 00:40.000\nE",
			[]string{"0 0>30 |A", "1 0>20 |B", "2 5>20 |C", "1 20>30 |D", "0 30>40 |E"}, nil},
		{"crossing", "webvtt", "WEBVTT\n\n00:00.000 --> 00:10.000\nA\n\n00:05.000 --> 00:15.000\nB\n\n00:15.000 --> 00:20.000\nC",
			[]string{"0 0>10 |A", "0 5>15 |B", "0 15>20 |C"}, []string{"6:1: caution read/chapter-cross"}},
		{"no title", "webvtt", "WEBVTT\n\n00:00.000 --> 00:10.000\n&nbsp;",
			[]string{"0 0>10 |"}, []string{"4:1: note read/no-title"}},
		{"end not after the start", "webvtt", "WEBVTT\n\n00:05.000 --> 00:05.000\nA",
			[]string{"0 5>? |A"}, []string{"3:1: caution read/cue-order"}},
		{"SubRip", "subrip", "1\n00:00:00,000 --> 00:00:10,000\n<i>A</i> &amp;\n\n2\n00:00:10,000 --> 00:00:20,000\nB",
			[]string{"0 0>10 1|A &amp;", "0 10>20 2|B"}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			chapters, findings := readChapters(t, tt.reader, "a", []byte(tt.text))
			if diff := cmp.Diff(tt.chapters, mapped(chapters, showChapter)); diff != "" {
				t.Errorf("chapters (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(tt.findings, mapped(findings, brief)); diff != "" {
				t.Errorf("findings (-want +got):\n%s", diff)
			}
		})
	}
}

func TestChapterPositions(t *testing.T) {
	raw, err := os.ReadFile(filepath.Join(corpusRoot, "webvtt/chapters.vtt"))
	if err != nil {
		t.Fatal(err)
	}
	chapters, _ := readChapters(t, "webvtt", "chapters.vtt", raw)
	if len(chapters) != 5 {
		t.Fatalf("%d chapters, want 5", len(chapters))
	}
	got := showChapter(chapters[2]) + " " + chapters[2].Pos.String() + " " + chapters[2].TitleP.String()
	const want = "1 41>1m17 capsulotomy|Can-opener capsulotomy chapters.vtt:14:1 chapters.vtt:15:1"
	if got != want {
		t.Errorf("third chapter\ngot  %s\nwant %s", got, want)
	}
}
