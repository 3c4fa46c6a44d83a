package cmd_test

import (
	"bytes"
	"encoding/json"
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
