package media_test

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sideport/timeline/media"
	"sideport/timeline/timelinetest"
)

// The independent splitter is FFmpeg's segment muxer: it writes the parts of one
// recording and a list of where each begins and ends.
func TestJoinAgreesWithFFmpegsSegments(t *testing.T) {
	ffmpeg := timelinetest.NeedTool(t, "ffmpeg", "ffmpeg")
	for _, tt := range []struct {
		name, ext, rate, reordered string
		args                       []string
	}{
		{"parts that begin at 0", "mp4", "30000/1001", "0", []string{"-reset_timestamps", "1"}},
		{"time stamps that run on", "mp4", "25", "0", nil},
		{"matroska that begins at 0", "mkv", "30000/1001", "0", []string{"-reset_timestamps", "1"}},
		{"matroska that runs on", "mkv", "25", "0", nil},
		{"reordered frames", "mov", "50", "2", []string{"-reset_timestamps", "1"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			folder := t.TempDir()
			list := filepath.Join(folder, "list.csv")
			args := []string{
				"-v", "error", "-f", "lavfi", "-i", "testsrc=d=8:s=64x64:r=" + tt.rate, "-c:v", "libx264", "-g", "25", "-sc_threshold", "0", "-bf", tt.reordered,
				"-f", "segment", "-segment_time", "2", "-segment_list", list,
			}
			timelinetest.Run(t, ffmpeg, append(append(args, tt.args...), filepath.Join(folder, "op-%d."+tt.ext))...)
			raw, err := os.ReadFile(list)
			if err != nil {
				t.Fatal(err)
			}
			rows, err := csv.NewReader(strings.NewReader(string(raw))).ReadAll()
			if err != nil || len(rows) < 3 {
				t.Fatalf("ffmpeg wrote %d parts: %v", len(rows), err)
			}
			var parts []media.Part
			for _, row := range rows {
				parts = append(parts, media.Part{Name: row[0], Facts: readFile(t, filepath.Join(folder, row[0]))})
			}
			got := media.Join(parts)
			delay := int64(0) // of reordered frames: the list has it everywhere but at its beginning
			if tt.reordered != "0" {
				delay = 40 // two frames of 1/50 s
			}
			for i, p := range got.Parts {
				// the list has six decimals, Matroska files three
				want := time.Duration(max(seconds(t, rows[i][1])-delay, 0)) * time.Millisecond
				if off := (p.Offset - want).Abs(); p.Part != i || !p.Known || off > 2*time.Millisecond*time.Duration(i+1) {
					t.Errorf("part %d lies at %v, ffmpeg has %s s", i, p.Offset, rows[i][1])
				}
			}
			for _, j := range got.Joints {
				if j.Odd {
					t.Errorf("joint %d-%d is odd by %v", j.Before, j.After, j.Gap)
				}
			}
		})
	}
}

// Two cuts of one recording with its timecode running on, written by FFmpeg with
// three frames lost between them.
func TestJoinByTimecodeOfFFmpeg(t *testing.T) {
	ffmpeg := timelinetest.NeedTool(t, "ffmpeg", "ffmpeg")
	for _, ext := range []string{"mov", "mp4", "mkv"} {
		folder := t.TempDir()
		var parts []media.Part
		for i, code := range []string{"23:59:58;00", "00:00:00;03"} { // two seconds at 30 codes, and three more
			file := filepath.Join(folder, fmt.Sprintf("part %c.%s", 'b'-i, ext))
			timelinetest.Run(t, ffmpeg, "-v", "error", "-f", "lavfi", "-i", "testsrc=s=64x64:r=30000/1001", "-frames:v", "60", "-timecode", code, file)
			parts = append(parts, media.Part{Name: filepath.Base(file), Facts: readFile(t, file)})
		}
		got := media.Join(parts)
		if got.Basis != media.ByCode || len(got.Joints) != 1 {
			t.Fatalf("%s: Join = %s", ext, joined(got))
		}
		if j := got.Joints[0]; j.Frames != 3 || !j.Odd || got.Parts[1].Part != 1 {
			t.Errorf("%s: Join = %s, want a gap of three frames", ext, joined(got))
		}
		// 63 frames of 1001/30000 s
		if want := 2102100 * time.Microsecond; got.Parts[1].Offset != want {
			t.Errorf("%s: the second part lies at %v, want %v", ext, got.Parts[1].Offset, want)
		}
	}
}

func readFile(t *testing.T, name string) media.Facts {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		t.Fatal(err)
	}
	facts, err := media.Read(f, info.Size())
	if err != nil {
		t.Fatal(err)
	}
	return facts
}
