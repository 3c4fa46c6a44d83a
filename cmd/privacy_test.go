package cmd_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sideport/cmd"
)

// A private word withholds every output wherever it stands, and nothing that is
// written or printed holds it: not the findings, not the lists of check and align.
func TestPrivateWordsReachNothing(t *testing.T) {
	const head = "sideport: 1\nprocedure: msics\nprivate-words: [Zebedee]\n"
	const plain = head + "title: A case\n"
	for name, files := range map[string]map[string]string{
		"title":             {"case.yaml": head + "title: Case of ZEBEDEE\n"},
		"an unknown key":    {"case.yaml": plain + "zebedee: 1\n"},
		"a value's name":    {"case.yaml": plain + "steps: [{step: capsulotomy, values: {zebedee: 6 mm}}]\n"},
		"a value":           {"case.yaml": plain + "steps: [{step: capsulotomy, values: {rhexis-diameter: zebedee}}]\n"},
		"how":               {"case.yaml": plain + "steps: [{step: capsulotomy, values: {rhexis-diameter: {value: 6 mm, how: Zebedee}}}]\n"},
		"acuity":            {"case.yaml": plain + "before: {acuity: {zebedee: 6/6}}\n"},
		"acuity's value":    {"case.yaml": plain + "before: {acuity: {corrected: zebedee}}\n"},
		"language":          {"case.yaml": plain + "languages: [en, zebedee]\n"},
		"step":              {"case.yaml": plain + "steps: [{step: zebedee}]\n"},
		"variant":           {"case.yaml": plain + "steps: [{step: capsulotomy, variant: zebedee}]\n"},
		"waiver":            {"case.yaml": plain + "waivers: [{rule: range/slip, reason: zebedee said so, by: K}]\n"},
		"a remark":          {"case.yaml": plain + "# Zebedee\n"},
		"authors":           {"case.yaml": plain + "authors: [J. Zebedee]\n"},
		"private twice":     {"case.yaml": plain + "summary: zebedee\n"},
		"unknown procedure": {"case.yaml": "sideport: 1\ntitle: Zebedee\nprocedure: other\nprivate-words: [Zebedee]\n"},
		"a stamp":           {"case.yaml": plain, "recording.txt": "0:10 rhexis of zebedee\n"},
		"a chapter":         {"case.yaml": plain, "chapters.txt": "0:00 Zebedee\n"},
		"the narration":     {"case.yaml": plain, "narration.srt": "1\n00:00:01,000 --> 00:00:02,000\nthis is <i>Zebe</i>dee\n"},
		"notes":             {"case.yaml": plain, "notes.md": "About **zebedee**.\n"},
		"a file name":       {"case.yaml": plain + "files: {notes: zebedee.md}\n", "zebedee.md": "x\n"},
		"a folder's name":   {"case.yaml": plain + "files: {notes: zebedee/notes.md}\n", "zebedee/notes.md": "x\n"},
	} {
		t.Run(name, func(t *testing.T) {
			dir, out := filepath.Join(t.TempDir(), "case"), t.TempDir()
			for file, text := range files {
				path := filepath.Join(dir, filepath.FromSlash(file))
				if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			var printed bytes.Buffer
			if code := cmd.Main([]string{"build", dir, "-o", out}, nil, &printed, &printed); code != 1 {
				t.Errorf("build = %d, want 1", code)
			}
			for _, format := range []string{"json", "csv", "html"} {
				cmd.Main([]string{"check", dir, "--format", format}, nil, &printed, &printed)
			}
			cmd.Main([]string{"align", dir, "--format", "json"}, nil, &printed, &printed)
			cmd.Main([]string{"align", dir}, nil, &printed, &printed)
			if holds(strings.ReplaceAll(printed.String(), "zebedee.md", "")) && name != "a folder's name" {
				t.Errorf("what is printed holds the word:\n%s", printed.String())
			}
			for file := range sums(t, out) {
				raw, err := os.ReadFile(filepath.Join(out, filepath.FromSlash(file)))
				if err != nil {
					t.Fatal(err)
				}
				if holds(string(raw)) || holds(file) {
					t.Errorf("%s holds the word:\n%s", file, raw)
				}
				if base := filepath.Base(file); base != "findings.json" && base != "made.json" {
					t.Errorf("%s is written", file)
				}
			}
		})
	}
}

func holds(text string) bool { return strings.Contains(strings.ToLower(text), "zebedee") }
