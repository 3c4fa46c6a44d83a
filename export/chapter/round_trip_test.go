package chapter_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"sideport/export/chapter"
	"sideport/timeline"
	"sideport/timeline/format"
	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// forms are the forms that are read back; the text to paste is one of its own.
func forms() []chapter.Writer {
	return slices.DeleteFunc(chapter.All(), func(w chapter.Writer) bool { return w.Suffix == "" })
}

type tester interface {
	Helper()
	Fatalf(string, ...any)
}

// again writes l and reads it back, as a list of the same length of video.
func again(t tester, w chapter.Writer, l chapter.List) ([]timeline.Chapter, chapter.List) {
	t.Helper()
	var out bytes.Buffer
	if err := w.Write(&out, l); err != nil {
		t.Fatalf("%s: %v", w.File, err)
	}
	src := source.New(w.File, out.Bytes())
	r, ok := format.For(format.Chapters, src)
	if !ok {
		t.Fatalf("%s is in no format that is read:\n%s", w.File, out.String())
	}
	read := r.Chapters(src, func(f source.Finding) {
		// A list without chapters, or with none before its end, holds none, and a
		// member of JSON is carried along whatever it is.
		some := slices.ContainsFunc(l.Chapters, func(c chapter.Chapter) bool { return c.From < l.Total })
		if f.Severity > source.Note && some && f.Rule != "read/wrong-type" {
			t.Fatalf("%s: %s in\n%s", w.File, f, out.String())
		}
	})
	back := chapter.List{Language: l.Language, Title: l.Title, Total: l.Total, GivenIDs: true}
	for _, c := range read {
		back.Chapters = append(back.Chapters, chapter.Chapter{ID: c.ID, From: c.From, To: c.To, Title: c.Title, Level: c.Level, Members: c.Members})
	}
	if r.Members != nil {
		back.Members = r.Members(src)
	}
	return read, back
}

var noPlaces = cmpopts.IgnoreTypes(source.Pos{})

// What each form holds of small comes back; what it cannot hold is as the package
// says.
func TestEveryFormIsReadBack(t *testing.T) {
	want := []string{
		`12.5-61.2 0 tunnel-1 Tunnel; 6.5 mm = \ #1`, `61.2-140 0 capsulotomy-1 Capsulotomy`, `80.25-100 1 tunnel-2 Relaxing cut`,
		`140-200 0 irrigation-aspiration-1 Cortex & <bag> --> clear`, `210-245.2 0  Closing words`,
	}
	flat := slices.Clone(want)
	flat[1], flat[2] = `61.2-80.25 0 capsulotomy-1 Capsulotomy`, `80.25-100 0 tunnel-2 Relaxing cut`
	const intro = `0-12.5 0  Introduction`
	for file, tt := range map[string]struct {
		lines       []string
		id, end     bool // kept
		wholeSecond bool
	}{
		"chapters.vtt":     {want, true, true, false},
		"chapters.csv":     {want, true, true, false},
		"chapters.xml":     {want, false, true, false},
		"chapters.json":    {flat, false, true, false},
		"chapters.ffmeta":  {append([]string{intro}, flat...), false, true, false},
		"chapters.ogm.txt": {flat, false, false, false},
		"chapters.txt":     {append([]string{intro}, flat...), false, false, true},
	} {
		w, ok := chapter.For(file)
		if !ok {
			t.Fatalf("no form is written to %s", file)
		}
		if w.Keeps.IDs != tt.id || w.Keeps.Ends != tt.end {
			t.Errorf("%s says it keeps %+v, want ids %v, ends %v", file, w.Keeps, tt.id, tt.end)
		}
		read, _ := again(t, w, small())
		if w.Keeps.Levels != slices.ContainsFunc(read, func(c timeline.Chapter) bool { return c.Level > 0 }) {
			t.Errorf("%s says it keeps levels: %v, and does not as it says", file, w.Keeps.Levels)
		}
		var got, want []string
		for _, c := range read {
			got = append(got, fmt.Sprintf("%v-%v %v %d %s %s", c.From, c.To, c.HasTo, c.Level, c.ID, c.Title))
		}
		for _, line := range tt.lines {
			var from, to float64
			var level int
			n, _ := fmt.Sscanf(line, "%f-%f %d", &from, &to, &level)
			head := fmt.Sprintf("%v-%v %d ", from, to, level)
			if n != 3 || len(line) < len(head) || line[:len(head)] != head {
				t.Fatalf("line %q is not as written here", line)
			}
			id, title := line[len(head):], ""
			for i := range id {
				if id[i] == ' ' {
					id, title = id[:i], id[i+1:]
					break
				}
			}
			start, end := at(from), at(to)
			if tt.wholeSecond {
				start = start.Truncate(time.Second)
			}
			if !tt.end {
				end = 0
			}
			if !tt.id {
				id = ""
			}
			want = append(want, fmt.Sprintf("%v-%v %v %d %s %s", start, end, tt.end, level, id, title))
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s read back (-want +got)\n%s", file, diff)
		}
	}
}

// drawList makes lists of any shape, with the signs that forms give a meaning.
func drawList(t *rapid.T) chapter.List {
	half := 500 * time.Microsecond
	word := rapid.StringOf(rapid.SampledFrom([]rune("ab 1:=;#\\'\"<>&-+@,[]%\tय👁\u00a0\u200e")))
	l := chapter.List{Language: "en", Title: word.Draw(t, "title"), Total: time.Duration(rapid.IntRange(1, 8000).Draw(t, "total")) * time.Second, GivenIDs: rapid.Bool().Draw(t, "given")}
	l.Chapters = rapid.SliceOfN(rapid.Custom(func(t *rapid.T) chapter.Chapter {
		c := chapter.Chapter{
			ID:   word.Draw(t, "id"),
			From: time.Duration(rapid.IntRange(0, 80_000).Draw(t, "from")) * half, To: time.Duration(rapid.IntRange(0, 80_000).Draw(t, "to")) * half,
			Level: rapid.IntRange(0, 3).Draw(t, "level"), Title: word.Draw(t, "title"),
		}
		if rapid.Bool().Draw(t, "member") {
			c.Members = []timeline.Member{{Name: "toc", JSON: "false"}, {Name: "x", JSON: `[1.50,{"y":null}]`}}
		}
		return c
	}), 0, 8).Draw(t, "chapters")
	return l
}

// Through any form twice is as through it once: nothing drifts when files are
// converted again and again.
func TestReadAfterWriteIsAFixedPoint(t *testing.T) {
	for _, w := range forms() {
		t.Run(w.File, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				once, back := again(t, w, drawList(t))
				twice, _ := again(t, w, back)
				if diff := cmp.Diff(once, twice, noPlaces, cmpopts.EquateEmpty()); diff != "" {
					t.Fatalf("second time through %s (-once +twice)\n%s", w.File, diff)
				}
			})
		})
	}
}

// Every form is written from every other, and what comes back is as if it had been
// written from the chapters read.
func TestEveryFormFromEveryOther(t *testing.T) {
	for _, from := range forms() {
		_, read := again(t, from, small())
		for _, to := range forms() {
			once, back := again(t, to, read)
			twice, _ := again(t, to, back)
			if diff := cmp.Diff(once, twice, noPlaces, cmpopts.EquateEmpty()); diff != "" || len(once) < 5 {
				t.Errorf("%s from %s: %d chapters, again (-once +twice)\n%s", to.File, from.File, len(once), diff)
			}
		}
	}
}

// Whatever a file holds, faults and all: what is read of it goes through every form
// and back without a finding above a note.
func TestEveryFileOfTheCorporaGoesThroughEveryForm(t *testing.T) {
	for _, folder := range []string{"webvtt", "subrip", "description", "ffmetadata", "simple", "matroska", "json", "chapters-csv"} {
		files, err := filepath.Glob("../../testdata/formats/" + folder + "/*")
		if err != nil || len(files) == 0 {
			t.Fatalf("no files in the corpus %s: %v", folder, err)
		}
		for _, file := range files {
			raw, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			src := source.Decode(filepath.Base(file), raw, func(source.Finding) {})
			r, ok := format.For(format.Chapters, src)
			if !ok {
				continue // what is expected of a file stands beside it
			}
			l := chapter.List{Total: time.Minute, GivenIDs: true}
			for _, c := range r.Chapters(src, func(source.Finding) {}) {
				l.Chapters = append(l.Chapters, chapter.Chapter{ID: c.ID, From: c.From, To: c.To, Title: c.Title, Level: c.Level, Members: c.Members})
				l.Total = max(l.Total, c.From+time.Minute, c.To)
			}
			for _, w := range forms() {
				once, back := again(t, w, l)
				twice, _ := again(t, w, back)
				if diff := cmp.Diff(once, twice, noPlaces, cmpopts.EquateEmpty()); diff != "" {
					t.Errorf("%s through %s (-once +twice)\n%s", file, w.File, diff)
				}
			}
		}
	}
}

// The same three chapters, the first of which reaches 5 s into the second, in every
// format that states ends: one caution, and the end it names is the one written.
func TestOverlapIsCutWhereTheReaderSays(t *testing.T) {
	for name, text := range map[string]string{
		"chapters.txt":    "0:00-0:30 Port\n0:25-0:50 Rhexis\n0:50-1:10 Closing\n",
		"chapters.ffmeta": ";FFMETADATA1\n[CHAPTER]\nTIMEBASE=1/1\nSTART=0\nEND=30\ntitle=Port\n[CHAPTER]\nTIMEBASE=1/1\nSTART=25\nEND=50\ntitle=Rhexis\n[CHAPTER]\nTIMEBASE=1/1\nSTART=50\nEND=70\ntitle=Closing\n",
		"chapters.vtt":    "WEBVTT\n\n00:00.000 --> 00:30.000\nPort\n\n00:25.000 --> 00:50.000\nRhexis\n\n00:50.000 --> 01:10.000\nClosing\n",
		"chapters.csv":    "start_s,end_s,title\n0,30,Port\n25,50,Rhexis\n50,70,Closing\n",
		"chapters.json":   `{"version":"1.2.0","chapters":[{"startTime":0,"endTime":30,"title":"Port"},{"startTime":25,"endTime":50,"title":"Rhexis"},{"startTime":50,"endTime":70,"title":"Closing"}]}`,
	} {
		src := source.New(name, []byte(text))
		r, ok := format.For(format.Chapters, src)
		if !ok {
			t.Fatalf("no reader of %s", name)
		}
		l := chapter.List{Total: 70 * time.Second}
		var said []string
		for _, c := range r.Chapters(src, func(f source.Finding) {
			if f.Severity > source.Note {
				said = append(said, f.Rule+" "+f.Message[strings.LastIndex(f.Message, ";")+1:])
			}
		}) {
			l.Chapters = append(l.Chapters, chapter.Chapter{From: c.From, To: c.To, Title: c.Title, Level: c.Level})
		}
		if len(said) != 1 || !strings.HasPrefix(said[0], "read/chapter-cross  written out, ") || !strings.HasSuffix(said[0], " becomes 00:00:25.000") {
			t.Errorf("%s: said %q", name, said)
		}
		for _, w := range forms() {
			if w.File != "chapters.json" {
				continue
			}
			read, _ := again(t, w, l)
			if len(read) != 3 || read[0].To != 25*time.Second || read[1].To != 50*time.Second {
				t.Errorf("%s: written as %v", name, read)
			}
		}
	}
}
