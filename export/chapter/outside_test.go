package chapter_test

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"sideport/export/chapter"
	"sideport/timeline/timelinetest"

	"github.com/google/go-cmp/cmp"
)

// long has n chapters of one second and a half, each fifth a parent.
func long(n int) chapter.List {
	l := chapter.List{Language: "hi", Title: "लंबा & <long>", Total: at(float64(n) * 1.5)}
	for i := range n {
		c := chapter.Chapter{ID: "step-" + strconv.Itoa(i%7), From: at(float64(i) * 1.5), Title: fmt.Sprintf("चरण %d = %d & <b> 👁️ بضع", i, i%9), Level: min(i%5, 1)}
		if c.Level == 1 {
			c.From += 250 * time.Millisecond
		}
		l.Chapters = append(l.Chapters, c)
	}
	return l
}

// entry is a chapter as an outside reader sees it.
type entry struct {
	FromMS, ToMS int64
	Title        string
}

// small as flat forms have it: parents end where their child starts.
func smallFlat() []entry {
	return []entry{
		{12_500, 61_200, `Tunnel; 6.5 mm = \ #1`}, {61_200, 80_250, "Capsulotomy"}, {80_250, 100_000, "Relaxing cut"},
		{140_000, 200_000, "Cortex & <bag> --> clear"}, {210_000, 245_200, "Closing words"},
	}
}

// ffprobe returns the chapters ffprobe finds.
func ffprobe(t testing.TB, args ...string) []entry {
	t.Helper()
	var probe struct {
		Chapters []struct {
			Start string            `json:"start_time"`
			End   string            `json:"end_time"`
			Tags  map[string]string `json:"tags"`
		} `json:"chapters"`
	}
	out := timelinetest.Run(t, timelinetest.NeedTool(t, "ffprobe", "ffmpeg"), append([]string{"-v", "error", "-show_chapters", "-of", "json"}, args...)...)
	if err := json.Unmarshal(out, &probe); err != nil {
		t.Fatal(err)
	}
	ms := func(s string) int64 {
		d, err := time.ParseDuration(s + "s")
		if err != nil {
			t.Fatal(err)
		}
		return d.Round(time.Millisecond).Milliseconds()
	}
	var got []entry
	for _, c := range probe.Chapters {
		got = append(got, entry{ms(c.Start), ms(c.End), c.Tags["title"]})
	}
	return got
}

// Check against ffprobe: the same milliseconds and titles from our ffmetadata.
func TestFFMetadataAgainstFfprobe(t *testing.T) {
	got := ffprobe(t, "-f", "ffmetadata", timelinetest.Save(t, "a.ffmeta", text(t, chapter.WriteFFMetadata, small())))
	want := append([]entry{{0, 12_500, "Introduction"}}, smallFlat()...)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("ffprobe reads (-want +got)\n%s", diff)
	}
	if got := ffprobe(t, "-f", "ffmetadata", timelinetest.Save(t, "a.ffmeta", text(t, chapter.WriteFFMetadata, long(10_000)))); len(got) != 10_000 {
		t.Errorf("ffprobe reads %d chapters, want 10000", len(got))
	}
}

// Check against ffmpeg's MP4 muxer: the chapters come out of the container where
// they were, which they do not when the first does not start the video.
func TestFFMetadataInMP4(t *testing.T) {
	ffmpeg := timelinetest.NeedTool(t, "ffmpeg", "ffmpeg")
	meta := timelinetest.Save(t, "a.ffmeta", text(t, chapter.WriteFFMetadata, small()))
	mp4 := filepath.Join(t.TempDir(), "a.mp4")
	timelinetest.Run(t, ffmpeg, "-v", "error", "-f", "lavfi", "-i", "anullsrc=r=8000:cl=mono", "-i", meta, "-map", "0", "-map_chapters", "1", "-t", "245.2", "-c:a", "aac", mp4)
	got := ffprobe(t, mp4)
	want := append([]entry{{0, 12_500, "Introduction"}}, smallFlat()...)
	if len(got) != len(want) {
		t.Fatalf("the MP4 has %d chapters, want %d", len(got), len(want))
	}
	for i := range want {
		// The container keeps no gaps: an end there is the next start.
		if got[i].FromMS != want[i].FromMS || got[i].Title != want[i].Title {
			t.Errorf("chapter %d in the MP4 = %v, want %v", i, got[i], want[i])
		}
	}
}

// Check against the DTD that mkvtoolnix ships.
func TestMatroskaAgainstItsDTD(t *testing.T) {
	xmllint := timelinetest.NeedTool(t, "xmllint", "libxml2-utils")
	timelinetest.NeedTool(t, "mkvmerge", "mkvtoolnix")
	dtd := matroskaDTD(t)
	for name, l := range map[string]chapter.List{"small": small(), "empty": {}, "10000": long(10_000)} {
		t.Run(name, func(t *testing.T) {
			timelinetest.Run(t, xmllint, "--noout", "--nonet", "--dtdvalid", dtd, timelinetest.Save(t, "a.xml", text(t, chapter.WriteMatroska, l)))
		})
	}
}

// matroskaDTD returns the DTD's path; Debian may have packed it.
func matroskaDTD(t testing.TB) string {
	t.Helper()
	const plain = "/usr/share/doc/mkvtoolnix/examples/matroskachapters.dtd"
	if _, err := os.Stat(plain); err == nil {
		return plain
	}
	packed := timelinetest.NeedFile(t, plain+".gz", "mkvtoolnix")
	return timelinetest.Save(t, "matroskachapters.dtd", string(timelinetest.Run(t, timelinetest.NeedTool(t, "gzip", "gzip"), "-dc", packed)))
}

// Check against mkvmerge: the chapters go into a Matroska file, and mkvextract
// gives back the same times, titles and nesting.
func TestMatroskaAgainstMkvmerge(t *testing.T) {
	mkvmerge := timelinetest.NeedTool(t, "mkvmerge", "mkvtoolnix")
	mkvextract := timelinetest.NeedTool(t, "mkvextract", "mkvtoolnix")
	chapters := timelinetest.Save(t, "a.xml", text(t, chapter.WriteMatroska, small()))
	mks := filepath.Join(t.TempDir(), "a.mks")
	timelinetest.Run(t, mkvmerge, "--quiet", "--output", mks, "--chapters", chapters, timelinetest.Save(t, "a.srt", "1\n00:00:00,000 --> 00:04:05,200\nx\n"))
	type atom struct {
		Start string `xml:"ChapterTimeStart"`
		End   string `xml:"ChapterTimeEnd"`
		Title string `xml:"ChapterDisplay>ChapterString"`
		Lang  string `xml:"ChapterDisplay>ChapLanguageIETF"`
		Atoms []atom `xml:"ChapterAtom"`
	}
	var got struct {
		Atoms []atom `xml:"EditionEntry>ChapterAtom"`
	}
	if err := xml.Unmarshal(timelinetest.Run(t, mkvextract, mks, "chapters"), &got); err != nil {
		t.Fatal(err)
	}
	want := []atom{
		{"00:00:12.500000000", "00:01:01.200000000", `Tunnel; 6.5 mm = \ #1`, "en", nil},
		{"00:01:01.200000000", "00:02:20.000000000", "Capsulotomy", "en", []atom{
			{"00:01:20.250000000", "00:01:40.000000000", "Relaxing cut", "en", nil},
		}},
		{"00:02:20.000000000", "00:03:20.000000000", "Cortex & <bag> --> clear", "en", nil},
		{"00:03:30.000000000", "00:04:05.200000000", "Closing words", "en", nil},
	}
	if diff := cmp.Diff(want, got.Atoms); diff != "" {
		t.Errorf("mkvextract gives (-want +got)\n%s", diff)
	}
	// ffprobe shows the top chapters of the same file, with their ends.
	top := smallFlat()
	top = append(top[:2], top[3:]...)
	top[1].ToMS = 140_000
	if diff := cmp.Diff(top, ffprobe(t, mks)); diff != "" {
		t.Errorf("ffprobe reads from Matroska (-want +got)\n%s", diff)
	}
}

// Check against npm webvtt-parser 2.2.0 in its mode for chapters, which refuses
// tags, bare ampersands and starts out of order.
func TestWebVTTAgainstWebvttParser(t *testing.T) {
	pkg := timelinetest.NeedNPM(t, "webvtt-parser")
	nested := []entry{
		{12_500, 61_200, `Tunnel; 6.5 mm = \ #1`}, {61_200, 140_000, "Capsulotomy"}, {80_250, 100_000, "Relaxing cut"},
		{140_000, 200_000, "Cortex & <bag> --> clear"}, {210_000, 245_200, "Closing words"},
	}
	for name, tt := range map[string]struct {
		list chapter.List
		want []entry
		n    int
	}{"small": {small(), nested, 5}, "empty": {chapter.List{}, nil, 0}, "10000": {long(10_000), nil, 10_000}} {
		t.Run(name, func(t *testing.T) {
			var got struct {
				Errors []string
				Cues   []struct {
					From int64 `json:"from_ms"`
					To   int64 `json:"to_ms"`
					Text string
				}
			}
			file := timelinetest.Save(t, "a.vtt", text(t, chapter.WriteWebVTT, tt.list))
			if err := json.Unmarshal(timelinetest.Run(t, "node", "../caption/testdata/read_webvtt.js", pkg, file, "chapters"), &got); err != nil {
				t.Fatal(err)
			}
			if len(got.Errors) > 0 || len(got.Cues) != tt.n {
				t.Errorf("webvtt-parser reads %d chapters, want %d, and complains %q", len(got.Cues), tt.n, got.Errors)
			}
			for i, want := range tt.want {
				if c := got.Cues[i]; (entry{c.From, c.To, c.Text}) != want {
					t.Errorf("chapter %d = %v, want %v", i, c, want)
				}
			}
		})
	}
}
