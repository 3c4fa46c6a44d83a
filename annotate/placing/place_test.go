package placing_test

import (
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sideport/annotate/placing"
	"sideport/timeline"
	"sideport/timeline/source"
)

const s = time.Second

func at(t time.Duration) *time.Duration { return &t }

// stamp and chapter are sure marks of a step.
func stamp(t float64, step string) placing.Stamp {
	return placing.Stamp{At: seconds(t), Step: step, Confidence: 1, Text: step, Kind: "step"}
}

func chapter(t float64, step string) placing.Chapter {
	return placing.Chapter{From: seconds(t), Step: step, Confidence: 1, Title: step, Kind: "step"}
}

func span(from, to float64) timeline.Span { return timeline.Span{From: seconds(from), To: seconds(to)} }

// pairs are the matches as [stamp, chapter].
func pairs(res placing.Result) [][2]int {
	var out [][2]int
	for _, p := range res.Pairs {
		out = append(out, [2]int{p.Stamp, p.Chapter})
	}
	return out
}

func rules(res placing.Result) []string {
	var out []string
	for _, f := range res.Findings {
		out = append(out, f.Severity.String()+" "+f.Rule)
	}
	return out
}

func check(t *testing.T, what string, want, got any) {
	t.Helper()
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("%s mismatch (-want +got):\n%s", what, diff)
	}
}

// Recording 0:20 is video 0:25, then 30 s are gone between 1:50 and 3:10: between
// the two marks the recording has 80 s and the video 50 s. By hand.
func TestCutAndCardAreInferred(t *testing.T) {
	stamps := []placing.Stamp{stamp(20, "side-port"), stamp(77, "capsulotomy"), stamp(110, "hydroprocedure"), stamp(190, "nucleus-delivery"), stamp(240, "iol-insertion")}
	chapters := []placing.Chapter{chapter(25, "side-port"), chapter(82, "capsulotomy"), chapter(115, "hydroprocedure"), chapter(165, "nucleus-delivery"), chapter(215, "iol-insertion")}
	res := placing.Place(stamps, chapters, manual(), placing.Options{VideoLength: 300 * s, RecordingLength: 340 * s})
	check(t, "pairs", [][2]int{{0, 0}, {1, 1}, {2, 2}, {3, 3}, {4, 4}}, pairs(res))
	check(t, "map", []timeline.Piece{
		{Recording: span(0, 160), Video: span(5, 165)}, // the cut stands directly before the second anchor
		{Recording: span(190, 325), Video: span(165, 300)},
	}, res.Map.Pieces)
	check(t, "cuts", []placing.Cut{{Removed: 30 * s, RecordingFrom: 110 * s, RecordingTo: 190 * s, Video: 115 * s, Source: "inferred"}}, res.Cuts)
	check(t, "inserts", []placing.Insert{{To: 5 * s, Kind: "before-first"}}, res.Inserts)
	check(t, "first stamp", placing.StampPlace{Video: at(25 * s), Placed: "matched", Within: s / 2}, res.Stamps[0])
	check(t, "first chapter", placing.ChapterPlace{Recording: at(20 * s), Placed: "matched", Within: s / 2}, res.Chapters[0])
	if res.Rate != 1 || res.MedianResidual != 0 || len(res.Findings) != 0 {
		t.Errorf("rate %v, median residual %v, findings %v, want 1, 0s, none", res.Rate, res.MedianResidual, res.Findings)
	}
	for _, p := range res.Pairs {
		if p.Confidence < 0.9 || p.Confidence > 1 {
			t.Errorf("pair %v has confidence %v, want at least 0.9", p, p.Confidence)
		}
	}
}

// Marks without a chapter beside the cut of the case above (recording 110 to 190,
// video 115 to 165, 30 s removed somewhere). By hand: at 112 the video is between
// 115 and 117; at 187 between 162 and 165; at 150 between 125 and 155, too wide.
func TestStampBesideACutIsPlacedWhenItCanBeBounded(t *testing.T) {
	chapters := []placing.Chapter{chapter(25, "side-port"), chapter(82, "capsulotomy"), chapter(115, "hydroprocedure"), chapter(165, "nucleus-delivery"), chapter(215, "iol-insertion")}
	for _, tt := range []struct {
		name string
		at   float64
		want placing.StampPlace
	}{
		{"between marks that agree", 50, placing.StampPlace{Video: at(55 * s), Placed: "interpolated", Within: s / 2}},
		{"just after the first", 112, placing.StampPlace{Video: at(117 * s), Placed: "interpolated", Within: 2 * s}},
		{"in the middle", 150, placing.StampPlace{}},
		{"just before the second", 187, placing.StampPlace{Video: at(165 * s), Placed: "interpolated", Within: 3 * s}},
		{"before the first mark", 10, placing.StampPlace{}},
		{"after the last mark", 250, placing.StampPlace{}},
		{"past the end", 600, placing.StampPlace{}},
	} {
		stamps := []placing.Stamp{stamp(20, "side-port"), stamp(77, "capsulotomy"), stamp(110, "hydroprocedure"), stamp(190, "nucleus-delivery"), stamp(240, "iol-insertion"),
			{At: seconds(tt.at), Text: "swab", Kind: "remark"}}
		res := placing.Place(stamps, chapters, manual(), placing.Options{VideoLength: 300 * s})
		check(t, tt.name, tt.want, res.Stamps[5])
	}
}

// The ends of the material count as marks when the distances to them agree.
func TestMarksAtTheEndsArePlacedWhenBothEndsAgree(t *testing.T) {
	stamps := []placing.Stamp{stamp(10, ""), stamp(60, "side-port"), stamp(120, "capsulotomy"), stamp(150, "")}
	chapters := []placing.Chapter{chapter(60, "side-port"), chapter(120, "capsulotomy"), chapter(170, "")}
	res := placing.Place(stamps, chapters, manual(), placing.Options{VideoLength: 200 * s, RecordingLength: 200 * s})
	check(t, "stamp near the start", placing.StampPlace{Video: at(10 * s), Placed: "interpolated", Within: s / 2}, res.Stamps[0])
	check(t, "stamp near the end", placing.StampPlace{Video: at(150 * s), Placed: "interpolated", Within: s / 2}, res.Stamps[3])
	check(t, "chapter near the end", placing.ChapterPlace{Recording: at(170 * s), Placed: "interpolated", Within: s / 2}, res.Chapters[2])
	if len(res.Inserts)+len(res.Cuts) != 0 {
		t.Errorf("inserts %v, cuts %v, want none", res.Inserts, res.Cuts)
	}
}

func TestInsertBetweenAndAfter(t *testing.T) {
	stamps := []placing.Stamp{stamp(20, "side-port"), stamp(60, "capsulotomy"), stamp(100, "nucleus-delivery"), stamp(150, "iol-insertion")}
	chapters := []placing.Chapter{chapter(20, "side-port"), chapter(60, "capsulotomy"), chapter(112, "nucleus-delivery"), chapter(162, "iol-insertion"), chapter(220, "")}
	res := placing.Place(stamps, chapters, manual(), placing.Options{VideoLength: 240 * s, RecordingLength: 200 * s})
	check(t, "map", []timeline.Piece{
		{Recording: span(0, 100), Video: span(0, 100)},
		{Recording: span(100, 200), Video: span(112, 212)},
	}, res.Map.Pieces)
	check(t, "inserts", []placing.Insert{
		{From: 100 * s, To: 112 * s, Kind: "between"}, {From: 212 * s, To: 240 * s, Kind: "after-last"},
	}, res.Inserts)
	check(t, "chapter on the closing card", placing.ChapterPlace{}, res.Chapters[4])
}

func TestRepeatedStepGoesToTheStampThatFitsInTime(t *testing.T) {
	stamps := []placing.Stamp{stamp(10, "side-port"), stamp(30, "ovd-fill"), stamp(50, "capsulotomy"), stamp(100, "ovd-fill"), stamp(120, "iol-insertion"), stamp(150, "ovd-removal")}
	for _, tt := range []struct {
		name     string
		chapters []placing.Chapter
		want     [][2]int
	}{
		{"the first", []placing.Chapter{chapter(0, "side-port"), chapter(20, "ovd-fill"), chapter(40, "capsulotomy"), chapter(60, "iol-insertion"), chapter(90, "ovd-removal")},
			[][2]int{{0, 0}, {1, 1}, {2, 2}, {4, 3}, {5, 4}}},
		{"the second", []placing.Chapter{chapter(0, "side-port"), chapter(15, "capsulotomy"), chapter(30, "ovd-fill"), chapter(50, "iol-insertion"), chapter(80, "ovd-removal")},
			[][2]int{{0, 0}, {2, 1}, {3, 2}, {4, 3}, {5, 4}}},
		{"the second, its neighbours without a chapter", []placing.Chapter{chapter(0, "side-port"), chapter(35, "ovd-fill"), chapter(55, "iol-insertion"), chapter(85, "ovd-removal")},
			[][2]int{{0, 0}, {3, 1}, {4, 2}, {5, 3}}},
	} {
		res := placing.Place(stamps, tt.chapters, manual(), placing.Options{VideoLength: 120 * s, RecordingLength: 180 * s})
		check(t, tt.name, tt.want, pairs(res))
	}
}

// A chapter 20 s after the one before and 20 s before the next fits the stamp 20 s
// after the former as well as the one 20 s before the latter, with one cut on the
// other side. Nothing tells which; by hand.
func TestTieStaysOpenAndIsSaid(t *testing.T) {
	stamps := []placing.Stamp{stamp(0, "side-port"), stamp(20, "ovd-fill"), stamp(80, "capsulotomy"), stamp(180, "ovd-fill"), stamp(200, "iol-insertion")}
	chapters := []placing.Chapter{chapter(0, "side-port"), chapter(20, "ovd-fill"), chapter(40, "iol-insertion")}
	res := placing.Place(stamps, chapters, manual(), placing.Options{VideoLength: 60 * s})
	check(t, "pairs", [][2]int{{0, 0}, {4, 2}}, pairs(res))
	check(t, "chapter", placing.ChapterPlace{}, res.Chapters[1])
	check(t, "findings", []placing.Finding{{
		Finding: source.Finding{
			Severity: source.Caution, Rule: "time/ambiguous", Step: "ovd-fill", Hint: "a pin decides it",
			Message: "the chapter at video 0:20.0 (ovd-fill) fits the stamps at recording 0:20.0 and 3:00.0 equally well; it is matched with none",
		}, Stamp: -1, Chapter: 1, Pin: -1,
	}}, res.Findings)

	// The pin the hint speaks of.
	res = placing.Place(stamps, chapters, manual(), placing.Options{VideoLength: 60 * s, Pins: []placing.Pin{{Recording: 180 * s, Video: 20 * s}}})
	check(t, "pairs with a pin", [][2]int{{0, 0}, {3, 1}, {4, 2}}, pairs(res))
	check(t, "pinned stamp", placing.StampPlace{Video: at(20 * s), Placed: "pinned"}, res.Stamps[3])
	check(t, "pinned chapter", placing.ChapterPlace{Recording: at(180 * s), Placed: "pinned"}, res.Chapters[1])
	if len(res.Findings) != 0 {
		t.Errorf("findings %v, want none", res.Findings)
	}
}

func TestPinAgainstTheNamesHoldsAndIsSaid(t *testing.T) {
	stamps := []placing.Stamp{stamp(10, "side-port"), stamp(50, "capsulotomy"), stamp(100, "nucleus-delivery"), stamp(150, "iol-insertion")}
	chapters := []placing.Chapter{chapter(10, "side-port"), chapter(50, "capsulotomy"), chapter(100, "nucleus-delivery"), chapter(150, "iol-insertion")}
	res := placing.Place(stamps, chapters, manual(), placing.Options{VideoLength: 200 * s, Pins: []placing.Pin{{Recording: 100 * s, Video: 70 * s}}})
	check(t, "pinned", placing.StampPlace{Video: at(70 * s), Placed: "pinned"}, res.Stamps[2])
	check(t, "pairs", [][2]int{{0, 0}, {1, 1}, {3, 3}}, pairs(res))
	check(t, "rules", []string{"caution time/pin"}, rules(res))
	if res.Findings[0].Pin != 0 || res.Findings[0].Stamp != -1 || res.Findings[0].Chapter != -1 {
		t.Errorf("finding names %+v, want pin 0", res.Findings[0])
	}
	if got := res.Map.ToVideo(100 * s); !slices.Contains(got, 70*s) {
		t.Errorf("Map.ToVideo(100 s) = %v, want 70 s", got)
	}
}

func TestPinsOutOfOrderAreLeftOut(t *testing.T) {
	pins := []placing.Pin{{Recording: 10 * s, Video: 10 * s}, {Recording: 90 * s, Video: 40 * s}, {Recording: 60 * s, Video: 50 * s}, {Recording: 80 * s, Video: 70 * s}, {Recording: 95 * s, Video: 500 * s}}
	res := placing.Place([]placing.Stamp{stamp(60, "")}, nil, nil, placing.Options{VideoLength: 100 * s, Pins: pins})
	check(t, "rules", []string{"caution time/past-end", "caution time/pin-order"}, rules(res))
	check(t, "pins named", []int{4, 1}, []int{res.Findings[0].Pin, res.Findings[1].Pin})
	check(t, "stamp", placing.StampPlace{Video: at(50 * s), Placed: "pinned"}, res.Stamps[0])
	check(t, "cuts", []placing.Cut{{Removed: 10 * s, RecordingFrom: 10 * s, RecordingTo: 60 * s, Video: 10 * s, Source: "inferred"}}, res.Cuts)
}

func TestEditListDecides(t *testing.T) {
	cuts := timeline.Map{Pieces: []timeline.Piece{
		{Recording: span(10, 60), Video: span(5, 55)},
		{Recording: span(90, 150), Video: span(55, 115)},
	}}
	stamps := []placing.Stamp{stamp(20, "side-port"), stamp(70, "capsulotomy"), stamp(100, "iol-insertion"), stamp(5, "")}
	chapters := []placing.Chapter{chapter(15, "side-port"), chapter(66, "iol-insertion"), chapter(2, "")}
	res := placing.Place(stamps, chapters, manual(), placing.Options{VideoLength: 115 * s, Cuts: &cuts, Pins: []placing.Pin{{Recording: 100 * s, Video: 80 * s}}})
	check(t, "stamps", []placing.StampPlace{
		{Video: at(15 * s), Placed: "edit-list"}, {}, {Video: at(65 * s), Placed: "edit-list"}, {},
	}, res.Stamps)
	check(t, "chapters", []placing.ChapterPlace{
		{Recording: at(20 * s), Placed: "edit-list"}, {Recording: at(101 * s), Placed: "edit-list"}, {},
	}, res.Chapters)
	check(t, "cuts", []placing.Cut{
		{Removed: 10 * s, RecordingTo: 10 * s, Video: 5 * s, Source: "edit-list"},
		{Removed: 30 * s, RecordingFrom: 60 * s, RecordingTo: 90 * s, Video: 55 * s, Source: "edit-list"},
	}, res.Cuts)
	check(t, "inserts", []placing.Insert{{To: 5 * s, Kind: "before-first"}}, res.Inserts)
	check(t, "pairs", [][2]int{{0, 0}, {2, 1}}, pairs(res))
	check(t, "residual of the late chapter", s, res.Pairs[1].Residual)
	check(t, "rules", []string{"caution time/pin"}, rules(res))
}

func TestUneditedVideoIsItsRecording(t *testing.T) {
	res := placing.Place([]placing.Stamp{stamp(77, "capsulotomy"), stamp(400, "iol-insertion")}, []placing.Chapter{chapter(78, "capsulotomy")}, manual(),
		placing.Options{VideoLength: 300 * s, Identity: true})
	check(t, "map", timeline.Identity(300*s), res.Map)
	check(t, "stamps", []placing.StampPlace{{Video: at(77 * s), Placed: "edit-list"}, {}}, res.Stamps)
	check(t, "pairs", [][2]int{{0, 0}}, pairs(res))
}

// Without a length of the video the identity reaches as far as anything is known.
func TestIdentityOfUnknownLength(t *testing.T) {
	stamps := []placing.Stamp{stamp(77, "capsulotomy")}
	ends := placing.Chapter{From: 10 * s, To: 120 * s, HasTo: true}
	for _, tt := range []struct {
		chapters []placing.Chapter
		length   time.Duration // of the recording
		want     time.Duration
	}{{nil, 0, 87 * s}, {[]placing.Chapter{ends}, 0, 120 * s}, {[]placing.Chapter{ends}, 90 * s, 90 * s}} {
		res := placing.Place(stamps, tt.chapters, nil, placing.Options{Identity: true, RecordingLength: tt.length})
		check(t, "map", timeline.Identity(tt.want), res.Map)
	}
}

func TestOneAnchorGivesAnOffset(t *testing.T) {
	res := placing.Place([]placing.Stamp{stamp(30, "capsulotomy"), stamp(60, "iol-insertion")}, []placing.Chapter{chapter(50, "capsulotomy")}, manual(), placing.Options{VideoLength: 100 * s})
	check(t, "map", []timeline.Piece{{Recording: span(0, 80), Video: span(20, 100)}}, res.Map.Pieces)
	check(t, "rules", []string{"note time/few-anchors"}, rules(res))
	check(t, "inserts", []placing.Insert{{To: 20 * s, Kind: "before-first"}}, res.Inserts)
	check(t, "the other stamp", placing.StampPlace{}, res.Stamps[1])
	if c := res.Pairs[0].Confidence; c <= 0 || c > .5 {
		t.Errorf("confidence = %v, want at most one half", c)
	}
}

// Where the recording may have begun before its zero, the video before the first match
// may show it; a chapter that is called a card is one all the same.
func TestNoCardBeforeAnAssumedZero(t *testing.T) {
	stamps := []placing.Stamp{stamp(0, "capsulotomy"), stamp(60, "iol-insertion")}
	chapters := []placing.Chapter{chapter(50, "capsulotomy"), chapter(110, "iol-insertion")}
	card := []placing.Insert{{To: 50 * s, Kind: "before-first"}}
	opt := placing.Options{VideoLength: 200 * s}
	check(t, "known zero", card, placing.Place(stamps, chapters, manual(), opt).Inserts)
	opt.ZeroAssumed = true
	check(t, "assumed zero", []placing.Insert(nil), placing.Place(stamps, chapters, manual(), opt).Inserts)
	titled := append([]placing.Chapter{{Title: "Title", Kind: "remark"}}, chapters...)
	check(t, "assumed zero, a card by its title", card, placing.Place(stamps, titled, manual(), opt).Inserts)
}

func TestNothingInCommonIsSaid(t *testing.T) {
	for _, tt := range []struct {
		name     string
		stamps   []placing.Stamp
		chapters []placing.Chapter
		want     []string
	}{
		{"other steps", []placing.Stamp{stamp(1, "capsulotomy")}, []placing.Chapter{chapter(1, "iol-insertion")}, []string{"caution time/no-match"}},
		{"no names", []placing.Stamp{stamp(1, "")}, []placing.Chapter{chapter(1, "")}, []string{"caution time/no-match"}},
		{"no chapters", []placing.Stamp{stamp(1, "capsulotomy")}, nil, nil},
		{"no stamps", nil, []placing.Chapter{chapter(1, "capsulotomy")}, nil},
		{"nothing", nil, nil, nil},
	} {
		res := placing.Place(tt.stamps, tt.chapters, manual(), placing.Options{})
		check(t, tt.name, tt.want, rules(res))
		if !res.Map.IsZero() || len(res.Pairs) != 0 || res.Rate != 1 || len(res.Stamps) != len(tt.stamps) || len(res.Chapters) != len(tt.chapters) {
			t.Errorf("%s: Place = %+v, want a zero map and empty places", tt.name, res)
		}
	}
}

// A stamp and a chapter that are not called the same may still be one moment. With
// times that agree on both sides there is little doubt; between two removed stretches
// only the words speak, and the less they have in common the less sure the match is.
func TestLabelsThatAgreeInOtherWays(t *testing.T) {
	base := []placing.Stamp{stamp(0, "side-port"), stamp(100, "iol-insertion")}
	ends := []placing.Chapter{chapter(0, "side-port"), chapter(100, "iol-insertion")}
	near := []placing.Chapter{chapter(0, "side-port"), chapter(60, "iol-insertion")}
	last := 1.0
	for _, tt := range []struct {
		name    string
		stamp   placing.Stamp
		chapter placing.Chapter
		step    string
	}{
		{"the same", stamp(50, "capsulotomy"), chapter(50, "capsulotomy"), "capsulotomy"},
		{"part and whole", stamp(50, "hydrodissection"), chapter(50, "hydroprocedure"), "hydroprocedure"},
		{"an unsure label", placing.Stamp{At: 50 * s, Step: "capsulotomy", Confidence: .5}, chapter(50, "capsulotomy"), "capsulotomy"},
		{"one of several", placing.Stamp{At: 50 * s, Candidates: []string{"ovd-fill", "capsulotomy"}}, chapter(50, "capsulotomy"), "capsulotomy"},
		{"one of several chapters", stamp(50, "capsulotomy"), placing.Chapter{From: 50 * s, Candidates: []string{"ovd-fill", "capsulotomy"}}, "capsulotomy"},
		{"likely by its words", placing.Stamp{At: 50 * s, Likely: []placing.Share{{"capsulotomy", .4}, {"ovd-fill", .3}}}, chapter(50, "capsulotomy"), "capsulotomy"},
		{"the same words", placing.Stamp{At: 50 * s, Text: "Second  Opinion"}, placing.Chapter{From: 50 * s, Title: "second opinion"}, ""},
		{"two parts", stamp(50, "hydrodissection"), chapter(50, "hydrodelineation"), "hydrodelineation"},
		{"a shared candidate", placing.Stamp{At: 50 * s, Candidates: []string{"ovd-fill", "capsulotomy"}},
			placing.Chapter{From: 50 * s, Candidates: []string{"capsulotomy", "ac-entry"}}, "capsulotomy"},
	} {
		stamps := append(slices.Clone(base), tt.stamp)
		res := placing.Place(stamps, append(slices.Clone(ends), tt.chapter), manual(), placing.Options{})
		if got := pairs(res); !slices.Contains(got, [2]int{2, 2}) {
			t.Errorf("%s: pairs %v, want one of 2 and 2", tt.name, got)
			continue
		}
		if p := res.Pairs[1]; p.Step != tt.step || p.Confidence < .9 {
			t.Errorf("%s: pair %+v, want step %q and confidence .9 or more", tt.name, p, tt.step)
		}
		tt.chapter.From = 30 * s
		alone := 0.0
		for _, p := range placing.Place(stamps, append(slices.Clone(near), tt.chapter), manual(), placing.Options{}).Pairs {
			if p.Stamp == 2 && p.Chapter == 2 {
				alone = p.Confidence
			}
		}
		if alone > last {
			t.Errorf("%s: confidence %.3f where only the words speak, want at most the %.3f of the one before", tt.name, alone, last)
		}
		last = alone
		t.Logf("%s: %.3f between removed stretches", tt.name, alone)
	}
}

// A chapter that names a step out of its turn costs itself, not its neighbours.
func TestWrongOrderLosesOneChapter(t *testing.T) {
	stamps := []placing.Stamp{stamp(10, "side-port"), stamp(60, "capsulotomy"), stamp(120, "hydroprocedure"), stamp(170, "nucleus-delivery"), stamp(260, "iol-insertion")}
	chapters := []placing.Chapter{chapter(10, "side-port"), chapter(60, "iol-insertion"), chapter(120, "hydroprocedure"), chapter(170, "nucleus-delivery"), chapter(260, "capsulotomy")}
	res := placing.Place(stamps, chapters, manual(), placing.Options{VideoLength: 300 * s})
	check(t, "pairs", [][2]int{{0, 0}, {2, 2}, {3, 3}}, pairs(res))
	check(t, "rules", []string{"note time/not-matched", "note time/not-matched"}, rules(res))
	check(t, "the misnamed chapter keeps its time", placing.ChapterPlace{Recording: at(60 * s), Placed: "interpolated", Within: s / 2}, res.Chapters[1])
}

func TestChapterPastTheEndIsSaid(t *testing.T) {
	res := placing.Place([]placing.Stamp{stamp(10, "side-port"), stamp(99, "capsulotomy")}, []placing.Chapter{chapter(10, "side-port"), chapter(99, "capsulotomy")}, manual(),
		placing.Options{VideoLength: 90 * s})
	check(t, "rules", []string{"caution time/past-end", "note time/few-anchors"}, rules(res))
	check(t, "chapter", placing.ChapterPlace{}, res.Chapters[1])
	check(t, "stamp", placing.StampPlace{}, res.Stamps[1])
}

func TestOrderOfTheInputDoesNotMatter(t *testing.T) {
	stamps := []placing.Stamp{stamp(10, "side-port"), stamp(60, "capsulotomy"), stamp(120, "hydroprocedure")}
	chapters := []placing.Chapter{chapter(15, "side-port"), chapter(65, "capsulotomy"), chapter(100, "hydroprocedure")}
	want := placing.Place(stamps, chapters, manual(), placing.Options{})
	slices.Reverse(stamps)
	slices.Reverse(chapters)
	got := placing.Place(stamps, chapters, manual(), placing.Options{})
	check(t, "map", want.Map, got.Map)
	check(t, "pairs", [][2]int{{2, 2}, {1, 1}, {0, 0}}, pairs(got))
}

// What the chapters call a title is no recording, even where the recording had time
// enough to fill it. By hand.
func TestOpeningCardIsToldByItsChapter(t *testing.T) {
	stamps := []placing.Stamp{stamp(20, "side-port"), stamp(77, "capsulotomy")}
	for _, tt := range []struct {
		name  string
		first placing.Chapter
		want  []placing.Insert
	}{
		{"a title card", placing.Chapter{Title: "Title", Kind: "remark"}, []placing.Insert{{To: 5 * s, Kind: "before-first"}}},
		{"a remark that is no card", placing.Chapter{Title: "Waiting for the lamp", Kind: "remark"}, nil},
		{"a step", chapter(0, "draping"), nil},
	} {
		res := placing.Place(stamps, []placing.Chapter{tt.first, chapter(5, "side-port"), chapter(62, "capsulotomy")}, manual(), placing.Options{VideoLength: 80 * s})
		check(t, tt.name, tt.want, res.Inserts)
	}
}
