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
