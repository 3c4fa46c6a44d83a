package format_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timelinetest"

	"github.com/google/go-cmp/cmp"
)

// muxed puts a chapter file into a Matroska file with mkvmerge and returns what
// mkvextract gives back, or false when mkvmerge refuses the chapters.
func muxed(t *testing.T, chapters string, extract ...string) ([]byte, bool) {
	t.Helper()
	mkvmerge := timelinetest.NeedTool(t, "mkvmerge", "mkvtoolnix")
	mkvextract := timelinetest.NeedTool(t, "mkvextract", "mkvtoolnix")
	mks := filepath.Join(t.TempDir(), "a.mks")
	track := timelinetest.Save(t, "a.srt", "1\n00:00:00,000 --> 00:04:05,200\nx\n")
	if exec.Command(mkvmerge, "--quiet", "--output", mks, "--chapters", chapters, track).Run() != nil {
		return nil, false
	}
	return timelinetest.Run(t, mkvextract, append([]string{mks, "chapters"}, extract...)...), true
}

// plainChapters are chapters without their places, as a line each.
func plainChapters(t *testing.T, name, file string, raw []byte) []string {
	t.Helper()
	var out []string
	for _, c := range reader(t, name).Chapters(source.Decode(file, raw, func(f source.Finding) { t.Error(f) }), func(source.Finding) {}) {
		out = append(out, fmt.Sprintf("%d %d-%d %v %q %q", c.Level, c.From, c.To, c.HasTo, c.ID, c.Title))
	}
	return out
}

// Check against mkvmerge and mkvextract 74.0: what goes through a Matroska file comes
// back as we read it before, to the nanosecond, with levels, ids and titles.
func TestMatroskaAgreesWithMkvextract(t *testing.T) {
	for _, name := range []string{"nested.xml", "editions.xml"} {
		file := filepath.Join(formatsFolder, "matroska", name)
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		back, ok := muxed(t, file)
		if !ok {
			t.Fatalf("mkvmerge refuses %s", name)
		}
		want := plainChapters(t, "matroska", name, raw)
		if len(want) == 0 {
			t.Fatalf("no chapters in %s", name)
		}
		if diff := cmp.Diff(want, plainChapters(t, "matroska", "back.xml", back)); diff != "" {
			t.Errorf("%s through mkvmerge (-ours +back):\n%s", name, diff)
		}
	}
}

// Check against mkvmerge 74.0: the times it takes are read as it reads them, those it
// refuses are refused. It takes a number with a unit besides, and a colon in front of
// decimals; neither is in its manual's form of a chapter.
func TestMatroskaTimesAgreeWithMkvmerge(t *testing.T) {
	for _, text := range []string{
		"00:00:01.5", "5:00", "1:02.000000001", "100:00:00.5", "0:0:1", " 00:00:03 ", "00:00:01", "1000:00:01.123456789",
		"00:99:00", "00:00:75", "1.5", "5", "5000000000", "00:00:01,5", "-00:00:01", "00:00:01.1234567891", "00:00:01.", "", "soon",
	} {
		doc := "<?xml version=\"1.0\"?>\n<Chapters><EditionEntry><ChapterAtom><ChapterTimeStart>" + text +
			"</ChapterTimeStart><ChapterDisplay><ChapterString>x</ChapterString></ChapterDisplay></ChapterAtom></EditionEntry></Chapters>\n"
		ours := plainChapters(t, "matroska", "a.xml", []byte(doc))
		var theirs []string
		if back, ok := muxed(t, timelinetest.Save(t, "a.xml", doc)); ok {
			theirs = plainChapters(t, "matroska", "back.xml", back)
			if len(theirs) != 1 {
				t.Errorf("time %q: mkvextract gives %d chapters", text, len(theirs))
			}
		}
		if diff := cmp.Diff(theirs, ours); diff != "" {
			t.Errorf("time %q (-mkvmerge +ours):\n%s", text, diff)
		}
	}
}

// Check against xmllint of libxml2: it calls the files of the corpus not well-formed
// that are reported so. Left aside are elements deeper than are read here, and
// entities, which are not looked up here.
func TestMatroskaSyntaxAgreesWithXmllint(t *testing.T) {
	xmllint := timelinetest.NeedTool(t, "xmllint", "libxml2-utils")
	refused := 0
	for _, file := range corpusFiles(t, "matroska") {
		if name := filepath.Base(file); name == "deep.xml" || name == "entity.xml" {
			continue
		}
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		ours := false
		reader(t, "matroska").Chapters(source.Decode(file, raw, func(f source.Finding) { t.Error(f) }), func(f source.Finding) {
			ours = ours || f.Rule == "read/syntax"
		})
		if ours {
			refused++
		}
		if theirs := exec.Command(xmllint, "--noout", file).Run() != nil; theirs != ours {
			t.Errorf("%s: xmllint refuses it: %t, we do: %t", filepath.Base(file), theirs, ours)
		}
	}
	if refused == 0 {
		t.Error("no file of the corpus is refused")
	}
}

// Check against mkvmerge 74.0, which reads the simple form and gives it back as XML.
func TestSimpleAgreesWithMkvmerge(t *testing.T) {
	for _, name := range []string{"chapters.txt", "bom-crlf.txt"} {
		file := filepath.Join(formatsFolder, "simple", name)
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		back, ok := muxed(t, file)
		if !ok {
			t.Fatalf("mkvmerge refuses %s", name)
		}
		theirs := plainChapters(t, "matroska", "back.xml", back)
		if diff := cmp.Diff(theirs, plainChapters(t, "simple", name, raw)); diff != "" || len(theirs) == 0 {
			t.Errorf("%s (-mkvmerge +ours):\n%s", name, diff)
		}
	}
}

// Check against the examples that mkvtoolnix ships: they are read without a finding
// above a note, which mkvmerge 74.0 takes as well.
func TestMatroskaExamplesOfMkvtoolnix(t *testing.T) {
	for _, name := range []string{"example-chapters-1.xml", "example-chapters-2.xml"} {
		file := timelinetest.NeedFile(t, "/usr/share/doc/mkvtoolnix/examples/"+name, "mkvtoolnix")
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		// The second is in ISO 8859-1, whose letters are those of Unicode.
		text := string(raw)
		if strings.Contains(text, "ISO-8859-1") {
			var b strings.Builder
			for _, c := range raw {
				b.WriteRune(rune(c))
			}
			text = b.String()
		}
		var chapters []timeline.Chapter
		src := source.New(name, []byte(text))
		chapters = reader(t, "matroska").Chapters(src, func(f source.Finding) {
			if f.Severity > source.Note {
				t.Error(f)
			}
		})
		back, ok := muxed(t, file)
		if !ok || len(chapters) == 0 {
			t.Fatalf("%s: mkvmerge takes it: %v, we read %d chapters", name, ok, len(chapters))
		}
		if diff := cmp.Diff(plainChapters(t, "matroska", "back.xml", back), plainChapters(t, "matroska", name, []byte(text))); diff != "" {
			t.Errorf("%s (-mkvextract +ours):\n%s", name, diff)
		}
	}
}
