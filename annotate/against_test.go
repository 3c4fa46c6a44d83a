package annotate_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sideport/annotate"
	"sideport/annotate/agreement"
	"sideport/timeline/timecode"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// hold holds a second list, as text, against a case.
func hold(t testing.TB, c *annotate.Case, list string, kind timecode.Kind) *annotate.Against {
	t.Helper()
	name := filepath.Join(t.TempDir(), "second.txt")
	if err := os.WriteFile(name, []byte(list), 0o644); err != nil {
		t.Fatal(err)
	}
	a, err := c.HoldAgainst(name, kind)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// againstLines are the steps of both lists in seconds, "-" where a list has none.
func againstLines(a *annotate.Against) []string {
	var out []string
	for _, s := range a.Steps {
		out = append(out, fmt.Sprintf("%s %s %s", s.ID, secs(s.First), secs(s.Second)))
	}
	return out
}

// offsetLine is the offset in seconds, over how many steps, and what became of it.
func offsetLine(a *annotate.Against) string {
	if a.Offset == nil {
		return fmt.Sprintf("%s none", a.Clock.Kind)
	}
	return fmt.Sprintf("%s %g over %d removed=%t", a.Clock.Kind, a.Offset.Seconds(), a.Paired, a.Removed)
}

const fiveSteps = "0:20 side port\n1:17 rhexis\n1:30 hydrodissection\n2:11 nucleus delivery\n2:50 IOL\n"

// The lists are invented; what is wanted was worked out by hand.
func TestHoldAgainstFindsTheOffset(t *testing.T) {
	const wall = "recording: {clock: wall}\n"
	for _, tt := range []struct {
		name, keys, first, second string
		kind                      timecode.Kind
		offset                    string
		window                    string // in seconds
		steps                     []string
	}{
		{
			"the same list", "", fiveSteps, fiveSteps, 0, "elapsed 0 over 5 removed=false", "20-170",
			[]string{"side-port 20 20", "capsulotomy 77 77", "hydroprocedure 90 90", "nucleus-delivery 131 131", "iol-insertion 170 170"},
		},
		{
			"each later by a hand's delay stays", "", fiveSteps, "0:21.5 side port\n1:18.5 rhexis\n1:31.5 hydrodissection\n2:12.5 nucleus delivery\n2:51.5 IOL\n", 0,
			"elapsed 1.5 over 5 removed=false", "20-170",
			[]string{"side-port 20 21.5", "capsulotomy 77 78.5", "hydroprocedure 90 91.5", "nucleus-delivery 131 132.5", "iol-insertion 170 171.5"},
		},
		{
			"a clock that runs 12 s ahead, and one slip", "", fiveSteps, "0:32 side port\n1:29 rhexis\n1:42 hydrodissection\n2:43 nucleus delivery\n3:02 IOL\n", 0,
			"elapsed 12 over 5 removed=true", "20-170",
			[]string{"side-port 20 20", "capsulotomy 77 77", "hydroprocedure 90 90", "nucleus-delivery 131 151", "iol-insertion 170 170"},
		},
		{
			"differences without a constant stay", "", fiveSteps, "0:20 side port\n1:21 rhexis\n1:40 hydrodissection\n2:27 nucleus delivery\n2:50 IOL\n", 0,
			"elapsed 4 over 5 removed=false", "20-170",
			[]string{"side-port 20 20", "capsulotomy 77 81", "hydroprocedure 90 100", "nucleus-delivery 131 147", "iol-insertion 170 170"},
		},
		{
			"time of day against time since the beginning", "", fiveSteps, "09:30:00 side port\n09:30:57 rhexis\n09:31:10 hydrodissection\n09:31:51 nucleus delivery\n09:32:30 IOL\n", 0,
			"wall -20 over 5 removed=true", "20-170",
			[]string{"side-port 20 20", "capsulotomy 77 77", "hydroprocedure 90 90", "nucleus-delivery 131 131", "iol-insertion 170 170"},
		},
		{
			"time since the beginning against time of day", "recording: {clock: wall, starts: \"09:29:40\"}\n",
			"09:30:00 side port\n09:30:57 rhexis\n09:31:10 hydrodissection\n", "0:02 rhexis\n0:15 hydrodissection\n1:00 IOL\n", 0,
			"elapsed -75 over 2 removed=true", "20-90",
			[]string{"side-port 20 -", "capsulotomy 77 77", "hydroprocedure 90 90", "iol-insertion - 135"},
		},
		{
			"two times of day, the second list begun later and across midnight", wall,
			"23:58:00 side port\n23:59:30 rhexis\n00:01:00 hydrodissection\n", "00:01:00 hydrodissection\n00:02:00 IOL\n", 0,
			"wall 0 over 1 removed=false", "0-180",
			[]string{"side-port 0 -", "capsulotomy 90 -", "hydroprocedure 180 180", "iol-insertion - 240"},
		},
		{
			"times of day to the minute, as the first list has them", wall,
			"9:14 side port\n9:15 rhexis\n9:17 hydrodissection\n", "9:14 side port\n9:16 rhexis\n9:17 hydrodissection\n", 0,
			"wall 0 over 3 removed=false", "0-180",
			[]string{"side-port 0 0", "capsulotomy 60 120", "hydroprocedure 180 180"},
		},
		{
			"minutes and seconds beside times of day with seconds", wall,
			"09:14:00 side port\n09:15:00 rhexis\n09:17:00 hydrodissection\n", "0:10 side port\n1:10 rhexis\n3:10 hydrodissection\n", 0,
			"elapsed 10 over 3 removed=true", "0-180",
			[]string{"side-port 0 0", "capsulotomy 60 60", "hydroprocedure 180 180"},
		},
		{
			"a clock that is stated", "", "0:20 side port\n1:17 rhexis\n3:00 IOL\n", "1:14 side port\n1:15 rhexis\n1:17 IOL\n", timecode.Wall,
			"wall -17 over 3 removed=true", "17-180",
			[]string{"side-port 20 17", "capsulotomy 77 77", "iol-insertion 180 197"},
		},
		{
			"no step in both", "", fiveSteps, "0:10 peritomy\n0:30 cautery\n", 0, "elapsed none", "10-30",
			[]string{"peritomy - 10", "side-port 20 -", "cautery - 30", "capsulotomy 77 -", "hydroprocedure 90 -", "nucleus-delivery 131 -", "iol-insertion 170 -"},
		},
		{"no step in both, and two kinds of clock", "", fiveSteps, "09:10:00 peritomy\n09:30:00 cautery\n", 0, "wall none", "0-0", nil},
		{"no list of the case's own", "", "", fiveSteps, 0, "elapsed none", "0-0", nil},
		{"an empty second list", "", fiveSteps, "", 0, "unknown none", "0-0", nil},
	} {
		files := map[string]string{"case.yaml": head + tt.keys, "recording.txt": tt.first}
		if tt.first == "" {
			delete(files, "recording.txt")
		}
		a := hold(t, resolve(t, files), tt.second, tt.kind)
		if got := offsetLine(a); got != tt.offset {
			t.Errorf("%s: offset %s, want %s", tt.name, got, tt.offset)
		}
		if got := spanText(a.Window); got != tt.window {
			t.Errorf("%s: compared %s, want %s", tt.name, got, tt.window)
		}
		if diff := cmp.Diff(tt.steps, againstLines(a)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}

// segmentLines are segments as name from-to.
func segmentLines(list []agreement.Segment) []string {
	var out []string
	for _, s := range list {
		out = append(out, s.Label+" "+spanText(s.Span))
	}
	return out
}

// How far the lists are compared, and what becomes of a last step whose end nothing
// tells.
func TestHoldAgainstComparesAsFarAsBothAreKnown(t *testing.T) {
	const first = "0:10 side port\n0:20 rhexis\n0:40 IOL\n"
	for _, tt := range []struct {
		name, keys, first, second string
		open                      string
		want, wantSecond          []string
	}{
		{
			"neither end is known: the last step is left out of both", "", first, "0:10 side port\n0:20 rhexis\n0:38 IOL\n", "true true",
			[]string{"side-port 10-20", "capsulotomy 20-38"}, []string{"side-port 10-20", "capsulotomy 20-38"},
		},
		{
			"one end is stated: the step is left out all the same", "", first, "0:10 side port\n0:20 rhexis\n0:38-0:55 IOL\n", "true false",
			[]string{"side-port 10-20", "capsulotomy 20-38"}, []string{"side-port 10-20", "capsulotomy 20-38"},
		},
		{
			"the part ends the recording", "recording: {part: {to: \"1:00\"}}\n", first, "0:10 side port\n0:20 rhexis\n0:38 IOL\n", "false false",
			[]string{"side-port 10-20", "capsulotomy 20-40", "iol-insertion 40-60"}, []string{"side-port 10-20", "capsulotomy 20-38", "iol-insertion 38-60"},
		},
		{
			"the video shows the recording and has a length", "video: {shows: recording, duration: \"1:30\"}\n", first, "0:10 side port\n0:20 rhexis\n0:38 IOL\n", "false false",
			[]string{"side-port 10-20", "capsulotomy 20-40", "iol-insertion 40-90"}, []string{"side-port 10-20", "capsulotomy 20-38", "iol-insertion 38-90"},
		},
		{
			"a stated end leaves time without a name, one behind the next step is not used", "",
			"0:10-0:15 side port\n0:20-0:50 rhexis\n0:40-0:45 IOL\n", "0:10 side port\n0:20 rhexis\n0:40-0:45 IOL\n", "false false",
			[]string{"side-port 10-15", "capsulotomy 20-40", "iol-insertion 40-45"}, []string{"side-port 10-20", "capsulotomy 20-40", "iol-insertion 40-45"},
		},
		{
			"the second list stops early", "", first, "0:10 side port\n0:30 rhexis\n", "true true",
			[]string{"side-port 10-20"}, []string{"side-port 10-20"},
		},
	} {
		a := hold(t, resolve(t, map[string]string{"case.yaml": head + tt.keys, "recording.txt": tt.first}), tt.second, 0)
		if got := fmt.Sprint(a.FirstOpen, a.SecondOpen); got != tt.open {
			t.Errorf("%s: last steps left out %s, want %s", tt.name, got, tt.open)
		}
		if diff := cmp.Diff(tt.want, segmentLines(a.First)); diff != "" {
			t.Errorf("%s, first (-want +got):\n%s", tt.name, diff)
		}
		if diff := cmp.Diff(tt.wantSecond, segmentLines(a.Second)); diff != "" {
			t.Errorf("%s, second (-want +got):\n%s", tt.name, diff)
		}
	}
}

// A list held against itself, or against its own later half, has no difference, also
// over a change of the clocks. London puts them back on 25 October 2026 at 02:00 and
// puts them forward on 29 March 2026 at 01:00 (IANA Time Zone Database, europe).
func TestHoldAgainstOverAChangeOfTheClocks(t *testing.T) {
	tests := []struct{ name, keys, list, second, want string }{
		{"put forward", "recording: {zone: Europe/London}\n",
			"2026-03-29 00:50:00 side port\n2026-03-29 02:10:00 rhexis\n2026-03-29 02:20:00 hydrodissection\n", "", "wall 0 over 3 removed=false"},
		{"put back", "recording: {zone: Europe/London}\n",
			"2026-10-25 01:50:00 side port\n2026-10-25 01:10:00 rhexis\n2026-10-25 02:10:00 hydrodissection\n", "", "wall 0 over 3 removed=false"},
		{"begun behind the change", "recording: {zone: Europe/London}\n",
			"2026-10-25 00:50:00 side port\n2026-10-25 02:10:00 rhexis\n2026-10-25 02:20:00 hydrodissection\n",
			"2026-10-25 02:10:00 rhexis\n2026-10-25 02:20:00 hydrodissection\n", "wall 0 over 2 removed=false"},
		{"offsets of two places", "",
			"2026-03-01T09:14:32+05:30 side port\n2026-03-01T09:15:32+05:30 rhexis\n2026-03-01T09:17:32+05:30 IOL\n",
			"2026-03-01T03:44:32Z side port\n2026-03-01T03:45:32Z rhexis\n2026-03-01T03:47:32Z IOL\n", "wall 0 over 3 removed=false"},
		{"the second begun on the day before", "recording: {zone: Europe/London}\n",
			"2026-10-25 00:01:00 rhexis\n2026-10-25 00:03:00 IOL\n", "2026-10-24 23:59:00 side port\n2026-10-25 00:01:00 rhexis\n2026-10-25 00:03:00 IOL\n", "wall 0 over 2 removed=false"},
	}
	for _, tt := range tests {
		c := resolve(t, map[string]string{"case.yaml": head + tt.keys, "recording.txt": tt.list})
		second := tt.second
		if second == "" {
			second = tt.list
		}
		a := hold(t, c, second, 0)
		if got := offsetLine(a); got != tt.want {
			t.Errorf("%s: offset %s, want %s", tt.name, got, tt.want)
		}
		for _, s := range a.Steps {
			if s.First != nil && s.Second != nil && *s.First != *s.Second {
				t.Errorf("%s: steps %v, want each at one time", tt.name, againstLines(a))
			}
		}
	}
}

// A time of case.yaml stands for the stamp; chapters and narration say nothing.
func TestHoldAgainstTakesTheCasesOwnTimes(t *testing.T) {
	c := resolve(t, map[string]string{
		"case.yaml":     head + "steps: [{step: capsulotomy, at: \"1:10\"}]\n",
		"recording.txt": fiveSteps,
		"chapters.vtt":  "WEBVTT\n\n00:00.000 --> 00:10.000\nPeritomy\n\n00:10.000 --> 01:00.000\nSide port\n\n01:00.000 --> 02:00.000\nRhexis\n",
	})
	want := []string{"side-port 20 20", "capsulotomy 70 77", "hydroprocedure 90 90", "nucleus-delivery 131 131", "iol-insertion 170 170"}
	if diff := cmp.Diff(want, againstLines(hold(t, c, fiveSteps, 0))); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// Of what recording.part leaves out nothing is quoted, by whatever clock it was
// written down: it may be another patient's operation.
func TestHoldAgainstLeavesOutWhatIsOutsideThePart(t *testing.T) {
	c := resolve(t, map[string]string{
		"case.yaml":     head + "recording: {clock: wall, part: {from: \"09:12:00\", to: \"09:20:00\"}}\n",
		"recording.txt": "09:00:00 rhexis of the case before\n09:12:00 side port\n09:13:00 rhexis\n09:15:00 IOL\n",
	})
	for name, list := range map[string]string{
		"the same kind of clock": "09:01:00 iris hook lost\n09:12:05 side port\n09:13:05 rhexis\n09:15:05 IOL\n09:15:30 lid margin seen\n09:25:00 other eye\n",
		"another kind":           "1:00 iris hook lost\n12:05 side port\n13:05 rhexis\n15:05 IOL\n15:30 lid margin seen\n25:00 other eye\n",
	} {
		a := hold(t, c, list, 0)
		said := strings.Join(printed(a.Findings, ""), "\n")
		if strings.Contains(said, "hook") || strings.Contains(said, "other eye") || !strings.Contains(said, "2 of 6 times of the second list lie outside recording.part") {
			t.Errorf("%s: findings\n%s", name, said)
		}
		if len(a.Others) != 1 || a.Others[0].Text != "lid margin seen" {
			t.Errorf("%s: not compared %v, want the one remark inside", name, a.Others)
		}
		if want := []string{"side-port 0 0", "capsulotomy 60 60", "iol-insertion 180 180"}; !cmp.Equal(want, againstLines(a)) {
			t.Errorf("%s: steps %v, want %v", name, againstLines(a), want)
		}
	}
	a := hold(t, c, "1:00 iris hook lost\n12:05 cautery\n", 0)
	if len(a.Others) != 0 || len(a.Steps) != 0 {
		t.Errorf("nothing tells what lies inside: %v %v, want nothing", a.Others, a.Steps)
	}
}

func TestHoldAgainstSaysWhatCannotBeRead(t *testing.T) {
	c := resolve(t, map[string]string{"case.yaml": head, "recording.txt": fiveSteps})
	if _, err := c.HoldAgainst(filepath.Join(t.TempDir(), "none.txt"), 0); err == nil {
		t.Error("a file that is not there gives no error")
	}
	a := hold(t, c, "0:10 rhexis\n0:99 hydrodissection\n00:00:10:12 IOL\n", 0)
	said := strings.Join(printed(a.Findings, ""), "\n")
	for _, want := range []string{"second.txt:2:1: error: the line has no time", "second.txt:1:1: error: these times count frames"} {
		if !strings.Contains(said, want) {
			t.Errorf("findings\n%s\nwant %s", said, want)
		}
	}
}

// Whatever constant lies between two clocks, of one kind or two, the figures of a
// list against itself are full once it is found.
func TestHoldAgainstIsFullForTheSameListOnAnotherClock(t *testing.T) {
	steps := []string{"side port", "rhexis", "hydrodissection", "nucleus delivery", "IOL", "cortex", "wound suture"}
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(3, 12).Draw(rt, "n")
		by := time.Duration(rapid.IntRange(-3000, 3000).Draw(rt, "by")) * time.Second
		wall := rapid.Bool().Draw(rt, "wall")
		at := time.Hour
		var first, second strings.Builder
		for range n {
			at += time.Duration(rapid.IntRange(5, 300).Draw(rt, "gap")) * time.Second
			name := rapid.SampledFrom(steps).Draw(rt, "step")
			fmt.Fprintf(&first, "%s %s\n", hms(at), name)
			if wall {
				fmt.Fprintf(&second, "%s %s\n", hms(at+by+8*time.Hour), name)
			} else {
				fmt.Fprintf(&second, "%s %s\n", hms(at+by), name)
			}
		}
		c := resolve(t, map[string]string{"case.yaml": head + "recording: {clock: elapsed}\n", "recording.txt": first.String()})
		a := hold(t, c, second.String(), map[bool]timecode.Kind{true: timecode.Wall, false: timecode.Elapsed}[wall])
		runs := len(a.Steps)
		if wall || runs >= 3 && by.Abs() > 2*time.Second {
			if !a.Removed {
				rt.Fatalf("%s\n%s: offset %s, want it removed", first.String(), second.String(), offsetLine(a))
			}
			for _, s := range a.Steps {
				if s.First == nil || s.Second == nil || *s.First != *s.Second {
					rt.Fatalf("%s\n%s: steps %v", first.String(), second.String(), againstLines(a))
				}
			}
			if got := agreement.Edit(a.First, a.Second); got != 100 {
				rt.Fatalf("%s\n%s: Edit = %v, want 100", first.String(), second.String(), got)
			}
		}
	})
}

func hms(t time.Duration) string {
	return fmt.Sprintf("%02d:%02d:%02d", int(t.Hours()), int(t.Minutes())%60, int(t.Seconds())%60)
}
