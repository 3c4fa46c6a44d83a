package cmd_test

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sideport/cmd"
)

// What a recorder writes into the names and tags of its files is in no output and
// holds none back: the files are not copied. The names are invented.
func TestBuildLeavesTheRecordingsFilesAlone(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "case")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	const nineTwelve = 1772356320 // 2026-03-01T09:12:00Z, by date -d
	tag := "\x00\x00\x00\x0eudta" + "\x00\x00\x00\x06"
	files := map[string]string{
		"case.yaml": "sideport: 1\ntitle: A case\nprocedure: msics\nconsent: {scope: local, recorded: true}\nrecording:\n  files:\n" +
			"    - {video: REC_20260301_091200 Zubrik.mp4, times: a.txt, starts: \"09:12:00\"}\n    - {video: REC_20260301_092205 Zubrik.mp4, times: b.txt}\n    - {video: REC_20260301_0932 Zubrik.mp4}\n",
		"REC_20260301_091200 Zubrik.mp4": movie(nineTwelve) + tag,
		"REC_20260301_092205 Zubrik.mp4": movie(nineTwelve + 605),
		"a.txt":                          "09:14:32 groove\n09:16:00 tunnel\n",
		"b.txt":                          "09:23:00 rhexis\n09:50:00 wash\n",
		"chapters.vtt":                   "WEBVTT\n\n00:10.000 --> 00:20.000\nGroove\n\n00:20.000 --> 00:40.000\nTunnel\n\n00:40.000 --> 00:50.000\nRhexis\n",
	}
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	out := filepath.Join(t.TempDir(), "out")
	var said, errs bytes.Buffer
	code := cmd.Main([]string{"build", dir, "-o", out}, strings.NewReader(""), &said, &errs)
	if code != 1 { // the third file is not there
		t.Errorf("build = %d, want 1\n%s%s", code, said.String(), errs.String())
	}
	written := 0
	texts := map[string]string{"what build says": strings.ReplaceAll(said.String()+errs.String(), dir, "")}
	err := filepath.WalkDir(out, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		written++
		texts[filepath.Base(path)] = string(raw)
		return nil
	})
	if err != nil || written < 5 {
		t.Fatalf("build wrote %d files, %v, want the page, the tracks and the reports\n%s%s", written, err, said.String(), errs.String())
	}
	for name, text := range texts {
		for _, word := range []string{"Zubrik", "REC_", "20260301", "2026-03-01", "09:1", "09:2", "09:5"} {
			if strings.Contains(text, word) {
				t.Errorf("%s holds %q", name, word)
			}
		}
	}
	if found := texts["findings.json"]; !strings.Contains(found, "time/outside-part-file") || !strings.Contains(found, "time/part-offset") || !strings.Contains(found, "there is no file of this name") {
		t.Errorf("findings.json lacks what is said of the parts:\n%s", found)
	}
	for name, text := range files {
		if raw, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(raw) != text {
			t.Errorf("%s changed: %v", name, err)
		}
	}
}

// Neither a time of day nor a date nor a name of the recording's files is in anything
// that is built or printed, also where each of them is what a finding is about: times
// that cannot be, that lie outside their file or the part, and an edit list on the same
// clock. All of it is invented.
func TestWallClockOfPartsIsInNoOutput(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "case")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	const made = 1792889100 // 2026-10-25T00:45:00Z, by date -d
	for name, text := range map[string]string{
		"case.yaml": "sideport: 1\ntitle: A case\nprocedure: msics\nconsent: {scope: local, recorded: true}\nrecording:\n" +
			"  zone: Europe/London\n  date: 2026-10-25\n  rate: 25\n  starts: \"2026-10-25 01:44:30\"\n" +
			"  part: {from: \"2026-10-25 01:40:00\", to: \"2026-10-25 02:30:00\"}\n  files:\n" +
			"    - {video: REC_20261025_014500 Zubrik.mp4, times: a.txt, starts: \"2026-10-25 01:45:00\"}\n" +
			"    - {video: REC_20261025_015505 Zubrik.mp4, times: b.txt, starts: \"2026-10-25 25:55:05\"}\n    - {video: REC_2026 Zubrik.mp4}\n" +
			"steps:\n  - {step: capsulotomy, at: \"2026-10-25 01:50:00\", until: \"2026-10-25 01:49:00\"}\n" +
			"  - {step: hydroprocedure, at: \"2026-10-25 05:50:00\"}\n  - {step: wound-suture, at: \"2026-10-25 99:50:00\"}\n" +
			"pins: [{recording: \"2026-10-25 01:46:00\", video: \"0:12\"}]\n",
		"REC_20261025_014500 Zubrik.mp4": movie(made),
		"REC_20261025_015505 Zubrik.mp4": movie(made + 605),
		"a.txt":                          "2026-10-25 01:46:00 groove\n2026-10-25 01:45:50 - 01:45:40 tunnel\n2026-10-25 01:99:07 rhexis\n25-10-2026 01:51:00 hydro\n01:52:00:12 wash\n0:20 IOL\n2026-13-45 01:52:00 IOL\n",
		"b.txt":                          "2026-10-25 01:57:00 hydrodissection\n2026-10-25 01:10:00 nucleus delivery\n2026-10-25 03:50:00 wash\n2031-10-25 03:50:00 wash\n",
		"chapters.vtt":                   "WEBVTT\n\n00:10.000 --> 00:20.000\nGroove\n\n00:20.000 --> 00:40.000\nTunnel\n",
		"cuts.edl": "TITLE: INVENTED\nFCM: NON-DROP FRAME\n001  REC_2026  V  C  01:45:50:00 01:47:00:00 01:00:00:00 01:01:10:00\n* FROM CLIP NAME: REC_20261025_014500 Zubrik.mp4\n" +
			"002  REC_2026  V  C  01:99:50:00 01:47:00:00 01:01:10:00 01:01:20:00\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	out := filepath.Join(t.TempDir(), "out")
	texts := map[string]string{}
	for _, args := range [][]string{
		{"build", dir, "-o", out}, {"align", dir}, {"align", dir, "--format", "json"}, {"align", dir, "--against", filepath.Join(dir, "b.txt")},
		{"check", dir}, {"check", dir, "--format", "json"}, {"check", dir, "--format", "csv"}, {"check", dir, "--format", "html"},
	} {
		var said bytes.Buffer
		cmd.Main(args, strings.NewReader(""), &said, &said)
		name := strings.ReplaceAll(strings.Join(args, " "), dir, "case")
		texts[name] = strings.ReplaceAll(said.String(), filepath.ToSlash(dir), "case")
		if !strings.Contains(texts[name], "a.txt") {
			t.Errorf("%s says nothing of the list of the first part:\n%s", name, texts[name])
		}
	}
	for file := range sums(t, out) {
		raw, err := os.ReadFile(filepath.Join(out, filepath.FromSlash(file)))
		if err != nil {
			t.Fatal(err)
		}
		texts[file] = string(raw)
	}
	for _, file := range []string{"case/index.html", "case/case.json", "case/findings.json", "case/steps.en.vtt", "case/chapters.xml"} {
		if texts[file] == "" {
			t.Errorf("%s is not built", file)
		}
	}
	for _, rule := range []string{"time/outside-part-file", "time/outside-part", "time/disagree", "time/edit-clock", "time/shown-twice", "read/bad-time"} {
		if !strings.Contains(texts["case/findings.json"], `"`+rule+`"`) {
			t.Errorf("findings.json has no %s, so that nothing is seen of its words", rule)
		}
	}
	for name, text := range texts {
		text = strings.ReplaceAll(text, "a date is read as 2026-03-01", "") // the form, in the hint of a date the other way round
		for _, word := range []string{"Zubrik", "REC_", "2026", "2031", "01:4", "01:5", "1:99", "02:30", "03:50", "05:50", "25:55", "99:50"} {
			if i := strings.Index(text, word); i >= 0 {
				t.Errorf("%s holds %q: %s", name, word, text[max(0, i-60):min(len(text), i+60)])
			}
		}
	}
}
