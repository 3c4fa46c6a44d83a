package annotate_test

import (
	"bytes"
	"encoding/binary"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"sideport/annotate"
	"sideport/annotate/rule"

	"github.com/google/go-cmp/cmp"
)

// recordingFile is an MP4 file in a few boxes (ISO/IEC 14496-12): a picture of so
// many seconds at 25 frames a second, made at a moment, with the number of the frame
// that its timecode begins with, or -1, and a title that nobody is to see.
func recordingFile(seconds int, made time.Time, frame int) string {
	be32 := func(v int) []byte { return binary.BigEndian.AppendUint32(nil, uint32(v)) }
	box := func(kind string, parts ...[]byte) []byte {
		body := bytes.Join(parts, nil)
		return slices.Concat(be32(len(body)+8), []byte(kind), body)
	}
	since1904 := 0
	if !made.IsZero() {
		since1904 = int(made.Unix() + 2082844800)
	}
	header := func(units, length int) []byte {
		return slices.Concat(be32(0), be32(since1904), be32(since1904), be32(units), be32(length), be32(0))
	}
	track := func(kind string, tables ...[]byte) []byte {
		return box("trak", box("tkhd", be32(0), be32(0), be32(0), be32(1), be32(0)), box("mdia",
			box("mdhd", header(25, seconds*25)),
			box("hdlr", be32(0), be32(0), []byte(kind), make([]byte, 12), []byte("Zubrik\x00")), box("minf", box("stbl", tables...))))
	}
	picture := track("vide", box("stsd", be32(0), be32(1), box("avc1", be32(0), be32(0))), box("stts", be32(0), be32(1), be32(seconds*25), be32(1)))
	ftyp := box("ftyp", []byte("isom\x00\x00\x00\x00"))
	parts := [][]byte{box("mvhd", header(1000, seconds*1000)), picture, box("udta", box("name", []byte("Zubrik")))}
	data := box("mdat", be32(max(frame, 0)))
	if frame >= 0 {
		entry := box("tmcd", make([]byte, 6), []byte{0, 1}, be32(0), be32(0), be32(25), be32(1), []byte{25, 0})
		parts = append(parts, track("tmcd", box("stsd", be32(0), be32(1), entry), box("stco", be32(0), be32(1), be32(len(ftyp)+8))))
	}
	return string(slices.Concat(ftyp, data, box("moov", parts...)))
}

func madeAt(clock string) time.Time {
	t, err := time.Parse("2006-01-02 15:04:05", "2026-03-01 "+clock)
	if err != nil {
		panic("a time of the test: " + err.Error())
	}
	return t
}

// The places of lists and files of one recording. The files and their lengths are
// invented.
func TestRecordingFiles(t *testing.T) {
	none := time.Time{}
	const two = "recording: {files: [{video: op-1.mp4, times: a.txt}, {video: op-2.mp4, times: b.txt}]}\n"
	tests := []struct {
		name       string
		keys       string
		files      map[string]string
		kind, zero string
		times      []string
		found      []string // time/ findings but time/no-video-clock
	}{
		{"elapsed lists, each from its file's start", two, map[string]string{
			"op-1.mp4": recordingFile(600, none, -1), "op-2.mp4": recordingFile(300, none, -1), "a.txt": "0:10 groove\n9:50 tunnel\n", "b.txt": "0:05 rhexis\n0:10-0:20 hydro\n",
		}, "elapsed", "clock", []string{"10", "590", "605", "610"}, []string{
			"case/case.yaml:4:29: note: the files of the recording are placed by the numbers in their names and their lengths: part 1 from 0:00.0, part 2 from 10:00.0 [time/part-offset]",
		}},
		{"put in order by the timecode", "recording: {files: [{video: b.mp4, times: b.txt}, {video: a.mp4, times: a.txt}]}\n", map[string]string{
			"a.mp4": recordingFile(600, none, 90000), "b.mp4": recordingFile(300, none, 90000+15003), "a.txt": "0:10 groove\n", "b.txt": "0:05 rhexis\n",
		}, "elapsed", "clock", []string{"10", "605.12"}, []string{
			"case/case.yaml:4:29: caution: 3 frames (0.120 s at 25 a second) of the recording are missing between part 2 and part 1 by the timecode they carry [time/part-gap]",
			"case/case.yaml:4:59: note: the files are listed in another order [time/part-offset]",
			"case/case.yaml:4:59: note: the files of the recording are placed by the timecode they carry: part 2 from 0:00.0, part 1 from 10:00.1 [time/part-offset]",
		}},
		{"repeated frames", two, map[string]string{
			"op-1.mp4": recordingFile(600, none, 90000), "op-2.mp4": recordingFile(300, none, 90000+14995), "a.txt": "0:10 groove\n", "b.txt": "0:05 rhexis\n",
		}, "elapsed", "clock", []string{"10", "604.8"}, []string{
			"case/case.yaml:4:29: note: the files of the recording are placed by the timecode they carry: part 1 from 0:00.0, part 2 from 9:59.8 [time/part-offset]",
			"case/case.yaml:4:62: caution: 5 frames (0.200 s at 25 a second) of the recording lie in part 1 and again in part 2 by the timecode they carry [time/part-overlap]",
		}},
		{"creation times are ends", two, map[string]string{
			"op-1.mp4": recordingFile(600, madeAt("09:10:00"), -1), "op-2.mp4": recordingFile(300, madeAt("09:15:00"), -1), "a.txt": "0:10 groove\n", "b.txt": "0:05 rhexis\n",
		}, "elapsed", "clock", []string{"10", "605"}, []string{
			"case/case.yaml:4:29: note: the files of the recording are placed by the moments they were made (which fit the ends of the files, known to the second): part 1 from 0:00.0, part 2 from 10:00.0 [time/part-offset]",
		}},
		{"past the end of its file", two, map[string]string{
			"op-1.mp4": recordingFile(600, none, -1), "op-2.mp4": recordingFile(300, none, -1), "a.txt": "10:01 groove\n10:12 tunnel\n", "b.txt": "0:05 rhexis\n",
		}, "elapsed", "clock", []string{"601", "612", "605"}, []string{
			"case/a.txt:2:1: caution: 10:12 lies 0:12.0 past the end of part 1 of the recording, which lasts 10:00.0 [time/outside-part-file]",
			"case/case.yaml:4:29: note: the files of the recording are placed by the numbers in their names and their lengths: part 1 from 0:00.0, part 2 from 10:00.0 [time/part-offset]",
		}},
		{"starts that a person states", "recording: {files: [{video: op-1.mp4, times: a.txt, starts: \"09:12:00\"}, {times: b.txt, starts: \"09:23:00\"}]}\n", map[string]string{
			"op-1.mp4": recordingFile(600, none, -1), "a.txt": "0:10 groove\n", "b.txt": "0:05 rhexis\n",
		}, "elapsed", "clock", []string{"10", "665"}, []string{
			"case/case.yaml:4:29: note: the files of the recording are placed by the starts that case.yaml gives: part 1 from 0:00.0, part 2 from 11:00.0 [time/part-offset]",
			"case/case.yaml:4:74: caution: 1500 frames (60.000 s at 25 a second) of the recording are missing between part 1 and part 2 by the starts that case.yaml gives [time/part-gap]",
		}},
		{"a place that is not known", "recording: {files: [{times: a.txt}, {video: op-2.mp4, times: b.txt}]}\n", map[string]string{
			"op-2.mp4": recordingFile(300, none, -1), "a.txt": "0:10 groove\n", "b.txt": "0:05 rhexis\n",
		}, "elapsed", "clock", []string{"10"}, []string{
			"case/case.yaml:4:21: caution: how long part 1 of the recording lasts is not known, so the place of what follows is not known either [time/part-offset]",
			"case/case.yaml:4:21: note: the files of the recording are placed by the order listed and their lengths: part 1 from 0:00.0 [time/part-offset]",
			"case/case.yaml:4:62: caution: where part 2 lies in the recording is not known; the one time of its list is left out [time/part-offset]",
		}},
		{"one list for the whole recording", "recording: {files: [{video: op-1.mp4}, {video: op-2.mp4}]}\n", map[string]string{
			"op-1.mp4": recordingFile(600, none, -1), "op-2.mp4": recordingFile(300, none, -1), "recording.txt": "0:10 groove\n10:05 rhexis\n15:05 wash\n",
		}, "elapsed", "clock", []string{"10", "605", "905"}, []string{
			"case/case.yaml:4:29: note: the files of the recording are placed by the numbers in their names and their lengths: part 1 from 0:00.0, part 2 from 10:00.0 [time/part-offset]",
			"case/recording.txt:3:1: caution: 15:05 lies in none of the files of the recording [time/outside-part-file]",
		}},
		{"time of day with an accepted start", "recording: {files: [{video: op-1.mp4, times: a.txt, starts: \"09:12:00\"}, {video: op-2.mp4}]}\n", map[string]string{
			"op-1.mp4": recordingFile(600, none, -1), "op-2.mp4": recordingFile(300, none, -1), "a.txt": "09:14:32 groove\n09:23:00 rhexis\n",
		}, "wall", "file", []string{"152", "660"}, []string{
			"case/a.txt:2:1: caution: this time lies 1:00.0 past the end of part 1 of the recording, which lasts 10:00.0 [time/outside-part-file]",
			"case/case.yaml:4:29: note: the files of the recording are placed by the numbers in their names and their lengths: part 1 from 0:00.0, part 2 from 10:00.0 [time/part-offset]",
		}},
		{"the start of the second file tells that of the first, over midnight", "recording: {files: [{video: op-1.mp4}, {video: op-2.mp4, starts: \"00:05:00\"}]}\n", map[string]string{
			"op-1.mp4": recordingFile(600, none, -1), "op-2.mp4": recordingFile(300, none, -1), "recording.txt": "23:56:00 groove\n00:05:10 rhexis\n",
		}, "wall", "file", []string{"60", "610"}, []string{
			"case/case.yaml:4:29: note: the files of the recording are placed by the numbers in their names and their lengths: part 1 from 0:00.0, part 2 from 10:00.0 [time/part-offset]",
		}},
		{"a creation time is a proposal", "recording: {clock: wall, files: [{video: op-1.mp4, times: a.txt}]}\n", map[string]string{
			"op-1.mp4": recordingFile(600, madeAt("09:12:00"), -1), "a.txt": "09:14:32 groove\n09:15:00 rhexis\n",
		}, "wall", "first-stamp", []string{"0", "28"}, []string{
			"case/case.yaml:4:42: note: part 1 of the recording states when it was made, which may be its start, its end or the moment of a copy; the first stamp counts as recording zero [time/part-offset]",
		}},
		{"recording.starts counts before the file's", "recording: {starts: \"09:12:00\", files: [{video: op-1.mp4, starts: \"09:12:30\"}]}\n", map[string]string{
			"op-1.mp4": recordingFile(600, none, -1), "recording.txt": "09:14:32 groove\n",
		}, "wall", "stated", []string{"152"}, []string{
			"case/case.yaml:4:21: caution: recording.starts and the start of the recording's first file lie 0:30.0 apart; recording.starts counts [time/disagree]",
		}},
		{"timecode that list and files share", "recording: {rate: 25, files: [{video: op-1.mp4}, {video: op-2.mp4}]}\n", map[string]string{
			"op-1.mp4": recordingFile(600, none, 90000), "op-2.mp4": recordingFile(300, none, 105000), "recording.txt": "01:00:10:00 groove\n01:10:05:05 rhexis\n",
		}, "timecode", "file", []string{"10", "605.2"}, []string{
			"case/case.yaml:4:39: note: the files of the recording are placed by the timecode they carry: part 1 from 0:00.0, part 2 from 10:00.0 [time/part-offset]",
		}},
		{"timecode of another count", "recording: {rate: 25, files: [{video: op-1.mp4}]}\n", map[string]string{
			"op-1.mp4": recordingFile(600, none, 90000), "recording.txt": "09:00:10:00 groove\n09:10:05:05 rhexis\n",
		}, "timecode", "first-stamp", []string{"0", "595.2"}, nil},
		{"timecode that starts again with each file", "recording: {rate: 25, files: [{video: op-1.mp4, times: a.txt}, {video: op-2.mp4, times: b.txt}]}\n", map[string]string{
			"op-1.mp4": recordingFile(600, none, 25), "op-2.mp4": recordingFile(300, none, 25), "a.txt": "00:00:11:00 groove\n", "b.txt": "00:00:06:05-00:00:07:05 rhexis\n00:05:11:00 wash\n",
		}, "timecode", "file", []string{"10", "605.2", "910"}, []string{
			"case/b.txt:2:1: caution: 00:05:11:00 lies 0:10.0 past the end of part 2 of the recording, which lasts 5:00.0 [time/outside-part-file]",
			"case/case.yaml:4:39: note: the files of the recording are placed by the numbers in their names and their lengths: part 1 from 0:00.0, part 2 from 10:00.0 [time/part-offset]",
			"case/case.yaml:4:39: note: the timecodes of the files are no count that runs on from one to the next; they tell no order [time/part-offset]",
		}},
		{"elapsed lists beside a start of the whole", "recording: {starts: \"0:30\", files: [{video: op-1.mp4, times: a.txt}, {video: op-2.mp4, times: b.txt}]}\n", map[string]string{
			"op-1.mp4": recordingFile(600, none, -1), "op-2.mp4": recordingFile(300, none, -1), "a.txt": "0:10 groove\n", "b.txt": "0:05 rhexis\n",
		}, "elapsed", "stated", []string{"10", "605"}, []string{
			"case/case.yaml:4:45: note: the files of the recording are placed by the numbers in their names and their lengths: part 1 from 0:00.0, part 2 from 10:00.0 [time/part-offset]",
		}},
		{"a start that is none", "recording: {files: [{video: op-1.mp4, times: a.txt, starts: nine}]}\n", map[string]string{
			"op-1.mp4": recordingFile(600, none, -1), "a.txt": "0:10 groove\n",
		}, "elapsed", "clock", []string{"10"}, nil},
		{"lists without files", "files: {recording: [a.txt, b.txt]}\n", map[string]string{
			"a.txt": "0:10 groove\n9:50 tunnel\n", "b.txt": "0:05 rhexis\n0:30 hydro\n",
		}, "elapsed", "clock", []string{"10", "590", "5", "30"}, []string{
			"case/b.txt:1:1: caution: this list begins again at 0:05, and the one before it ends at 9:50; both are counted from the start of the recording [time/part-offset]",
		}},
		{"lists that run on", "files: {recording: [a.txt, b.txt]}\n", map[string]string{
			"a.txt": "0:10 groove\n9:50 tunnel\n", "b.txt": "10:05 rhexis\n",
		}, "elapsed", "clock", []string{"10", "590", "605"}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			files := map[string]string{"case.yaml": head + tt.keys}
			for name, text := range tt.files {
				files[name] = text
			}
			c := resolve(t, files)
			if got := c.Clock.Kind.String(); got != tt.kind || c.Clock.Zero != tt.zero {
				t.Errorf("clock = %s from %s, want %s from %s", got, c.Clock.Zero, tt.kind, tt.zero)
			}
			if diff := cmp.Diff(tt.times, markTimes(c)); diff != "" {
				t.Errorf("times (-want +got):\n%s", diff)
			}
			var found []string
			for _, s := range printed(c.Findings, "time/") {
				if !strings.Contains(s, "[time/clock]") && !strings.Contains(s, "[time/no-video-clock]") {
					found = append(found, s)
				}
			}
			if diff := cmp.Diff(tt.found, found); diff != "" {
				t.Errorf("findings (-want +got):\n%s", diff)
			}
			for _, f := range c.Findings {
				if faults := rule.Wording(f.Message); len(faults) > 0 {
					t.Errorf("%s: %v", f, faults)
				}
				if text := f.Message + f.Hint; strings.Contains(text, "09:1") || strings.Contains(text, "2026-") || strings.Contains(text, "op-") {
					t.Errorf("a moment or a file's name is in a finding: %s", f)
				}
			}
		})
	}
}

// What the files say of a patient is read by nothing: they are never copied.
func TestRecordingFilesKeepTheirTags(t *testing.T) {
	m := load(t, map[string]string{
		"case.yaml": head + "recording: {files: [{video: op-1.mp4}]}\n", "op-1.mp4": recordingFile(600, madeAt("09:12:00"), 90000),
	})
	f := m.Parts[0].Facts
	if len(f.Tags) != 0 || len(f.Chapters) != 0 || len(f.Tracks) != 2 || f.Tracks[0].Name != "" {
		t.Errorf("the facts of a recording file = %+v, want no tags, no titles and no names", f)
	}
	if f.Exact.Num != 600_000 || f.Exact.Den != 1000 || f.Start.Text != "01:00:00:00" || f.CreatedIn != "mvhd" {
		t.Errorf("the facts of a recording file = %+v, want its length and its start", f)
	}
}

// The last step ends with the last file where nothing else says when.
func TestRecordingEndsWithItsFiles(t *testing.T) {
	c := resolve(t, map[string]string{
		"case.yaml": head + "recording: {files: [{video: op-1.mp4, times: a.txt}, {video: op-2.mp4}]}\n",
		"op-1.mp4":  recordingFile(600, time.Time{}, -1), "op-2.mp4": recordingFile(300, time.Time{}, -1), "a.txt": "0:10 groove\n0:40 rhexis\n",
	})
	want := []string{"scleral-groove 1 stamp 10-40~ -", "capsulotomy 1 stamp 40-900~ -"}
	if diff := cmp.Diff(want, stepLines(c)); diff != "" {
		t.Errorf("steps (-want +got):\n%s", diff)
	}
}

// The files of the recording are looked for in the case folder and nowhere else.
func TestRecordingFilesStayInTheFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "case")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	outside := filepath.Join(filepath.Dir(dir), "op.mp4")
	keys := "recording: {files: [{video: ../op.mp4}, {video: link.mp4}, {video: none.mp4, times: ../times.txt}, {starts: \"0:10\"}, {video: text.mp4}]}\n"
	for name, text := range map[string]string{outside: recordingFile(600, time.Time{}, -1), filepath.Join(dir, "case.yaml"): head + keys, filepath.Join(dir, "text.mp4"): "no boxes"} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(outside, filepath.Join(dir, "link.mp4")); err != nil {
		t.Skipf("no links here: %v", err)
	}
	m, err := annotate.Load(dir, "case")
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		`case/case.yaml:4:100: error: the key "video" is missing in this entry [read/missing-key]`,
		`case/case.yaml:4:126: caution: neither length nor start can be read from part 5 of the recording, which is no MP4, MOV, Matroska or WebM file [media/unknown-container]`,
		`case/case.yaml:4:29: error: what this names is not a file inside the case folder; it is not read [read/outside-folder]`,
		`case/case.yaml:4:49: error: there is no file of this name in the case folder [read/no-file]`,
		`case/case.yaml:4:68: error: there is no file of this name in the case folder [read/no-file]`,
		`case/case.yaml:4:85: error: "../times.txt" is not a file inside the case folder; it is not read [read/outside-folder]`,
		`case/link.mp4: error: this is a link to no file inside the case folder; it is not read [read/outside-folder]`,
	}
	found := faults(m.Findings)
	slices.Sort(found)
	if diff := cmp.Diff(want, found); diff != "" {
		t.Errorf("findings (-want +got):\n%s", diff)
	}
	for i, p := range m.Parts {
		if p.Facts.Duration != 0 {
			t.Errorf("part %d has the length %v, want none", i+1, p.Facts.Duration)
		}
	}
}

// The timecode of a part counts 25 frames a second here; recording.rate says another.
func TestRateOfThePartsIsHeldAgainstTheStatedOne(t *testing.T) {
	files := map[string]string{
		"op-1.mp4": recordingFile(600, time.Time{}, 90000), "a.txt": "01:00:10:00 groove\n",
	}
	for _, tt := range []struct {
		rate string
		want []string
	}{
		{"25", nil},
		{"30", []string{"case/case.yaml:4:36: caution: recording.rate says 30 frames a second, and the timecode of part 1 counts 25; recording.rate counts [read/rate]"}},
	} {
		files["case.yaml"] = head + "recording: {clock: timecode, rate: " + tt.rate + ", files: [{video: op-1.mp4, times: a.txt}]}\n"
		if diff := cmp.Diff(tt.want, printed(resolve(t, files).Findings, "read/rate")); diff != "" {
			t.Errorf("rate %s (-want +got):\n%s", tt.rate, diff)
		}
	}
}
