package chapter_test

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"testing"

	"sideport/export/chapter"
	"sideport/timeline/timelinetest"

	"github.com/google/go-cmp/cmp"
)

// Check against mkvmerge and mkvextract 74.0: they read the simple form and give the
// same bytes back.
func TestSimpleAgainstMkvmerge(t *testing.T) {
	mkvmerge := timelinetest.NeedTool(t, "mkvmerge", "mkvtoolnix")
	mkvextract := timelinetest.NeedTool(t, "mkvextract", "mkvtoolnix")
	track := timelinetest.Save(t, "a.srt", "1\n00:00:00,000 --> 00:04:05,200\nx\n")
	for name, l := range map[string]chapter.List{"small": small(), "1000": long(1000)} {
		t.Run(name, func(t *testing.T) {
			want := text(t, chapter.WriteSimple, l)
			mks := filepath.Join(t.TempDir(), "a.mks")
			timelinetest.Run(t, mkvmerge, "--quiet", "--output", mks, "--chapters", timelinetest.Save(t, "a.ogm.txt", want), track)
			got := string(timelinetest.Run(t, mkvextract, mks, "chapters", "--simple"))
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("mkvextract --simple gives (-ours +theirs)\n%s", diff)
			}
		})
	}
}

// Check against ffmpeg's Matroska muxer and ffprobe: start, end and title of every
// chapter come out of the container at the same millisecond.
func TestFFMetadataInMatroska(t *testing.T) {
	ffmpeg := timelinetest.NeedTool(t, "ffmpeg", "ffmpeg")
	meta := timelinetest.Save(t, "a.ffmeta", text(t, chapter.WriteFFMetadata, small()))
	mkv := filepath.Join(t.TempDir(), "a.mkv")
	timelinetest.Run(t, ffmpeg, "-v", "error", "-f", "lavfi", "-i", "anullsrc=r=8000:cl=mono", "-i", meta, "-map", "0", "-map_chapters", "1", "-t", "245.2", "-c:a", "pcm_s16le", mkv)
	want := append([]entry{{0, 12_500, "Introduction"}}, smallFlat()...)
	if diff := cmp.Diff(want, ffprobe(t, mkv)); diff != "" {
		t.Errorf("ffprobe reads from Matroska (-want +got)\n%s", diff)
	}
}

// Check against the csv and json modules of Python, whose decimal numbers are exact:
// the same milliseconds, levels, ids and titles.
func TestTableAndJSONAgainstPython(t *testing.T) {
	python := timelinetest.NeedPython(t, "csv", "python3")
	const script = `
import csv, decimal, json, sys
with open(sys.argv[1], newline="", encoding="utf-8") as f:
    if sys.argv[1].endswith(".csv"):
        rows = [[r["start_s"], r["end_s"], r["level"], r["id"], r["title"]] for r in csv.DictReader(f)]
    else:
        rows = [[c["startTime"], c["endTime"], "0", "", c["title"]] for c in json.load(f, parse_float=str, parse_int=str)["chapters"]]
json.dump(["%d %d %s %s %s" % tuple([int(decimal.Decimal(x) * 1000) for x in r[:2]] + r[2:]) for r in rows], sys.stdout)
`
	read := func(file, data string) []string {
		var rows []string
		if err := json.Unmarshal(timelinetest.Run(t, python, "-c", script, timelinetest.Save(t, file, data)), &rows); err != nil {
			t.Fatal(err)
		}
		return rows
	}
	var flat []string
	for _, e := range smallFlat() {
		flat = append(flat, fmt.Sprintf("%d %d 0  %s", e.FromMS, e.ToMS, e.Title))
	}
	if diff := cmp.Diff(flat, read("a.json", text(t, chapter.WriteJSON, small()))); diff != "" {
		t.Errorf("Python reads from JSON (-want +got)\n%s", diff)
	}
	want := []string{
		`12500 61200 0 tunnel-1 Tunnel; 6.5 mm = \ #1`, `61200 140000 0 capsulotomy-1 Capsulotomy`, `80250 100000 1 tunnel-2 Relaxing cut`,
		`140000 200000 0 irrigation-aspiration-1 Cortex & <bag> --> clear`, `210000 245200 0  Closing words`,
	}
	if diff := cmp.Diff(want, read("a.csv", text(t, chapter.WriteCSV, small()))); diff != "" {
		t.Errorf("Python reads from CSV (-want +got)\n%s", diff)
	}
	if n := len(read("a.csv", text(t, chapter.WriteCSV, long(10_000)))); n != 10_000 {
		t.Errorf("Python reads %d rows, want 10000", n)
	}
}
