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
	const n = 100_000
	clock := func(i int) string { return fmt.Sprintf("%02d:%02d:%02d.000", i/3600, i/60%60, i%60) }
	for _, tt := range []struct {
		file, reader string
		raw          []byte
		want         int
	}{
		{"a.json", "json", repeated(n, `{"version":"1.2.0","chapters":[{"startTime":0,"title":"a"}`, "]}", func(i int) string {
			return fmt.Sprintf(`,{"startTime":%d,"title":"chapter","x":[%d]}`, i+1, i)
		}), n + 1},
		{"a.xml", "matroska", repeated(n, "<?xml version=\"1.0\"?><Chapters><EditionEntry>", "</EditionEntry></Chapters>", func(i int) string {
			return "<ChapterAtom><ChapterTimeStart>" + clock(i) + "</ChapterTimeStart><ChapterDisplay><ChapterString>chapter</ChapterString></ChapterDisplay></ChapterAtom>\n"
		}), n},
		{"pieces.xml", "matroska", repeated(n, "<Chapters><EditionEntry><ChapterAtom><ChapterTimeStart>0:00</ChapterTimeStart><ChapterDisplay><ChapterString>",
			"</ChapterString></ChapterDisplay></ChapterAtom></EditionEntry></Chapters>", func(int) string { return "chapter<!-- -->" }), 1},
		{"a.csv", "chapters-csv", repeated(n, "start_s,title\n", "", func(i int) string { return fmt.Sprintf("%d,chapter\n", i) }), n},
		{"a.txt", "simple", repeated(n, "", "", func(i int) string { return fmt.Sprintf("CHAPTER%d=%s\nCHAPTER%dNAME=chapter\n", i+1, clock(i), i+1) }), n},
		{"a.ffmeta", "ffmetadata", repeated(n, ";FFMETADATA1\n", "", func(i int) string {
			return fmt.Sprintf("[CHAPTER]\nTIMEBASE=1/1\nSTART=%d\nEND=%d\ntitle=chapter\n", i, i+1)
		}), n},
	} {
		src := source.New(tt.file, tt.raw)
		from := time.Now()
		r, ok := format.For(format.Chapters, src)
		if !ok || r.Name != tt.reader {
			t.Fatalf("%s is taken for %q", tt.file, r.Name)
		}
		got := len(r.Chapters(src, func(f source.Finding) {
			if f.Severity > source.Note {
				t.Fatal(f)
			}
		}))
		if took := time.Since(from); got != tt.want || took > 10*time.Second {
			t.Errorf("%s of %d bytes: %d chapters in %v, want %d", tt.file, len(tt.raw), got, took, tt.want)
		}
		t.Logf("%s: %d bytes in %v", tt.file, len(tt.raw), time.Since(from))
	}
}
