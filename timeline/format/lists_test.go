package format_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline"
	"sideport/timeline/format"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// The corpora of the readers of lists. Beside each file stands FILE.want: what
// [format.For] chose, what was read with its places, and the findings.
var listCorpora = []struct {
	folder string
	role   format.Role
}{
	{"stamps", format.Recording},
	{"description", format.Chapters},
	{"ffmetadata", format.Chapters},
	{"simple", format.Chapters},
	{"matroska", format.Chapters},
	{"json", format.Chapters},
	{"chapters-csv", format.Chapters},
	{"edl", format.Cuts},
	{"otio", format.Cuts},
}

const formatsFolder = "../../testdata/formats"

func TestListCorpora(t *testing.T) {
	for _, c := range listCorpora {
		files := corpusFiles(t, c.folder)
		if len(files) == 0 {
			t.Fatalf("the corpus %s is empty", c.folder)
		}
		for _, file := range files {
			t.Run(c.folder+"/"+filepath.Base(file), func(t *testing.T) {
				raw, err := os.ReadFile(file)
				if err != nil {
					t.Fatal(err)
				}
				got := showList(c.role, filepath.Base(file), raw)
				if os.Getenv("UPDATE_GOLDEN") == "1" {
					if err := os.WriteFile(file+".want", []byte(got), 0o644); err != nil {
						t.Fatal(err)
					}
				}
				want, err := os.ReadFile(file + ".want")
				if err != nil {
					t.Fatal(err)
				}
				if diff := cmp.Diff(strings.ReplaceAll(string(want), "\r\n", "\n"), got); diff != "" {
					t.Errorf("%s (-want +got):\n%s", file, diff)
				}
			})
		}
	}
}

func TestListCorporaHaveNoStaleExpectations(t *testing.T) {
	for _, c := range listCorpora {
		wants, err := filepath.Glob(filepath.Join(formatsFolder, c.folder, "*.want"))
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range wants {
			if _, err := os.Stat(strings.TrimSuffix(want, ".want")); err != nil {
				t.Errorf("%s stands beside no file", want)
			}
		}
	}
}

// corpusFiles are the files of a corpus without their expectations.
func corpusFiles(tb testing.TB, folder string) []string {
	tb.Helper()
	all, err := filepath.Glob(filepath.Join(formatsFolder, folder, "*"))
	if err != nil {
		tb.Fatal(err)
	}
	var files []string
	for _, f := range all {
		if filepath.Ext(f) != ".want" {
			files = append(files, f)
		}
	}
	return files
}

// showList reads a file in a role and prints all that came of it.
func showList(role format.Role, name string, raw []byte) string {
	var b bytes.Buffer
	var findings []source.Finding
	report := func(f source.Finding) { findings = append(findings, f) }
	src := source.Decode(name, raw, report)
	r, ok := format.For(role, src)
	if !ok {
		return "no reader\n"
	}
	fmt.Fprintf(&b, "reader %s\n", r.Name)
	if r.Stamps != nil {
		for _, s := range r.Stamps(src, report) {
			end := "-"
			if s.End != nil {
				end = s.End.Text
			}
			rate := ""
			if !s.Rate.IsZero() {
				rate = " @ " + s.Rate.String()
			}
			fmt.Fprintf(&b, "stamp %s %s %s%s | %s | %s\n", place(s.Pos), s.At, end, rate, place(s.TextPos), s.Text)
		}
	}
	if r.Chapters != nil {
		for _, c := range r.Chapters(src, report) {
			to := "-"
			if c.HasTo {
				to = c.To.String()
			}
			fmt.Fprintf(&b, "chapter %s %s %s | %s | %s%s\n", place(c.Pos), c.From, to, place(c.TitleP), c.Title, showMore(c))
		}
	}
	if r.Members != nil {
		for _, m := range r.Members(src) {
			fmt.Fprintf(&b, "member %s %q=%s\n", place(m.Pos), m.Name, m.JSON)
		}
	}
	if r.Edit != nil { // edit lists of the corpus are made at 25 frames a second
		for _, ev := range r.Edit(src, timecode.Rate{Num: 25, Den: 1}, report).Events {
			fmt.Fprintln(&b, showEvent(ev))
		}
	}
	if r.Name == "ffmetadata" {
		for _, tag := range format.FFMetadataTags(src) {
			fmt.Fprintf(&b, "tag %s %s=%q\n", place(tag.Pos), tag.Name, tag.Value)
		}
	}
	for _, f := range source.Sort(findings) {
		fmt.Fprintln(&b, f)
	}
	return b.String()
}

// showMore is what only some formats give a chapter.
func showMore(c timeline.Chapter) string {
	var b strings.Builder
	if c.Level != 0 {
		fmt.Fprintf(&b, " | level %d", c.Level)
	}
	if c.ID != "" {
		fmt.Fprintf(&b, " | id %q", c.ID)
	}
	for _, m := range c.Members {
		fmt.Fprintf(&b, " | %s %q=%s", place(m.Pos), m.Name, m.JSON)
	}
	return b.String()
}

// place prints line:column.
func place(p source.Pos) string {
	at := p.Position()
	return fmt.Sprintf("%d:%d", at.Line, at.Column)
}

// The mark of a format beats another's extension, and the shape of a list tells
// the format of a file without one.
func TestForChoosesByContent(t *testing.T) {
	for _, tt := range []struct {
		role             format.Role
		name, text, want string
	}{
		{format.Chapters, "chapters.txt", "WEBVTT\n\n00:00.000 --> 00:41.000\nPort\n", "webvtt"},
		{format.Chapters, "chapters.txt", ";FFMETADATA1\n[CHAPTER]\n", "ffmetadata"},
		{format.Chapters, "chapters.txt", "0:00 Port\n", "description"},
		{format.Chapters, "chapters.vtt", ";FFMETADATA1\n[CHAPTER]\n", "ffmetadata"},
		{format.Chapters, "chapters.ffmeta", "WEBVTT\n", "webvtt"},
		{format.Chapters, "chapters", "0:00 Port\n", "description"},
		{format.Chapters, "chapters.txt", "<?xml version=\"1.0\"?>\n<!-- a > b -->\n<!DOCTYPE Chapters [<!ENTITY x \"y>\">]>\n<Chapters/>", "matroska"},
		{format.Chapters, "chapters.xml", "<chapters/>", "matroska"},
		{format.Chapters, "chapters", "<ChaptersOfABook/>", ""},
		{format.Chapters, "chapters.csv", "0:41,Rhexis\n", "chapters-csv"},
		{format.Chapters, "chapters", "start_s;title\n", "chapters-csv"},
		{format.Chapters, "chapters.txt", "{\"version\":\"1.2.0\",\"chapters\":[", "json"},
		{format.Chapters, "chapters.json", "{\"cues\":[]}", "json"},
		{format.Chapters, "chapters", "{\"cues\":{\"chapters\":[]}}", ""},
		{format.Chapters, "chapters", "<!-- <Chapters>", ""},
		{format.Chapters, "chapters.txt", "\nCHAPTER01=00:00:00.000\n", "simple"},
		{format.Chapters, "chapters.txt", "CHAPTER01NAME=Port\n", "description"},
		{format.Recording, "recording.txt", "0:41 rhexis\n", "stamps"},
		{format.Recording, "recording.csv", "time,text\n0:41,rhexis\n", "stamps-csv"},
		{format.Recording, "recording.csv", "nothing\n", "stamps-csv"},
		{format.Recording, "recording", "time;text\n", "stamps-csv"},
	} {
		r, ok := format.For(tt.role, source.New(tt.name, []byte(tt.text)))
		if ok != (tt.want != "") || r.Name != tt.want {
			t.Errorf("For(%v, %s %q) = %q, %t, want %q", tt.role, tt.name, tt.text, r.Name, ok, tt.want)
		}
	}
}

// The cost of a line must not grow with the file.
func TestLongListIsReadInLinearTime(t *testing.T) {
	checkLinear(t, "long.txt", func(n int) func() {
		src := source.New("long.txt", bytes.Repeat([]byte("0:41 rhexis 5.5 mm\n"), n))
		return func() {
			if got := len(reader(t, "stamps").Stamps(src, func(f source.Finding) { t.Fatal(f) })); got != n {
				t.Errorf("Stamps read %d, want %d", got, n)
			}
		}
	})
}
