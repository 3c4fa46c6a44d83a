package format_test

import (
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"sideport/timeline/format"
	"sideport/timeline/source"
)

// seed gives a fuzz target the files of a corpus folder; none is a failure.
func seed(f *testing.F, folder, extension string) {
	for _, file := range corpus(f, folder, extension) {
		raw, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(raw)
	}
}

func FuzzReadWebVTT(f *testing.F) {
	seed(f, "webvtt", ".vtt")
	f.Fuzz(func(t *testing.T, raw []byte) { checkCueReader(t, "webvtt", "a.vtt", raw) })
}

func FuzzReadSubRip(f *testing.F) {
	seed(f, "subrip", ".srt")
	f.Fuzz(func(t *testing.T, raw []byte) { checkCueReader(t, "subrip", "a.srt", raw) })
}

// checkCueReader checks what holds for any input: no panic, every place inside
// the source, no negative time, LF line ends, one chapter a cue, levels that step
// down one at a time.
func checkCueReader(t *testing.T, name, file string, raw []byte) {
	var findings []source.Finding
	report := func(f source.Finding) { findings = append(findings, f) }
	src := source.Decode(file, raw, report)
	r := reader(t, name)
	cues := r.Cues(src, report)
	chapters := r.Chapters(src, report)
	inside := func(what string, p source.Pos) {
		if p.Source != src || p.Offset < 0 || p.Offset > len(src.Text()) {
			t.Errorf("%s at %d, outside the source of %d bytes", what, p.Offset, len(src.Text()))
		}
	}
	for _, f := range findings {
		if f.Rule == "read/encoding" {
			continue // placed by source.Decode, in the bytes before the fault
		}
		inside(f.Rule, f.Pos)
		for _, related := range f.Related {
			inside(f.Rule+" related", related.Pos)
		}
		if f.Message == "" || !utf8.ValidString(f.Message) || strings.ContainsAny(f.Message, "\n\r\x00") {
			t.Errorf("message %q of %s", f.Message, f.Rule)
		}
	}
	for _, c := range cues {
		inside("cue", c.Pos)
		inside("text", c.TextPos)
		if c.From < 0 || c.To < 0 {
			t.Errorf("negative time %v to %v", c.From, c.To)
		}
		if strings.ContainsAny(c.Text, "\r\x00") || strings.ContainsAny(c.ID, "\n\r\x00") {
			t.Errorf("cue %q with text %q", c.ID, c.Text)
		}
		for _, plain := range []string{format.PlainText(c.Text), format.SubRipPlainText(c.Text), format.ChapterTitle(c.Text)} {
			if len(plain) > 3*len(c.Text) || !utf8.ValidString(plain) {
				t.Errorf("plain text %q of %q", plain, c.Text)
			}
		}
		if kept := c.Settings; strings.Join(strings.Fields(kept), " ") != kept {
			t.Errorf("settings %q", kept)
		}
	}
	for i, ch := range chapters {
		inside("chapter", ch.Pos)
		inside("title", ch.TitleP)
		if ch.Level < 0 || i == 0 && ch.Level != 0 || i > 0 && ch.Level > chapters[i-1].Level+1 {
			t.Errorf("chapter %d has level %d", i, ch.Level)
		}
	}
	if len(chapters) != len(cues) {
		t.Errorf("%d chapters of %d cues", len(chapters), len(cues))
	}
}
