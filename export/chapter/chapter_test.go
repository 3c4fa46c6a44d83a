package chapter_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"sideport/export/chapter"
	"sideport/export/words"

	"github.com/google/go-cmp/cmp"
)

func at(s float64) time.Duration { return time.Duration(s*1000) * time.Millisecond }

// small is a case of four minutes with a nested chapter, a step that comes twice,
// a chapter of no step and titles full of signs.
func small() chapter.List {
	return chapter.List{
		Language: "en", Title: "Tunnel & <bag>", Summary: "A first line.\nA second.\n\n1:30 of surgery.", Total: at(245.2),
		Chapters: []chapter.Chapter{
			{ID: "tunnel", From: at(12.5), To: at(61.2), Title: "Tunnel; 6.5 mm = \\ #1"},
			{ID: "capsulotomy", From: at(61.2), Title: "Capsulotomy"},
			{ID: "irrigation-aspiration", From: at(140), To: at(200), Title: "Cortex & <bag> --> clear"},
			{ID: "tunnel", From: at(80.25), To: at(100), Title: "Relaxing\ncut", Level: 1},
			{From: at(210) + 400*time.Microsecond, Title: "Closing words"},
		},
	}
}

func text(t testing.TB, write func(io.Writer, chapter.List) error, l chapter.List) string {
	t.Helper()
	var out bytes.Buffer
	if err := write(&out, l); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestWriteWebVTT(t *testing.T) {
	want := `WEBVTT

tunnel-1
00:00:12.500 --> 00:01:01.200
Tunnel; 6.5 mm = \ #1

capsulotomy-1
00:01:01.200 --> 00:02:20.000
Capsulotomy

tunnel-2
00:01:20.250 --> 00:01:40.000
Relaxing cut

irrigation-aspiration-1
00:02:20.000 --> 00:03:20.000
Cortex &amp; &lt;bag&gt; --&gt; clear

00:03:30.000 --> 00:04:05.200
Closing words
`
	if diff := cmp.Diff(want, text(t, chapter.WriteWebVTT, small())); diff != "" {
		t.Errorf("WriteWebVTT (-want +got)\n%s", diff)
	}
}

func TestWriteLines(t *testing.T) {
	want := `0:00 Introduction
0:12 Tunnel; 6.5 mm = \ #1
1:01 Capsulotomy
1:20 Relaxing cut
2:20 Cortex & <bag> --> clear
3:30 Closing words
`
	if diff := cmp.Diff(want, text(t, chapter.WriteLines, small())); diff != "" {
		t.Errorf("WriteLines (-want +got)\n%s", diff)
	}
}

func TestWriteJSON(t *testing.T) {
	want := `{
 "version": "1.2.0",
 "title": "Tunnel & <bag>",
 "chapters": [
  {
   "startTime": 12.5,
   "endTime": 61.2,
   "title": "Tunnel; 6.5 mm = \\ #1"
  },
  {
   "startTime": 61.2,
   "endTime": 80.25,
   "title": "Capsulotomy"
  },
  {
   "startTime": 80.25,
   "endTime": 100,
   "title": "Relaxing cut"
  },
  {
   "startTime": 140,
   "endTime": 200,
   "title": "Cortex & <bag> --> clear"
  },
  {
   "startTime": 210,
   "endTime": 245.2,
   "title": "Closing words"
  }
 ]
}
`
	if diff := cmp.Diff(want, text(t, chapter.WriteJSON, small())); diff != "" {
		t.Errorf("WriteJSON (-want +got)\n%s", diff)
	}
}

func TestWriteFFMetadata(t *testing.T) {
	want := `;FFMETADATA1
title=Tunnel & <bag>

[CHAPTER]
TIMEBASE=1/1000
START=0
END=12500
title=Introduction

[CHAPTER]
TIMEBASE=1/1000
START=12500
END=61200
title=Tunnel\; 6.5 mm \= \\ \#1
`
	if got := text(t, chapter.WriteFFMetadata, small()); !strings.HasPrefix(got, want) {
		t.Errorf("WriteFFMetadata starts (-want +got)\n%s", cmp.Diff(want, got[:min(len(want), len(got))]))
	}
}

func TestWriteMatroska(t *testing.T) {
	got := text(t, chapter.WriteMatroska, small())
	for _, want := range []string{
		"<ChapterTimeStart>00:03:30.000000000</ChapterTimeStart>",
		"<ChapterTimeEnd>00:04:05.200000000</ChapterTimeEnd>",
		"<ChapterString>Cortex &amp; &lt;bag&gt; --&gt; clear</ChapterString>",
		"<ChapterLanguage>eng</ChapterLanguage>", "<ChapLanguageIETF>en</ChapLanguageIETF>",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("WriteMatroska lacks %s", want)
		}
	}
}

func TestMatroskaLanguages(t *testing.T) {
	for tag, want := range map[string]string{
		"en-GB": "eng en-GB", "hi": "hin hi", "es-419": "spa es-419", "fr": "fre fr", "de": "ger de", "zh-Hant": "chi zh-Hant",
		"": "und und", "no language": "und und", "yue": "und yue",
	} {
		l := chapter.List{Language: tag, Total: 10, Chapters: []chapter.Chapter{{Title: "x", To: time.Millisecond}}}
		l.Total = time.Minute
		got := text(t, chapter.WriteMatroska, l)
		iso, ietf, _ := strings.Cut(want, " ")
		if !strings.Contains(got, "<ChapterLanguage>"+iso+"<") || !strings.Contains(got, "<ChapLanguageIETF>"+ietf+"<") {
			t.Errorf("language %q is not %s:\n%s", tag, want, got)
		}
	}
}

func TestMatroskaNumbersAreUniqueAndStay(t *testing.T) {
	l := long(10_000)
	for i := range 10 { // equal in all but their time
		l.Chapters = append(l.Chapters, chapter.Chapter{From: at(float64(i)), Title: "same", Level: 1})
	}
	out := text(t, chapter.WriteMatroska, l)
	seen := map[string]bool{}
	for line := range strings.SplitSeq(out, "\n") {
		var id uint64
		if n, _ := fmt.Sscanf(strings.TrimSpace(line), "<ChapterUID>%d</ChapterUID>", &id); n == 1 {
			if seen[line] || id == 0 || id >= 1<<63 {
				t.Fatalf("number %d is taken, zero or too large", id)
			}
			seen[strings.TrimSpace(line)] = true
		}
	}
	if len(seen) != 10_010 {
		t.Errorf("%d numbers, want 10010", len(seen))
	}
	// The number of a chapter does not depend on the others.
	one := chapter.List{Total: l.Total, Language: "en", Title: l.Title, Chapters: l.Chapters[:1]}
	one.Chapters[0].To = at(1.5)
	a := text(t, chapter.WriteMatroska, one)
	one.Chapters = append(one.Chapters[:1:1], chapter.Chapter{From: at(2000), Title: "other"})
	b := text(t, chapter.WriteMatroska, one)
	_, a, _ = strings.Cut(a, "<ChapterAtom>")
	a, _, _ = strings.Cut(a, "</ChapterAtom>")
	if !strings.Contains(b, a) {
		t.Errorf("a chapter's number changed with another chapter:\n%s\n%s", a, b)
	}
}

func TestWriteDescription(t *testing.T) {
	want := `Tunnel & <bag>

A first line.
A second.

- 1:30 of surgery.

Chapters
0:00 Introduction
0:12 Tunnel; 6.5 mm = \ #1
1:01 Capsulotomy
1:20 Relaxing cut
2:20 Cortex & <bag> --> clear
3:30 Closing words

` + words.Caution + "\n"
	if diff := cmp.Diff(want, text(t, chapter.WriteDescription, small())); diff != "" {
		t.Errorf("WriteDescription (-want +got)\n%s", diff)
	}
	if diff := cmp.Diff(words.Caution+"\n", text(t, chapter.WriteDescription, chapter.List{})); diff != "" {
		t.Errorf("WriteDescription of nothing (-want +got)\n%s", diff)
	}
}

func TestEmptyLists(t *testing.T) {
	want := map[string]string{
		"chapters.vtt": "WEBVTT\n\n", "chapters.txt": "",
		"chapters.xml":    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<Chapters>\n</Chapters>\n",
		"chapters.json":   "{\n \"version\": \"1.2.0\",\n \"chapters\": []\n}\n",
		"chapters.ffmeta": ";FFMETADATA1\n", "description.txt": words.Caution + "\n",
		"chapters.ogm.txt": "", "chapters.csv": "start_s,end_s,level,id,title\n",
	}
	for _, w := range chapter.All() {
		if got := text(t, w.Write, chapter.List{}); got != want[w.File] {
			t.Errorf("%s of no chapters = %q, want %q", w.File, got, want[w.File])
		}
	}
}

func TestSameListSameBytes(t *testing.T) {
	for _, w := range chapter.All() {
		first := text(t, w.Write, small())
		for range 50 {
			if text(t, w.Write, small()) != first {
				t.Fatalf("%s differs between two runs", w.File)
			}
		}
	}
}

func TestWritersLeaveTheListAlone(t *testing.T) {
	l := small()
	for _, w := range chapter.All() {
		text(t, w.Write, l)
	}
	if diff := cmp.Diff(small(), l); diff != "" {
		t.Errorf("list after writing (-before +after)\n%s", diff)
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, os.ErrClosed }

func TestWriteErrorsComeBack(t *testing.T) {
	for _, w := range chapter.All() {
		if err := w.Write(broken{}, small()); !errors.Is(err, os.ErrClosed) {
			t.Errorf("%s to a closed file: %v, want %v", w.File, err, os.ErrClosed)
		}
	}
}

// Whatever is in a title, every form stays one of its kind.
func FuzzWritersHoldAnyTitle(f *testing.F) {
	for _, c := range small().Chapters {
		f.Add(c.Title, c.ID, int64(c.From), int64(c.To), c.Level)
	}
	f.Add("a\x00\r\n\r\n0:00 b\u2028[CHAPTER]\nEND=0\ufffe\xff", "-->", int64(3), int64(1), 2)
	f.Fuzz(func(t *testing.T, title, id string, from, to int64, level int) {
		l := chapter.List{Language: id, Title: title, Summary: title, Total: time.Hour, Chapters: []chapter.Chapter{
			{ID: id, Title: title, From: time.Duration(from), To: time.Duration(to), Level: level},
			{ID: id, Title: title, From: time.Minute, Level: level}, {ID: id, Title: title, From: time.Minute, Level: level + 1},
			{Title: "end", From: 59 * time.Minute},
		}}
		out := map[string]*bytes.Buffer{}
		for _, w := range chapter.All() {
			out[w.File] = new(bytes.Buffer)
			err := w.Write(out[w.File], l)
			switch {
			case (err == nil) != (from >= 0):
				t.Fatalf("%s of a chapter at %d: %v", w.File, from, err)
			case err != nil && out[w.File].Len() > 0:
				t.Fatalf("%s wrote %d bytes and an error", w.File, out[w.File].Len())
			}
		}
		if from < 0 {
			return
		}
		chapters := 4
		if time.Duration(from) >= time.Hour {
			chapters = 3 // the late one is left out
		}
		vtt, txt, ff := out["chapters.vtt"].String(), out["chapters.txt"].String(), out["chapters.ffmeta"].String()
		if n := strings.Count(vtt, "-->"); n != chapters || strings.Count(vtt, "\n\n") != chapters {
			t.Errorf("WebVTT has %d arrows, want %d:\n%s", n, chapters, vtt)
		}
		for line := range strings.Lines(txt) {
			var m, s int
			if n, _ := fmt.Sscanf(line, "0:%d:%d ", &m, &s); n != 2 {
				t.Errorf("line %q has no time", line)
			}
		}
		if n := strings.Count(ff, "\n[CHAPTER]\nTIMEBASE=1/1000\nSTART="); n != strings.Count(ff, "\nEND=") {
			t.Errorf("ffmetadata has %d chapters:\n%s", n, ff)
		}
		if !json.Valid(out["chapters.json"].Bytes()) {
			t.Errorf("JSON is not:\n%s", out["chapters.json"].String())
		}
		if err := xml.Unmarshal(out["chapters.xml"].Bytes(), new(struct{})); err != nil {
			t.Errorf("XML: %v\n%s", err, out["chapters.xml"].String())
		}
		if n := strings.Count("\n"+out["chapters.ogm.txt"].String(), "\nCHAPTER"); n%2 != 0 || n != 2*strings.Count(out["chapters.json"].String(), `"startTime":`) {
			t.Errorf("simple form has %d lines of chapters:\n%s", n, out["chapters.ogm.txt"].String())
		}
		rows, err := csv.NewReader(out["chapters.csv"]).ReadAll()
		if err != nil || len(rows) != chapters+1 || strings.HasPrefix(rows[1][4], "=") {
			t.Errorf("CSV: %v, rows %q", err, rows)
		}
		if !strings.HasSuffix(out["description.txt"].String(), "\n"+words.Caution+"\n") {
			t.Errorf("description has no caution at its end:\n%s", out["description.txt"].String())
		}
	})
}

func Example() {
	chapter.WriteLines(os.Stdout, chapter.List{
		Total: 245200 * time.Millisecond,
		Chapters: []chapter.Chapter{
			{ID: "tunnel", From: 4 * time.Second, Title: "Tunnel, 6.5 mm"},
			{ID: "capsulotomy", From: 61200 * time.Millisecond, Title: "Capsulotomy"},
			{ID: "hydroprocedure", From: 65 * time.Second, Title: "Hydrodissection"},
			{ID: "nucleus-delivery", From: 140 * time.Second, Title: "Nucleus delivery"},
		},
	})
	// Output:
	// 0:00 Tunnel, 6.5 mm
	// 1:01 Capsulotomy; Hydrodissection
	// 2:20 Nucleus delivery
}
