package format_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"sideport/timeline/format"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

func TestAllIsWellFormed(t *testing.T) {
	form := regexp.MustCompile(`^[a-z][a-z0-9-]*$`)
	seen := map[string]bool{}
	for _, r := range format.All() {
		if !form.MatchString(r.Name) || seen[r.Name] {
			t.Errorf("name %q is used twice or is not lower case", r.Name)
		}
		seen[r.Name] = true
		if r.Doc == "" || strings.HasSuffix(r.Doc, ".") || strings.Contains(r.Doc, "\n") {
			t.Errorf("%s: doc %q is not one line without a full stop", r.Name, r.Doc)
		}
		if len(r.Extensions) == 0 || len(r.Roles) == 0 || r.Sniff == nil {
			t.Errorf("%s lacks extensions, roles or Sniff", r.Name)
		}
		for _, e := range r.Extensions {
			if !strings.HasPrefix(e, ".") || e != strings.ToLower(e) {
				t.Errorf("%s: extension %q", r.Name, e)
			}
		}
		for _, role := range r.Roles {
			able := map[format.Role]bool{format.Recording: r.Stamps != nil, format.Chapters: r.Chapters != nil, format.Narration: r.Cues != nil, format.Cuts: r.Edit != nil}
			if !able[role] {
				t.Errorf("%s has the role %s and cannot read it", r.Name, role)
			}
		}
	}
	if len(seen) == 0 {
		t.Error("All() is empty")
	}
}

// TestReadersStandEmptyInput: every reader is asked about empty text.
func TestReadersStandEmptyInput(t *testing.T) {
	for _, r := range format.All() {
		src := source.New("empty", nil)
		report := func(source.Finding) {}
		if r.Sniff(src) {
			t.Errorf("%s takes empty text for its own", r.Name)
		}
		if r.Stamps != nil && len(r.Stamps(src, report)) > 0 || r.Chapters != nil && len(r.Chapters(src, report)) > 0 || r.Cues != nil && len(r.Cues(src, report)) > 0 ||
			r.Edit != nil && len(r.Edit(src, timecode.Rate{Num: 25, Den: 1}, report).Events) > 0 {
			t.Errorf("%s reads something from empty text", r.Name)
		}
	}
}

func TestForCueFiles(t *testing.T) {
	const (
		vtt    = "WEBVTT\n\n00:01.000 --> 00:02.000\nA"
		srt    = "1\n00:00:01,000 --> 00:00:02,000\nA"
		dotted = "1\n00:00:01.000 --> 00:00:02.000\nA"
	)
	tests := []struct {
		file, text string
		role       format.Role
		want       string
	}{
		{"a.vtt", vtt, format.Narration, "webvtt"},
		{"A.VTT", vtt, format.Chapters, "webvtt"},
		{"a.srt", srt, format.Narration, "subrip"},
		{"dir.vtt/a.srt", srt, format.Chapters, "subrip"},
		{"a.srt", vtt, format.Narration, "webvtt"},
		{"a.vtt", srt, format.Narration, "subrip"},
		{"a.txt", vtt, format.Chapters, "webvtt"},
		{"a.txt", srt, format.Chapters, "subrip"},
		{"noextension", vtt, format.Narration, "webvtt"},
		// A WebVTT file that lost its first line stays one, and the reader says so.
		{"a.vtt", dotted, format.Narration, "webvtt"},
		{"a.vtt", dotted, format.Chapters, "webvtt"},
		{"a.vtt", "", format.Narration, "webvtt"},
		{"a.vtt", "\uFEFF" + vtt, format.Narration, "webvtt"},
		{"a.srt", dotted, format.Narration, "subrip"},
		{"a.srt", "prose", format.Narration, "subrip"},
		{"a.doc", "prose", format.Narration, ""},
		{"a.vtt", vtt, format.Cuts, ""},
	}
	for _, tt := range tests {
		r, ok := format.For(tt.role, source.New(tt.file, []byte(tt.text)))
		if r.Name != tt.want || ok != (tt.want != "") {
			t.Errorf("For(%s, %s %q) = %q, %v, want %q", tt.role, tt.file, tt.text, r.Name, ok, tt.want)
		}
	}
}

func TestForeignExtensionIsNoted(t *testing.T) {
	tests := []struct{ reader, file, text, want string }{
		{"webvtt", "a.srt", "WEBVTT\n", "a.srt:1:1: note: the extension .srt stands for subrip; the content is webvtt and is read as that [read/wrong-extension]"},
		{"subrip", "a.vtt", "00:00:01,000 --> 00:00:02,000\nA", "a.vtt:1:1: note: the extension .vtt stands for webvtt; the content is subrip and is read as that [read/wrong-extension]"},
		{"subrip", "a.sub", "00:00:01,000 --> 00:00:02,000\nA", ""},
		{"webvtt", "a", "WEBVTT\n", ""},
	}
	for _, tt := range tests {
		_, findings := readCues(t, tt.reader, tt.file, []byte(tt.text))
		if got := strings.Join(mapped(findings, source.Finding.String), "\n"); got != tt.want {
			t.Errorf("%s reads %s: findings %q, want %q", tt.reader, tt.file, got, tt.want)
		}
	}
}

// TestFormatsList keeps FORMATS.md as All() says; UPDATE_GOLDEN=1 rewrites it.
func TestFormatsList(t *testing.T) {
	var b strings.Builder
	b.WriteString("# Formats\n\nWritten from `All()` by a test; UPDATE_GOLDEN=1 rewrites it.\n\n")
	b.WriteString("| Name | What it is | Extensions | Can be | Gives | Known by its content |\n|---|---|---|---|---|---|\n")
	for _, r := range format.All() {
		var gives []string
		for _, g := range []struct {
			name string
			ok   bool
		}{{"stamps", r.Stamps != nil}, {"chapters", r.Chapters != nil}, {"cues", r.Cues != nil}, {"edit", r.Edit != nil}} {
			if g.ok {
				gives = append(gives, g.name)
			}
		}
		known := "no"
		if r.Signed {
			known = "yes"
		}
		roles := mapped(slices.Clone(r.Roles), format.Role.String)
		fmt.Fprintf(&b, "| %s | %s | %s | %s | %s | %s |\n", r.Name, r.Doc, strings.Join(r.Extensions, " "), strings.Join(roles, ", "), strings.Join(gives, ", "), known)
	}
	checkGolden(t, "FORMATS.md", b.String())
}
