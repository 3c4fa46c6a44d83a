package placing_test

import (
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sideport/annotate/placing"
	"sideport/timeline"
)

// anyCase draws marks with no sense in them: equal times, repeated names, ties,
// pins in any order.
func anyCase(t *rapid.T) ([]placing.Stamp, []placing.Chapter, placing.Options) {
	ids := rapid.SampledFrom([]string{"", "side-port", "ovd-fill", "capsulotomy", "hydrodissection", "hydroprocedure", "iol-insertion"})
	moment := rapid.Custom(func(t *rapid.T) time.Duration {
		return time.Duration(rapid.IntRange(0, 1200).Draw(t, "half seconds")) * time.Second / 2
	})
	candidates := rapid.SliceOfN(rapid.SampledFrom([]string{"ovd-fill", "capsulotomy"}), 0, 2)
	confidence := rapid.Float64Range(0, 1)
	kinds := rapid.SampledFrom([]string{"", "step", "event", "remark"})
	stamps := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) placing.Stamp {
		return placing.Stamp{At: moment.Draw(t, "at"), Step: ids.Draw(t, "step"), Confidence: confidence.Draw(t, "confidence"),
			Text: rapid.SampledFrom([]string{"", "a", "b"}).Draw(t, "text"), Kind: kinds.Draw(t, "kind"), Candidates: candidates.Draw(t, "candidates")}
	}), 0, 12).Draw(t, "stamps")
	chapters := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) placing.Chapter {
		return placing.Chapter{From: moment.Draw(t, "from"), Step: ids.Draw(t, "step"), Confidence: confidence.Draw(t, "confidence"),
			Title: rapid.SampledFrom([]string{"", "a", "b"}).Draw(t, "title"), Kind: kinds.Draw(t, "kind"), Candidates: candidates.Draw(t, "candidates")}
	}), 0, 10).Draw(t, "chapters")
	opt := placing.Options{
		VideoLength: moment.Draw(t, "video length"), RecordingLength: moment.Draw(t, "recording length"),
		Pins: rapid.SliceOfN(rapid.Custom(func(t *rapid.T) placing.Pin {
			return placing.Pin{Recording: moment.Draw(t, "recording"), Video: moment.Draw(t, "video")}
		}), 0, 3).Draw(t, "pins"),
	}
	return stamps, chapters, opt
}

func TestPlaceHoldsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stamps, chapters, opt := anyCase(t)
		res := placing.Place(stamps, chapters, manual(), opt)
		checkMap(t, res, opt)
		checkPairs(t, res, stamps, chapters)
		checkPlaces(t, res, opt)
		checkFindings(t, res, len(stamps), len(chapters), len(opt.Pins))
		if diff := cmp.Diff(res, placing.Place(stamps, chapters, manual(), opt)); diff != "" {
			t.Fatalf("a second run differs (-first +second):\n%s", diff)
		}
	})
}

func checkMap(t *rapid.T, res placing.Result, opt placing.Options) {
	var last timeline.Piece
	for _, p := range res.Map.Pieces {
		if p.Video.Len() <= 0 || p.Recording.Len() <= 0 {
			t.Fatalf("empty piece %v", p)
		}
		if p.Video.From < last.Video.To || p.Recording.From < last.Recording.To {
			t.Fatalf("pieces overlap: %v then %v", last, p)
		}
		if opt.VideoLength > 0 && p.Video.To > opt.VideoLength {
			t.Fatalf("piece %v reaches past the end of the video %v", p, opt.VideoLength)
		}
		last = p
	}
	if res.Rate < .9 || res.Rate > 1.1 || math.IsNaN(res.Rate) {
		t.Fatalf("rate %v", res.Rate)
	}
	for _, c := range res.Cuts {
		if c.Removed <= 0 || c.RecordingTo-c.RecordingFrom < c.Removed || c.Source != "inferred" {
			t.Fatalf("cut %+v is longer than what it can touch", c)
		}
	}
	for _, i := range res.Inserts {
		if _, ok := res.Map.ToRecording(i.From); ok || i.To <= i.From {
			t.Fatalf("insert %+v is in the recording", i)
		}
	}
}

// checkPairs: every mark is in one pair at most, and pairs are in order on both clocks
// but for marks set within seconds of each other.
func checkPairs(t *rapid.T, res placing.Result, stamps []placing.Stamp, chapters []placing.Chapter) {
	const seconds = 4 * time.Second
	usedStamp, usedChapter := map[int]bool{}, map[int]bool{}
	for k, p := range res.Pairs {
		if p.Confidence <= 0 || p.Confidence > 1 || usedStamp[p.Stamp] || usedChapter[p.Chapter] {
			t.Fatalf("pair %+v, among %+v", p, res.Pairs)
		}
		usedStamp[p.Stamp], usedChapter[p.Chapter] = true, true
		if k == 0 {
			continue
		}
		q := res.Pairs[k-1]
		if stamps[p.Stamp].At < stamps[q.Stamp].At || chapters[p.Chapter].From < chapters[q.Chapter].From-seconds {
			t.Fatalf("pairs %+v then %+v do not increase on both clocks", q, p)
		}
	}
}

func checkPlaces(t *rapid.T, res placing.Result, opt placing.Options) {
	for _, s := range res.Stamps {
		if (s.Video == nil) != (s.Placed == "") {
			t.Fatalf("place %+v", s)
		}
		if s.Video != nil && (*s.Video < 0 || opt.VideoLength > 0 && *s.Video >= opt.VideoLength) {
			t.Fatalf("place %v outside the video of %v", *s.Video, opt.VideoLength)
		}
		if s.Within < 0 || s.Placed == placing.Interpolated && s.Within < time.Second/2 {
			t.Fatalf("place %+v within %v", s, s.Within)
		}
	}
	for _, c := range res.Chapters {
		if (c.Recording == nil) != (c.Placed == "") || c.Recording != nil && *c.Recording < 0 {
			t.Fatalf("place %+v", c)
		}
	}
}

// A finding says what is recorded: lower case, no full stop, no verb addressed to
// the surgeon, and names at most one thing that exists.
func checkFindings(t *rapid.T, res placing.Result, stamps, chapters, pins int) {
	banned := regexp.MustCompile(`\b(should|must|consider|why not|prefer|avoid|need)`)
	for _, f := range res.Findings {
		if f.Group() != "time" || f.Message == "" || f.Message[0] < 'a' || f.Message[0] > 'z' ||
			strings.HasSuffix(f.Message, ".") || banned.MatchString(f.Message) {
			t.Fatalf("finding %v", f.Finding)
		}
		named := 0
		for _, index := range [][2]int{{f.Stamp, stamps}, {f.Chapter, chapters}, {f.Pin, pins}} {
			if index[0] >= index[1] || index[0] < -1 {
				t.Fatalf("finding %+v names what is not there", f)
			}
			if index[0] >= 0 {
				named++
			}
		}
		if named > 1 {
			t.Fatalf("finding %+v names %d things", f, named)
		}
	}
}

// An exact map is taken as it is: what it keeps is placed where it says, and what
// it leaves out nowhere.
func TestExactMapHoldsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stamps, chapters, opt := anyCase(t)
		var m timeline.Map
		var r, v time.Duration
		for range rapid.IntRange(0, 5).Draw(t, "pieces") {
			step := func(name string) time.Duration {
				return time.Duration(rapid.IntRange(0, 90).Draw(t, name)) * time.Second
			}
			r, v = r+step("cut"), v+step("insert")/9
			n := step("kept") + time.Second
			m.Pieces = append(m.Pieces, timeline.Piece{Recording: timeline.Span{From: r, To: r + n}, Video: timeline.Span{From: v, To: v + n}})
			r, v = r+n, v+n
		}
		opt.Cuts, opt.VideoLength = &m, 0
		res := placing.Place(stamps, chapters, manual(), opt)
		if diff := cmp.Diff(m, res.Map); diff != "" {
			t.Fatalf("map changed (-want +got):\n%s", diff)
		}
		for i, s := range stamps {
			want := m.ToVideo(s.At)
			if got := res.Stamps[i].Video; (got == nil) != (len(want) == 0) || got != nil && *got != want[0] {
				t.Fatalf("stamp at %v placed %v, want %v", s.At, got, want)
			}
		}
		for _, c := range res.Cuts {
			if c.RecordingTo-c.RecordingFrom != c.Removed || c.Source != "edit-list" {
				t.Fatalf("cut %+v", c)
			}
		}
		checkPairs(t, res, stamps, chapters)
	})
}
