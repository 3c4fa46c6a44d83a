package chapter_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"sideport/export/chapter"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// cues reads our own WebVTT back as "from-to title" in milliseconds.
func cues(t interface{ Fatal(...any) }, l chapter.List) []string {
	var buf bytes.Buffer
	if err := chapter.WriteWebVTT(&buf, l); err != nil {
		t.Fatal(err)
	}
	var out []string
	for block := range strings.SplitSeq(strings.TrimSpace(buf.String()), "\n\n") {
		_, times, found := strings.Cut(block, "00:")
		if !found {
			continue
		}
		var m1, s1, ms1, m2, s2, ms2 int
		fmt.Sscanf(times, "%d:%d.%d --> 00:%d:%d.%d", &m1, &s1, &ms1, &m2, &s2, &ms2)
		_, title, _ := strings.Cut(times, "\n")
		out = append(out, fmt.Sprintf("%d-%d %s", (m1*60+s1)*1000+ms1, (m2*60+s2)*1000+ms2, title))
	}
	return out
}

func TestArrange(t *testing.T) {
	entry := func(from, to float64, level int, title string) chapter.Chapter {
		return chapter.Chapter{From: at(from), To: at(to), Level: level, Title: title}
	}
	tests := []struct {
		name string
		in   []chapter.Chapter
		want []string
	}{
		{"ends from the next and the video", []chapter.Chapter{entry(0, 0, 0, "a"), entry(5, 0, 0, "b")},
			[]string{"0-5000 a", "5000-60000 b"}},
		{"sorted", []chapter.Chapter{entry(5, 0, 0, "b"), entry(0, 0, 0, "a")},
			[]string{"0-5000 a", "5000-60000 b"}},
		{"overlap cut", []chapter.Chapter{entry(0, 10, 0, "a"), entry(5, 0, 0, "b")},
			[]string{"0-5000 a", "5000-60000 b"}},
		{"past the end of the video", []chapter.Chapter{entry(0, 90, 0, "a")}, []string{"0-60000 a"}},
		{"child ends with its parent", []chapter.Chapter{entry(0, 10, 0, "a"), entry(5, 20, 1, "b"), entry(30, 0, 0, "c")},
			[]string{"0-10000 a", "5000-10000 b", "30000-60000 c"}},
		{"child after its parent stands beside it", []chapter.Chapter{entry(0, 10, 0, "a"), entry(15, 20, 1, "b"), entry(16, 0, 2, "c")},
			[]string{"0-10000 a", "15000-20000 b", "16000-20000 c"}},
		{"level skipped", []chapter.Chapter{entry(0, 0, 3, "a"), entry(5, 0, 7, "b"), entry(10, 0, 0, "c")},
			[]string{"0-10000 a", "5000-10000 b", "10000-60000 c"}},
		{"parent and child start together", []chapter.Chapter{entry(5, 0, 1, "b"), entry(5, 0, 0, "a")},
			[]string{"5000-60000 a", "5000-60000 b"}},
		{"siblings start together", []chapter.Chapter{entry(5, 0, 0, "a"), entry(5, 0, 0, "b"), entry(5, 9, 0, "c")},
			[]string{"5000-5001 a", "5001-5002 b", "5002-9000 c"}},
		{"no title", []chapter.Chapter{entry(0, 0, 0, ""), entry(5, 0, 0, " \n")},
			[]string{"0-5000 Chapter 1", "5000-60000 Chapter 2"}},
	}
	for _, tt := range tests {
		got := cues(t, chapter.List{Total: at(60), Chapters: tt.in})
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("%s (-want +got)\n%s", tt.name, diff)
		}
	}
}

// Chapters in each other without end stay readable: below a level they stand side by
// side.
func TestChaptersFarDownStandBesideEachOther(t *testing.T) {
	l := chapter.List{Total: time.Minute}
	for i := range 40 {
		l.Chapters = append(l.Chapters, chapter.Chapter{From: time.Duration(i) * time.Millisecond, Level: i, Title: "x"})
	}
	got := cues(t, l)
	if want := []string{"30-60000 x", "31-32 x", "32-33 x"}; len(got) != 40 || !cmp.Equal(want, got[30:33]) {
		t.Errorf("chapters 31 to 33 of %d are %v, want %v", len(got), got[30:33], want)
	}
}

func TestAChapterBeforeZeroIsRefused(t *testing.T) {
	l := chapter.List{Total: time.Minute, Chapters: []chapter.Chapter{{From: -1, Title: "x"}}}
	for _, w := range chapter.All() {
		var out bytes.Buffer
		if err := w.Write(&out, l); err == nil || out.Len() > 0 {
			t.Errorf("%s of a chapter at -1 ns: %v, %d bytes, want an error and none", w.File, err, out.Len())
		}
	}
}

// A chapter for which the video has no room costs that chapter: every form is as
// without it.
func TestLateChaptersAreLeftOut(t *testing.T) {
	sound := []chapter.Chapter{{Title: "a"}, {From: at(20), Title: "b"}}
	for _, late := range []time.Duration{time.Minute, time.Minute + 1, time.Hour} {
		for level := range 3 {
			for _, w := range chapter.All() {
				want := text(t, w.Write, chapter.List{Total: time.Minute, Chapters: sound})
				got := text(t, w.Write, chapter.List{Total: time.Minute, Chapters: append([]chapter.Chapter{{From: late, Title: "late", Level: level}}, sound...)})
				if diff := cmp.Diff(want, got); diff != "" {
					t.Errorf("%s with a chapter at %v (-without it +got)\n%s", w.File, late, diff)
				}
			}
		}
	}
}

func TestChaptersCrowdedAtTheEnd(t *testing.T) {
	ms := time.Millisecond
	tests := []struct {
		name  string
		total time.Duration
		in    []chapter.Chapter
		want  []string
	}{
		{"three in two milliseconds", 2 * ms, []chapter.Chapter{{Title: "a"}, {Title: "b"}, {Title: "c"}}, []string{"0-1 a", "1-2 b"}},
		{"two in the last half", 2 * ms, []chapter.Chapter{{Title: "a"}, {From: 1600 * time.Microsecond, Title: "b"}, {From: 1900 * time.Microsecond, Title: "c"}},
			[]string{"0-1 a", "1-2 b"}},
		{"children go first", 3 * ms, []chapter.Chapter{{Title: "a"}, {From: 2 * ms, Title: "b"}, {From: 2 * ms, Title: "c", Level: 1}, {From: 2 * ms, Title: "d", Level: 1}, {From: 2 * ms, Title: "e", Level: 2}},
			[]string{"0-2 a", "2-3 b", "2-3 c"}},
		{"no video", 0, []chapter.Chapter{{Title: "a"}}, nil},
	}
	for _, tt := range tests {
		if diff := cmp.Diff(tt.want, cues(t, chapter.List{Total: tt.total, Chapters: tt.in})); diff != "" {
			t.Errorf("%s (-want +got)\n%s", tt.name, diff)
		}
	}
}

// Neither a title of many times nor a line of many titles costs the square of its
// length.
func TestLinesCostIsLinear(t *testing.T) {
	began := time.Now()
	title := chapter.List{Total: at(60), Chapters: []chapter.Chapter{{Title: strings.Repeat("1:23 ", 200_000) + "rhexis"}}}
	if got, want := text(t, chapter.WriteLines, title), "0:00 rhexis\n"; got != want {
		t.Errorf("WriteLines of a title of times = %.80q, want %q", got, want)
	}
	crowd := chapter.List{Total: at(3600)}
	for i := range 9_000 { // all within the first ten seconds
		crowd.Chapters = append(crowd.Chapters, chapter.Chapter{From: time.Duration(i) * time.Millisecond, Title: fmt.Sprintf("chapter %d %s", i, strings.Repeat("x", 200))})
	}
	if got := text(t, chapter.WriteLines, crowd); strings.Count(got, "; ") != 8_999 {
		t.Errorf("WriteLines of a crowd joins %d titles, want 9000", 1+strings.Count(got, "; "))
	}
	if took := time.Since(began); took > 10*time.Second {
		t.Errorf("writing took %v", took)
	}
}

// The rules of the forms hold for any list: children inside parents, siblings
// apart, starts rising, no chapter without length.
func TestAnyListComesOutNested(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		half := 500 * time.Microsecond // so that rounding has work to do
		l := chapter.List{Total: time.Minute}
		l.Chapters = rapid.SliceOfN(rapid.Custom(func(t *rapid.T) chapter.Chapter {
			return chapter.Chapter{
				From:  time.Duration(rapid.IntRange(0, 60).Draw(t, "from")) * half,
				To:    time.Duration(rapid.IntRange(0, 80).Draw(t, "to")) * half,
				Level: rapid.IntRange(0, 3).Draw(t, "level"), Title: "x",
			}
		}), 0, 12).Draw(t, "chapters")
		var spans [][2]int
		for _, c := range cues(t, l) {
			var s [2]int
			fmt.Sscanf(c, "%d-%d", &s[0], &s[1])
			spans = append(spans, s)
		}
		if len(spans) != len(l.Chapters) {
			t.Fatalf("%d chapters became %d", len(l.Chapters), len(spans))
		}
		for i, a := range spans {
			if a[0] >= a[1] || a[1] > 60_000 || i > 0 && a[0] < spans[i-1][0] {
				t.Fatalf("span %v after %v", a, spans[max(i-1, 0)])
			}
			for _, b := range spans[i+1:] {
				// Starts rise, so b lies inside a or behind it.
				if b[0] < a[1] && b[1] > a[1] {
					t.Fatalf("%v and %v cross", a, b)
				}
			}
		}
	})
}

func TestLines(t *testing.T) {
	entry := func(from float64, title string) chapter.Chapter { return chapter.Chapter{From: at(from), Title: title} }
	tests := []struct {
		name  string
		total float64
		in    []chapter.Chapter
		want  string
	}{
		{"first within ten seconds takes the start", 100, []chapter.Chapter{entry(9.9, "a"), entry(30, "b")}, "0:00 a\n0:30 b\n"},
		{"first at ten seconds gets one in front", 100, []chapter.Chapter{entry(10, "a"), entry(30, "b")}, "0:00 Introduction\n0:10 a\n0:30 b\n"},
		{"nearer than ten seconds share a line", 100, []chapter.Chapter{entry(0, "a"), entry(20, "b"), entry(29.9, "c"), entry(30.1, "d")}, "0:00 a\n0:20 b; c\n0:30 d\n"},
		{"a title is put on a line once", 100, []chapter.Chapter{entry(0, "a"), entry(3, "b"), entry(6, "a")}, "0:00 a; b\n"},
		{"too near the end", 100, []chapter.Chapter{entry(0, "a"), entry(91, "b")}, "0:00 a; b\n"},
		{"near enough to the end", 100, []chapter.Chapter{entry(0, "a"), entry(90, "b")}, "0:00 a\n1:30 b\n"},
		{"down to the second", 100, []chapter.Chapter{entry(0, "a"), entry(59.999, "b")}, "0:00 a\n0:59 b\n"},
		{"below an hour", 3599, []chapter.Chapter{entry(0, "a"), entry(754, "b")}, "0:00 a\n12:34 b\n"},
		{"an hour", 3600, []chapter.Chapter{entry(0, "a"), entry(754, "b")}, "0:00:00 a\n0:12:34 b\n"},
		{"ten hours", 40000, []chapter.Chapter{entry(0, "a"), entry(36754, "b")}, "0:00:00 a\n10:12:34 b\n"},
		{"times in titles", 100, []chapter.Chapter{entry(0, "0:41 - rhexis"), entry(20, "(1:02:03) 9:15:32 tunnel 2:1"), entry(40, "12:34")}, "0:00 rhexis\n0:20 tunnel 2:1\n0:40 Chapter\n"},
		{"marks in front of titles", 100, []chapter.Chapter{entry(0, ": - 0:30 [1:02] rhexis"), entry(20, "- hydro"), entry(40, "-2 D"), entry(60, "...")}, "0:00 rhexis\n0:20 hydro\n0:40 -2 D\n1:00 ...\n"},
		{"line ends in titles", 100, []chapter.Chapter{entry(0, "a\n0:10 b")}, "0:00 a 0:10 b\n"},
		{"parent and child of one start", 100, []chapter.Chapter{entry(0, "a"), {From: 0, Level: 1, Title: "b"}, {From: at(20), Level: 1, Title: "c"}}, "0:00 a: b\n0:20 c\n"},
	}
	for _, tt := range tests {
		got := text(t, chapter.WriteLines, chapter.List{Total: at(tt.total), Chapters: tt.in})
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("%s: WriteLines (-want +got)\n%s", tt.name, diff)
		}
	}
}
