package format_test

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline/source"
	"sideport/timeline/timelinetest"
)

// The independent reader is ffprobe of FFmpeg, whose own format this is: it gives
// the same chapters at the same milliseconds.
func TestFFMetadataAgreesWithFFprobe(t *testing.T) {
	ffprobe := timelinetest.NeedTool(t, "ffprobe", "ffmpeg")
	for _, name := range []string{"chapters.ffmeta", "bom-crlf.ffmeta", "under-another-name.txt"} {
		file := filepath.Join(formatsFolder, "ffmetadata", name)
		out, err := exec.Command(ffprobe, "-v", "error", "-f", "ffmetadata", "-show_chapters", "-of", "json", file).Output()
		if err != nil {
			t.Fatalf("ffprobe %s: %v", name, err)
		}
		var probed struct {
			Chapters []struct {
				Start string `json:"start_time"`
				End   string `json:"end_time"`
				Tags  struct{ Title string }
			}
		}
		if err := json.Unmarshal(out, &probed); err != nil {
			t.Fatal(err)
		}
		var want []string
		for _, c := range probed.Chapters {
			want = append(want, fmt.Sprintf("%d-%d %s", milliseconds(t, c.Start), milliseconds(t, c.End), c.Tags.Title))
		}
		if len(want) == 0 {
			t.Fatalf("ffprobe found no chapters in %s", name)
		}
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		src := source.Decode(name, raw, func(f source.Finding) { t.Error(f) })
		var got []string
		for _, c := range reader(t, "ffmetadata").Chapters(src, func(source.Finding) {}) {
			got = append(got, fmt.Sprintf("%d-%d %s", c.From.Round(time.Millisecond).Milliseconds(), c.To.Round(time.Millisecond).Milliseconds(), c.Title))
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-ffprobe +ours):\n%s", name, diff)
		}
	}
}

// milliseconds reads the decimal seconds ffprobe prints.
func milliseconds(t *testing.T, s string) int64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return int64(v*1000 + 0.5)
}
