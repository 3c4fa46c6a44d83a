package media_test

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline/media"
	"sideport/timeline/timelinetest"
)

const chapterText = `;FFMETADATA1
title=Case 12
artist=A. Author
comment=नमूना
[CHAPTER]
TIMEBASE=1/1000
START=0
END=1000
title=Port
[CHAPTER]
TIMEBASE=1/1000
START=1000
END=2000
title=Rhexis
`

// What ffprobe prints of a file.
type probed struct {
	Format struct {
		Duration string
		Tags     map[string]string
	}
	Streams []struct {
		Type     string `json:"codec_type"`
		Rate     string `json:"avg_frame_rate"`
		Duration string
		Starts   string            `json:"start_time"`
		Units    int64             `json:"duration_ts"`
		Base     string            `json:"time_base"`
		Tags     map[string]string `json:"tags"`
	}
	Chapters []struct {
		Start string `json:"start_time"`
		End   string `json:"end_time"`
		Tags  struct{ Title string }
	}
}

// The independent reader is ffprobe of FFmpeg, the independent writers are its
// muxers: what our own reader says of a file is what ffprobe says.
func TestFactsAgreeWithFFprobe(t *testing.T) {
	ffmpeg, ffprobe := timelinetest.NeedTool(t, "ffmpeg", "ffmpeg"), timelinetest.NeedTool(t, "ffprobe", "ffmpeg")
	for _, tt := range []struct {
		name, rate string
		args       []string
	}{
		{"plain.mp4", "30000/1001", nil},
		{"faststart.mp4", "25", []string{"-movflags", "+faststart"}},
		{"fragments.mp4", "24000/1001", []string{"-movflags", "+frag_keyframe+empty_moov", "-g", "10"}},
		{"keys.mov", "25", []string{"-movflags", "+use_metadata_tags", "-metadata", "reviewer=R1", "-metadata", "location=+12.9716+077.5946/"}},
		{"plain.mov", "60000/1001", []string{"-metadata", "make=Maker", "-metadata", "model=M 1"}},
		{"plain.mkv", "30000/1001", []string{"-metadata", "reviewer=R1"}},
		{"live.mkv", "50", []string{"-live", "1", "-cluster_time_limit", "500"}},
		{"coded.mov", "30000/1001", []string{"-timecode", "01:00:00;00"}},
		{"coded.mp4", "25", []string{"-timecode", "23:59:58:12"}},
		{"coded.mkv", "30000/1001", []string{"-timecode", "00:59:59;28"}},
		{"late.mkv", "25", []string{"-output_ts_offset", "1.4"}},
		{"late.mp4", "25", []string{"-output_ts_offset", "1.4", "-c:v", "libx264", "-bf", "2"}},
		{"late.mov", "25", []string{"-output_ts_offset", "1.4"}},
		{"reordered.mp4", "30000/1001", []string{"-c:v", "libx264", "-bf", "2"}},
		{"plain.webm", "24", []string{"-c:v", "libvpx", "-c:a", "libopus"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			folder := t.TempDir()
			meta, file := filepath.Join(folder, "chapters.ffmeta"), filepath.Join(folder, tt.name)
			if err := os.WriteFile(meta, []byte(chapterText), 0o644); err != nil {
				t.Fatal(err)
			}
			args := []string{
				"-v", "error", "-f", "lavfi", "-i", "testsrc=d=2:s=64x64:r=" + tt.rate,
				"-f", "lavfi", "-i", "sine=d=2:r=48000", "-i", meta, "-map", "0:v", "-map", "1:a", "-map_metadata", "2", "-map_chapters", "2",
				"-metadata", "creation_time=2026-03-01T09:14:32Z", "-metadata:s:a", "language=hin", "-fflags", "+bitexact",
			}
			if out, err := exec.Command(ffmpeg, append(append(args, tt.args...), file)...).CombinedOutput(); err != nil {
				t.Fatalf("ffmpeg: %v\n%s", err, out)
			}
			raw, err := exec.Command(ffprobe, "-v", "error", "-show_format", "-show_streams", "-show_chapters", "-of", "json", file).Output()
			if err != nil {
				t.Fatal(err)
			}
			var want probed
			if err := json.Unmarshal(raw, &want); err != nil {
				t.Fatal(err)
			}
			f, err := os.Open(file)
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			info, err := f.Stat()
			if err != nil {
				t.Fatal(err)
			}
			got, err := media.Read(f, info.Size())
			if err != nil {
				t.Fatal(err)
			}
			compare(t, got, want)
		})
	}
}

// A creation time before 1970 was counted from there by its writer: ffprobe reads
// the number so as well.
func TestCreationBefore1970AgreesWithFFprobe(t *testing.T) {
	ffmpeg, ffprobe := timelinetest.NeedTool(t, "ffmpeg", "ffmpeg"), timelinetest.NeedTool(t, "ffprobe", "ffmpeg")
	file := filepath.Join(t.TempDir(), "a.mp4")
	timelinetest.Run(t, ffmpeg, "-v", "error", "-f", "lavfi", "-i", "testsrc=d=1:s=64x64:r=25", "-metadata", "creation_time=2026-03-01T09:14:32Z", file)
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(raw, []byte("mvhd")) + 8
	if got := binary.BigEndian.Uint32(raw[at:]); got != created {
		t.Fatalf("ffmpeg wrote the creation time %d, want %d", got, uint32(created))
	}
	binary.BigEndian.PutUint32(raw[at:], 1772356472)
	if err := os.WriteFile(file, raw, 0o644); err != nil {
		t.Fatal(err)
	}
	want := strings.TrimSpace(string(timelinetest.Run(t, ffprobe, "-v", "error", "-show_entries", "format_tags=creation_time", "-of", "csv=p=0", file)))
	if got := readFile(t, file); strings.Replace(want, ".000000Z", "Z", 1) != got.Created || got.CreatedIn != "mvhd-1970" {
		t.Errorf("created = %q in %q, ffprobe has %q", got.Created, got.CreatedIn, want)
	}
}

func compare(t *testing.T, got media.Facts, want probed) {
	t.Helper()
	compareLength(t, got, want)
	code := want.Format.Tags["timecode"] + want.Format.Tags["TIMECODE"]
	for _, s := range want.Streams {
		if code == "" {
			code = s.Tags["timecode"] + s.Tags["TIMECODE"]
		}
	}
	if code != got.Start.Text || code != "" && got.Start.Rate.CodeText(got.Start.Frame) != code {
		t.Errorf("timecode = %+v, ffprobe has %q", got.Start, code)
	}
	// ffprobe prints the creation time among the tags, with six decimals
	if stated := want.Format.Tags["creation_time"]; strings.Replace(stated, ".000000Z", "Z", 1) != got.Created {
		t.Errorf("created = %q, ffprobe has %q", got.Created, stated)
	}
	checked := 0
	for name, value := range want.Format.Tags {
		switch strings.ToLower(name) {
		case "creation_time", "major_brand", "minor_version", "compatible_brands", "encoder", "location-eng":
			continue // of the file type, handled above, or a second name ffprobe gives
		}
		checked++
		if !slices.ContainsFunc(got.Tags, func(tag media.Tag) bool { return strings.EqualFold(tag.Name, name) && tag.Value == value }) {
			t.Errorf("no tag %s=%q, which ffprobe has; tags are %q", name, value, got.Tags)
		}
	}
	if checked == 0 {
		t.Error("ffprobe has no tags to compare")
	}
	compareTracks(t, got, want)
}

func compareLength(t *testing.T, got media.Facts, want probed) {
	t.Helper()
	// the file's length is that of the track that ends last; ffprobe prints none for
	// a live file, and adds the delay of reordered frames for one in fragments
	ms := int64(0)
	for _, s := range want.Streams {
		if s.Type == "data" || s.Duration == "" {
			continue
		}
		end := seconds(t, s.Duration)
		if starts := seconds(t, s.Starts); starts >= 1000 { // a file that begins late, not a track that does
			end += starts
		}
		ms = max(ms, end)
	}
	if ms == 0 && want.Format.Duration != "" {
		ms = seconds(t, want.Format.Duration)
	}
	if got.Duration.Round(time.Millisecond).Milliseconds() != ms {
		t.Errorf("duration = %v, ffprobe has %d ms", got.Duration, ms)
	}
}

func compareTracks(t *testing.T, got media.Facts, want probed) {
	t.Helper()
	var tracks, chapters []string
	for _, s := range want.Streams {
		if s.Type == "data" {
			continue // the text track that holds the chapters
		}
		language := s.Tags["language"]
		if language == "und" {
			language = ""
		}
		tracks = append(tracks, strings.TrimSuffix(fmt.Sprintf("%s %s %s", s.Type, language, s.Rate), "0/0"))
		if s.Type == "video" {
			checkPicture(t, got, s.Starts, s.Units, s.Base)
		}
	}
	for _, c := range want.Chapters {
		chapters = append(chapters, fmt.Sprintf("%d %s", seconds(t, c.Start), c.Tags.Title))
	}
	var gotTracks, gotChapters []string
	for _, tr := range got.Tracks {
		rate := ""
		if !tr.Rate.IsZero() {
			rate = fmt.Sprintf("%d/%d", tr.Rate.Num, tr.Rate.Den)
		}
		if tr.Kind != "text" && tr.Codec != "tmcd" {
			language := tr.Language
			if got.Container == "matroska" && language == "eng" {
				language = "" // ffprobe does not print the default
			}
			gotTracks = append(gotTracks, fmt.Sprintf("%s %s %s", tr.Kind, language, rate))
		}
	}
	for _, c := range got.Chapters {
		gotChapters = append(gotChapters, fmt.Sprintf("%d %s", c.From.Milliseconds(), c.Title))
	}
	if diff := cmp.Diff(tracks, gotTracks); diff != "" {
		t.Errorf("tracks (-ffprobe +ours):\n%s", diff)
	}
	if diff := cmp.Diff(chapters, gotChapters); diff != "" {
		t.Errorf("chapters (-ffprobe +ours):\n%s", diff)
	}
}

// checkPicture compares when the picture begins and, where ffprobe has it in units,
// how long it is shown.
func checkPicture(t *testing.T, got media.Facts, starts string, units int64, base string) {
	t.Helper()
	var first media.Track
	for _, tr := range got.Tracks {
		if tr.Kind == "video" {
			first = tr
			break
		}
	}
	if ms := first.Starts.Round(time.Millisecond).Milliseconds(); ms != seconds(t, starts) {
		t.Errorf("the picture begins at %v, ffprobe has %s s", first.Starts, starts)
	}
	if units == 0 {
		return
	}
	den, ok := strings.CutPrefix(base, "1/")
	if n, err := strconv.ParseInt(den, 10, 64); !ok || err != nil || first.Exact.Num*n != units*first.Exact.Den {
		t.Errorf("the picture lasts %v, ffprobe has %d units of %s", first.Exact, units, base)
	}
}

// seconds reads the decimal seconds ffprobe prints as milliseconds.
func seconds(t *testing.T, s string) int64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatalf("ffprobe prints %q for a time", s)
	}
	return int64(v*1000 + 0.5)
}
