package chapter_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"sideport/export/chapter"
	"sideport/timeline"

	"github.com/google/go-cmp/cmp"
)

func TestWriteSimple(t *testing.T) {
	want := `CHAPTER01=00:00:12.500
CHAPTER01NAME=Tunnel; 6.5 mm = \ #1
CHAPTER02=00:01:01.200
CHAPTER02NAME=Capsulotomy
CHAPTER03=00:01:20.250
CHAPTER03NAME=Relaxing cut
CHAPTER04=00:02:20.000
CHAPTER04NAME=Cortex & <bag> --> clear
CHAPTER05=00:03:30.000
CHAPTER05NAME=Closing words
`
	if diff := cmp.Diff(want, text(t, chapter.WriteSimple, small())); diff != "" {
		t.Errorf("WriteSimple (-want +got)\n%s", diff)
	}
}

func TestWriteCSV(t *testing.T) {
	l := small()
	for i, title := range []string{`Tunnel, "6.5 mm"`, "=1+1", "'@home", "-", "'plain"} {
		l.Chapters[i].Title = title
	}
	want := `start_s,end_s,level,id,title
12.5,61.2,0,tunnel-1,"Tunnel, ""6.5 mm"""
61.2,140,0,capsulotomy-1,'=1+1
80.25,100,1,tunnel-2,'-
140,200,0,irrigation-aspiration-1,''@home
210,245.2,0,,'plain
`
	if diff := cmp.Diff(want, text(t, chapter.WriteCSV, l)); diff != "" {
		t.Errorf("WriteCSV (-want +got)\n%s", diff)
	}
}

func TestJSONKeepsMembers(t *testing.T) {
	l := chapter.List{
		Title: "x", Total: time.Minute,
		Members: []timeline.Member{{Name: "author", JSON: `"T3"`}, {Name: "title", JSON: `"other"`}, {Name: "chapters", JSON: `1`}},
		Chapters: []chapter.Chapter{
			{Title: "a", Members: []timeline.Member{{Name: "x <b>", JSON: `{"n": [1.50, 2e0]}`}, {Name: "startTime", JSON: "7"}}},
			{Title: "b", Level: 1, Members: []timeline.Member{{Name: "toc", JSON: "false"}, {Name: "x <b>", JSON: "2"}}},
		},
	}
	want := `{
 "version": "1.2.0",
 "title": "x",
 "author": "T3",
 "chapters": [
  {
   "startTime": 0,
   "endTime": 60,
   "title": "a: b",
   "x <b>": {
    "n": [
     1.50,
     2e0
    ]
   },
   "toc": false
  }
 ]
}
`
	if diff := cmp.Diff(want, text(t, chapter.WriteJSON, l)); diff != "" {
		t.Errorf("WriteJSON (-want +got)\n%s", diff)
	}
	l.Members[0].JSON = "T3"
	var out bytes.Buffer
	if err := chapter.WriteJSON(&out, l); err == nil || out.Len() > 0 {
		t.Errorf("WriteJSON of a member that is no JSON: %v and %d bytes, want an error and none", err, out.Len())
	}
}

func TestGivenIDs(t *testing.T) {
	l := chapter.List{Total: time.Minute, GivenIDs: true}
	for i, id := range []string{"a", "b-1", "a", "a-2", "", "a"} {
		l.Chapters = append(l.Chapters, chapter.Chapter{ID: id, From: time.Duration(i) * time.Second, Title: "x"})
	}
	var got []string
	for line := range strings.Lines(text(t, chapter.WriteCSV, l)) {
		got = append(got, strings.Split(line, ",")[3])
	}
	if diff := cmp.Diff([]string{"id", "a", "b-1", "a-2", "a-2-1", "", "a-3"}, got); diff != "" {
		t.Errorf("ids (-want +got)\n%s", diff)
	}
}

func TestFor(t *testing.T) {
	for name, want := range map[string]string{
		"a.vtt": "chapters.vtt", "A.OGM.TXT": "chapters.ogm.txt", "ogm.txt": "chapters.txt", "b.xml": "chapters.xml",
		"chapters.csv": "chapters.csv", "x.json": "chapters.json", "x.ffmeta": "chapters.ffmeta",
		"x": "", "x.doc": "", "vtt": "",
	} {
		w, ok := chapter.For(name)
		if w.File != want || ok != (want != "") {
			t.Errorf("For(%q) = %q, %v, want %q", name, w.File, ok, want)
		}
	}
	for _, w := range chapter.All() {
		if f, ok := chapter.For(w.File); w.Suffix != "" && (!ok || f.Name != w.Name) {
			t.Errorf("For(%q) = %q, want %q", w.File, f.Name, w.Name)
		}
	}
}
