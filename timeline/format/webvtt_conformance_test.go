package format_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline/format"
	"sideport/timeline/timelinetest"
)

// The files here are W3C's: a part of the file-parsing set of the public web
// platform tests with the cues each file gives, and cue texts with their trees.

func readJSON(t *testing.T, file string, into any) {
	t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, into); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
}

// conformanceCue is a cue as expected.json has it; region is left out, since a
// cue of ours does not carry the region's drawing.
type conformanceCue struct {
	ID            string `json:"id"`
	StartTime     float64
	EndTime       float64
	Text          string
	Vertical      string
	Line          any // "auto" or a number
	SnapToLines   bool
	LineAlign     string
	Position      any
	PositionAlign string
	Size          float64
	Align         string
}

func TestWebVTTConformance(t *testing.T) {
	folder := timelinetest.OpenData(t, "webvtt-conformance")
	var expected map[string][]conformanceCue
	readJSON(t, filepath.Join(folder, "expected.json"), &expected)
	if got, want := len(expected), 18; got < want {
		t.Fatalf("expected.json has %d files, want at least %d", got, want)
	}
	for file, want := range expected {
		t.Run(file, func(t *testing.T) {
			raw, err := os.ReadFile(filepath.Join(folder, file))
			if err != nil {
				t.Fatal(err)
			}
			cues, findings := readCues(t, "webvtt", file, raw)
			var got []conformanceCue
			for _, c := range cues {
				s := format.ParseSettings(c.Settings)
				got = append(got, conformanceCue{
					ID: c.ID, StartTime: c.From.Seconds(), EndTime: c.To.Seconds(), Text: c.Text,
					Vertical: s.Vertical, Line: auto(s.Line), SnapToLines: s.SnapToLines, LineAlign: s.LineAlign,
					Position: auto(s.Position), PositionAlign: s.PositionAlign, Size: s.Size, Align: s.Align,
				})
			}
			if len(want) == 0 {
				want = nil
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("cues of %s (-want +got):\n%s", file, diff)
			}
			for _, f := range findings {
				if !f.Pos.IsValid() {
					t.Errorf("finding without a place: %s", f)
				}
			}
		})
	}
}

// TestWebVTTConformanceDroppedCues: every cue the set marks "invalid" by its text
// is reported as an error, and nothing else is.
func TestWebVTTConformanceDroppedCues(t *testing.T) {
	folder := timelinetest.OpenData(t, "webvtt-conformance")
	for _, file := range []string{"timings-60.vtt", "timings-garbage.vtt", "timings-too-long.vtt", "timings-too-short.vtt"} {
		raw, err := os.ReadFile(filepath.Join(folder, file))
		if err != nil {
			t.Fatal(err)
		}
		_, findings := readCues(t, "webvtt", file, raw)
		dropped := 0
		for _, f := range findings {
			if f.Rule == "read/bad-time" {
				dropped++
			}
		}
		if want := strings.Count(string(raw), "\ninvalid"); dropped != want {
			t.Errorf("%s: %d cues reported as left out, want %d", file, dropped, want)
		}
	}
}

func auto(v *float64) any {
	if v == nil {
		return "auto"
	}
	return *v
}

func TestWebVTTCueTextTrees(t *testing.T) {
	folder := timelinetest.OpenData(t, "webvtt-conformance")
	for _, name := range []string{"cue-text", "cue-entities", "cue-tags"} {
		t.Run(name, func(t *testing.T) {
			raw, err := os.ReadFile(filepath.Join(folder, name+".vtt"))
			if err != nil {
				t.Fatal(err)
			}
			cues, _ := readCues(t, "webvtt", name+".vtt", raw)
			var cases []struct{ Text, ExpectedTree string }
			readJSON(t, filepath.Join(folder, name+".json"), &cases)
			if len(cases) == 0 || len(cues) != len(cases) {
				t.Fatalf("%d cues for %d trees", len(cues), len(cases))
			}
			for i, c := range cases {
				if want := time.Duration(i) * time.Second; cues[i].From != want {
					t.Errorf("cue %d starts at %v, want %v", i, cues[i].From, want)
				}
				if got := tree(cues[i].Text); got != c.ExpectedTree {
					t.Errorf("tree(%q) =\n%swant\n%s", cues[i].Text, got, c.ExpectedTree)
				}
				plain := format.PlainText(cues[i].Text)
				if want := treeText(c.ExpectedTree); plain != want {
					t.Errorf("PlainText(%q) = %q, want %q", cues[i].Text, plain, want)
				}
			}
		})
	}
}

// tree builds the tree of cue text by the W3C cue text parsing rules from our
// tokens and prints it as the web platform tests do.
func tree(cueText string) string {
	var b strings.Builder
	var open []string
	top := func() string {
		if len(open) == 0 {
			return ""
		}
		return open[len(open)-1]
	}
	line := func(text string) { b.WriteString("| " + strings.Repeat("  ", len(open)) + text + "\n") }
	for t := range format.CueTokens(cueText) {
		switch t.Kind {
		case format.TextToken:
			line(`"` + t.Text + `"`)
		case format.StartTag:
			element := map[string]string{"c": "span", "i": "i", "b": "b", "u": "u", "ruby": "ruby", "rt": "rt", "v": "span", "lang": "span"}[t.Name]
			if element == "" || t.Name == "rt" && top() != "ruby" {
				continue
			}
			line("<" + element + ">")
			open = append(open, t.Name)
			if len(t.Classes) > 0 {
				line(`class="` + strings.Join(t.Classes, " ") + `"`)
			}
			switch t.Name {
			case "v":
				line(`title="` + t.Annotation + `"`)
			case "lang":
				line(`lang="` + t.Annotation + `"`)
			}
		case format.EndTag:
			switch {
			case t.Name != "" && t.Name == top():
				open = open[:len(open)-1]
			case t.Name == "ruby" && top() == "rt":
				open = open[:len(open)-2]
			}
		}
	}
	return b.String()
}

// treeText joins the text nodes of a printed tree.
func treeText(printed string) string {
	var nodes []string
	for part := range strings.SplitSeq("\n"+printed, "\n| ") {
		part = strings.TrimSpace(part)
		if text, ok := strings.CutPrefix(part, `"`); ok {
			nodes = append(nodes, strings.TrimSuffix(text, `"`))
		}
	}
	return strings.Join(slices.Clip(nodes), "")
}
