package cmd_test

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"sideport/cmd"
)

// The two forms of one edit in testdata/script/align_cuts.txtar, invented there, give
// one alignment, key by key; their findings differ, since they stand in other files.
func TestBothFormsOfAnEditAlignAlike(t *testing.T) {
	archive, err := txtar.ParseFile(filepath.Join("..", "testdata", "script", "align_cuts.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for _, f := range archive.Files {
		if filepath.Dir(f.Name) == "." {
			if err := os.WriteFile(filepath.Join(dir, f.Name), f.Data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	align := func(cuts string) map[string]any {
		var out, errw bytes.Buffer
		code := cmd.Main([]string{
			"align", "--recording", filepath.Join(dir, "rec.txt"), "--chapters", filepath.Join(dir, "chap.txt"),
			"--cuts", filepath.Join(dir, cuts), "--rate", "25", "--format", "json",
		}, nil, &out, &errw)
		if code != 0 {
			t.Fatalf("align --cuts %s: exit %d\n%s", cuts, code, errw.String())
		}
		var got map[string]any
		if err := json.Unmarshal(out.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		delete(got, "findings")
		return got
	}
	edl, otio := align("cuts.edl"), align("cuts.otio")
	if diff := cmp.Diff(edl, otio); diff != "" {
		t.Errorf("(-edl +otio):\n%s", diff)
	}
	// By hand: 5:10 is 10 s into a stretch at double speed that begins at 0:35 of the video.
	stamps, _ := edl["stamps"].([]any)
	if len(stamps) != 4 {
		t.Fatalf("%d stamps, want 4", len(stamps))
	}
	if s, _ := stamps[2].(map[string]any); s["video_s"] != 40.0 || s["placed"] != "edit-list" || s["within_s"] != 0.0 {
		t.Errorf("the stamp at 5:10: %v; want video_s 40, edit-list, within 0", s)
	}
}

// A source timecode that is the time of day stays out of every output, and so does the
// name of a clip: all is counted from recording zero.
func TestSourceTimecodeIsNotExported(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a-case")
	files := map[string]string{
		"case.yaml":     "sideport: 1\ntitle: An invented case\nprocedure: msics\nrecording: {clock: wall, starts: \"09:12:00\", rate: 25}\nvideo: {duration: \"0:40\"}\n",
		"recording.txt": "09:13:00-09:13:05 groove\n09:14:00 rhexis\n09:20:00-09:20:10 hydrodissection\n",
		"chapters.txt":  "0:00 Opening\n0:16 Groove\n0:31 Rhexis\n0:45 IOL\n",
		"cuts.edl": "TITLE: OF MR ZUBRIK\n001 ZUBRIK V C 09:12:50:00 09:13:10:00 09:40:00:00 09:40:20:00\n* FROM CLIP NAME: zubrik.mp4\n" +
			"002 ZUBRIK V C 09:13:50:00 09:14:20:00 09:40:20:00 09:40:40:00\n003 CARD V C 23:00:00:00 23:00:05:00 09:40:40:00 09:40:45:00\n",
	}
	for name, text := range files {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	out := t.TempDir()
	var printed bytes.Buffer
	cmd.Main([]string{"build", dir, "-o", out}, nil, &printed, &printed)
	cmd.Main([]string{"check", dir, "--format", "json", "--fail-on", "never"}, nil, &printed, &printed)
	written := 0
	err := filepath.WalkDir(out, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := os.ReadFile(path)
		printed.Write(raw)
		written++
		return err
	})
	if err != nil || written < 10 {
		t.Fatalf("%d files, %v\n%s", written, err, printed.String())
	}
	// The times of day, as such and in seconds, and the names.
	for _, secret := range []string{"09:1", "9:13", "09:40", "33170", "33230", "33240", "zubrik", "ZUBRIK", "Zubrik"} {
		if bytes.Contains(printed.Bytes(), []byte(secret)) {
			t.Errorf("%q is in what was written", secret)
		}
	}
	if !bytes.Contains(printed.Bytes(), []byte("the source times of the edit list are read as time of day")) {
		t.Error("the source times are not read as the time of day, so that the test shows nothing")
	}
}
