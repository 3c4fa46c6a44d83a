package figure_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sideport/export/figure"
	"sideport/timeline"
)

func span(from, to int) timeline.Span {
	return timeline.Span{From: time.Duration(from) * time.Second, To: time.Duration(to) * time.Second}
}

// exampleRibbon is a recording of 200 s cut to a video of 100 s that opens with a
// title of 5 s.
func exampleRibbon() figure.Ribbon {
	m := timeline.Map{Pieces: []timeline.Piece{
		{Recording: span(10, 50), Video: span(5, 45)},
		{Recording: span(120, 175), Video: span(45, 100)},
	}}
	r := figure.Ribbon{Recording: 200 * time.Second, Video: 100 * time.Second, Kept: m.Pieces}
	for i, s := range []timeline.Span{span(0, 30), span(30, 60), span(60, 110), span(110, 200)} {
		r.Steps = append(r.Steps, figure.RibbonStep{Number: i + 1, Recording: &s, Video: m.SpanToVideo(s)})
	}
	return r
}

func ribbonSVG(t testing.TB, r figure.Ribbon, opt figure.Options) string {
	t.Helper()
	var b bytes.Buffer
	if err := figure.RibbonSVG(&b, r, opt); err != nil {
		t.Fatalf("RibbonSVG: %v", err)
	}
	return b.String()
}

func TestRemovedAndInsertedStretches(t *testing.T) {
	r := exampleRibbon()
	if diff := cmp.Diff([]timeline.Span{span(0, 10), span(50, 120), span(175, 200)}, r.Removed()); diff != "" {
		t.Errorf("Removed (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]timeline.Span{span(0, 5)}, r.Inserted()); diff != "" {
		t.Errorf("Inserted (-want +got):\n%s", diff)
	}
	// An edit may show a stretch twice; it is not removed because of that.
	r.Kept = []timeline.Piece{{Recording: span(0, 200), Video: span(0, 50)}, {Recording: span(40, 60), Video: span(50, 100)}}
	if got := r.Removed(); got != nil {
		t.Errorf("Removed of a repeated stretch = %v, want none", got)
	}
}

func TestRibbonStepsLieWhereTheirTimesSay(t *testing.T) {
	all := parse(t, ribbonSVG(t, exampleRibbon(), figure.Options{Standalone: true}))
	for part, length := range map[string]float64{"recording": 200, "video": 100} {
		bars := of(all, part, "rect")
		frame := bars[len(bars)-1]
		left, width := frame.number(t, "x"), frame.number(t, "width")
		var got [][2]float64
		for _, b := range bars {
			if b.attr["stroke"] != "none" && b.number(t, "width") < width {
				got = append(got, [2]float64{
					(b.number(t, "x") - left) / width * length, (b.number(t, "x") + b.number(t, "width") - left) / width * length,
				})
			}
		}
		want := [][2]float64{{0, 30}, {30, 60}, {60, 110}, {110, 200}}
		if part == "video" {
			want = [][2]float64{{5, 25}, {25, 45}, {45, 100}}
		}
		if len(got) != len(want) {
			t.Fatalf("%s has %d steps, want %d", part, len(got), len(want))
		}
		for i := range want {
			if !near(got[i][0], want[i][0], length*0.005) || !near(got[i][1], want[i][1], length*0.005) {
				t.Errorf("%s step %d = %.1f–%.1f s, want %v", part, i, got[i][0], got[i][1], want[i])
			}
		}
	}
}

func TestRibbonSaysItsTimesInWords(t *testing.T) {
	svg := ribbonSVG(t, exampleRibbon(), figure.Options{IDPrefix: "edit"})
	for _, want := range []string{
		`role="img"`, `aria-labelledby="edit-title edit-desc"`, "The recording lasts 3:20.", "The video lasts 1:40.",
		"Removed: recording 0:50 to 2:00.", "Put in by the edit: video 0:00 to 0:05.", "hatched: removed, or put in, by the edit",
	} {
		if !strings.Contains(svg, want) {
			t.Errorf("the ribbon lacks %q", want)
		}
	}
}

func TestRibbonOfOneClock(t *testing.T) {
	r := exampleRibbon()
	r.Video, r.Kept = 0, nil
	svg := ribbonSVG(t, r, figure.Options{})
	if strings.Contains(svg, "in the video") || strings.Contains(svg, "hatched") || !strings.Contains(svg, "on the recording") {
		t.Errorf("ribbon without a video clock:\n%s", svg)
	}
	parse(t, ribbonSVG(t, figure.Ribbon{}, figure.Options{}))
}
