package figure_test

import (
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"sideport/export/figure"
	"sideport/timeline/timelinetest"
)

// The drawing is measured a second time in pixels, after another program has
// rendered it: the limbus against the scale bar.
func TestRenderedToScale(t *testing.T) {
	ffmpeg := timelinetest.NeedTool(t, "ffmpeg", "ffmpeg")
	list, err := exec.Command(ffmpeg, "-hide_banner", "-decoders").Output()
	if err != nil {
		t.Fatalf("asking ffmpeg for its decoders: %v", err)
	}
	if !strings.Contains(string(list), "librsvg") {
		timelinetest.NeedTool(t, "ffmpeg with librsvg", "ffmpeg")
	}
	dir := t.TempDir()
	in, out := filepath.Join(dir, "eye.svg"), filepath.Join(dir, "eye.png")
	svg := eyeSVG(t, figure.Eye{WhiteToWhite: recorded(12), Pupil: recorded(6)},
		figure.Options{Standalone: true, Width: 1600, Labels: figure.NoLabels, NoKey: true, Colours: figure.Colours{Tint: "#ffffff"}})
	if err := os.WriteFile(in, []byte(svg), 0o600); err != nil {
		t.Fatal(err)
	}
	if msg, err := exec.Command(ffmpeg, "-v", "error", "-i", in, out).CombinedOutput(); err != nil {
		t.Fatalf("rendering: %v\n%s", err, msg)
	}
	f, err := os.Open(out)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	size := img.Bounds()
	if size.Dx() != 1600 {
		t.Fatalf("rendered %d pixels wide, want 1600", size.Dx())
	}
	dark := func(x, y int) bool {
		r, _, _, a := img.At(x, y).RGBA()
		return a > 0x8000 && r < 0x8000
	}
	limbus, bar := 0, 0
	for y := range size.Dy() {
		first, last, run := -1, -1, 0
		for x := range size.Dx() {
			if !dark(x, y) {
				run = 0
				continue
			}
			if first < 0 {
				first = x
			}
			last = x
			if run++; y > size.Dy()*9/10 {
				bar = max(bar, run)
			}
		}
		if y < size.Dy()*8/10 && first >= 0 {
			limbus = max(limbus, last-first)
		}
	}
	// The widest row of the circle holds its line's whole width, the bar its end
	// ticks' half widths.
	if ratio := float64(limbus) / float64(bar); !near(ratio, 12.0/5, 12.0/5*0.01) {
		t.Errorf("limbus %d px, bar %d px: ratio %.3f, want 2.4 within 1 %%", limbus, bar, ratio)
	}
}
