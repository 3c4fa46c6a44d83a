package format_test

import (
	"encoding/json"
	"fmt"
	"os"
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
		want := probedChapters(t, ffprobe, file)
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

// probedChapters are the chapters ffprobe finds, as from-to title in milliseconds.
func probedChapters(t *testing.T, ffprobe, file string) []string {
	t.Helper()
	var probed struct {
		Chapters []struct {
			Start string `json:"start_time"`
			End   string `json:"end_time"`
			Tags  struct{ Title string }
		}
	}
	if err := json.Unmarshal(timelinetest.Run(t, ffprobe, "-v", "quiet", "-f", "ffmetadata", "-show_chapters", "-of", "json", file), &probed); err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, c := range probed.Chapters {
		out = append(out, fmt.Sprintf("%d-%d %s", milliseconds(t, c.Start), milliseconds(t, c.End), c.Tags.Title))
	}
	return out
}

// The notes on the order of keys and on a missing END say that ffmpeg reads something
// else; here is what.
func TestFFMetadataOrderAsFFprobeReadsIt(t *testing.T) {
	ffprobe := timelinetest.NeedTool(t, "ffprobe", "ffmpeg")
	got := probedChapters(t, ffprobe, filepath.Join(formatsFolder, "ffmetadata", "order.ffmeta"))
	want := []string{"0-0 ", "0-4000 End first", "5000-6000 No base", "7000-7000 ", "0-5000 Small letters"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("ffprobe reads (-noted +now):\n%s", diff)
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
