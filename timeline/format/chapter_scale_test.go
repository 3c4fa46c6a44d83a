package format_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"sideport/timeline/format"
	"sideport/timeline/source"
)

// repeated is n entries between a head and a tail; the entry is given its index and
// a time in seconds that rises.
func repeated(n int, head, tail string, entry func(i int) string) []byte {
	var b strings.Builder
	b.WriteString(head)
	for i := range n {
		b.WriteString(entry(i))
	}
	b.WriteString(tail)
	return []byte(b.String())
}

// The cost of a chapter must not grow with the file, nor that of a title with the
// pieces it comes in.
func TestLongChapterFilesAreReadInLinearTime(t *testing.T) {
	clock := func(i int) string { return fmt.Sprintf("%02d:%02d:%02d.000", i/3600, i/60%60, i%60) }
	one := func(int) int { return 1 }
	each := func(n int) int { return n }
	for _, tt := range []struct {
		file, reader, head, tail string
		entry                    func(i int) string
		want                     func(n int) int
	}{
		{"a.json", "json", `{"version":"1.2.0","chapters":[{"startTime":0,"title":"a"}`, "]}", func(i int) string {
			return fmt.Sprintf(`,{"startTime":%d,"title":"chapter","x":[%d]}`, i+1, i)
		}, func(n int) int { return n + 1 }},
		{"a.xml", "matroska", "<?xml version=\"1.0\"?><Chapters><EditionEntry>", "</EditionEntry></Chapters>", func(i int) string {
			return "<ChapterAtom><ChapterTimeStart>" + clock(i) + "</ChapterTimeStart><ChapterDisplay><ChapterString>chapter</ChapterString></ChapterDisplay></ChapterAtom>\n"
		}, each},
		{"pieces.xml", "matroska", "<Chapters><EditionEntry><ChapterAtom><ChapterTimeStart>0:00</ChapterTimeStart><ChapterDisplay><ChapterString>",
			"</ChapterString></ChapterDisplay></ChapterAtom></EditionEntry></Chapters>", func(int) string { return "chapter<!-- -->" }, one},
		{"a.csv", "chapters-csv", "start_s,title\n", "", func(i int) string { return fmt.Sprintf("%d,chapter\n", i) }, each},
		{"a.txt", "simple", "", "", func(i int) string { return fmt.Sprintf("CHAPTER%d=%s\nCHAPTER%dNAME=chapter\n", i+1, clock(i), i+1) }, each},
		{"a.ffmeta", "ffmetadata", ";FFMETADATA1\n", "", func(i int) string {
			return fmt.Sprintf("[CHAPTER]\nTIMEBASE=1/1\nSTART=%d\nEND=%d\ntitle=chapter\n", i, i+1)
		}, each},
	} {
		checkLinear(t, tt.file, func(n int) func() {
			src := source.New(tt.file, repeated(n, tt.head, tt.tail, tt.entry))
			return func() {
				r, ok := format.For(format.Chapters, src)
				if !ok || r.Name != tt.reader {
					t.Fatalf("%s is taken for %q", tt.file, r.Name)
				}
				chapters := r.Chapters(src, func(f source.Finding) {
					if f.Severity > source.Note {
						t.Fatal(f)
					}
				})
				if got := len(chapters); got != tt.want(n) {
					t.Fatalf("%s: %d chapters, want %d", tt.file, got, tt.want(n))
				}
			}
		})
	}
}

// checkLinear fails when work on sixteen times as much takes 100 times as long, where a
// cost in proportion takes 16 times and one by the square 256. What else the machine does
// at one moment lengthens either, so pairs are taken until one is within bounds. No
// time of the clock is a limit.
func checkLinear(t *testing.T, what string, prepare func(n int) func()) {
	t.Helper()
	const n, times, bound, tries = 1250, 16, 100, 10
	few, many := prepare(n), prepare(n*times)
	took := func(work func()) time.Duration {
		from := time.Now()
		work()
		return time.Since(from)
	}
	var short, long time.Duration
	for range tries {
		short = min(took(few), took(few), took(few)) // one that was held up would hide a fault
		if long = took(many); long < bound*short {
			return
		}
	}
	t.Errorf("%s: %d entries take %v, %d take %v", what, n, short, n*times, long)
}
