package annotate_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sideport/annotate"
	"sideport/timeline/source"
	"sideport/timeline/timelinetest"

	"github.com/google/go-cmp/cmp"
)

// edl is an edit list at 25 frames a second of the given source and record stretches,
// each "reel in out in out" in whole seconds of h:mm:ss.
func edl(events ...string) string {
	var b strings.Builder
	b.WriteString("TITLE: MADE UP\nFCM: NON-DROP FRAME\n")
	for i, e := range events {
		f := strings.Fields(e)
		fmt.Fprintf(&b, "%03d  %s  V  C  %s:00 %s:00 %s:00 %s:00\n", i+1, f[0], f[1], f[2], f[3], f[4])
	}
	return b.String()
}

// worked is the worked example of the project's reference on edit lists (section 5.5):
// 2:10 to 2:40 of the recording, then 5:00 to 5:10 at double speed.
const worked = "TITLE:   CASE12_EDIT\nFCM: NON-DROP FRAME\n" +
	"001  REC0001  V     C        00:02:10:00 00:02:40:00 01:00:00:00 01:00:30:00\n" +
	"002  REC0001  V     C        00:05:00:00 00:05:10:00 01:00:30:00 01:00:35:00\n" +
	"M2   REC0001       050.0                00:05:00:00\n"

// placedMarks shows where each stamp is: recording and video seconds and how.
func placedMarks(c *annotate.Case) []string {
	var out []string
	for _, m := range c.Marks {
		out = append(out, fmt.Sprintf("%s %s %s", secs(&m.Recording), secs(m.Video), m.Placed))
	}
	return out
}

func pieces(c *annotate.Case) []string {
	var out []string
	for _, p := range c.Map.Pieces {
		out = append(out, spanText(p.Recording)+" at "+spanText(p.Video))
	}
	return out
}

// The figures are those of the reference: 140 s lies at 10 s, 305 s at 32.5 s, 200 s
// nowhere.
func TestEditListPlacesStamps(t *testing.T) {
	c := resolve(t, map[string]string{
		"case.yaml":     head + "recording: {clock: elapsed, rate: 25}\nvideo: {duration: \"0:35\"}\n",
		"recording.txt": "2:20 groove\n3:20-3:50 rhexis\n4:00-5:07 hydrodissection\n5:05 nucleus prolapse\n",
		"cuts.edl":      worked,
	})
	if diff := cmp.Diff([]string{"140 10 edit-list", "200 - ", "240 - ", "305 32.5 edit-list"}, placedMarks(c)); diff != "" {
		t.Errorf("stamps (-want +got):\n%s", diff)
	}
	want := []string{
		"scleral-groove 1 stamp 140-200~ 10-30",
		"capsulotomy 1 stamp 200-230 -",
		"hydroprocedure 1 stamp 240-307 30-33.5",
		"nucleus-prolapse 1 stamp 305-310~ 32.5-35",
	}
	if diff := cmp.Diff(want, stepLines(c)); diff != "" {
		t.Errorf("steps (-want +got):\n%s", diff)
	}
	var cuts []string
	for _, cut := range c.Cuts {
		cuts = append(cuts, fmt.Sprintf("%g-%g removed %g at %g %s", cut.RecordingFrom.Seconds(), cut.RecordingTo.Seconds(), cut.Removed.Seconds(), cut.Video.Seconds(), cut.Source))
	}
	if diff := cmp.Diff([]string{"0-130 removed 130 at 0 edit-list", "160-300 removed 140 at 30 edit-list"}, cuts); diff != "" {
		t.Errorf("cuts (-want +got):\n%s", diff)
	}
	found := []string{
		"case/cuts.edl: note: the source times of the edit list are read as time since the recording began, as the times are [time/edit-clock]",
		"case/recording.txt: note: the times are read as time since the recording began: the clock is stated [time/clock]",
		"case/recording.txt:2:1: note: the edit keeps nothing of this step, so the video does not show it [time/removed]",
	}
	if diff := cmp.Diff(found, printed(c.Findings, "time/")); diff != "" {
		t.Errorf("findings (-want +got):\n%s", diff)
	}
}

// Chapters are held against the exact map, and each thing is said once.
func TestChaptersAgainstTheEditList(t *testing.T) {
	c := resolve(t, map[string]string{
		"case.yaml":     head + "recording: {rate: 25}\nvideo: {duration: \"1:40\"}\npins: [{recording: \"1:20\", video: \"0:50\"}]\nsteps: [{step: iol-insertion, at: \"1:50\"}]\n",
		"recording.txt": "0:20 groove\n1:00 rhexis\n1:20 hydrodissection\n1:40 nucleus prolapse\n",
		"chapters.txt":  "0:00 Opening\n0:10 Groove\n0:33 Rhexis\n0:46.5 Hydrodissection\n1:07 Nucleus prolapse\n1:16 IOL\n1:24 Visco wash\n1:30 Closing\n",
		// a card of 5 s, 0:15-0:40 at 0:05, 0:55-1:45 at 0:30, and 20 s that the list does not know
		"cuts.edl": edl("BL 00:00:00 00:00:05 01:00:00 01:00:05", "REC 00:00:15 00:00:40 01:00:05 01:00:30", "REC 00:00:55 00:01:45 01:00:30 01:01:20"),
	})
	if diff := cmp.Diff([]string{"15-40 at 5-30", "55-105 at 30-80"}, pieces(c)); diff != "" {
		t.Fatalf("map (-want +got):\n%s", diff)
	}
	// 0:20 lies at 0:10, 1:00 at 0:35, 1:20 at 0:55, 1:40 at 1:15, and 1:50 is cut. The
	// chapter at 1:16 is carried back to 1:41, the ones without a step say nothing.
	want := []string{
		"case/case.yaml:6:20: caution: the pin puts recording 1:20.0 at video 0:50.0, the edit puts it at video 0:55.0; the edit holds [time/pin]",
		"case/case.yaml:7:9: note: the edit keeps nothing of this step, so the video does not show it [time/removed]",
		"case/case.yaml:7:35: caution: the time of case.yaml and the chapter lie 9.0 s apart; case.yaml counts [time/disagree]",
		"case/chapters.txt:4:1: caution: the chapter begins 8.5 s before the place that the edit list gives the stamp at recording 1:20.0 [time/residual]",
		"case/chapters.txt:5:1: caution: the chapter begins 8.0 s before the place that the edit list gives the stamp at recording 1:40.0 [time/residual]",
		"case/chapters.txt:7:1: note: the chapter at video 1:24.0 (ovd-removal) begins where the edit shows nothing of the recording [time/outside-kept]",
		"case/cuts.edl: note: the source times of the edit list are read as time since the recording began, as the times are [time/edit-clock]",
		"case/recording.txt: note: the times are read as time since the recording began: no time has a date, am, pm or frames and the first is not at or above 02:00:00 [time/clock]",
	}
	if diff := cmp.Diff(want, printed(c.Findings, "time/")); diff != "" {
		t.Errorf("findings (-want +got):\n%s", diff)
	}
}

// Which moment of the recording a source time is. The second column is where the map
// puts the first event, the third what is said.
func TestClockOfTheEditList(t *testing.T) {
	const otio = `{"OTIO_SCHEMA":"Track.1","kind":"Video","children":[{"OTIO_SCHEMA":"Clip.1","source_range":%s,"media_reference":{"OTIO_SCHEMA":"ExternalReference.1","target_url":"a.mp4","available_range":%s}}]}`
	span := func(start, length int) string {
		at := func(v int) string {
			return fmt.Sprintf(`{"OTIO_SCHEMA":"RationalTime.1","value":%d,"rate":25}`, v*25)
		}
		return fmt.Sprintf(`{"OTIO_SCHEMA":"TimeRange.1","start_time":%s,"duration":%s}`, at(start), at(length))
	}
	tests := []struct {
		name, keys, list, cuts string
		want                   []string
		said                   string
	}{
		{"elapsed", "", "1:00 groove\n", edl("R 00:00:50 00:01:10 01:00:00 01:00:20"), []string{"50-70 at 0-20"}, "time since the recording began, as the times are"},
		{"elapsed from a stated start", "starts: \"0:30\", ", "1:00 groove\n", edl("R 00:00:50 00:01:10 01:00:00 01:00:20"), []string{"20-40 at 0-20"}, "time since the recording began, as the times are"},
		{"elapsed, and a medium whose clock starts at an hour", "", "1:00 groove\n", fmt.Sprintf(otio, span(3650, 20), span(3600, 900)), []string{"50-70 at 0-20"}, "time since the recording began, as the times are"},
		{"timecode", "clock: timecode, ", "10:00:30:00 groove\n10:00:50:00 rhexis\n", edl("R 10:00:20 10:00:40 01:00:00 01:00:20"), []string{"-10-10 at 0-20"}, "timecode, as the times are"},
		{"timecode over midnight", "clock: timecode, ", "23:59:50:00 groove\n00:00:20:00 rhexis\n", edl("R 23:59:55 00:00:05 01:00:00 01:00:10", "R 00:00:10 00:00:40 01:00:10 01:00:40"), []string{"5-15 at 0-10", "20-50 at 10-40"}, "timecode, as the times are"},
		{"time of day", "starts: \"09:12:00\", ", "09:13:00 groove\n", edl("R 09:12:50 09:13:10 01:00:00 01:00:20"), []string{"50-70 at 0-20"}, "time of day: none lies before the time at which the recording starts"},
		{"time of day over midnight", "starts: \"23:59:00\", ", "23:59:30 groove\n00:00:30 rhexis\n", edl("R 23:59:20 23:59:40 01:00:00 01:00:20", "R 00:00:20 00:00:40 01:00:20 01:00:40"), []string{"20-40 at 0-20", "80-100 at 20-40"}, "time of day: none lies before the time at which the recording starts"},
		{"time of day from an accepted start of a file", "files: [{times: recording.txt, starts: \"09:12:00\"}], ", "09:13:00 groove\n", edl("R 09:12:50 09:13:10 01:00:00 01:00:20"), []string{"50-70 at 0-20"}, "time of day: none lies before the time at which the recording starts"},
		{"beside a time of day, from the file's start", "starts: \"09:12:00\", ", "09:13:00 groove\n", edl("R 00:00:50 00:01:10 01:00:00 01:00:20"), []string{"50-70 at 0-20"}, "time since the recording began: one lies before the time at which the recording starts"},
		{"just after a start before midnight, from the file's start", "starts: \"23:59:00\", ", "23:59:30 groove\n00:00:30 rhexis\n", edl("R 00:00:20 00:00:40 01:00:00 01:00:20"), []string{"20-40 at 0-20"}, "time since the recording began: one lies before the time at which the recording starts"},
		{"beside a time of day without a start", "", "09:13:00 groove\n09:13:40 rhexis\n", edl("R 00:00:30 00:00:50 01:00:00 01:00:20"), []string{"30-50 at 0-20"}, "time since the recording began: what the clock showed then is not stated"},
		{"no times", "", "", edl("R 00:00:30 00:00:50 01:00:00 01:00:20"), []string{"30-50 at 0-20"}, "time since the recording began: there are no times to compare them with"},
		{"no times, and hours", "", "", edl("R 09:00:30 09:00:50 01:00:00 01:00:20", "R 09:00:20 09:00:30 01:00:20 01:00:30"), []string{"10-30 at 0-20", "0-10 at 20-30"}, "a clock that does not begin with the recording, which is counted from the first moment shown"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			name := "cuts.edl"
			if strings.HasPrefix(tt.cuts, "{") {
				name = "cuts.otio"
			}
			c := resolve(t, map[string]string{"case.yaml": head + "recording: {" + tt.keys + "rate: 25}\n", "recording.txt": tt.list, name: tt.cuts})
			if diff := cmp.Diff(tt.want, pieces(c)); diff != "" {
				t.Errorf("map (-want +got):\n%s", diff)
			}
			said := []string{"case/" + name + ": note: the source times of the edit list are read as " + tt.said + " [time/edit-clock]"}
			if diff := cmp.Diff(said, printed(c.Findings, "time/edit-clock")); diff != "" {
				t.Errorf("note (-want +got):\n%s", diff)
			}
			assumed := len(printed(c.Findings, "time/zero-assumed")) > 0
			if want := tt.name == "beside a time of day without a start"; assumed != want {
				t.Errorf("the zero is said to be assumed: %v, want %v", assumed, want)
			}
			for _, f := range c.Findings {
				if f.Severity == source.Error {
					t.Errorf("%v", f)
				}
			}
		})
	}
}

// An edit list of another clock is not believed over the stamps.
func TestEditListOfAnotherClock(t *testing.T) {
	c := resolve(t, map[string]string{
		"case.yaml":     head + "recording: {rate: 25}\n",
		"recording.txt": "0:20 groove\n1:00 rhexis\n1:30 hydrodissection\n",
		"chapters.txt":  "0:00 Groove\n0:40 Rhexis\n1:10 Hydrodissection\n",
		"cuts.edl":      edl("R 09:12:50 09:14:10 01:00:00 01:01:20"),
	})
	want := []string{"case/cuts.edl: caution: the edit list shows nothing of the stretch in which the times lie when its source times are read as " +
		"time since the recording began, as the times are; it is left aside, and the cuts are inferred [time/edit-clock]"}
	if diff := cmp.Diff(want, printed(c.Findings, "time/edit-clock")); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	// The times of case.yaml count as stamps do: nothing is shown at 9:12:50 of a file.
	only := resolve(t, map[string]string{
		"case.yaml": head + "recording: {clock: wall, rate: 25}\nsteps: [{step: capsulotomy, at: \"09:13:00\"}]\n", "cuts.edl": edl("R 09:12:50 09:14:10 01:00:00 01:01:20"),
	})
	if len(printed(only.Findings, "time/edit-clock")) != 1 || !only.Map.IsZero() {
		t.Errorf("times of case.yaml alone: map %v", only.Map)
	}
	if len(c.Pairs) != 3 || c.Marks[1].Placed != "matched" {
		t.Errorf("%d pairs, the second stamp %q; want 3, matched", len(c.Pairs), c.Marks[1].Placed)
	}
}

// The rate of a list that counts frames: stated, else the container's, else asked for.
// The container is made by ffmpeg, from an invented picture.
func TestRateOfTheEditList(t *testing.T) {
	ffmpeg := timelinetest.NeedTool(t, "ffmpeg", "ffmpeg")
	file := filepath.Join(t.TempDir(), "video.mp4")
	timelinetest.Run(t, ffmpeg, "-v", "error", "-f", "lavfi", "-i", "testsrc=size=64x48:rate=30000/1001", "-frames:v", "60", "-c:v", "mpeg4", file)
	video, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name, keys string
		video      bool
		want       []string
		record     string // of the first event
	}{
		{"stated", "recording: {rate: 25}\n", true, nil, "0-30"},
		{"the container's", "", true, []string{"case/cuts.edl: note: the frames of the edit list are counted at 29.97 a second, the rate of the video's picture [time/edit-rate]"}, "0-30.03"},
		{"none", "", false, []string{"case/cuts.edl:1:1: error: the edit list counts frames and does not say how many make a second; it is not read [time/no-rate]"}, "-"},
		{"stated badly", "recording: {rate: fast}\n", true, []string{
			`case/case.yaml:4:19: error: recording.rate: frame rate "fast" is none of 23.976, 24, 25, 29.97, 30, 47.952, 48, 50, 59.94, 60 [read/rate]`}, "-"},
	} {
		files := map[string]string{"case.yaml": head + tt.keys, "cuts.edl": edl("R 00:02:10 00:02:40 01:00:00 01:00:30"), "recording.txt": "2:20 groove\n"}
		if tt.video {
			files["video.mp4"] = string(video)
		}
		c := resolve(t, files)
		record := "-"
		if c.Edit != nil {
			record = spanText(c.Edit.Events[0].Record)
		}
		got := slices.Concat(printed(c.Findings, "time/edit-rate"), printed(c.Findings, "time/no-rate"), printed(c.Findings, "read/rate"))
		if diff := cmp.Diff(tt.want, got); diff != "" || record != tt.record {
			t.Errorf("%s: the first event at %s, want %s (-want +got):\n%s", tt.name, record, tt.record, diff)
		}
	}
}

// Several sources: on a clock those near the stamps are the recording, in files the
// one that is shown longest. Names of reels and clips are in no message.
func TestSourcesOfTheEditList(t *testing.T) {
	for _, tt := range []struct {
		name, keys, list, cuts string
		want, said             []string
	}{
		{"files", "", "1:00 groove\n", edl("CARD 00:00:00 00:00:05 01:00:00 01:00:05", "REC 00:00:50 00:01:10 01:00:05 01:00:25", "CARD 00:01:00 00:01:04 01:00:25 01:00:29"),
			[]string{"50-70 at 5-25"}, []string{"case/cuts.edl:3:1: caution: the edit list draws on 2 sources; times since a file began tell files not apart, and the one shown longest counts as the recording [time/edit-sources]"}},
		{"clips of a reel that says nothing", "", "1:00 groove\n", "TITLE: X\n001 AX V C 00:00:50:00 00:01:10:00 01:00:00:00 01:00:20:00\n* FROM CLIP NAME: theatre\n" +
			"002 AX V C 00:01:10:00 00:01:15:00 01:00:20:00 01:00:25:00\n* FROM CLIP NAME: theatre\n003 AX V C 00:00:00:00 00:00:05:00 01:00:25:00 01:00:30:00\n* FROM CLIP NAME: card\n",
			[]string{"50-70 at 0-20", "70-75 at 20-25"}, []string{"case/cuts.edl:6:1: caution: the edit list draws on 2 sources; times since a file began tell files not apart, and the one shown longest counts as the recording [time/edit-sources]"}},
		{"reels on a clock", "clock: timecode, ", "10:00:30:00 groove\n10:20:30:00 rhexis\n", edl("ONE 10:00:20 10:00:40 01:00:00 01:00:20", "TWO 10:20:20 10:20:40 01:00:20 01:00:40"),
			[]string{"-10-10 at 0-20", "1190-1210 at 20-40"}, nil},
		{"a card without a clock beside them", "clock: timecode, ", "10:00:30:00 groove\n10:20:30:00 rhexis\n", edl("ONE 10:00:20 10:00:40 01:00:00 01:00:20", "CARD 00:00:00 00:00:05 01:00:20 01:00:25", "TWO 10:20:20 10:20:40 01:00:25 01:00:45"),
			[]string{"-10-10 at 0-20", "1190-1210 at 25-45"}, []string{"case/cuts.edl:4:1: note: the edit list draws on 3 sources; those with no moment near the times count as put in [time/edit-sources]"}},
	} {
		c := resolve(t, map[string]string{"case.yaml": head + "recording: {" + tt.keys + "rate: 25}\n", "recording.txt": tt.list, "cuts.edl": tt.cuts})
		if diff := cmp.Diff(tt.want, pieces(c)); diff != "" {
			t.Errorf("%s: map (-want +got):\n%s", tt.name, diff)
		}
		if diff := cmp.Diff(tt.said, printed(c.Findings, "time/edit-sources")); diff != "" {
			t.Errorf("%s: (-want +got):\n%s", tt.name, diff)
		}
	}
}

// A stretch shown twice gives a step two pieces of video, and nothing shown is counted
// as removed; what the edit shows past the end of the video is said.
func TestEditListThatRepeats(t *testing.T) {
	c := resolve(t, map[string]string{
		"case.yaml":     head + "recording: {rate: 25}\nvideo: {duration: \"0:40\", shows: recording}\n",
		"recording.txt": "0:00-0:10 groove\n0:12-0:16 rhexis\n0:30-0:35 hydrodissection\n0:40-0:45 nucleus prolapse\n",
		// the teaser first, then all but 0:20-0:28
		"cuts.edl": edl("R 00:00:12 00:00:16 01:00:00 01:00:04", "R 00:00:00 00:00:20 01:00:04 01:00:24", "R 00:00:28 00:00:50 01:00:24 01:00:46"),
	})
	want := []string{
		"scleral-groove 1 stamp 0-10 4-14",
		"capsulotomy 1 stamp 12-16 0-4+16-20",
		"hydroprocedure 1 stamp 30-35 26-31",
		"nucleus-prolapse 1 stamp 40-45 36-40",
	}
	if diff := cmp.Diff(want, stepLines(c)); diff != "" {
		t.Errorf("steps (-want +got):\n%s", diff)
	}
	if len(c.Cuts) != 1 || spanText(timelineSpan(c.Cuts[0].RecordingFrom, c.Cuts[0].RecordingTo)) != "20-28" {
		t.Errorf("cuts %v, want 20-28 s alone", c.Cuts)
	}
	disagree := []string{"case/case.yaml:5:34: caution: the video is said to show the recording, and there is an edit list; the edit list counts [time/disagree]"}
	if diff := cmp.Diff(disagree, printed(c.Findings, "time/disagree")); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	c = resolve(t, map[string]string{
		"case.yaml":     head + "recording: {rate: 25}\nvideo: {duration: \"0:30\"}\n",
		"recording.txt": "0:00-0:10 groove\n0:40-0:45 nucleus prolapse\n", "cuts.edl": edl("R 00:00:00 00:00:50 01:00:00 01:00:50"),
	})
	past := []string{"case/recording.txt:2:1: caution: the edit puts recording 0:40.0 at video 0:40.0, past the end of the video, 0:30.0 [time/past-end]"}
	if diff := cmp.Diff(past, append(printed(c.Findings, "time/past-end"), printed(c.Findings, "time/removed")...)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// A step is said to be removed where the whole edit is known and shows no picture of
// it. The list keeps 0:00 to 0:10 of the recording and the second event 0:20 to 0:30.
func TestRemovedIsClaimedOfAWholeEditOnly(t *testing.T) {
	const first = "001 R V C 00:00:00:00 00:00:10:00 01:00:00:00 01:00:10:00\n"
	const removed = "case/recording.txt:2:1: note: the edit keeps nothing of this step, so the video does not show it [time/removed]"
	const unmoving = "case/recording.txt:2:1: note: the edit shows nothing of this step but what may run backwards or stand still, so it has no time in the video [time/removed]"
	for _, tt := range []struct {
		name, second string
		want         []string
	}{
		{"nothing more", "", []string{removed}},
		{"backwards", "002 R V C 00:00:20:00 00:00:30:00 01:00:10:00 01:00:20:00\nM2 R -025.0 00:00:20:00\n", []string{unmoving}},
		{"backwards from its end", "002 R V C 00:00:30:00 00:00:40:00 01:00:10:00 01:00:20:00\nM2 R -025.0 00:00:30:00\n", []string{unmoving}},
		{"backwards elsewhere", "002 R V C 00:02:20:00 00:02:30:00 01:00:10:00 01:00:20:00\nM2 R -025.0 00:02:20:00\n", []string{removed}},
		{"standing", "002 R V C 00:00:24:00 00:00:24:01 01:00:10:00 01:00:20:00\nM2 R 000.0 00:00:24:00\n", []string{unmoving}},
		{"a timecode that cannot be read", "002 R V C 00:00:20:00 00:00:30:25 01:00:10:00 01:00:20:00\n", nil},
		{"no event", "002 R V C 00:00:20:00 00:00:30:00\n", nil},
		{"no length", "002 R V C 00:00:20:00 00:00:20:00 01:00:10:00 01:00:20:00\n", nil},
	} {
		c := resolve(t, map[string]string{
			"case.yaml": head + "recording: {clock: elapsed, rate: 25}\n", "recording.txt": "0:02-0:06 groove\n0:22-0:28 rhexis\n", "cuts.edl": first + tt.second,
		})
		if diff := cmp.Diff(tt.want, printed(c.Findings, "time/removed")); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
	// An OpenTimelineIO track whose reading stops at a clip of unknown length.
	const stops = `{"OTIO_SCHEMA":"Track.1","kind":"Video","children":[{"OTIO_SCHEMA":"Clip.1","source_range":{"OTIO_SCHEMA":"TimeRange.1","start_time":{"OTIO_SCHEMA":"RationalTime.1","value":0,"rate":25},"duration":{"OTIO_SCHEMA":"RationalTime.1","value":250,"rate":25}}}%s]}`
	const outside = "case/chapters.txt:2:1: note: the chapter at video 0:15.0 (capsulotomy) begins where the edit shows nothing of the recording [time/outside-kept]"
	for more, want := range map[string][]string{"": {removed, outside}, `,{"OTIO_SCHEMA":"Clip.1"}`: nil} {
		c := resolve(t, map[string]string{
			"case.yaml": head + "recording: {clock: elapsed}\n", "recording.txt": "0:02-0:06 groove\n0:22-0:28 rhexis\n", "cuts.otio": fmt.Sprintf(stops, more),
			"chapters.txt": "0:00 Groove\n0:15 Rhexis\n0:30 Closing\n",
		})
		if diff := cmp.Diff(want, append(printed(c.Findings, "time/removed"), printed(c.Findings, "time/outside-kept")...)); diff != "" {
			t.Errorf("behind %q (-want +got):\n%s", more, diff)
		}
	}
}

// The length of the video is taken from the edit list where nothing else is later.
func TestLengthFromTheEditList(t *testing.T) {
	c := resolve(t, map[string]string{"case.yaml": head + "recording: {rate: 25}\n", "recording.txt": "0:10 groove\n", "cuts.edl": edl("R 00:00:00 00:00:50 01:00:00 01:00:50")})
	want := []string{"case/case.yaml: note: the length of the video is not known; it is taken to end at 0:50.0, with the edit list [time/length-assumed]"}
	if diff := cmp.Diff(want, printed(c.Findings, "time/length-assumed")); diff != "" || !c.HasVideoClock {
		t.Errorf("a video clock: %v (-want +got):\n%s", c.HasVideoClock, diff)
	}
}
