package figure_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sideport/export/figure"
)

// Golden drawings; UPDATE_GOLDEN=1 writes them anew.
func TestGoldenDrawings(t *testing.T) {
	drawings := map[string]string{
		"eye.svg":             eyeSVG(t, wholeEye(), figure.Options{Standalone: true, Width: 800}),
		"eye-capsulotomy.svg": eyeSVG(t, wholeEye(), figure.Options{Standalone: true, Width: 800, Labels: figure.Words, Stage: figure.After("scleral-groove", "capsulotomy")}),
		"ribbon.svg":          ribbonSVG(t, exampleRibbon(), figure.Options{Standalone: true, Width: 900}),
	}
	files, err := filepath.Glob(filepath.Join("testdata", "*.svg"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if _, ok := drawings[filepath.Base(f)]; !ok {
			t.Errorf("%s is no drawing of this test any more", f)
		}
	}
	for name, got := range drawings {
		file := filepath.Join("testdata", name)
		if os.Getenv("UPDATE_GOLDEN") == "1" {
			if err := os.MkdirAll("testdata", 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatalf("reading the golden drawing: %v", err)
		}
		if diff := cmp.Diff(string(want), got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
}
