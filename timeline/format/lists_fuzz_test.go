package format_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sideport/timeline"
	"sideport/timeline/format"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// seedLists adds the files of a corpus and fails when there are none.
func seedLists(f *testing.F, folder string) {
	files := corpusFiles(f, folder)
	if len(files) == 0 {
		f.Fatalf("the corpus %s holds no seeds", folder)
	}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(filepath.Ext(file), raw)
	}
}

// checkPlaces fails when a position lies outside its source.
func checkPlaces(t *testing.T, src *source.Source, places ...source.Pos) {
	t.Helper()
	for _, p := range places {
		if p.Source != src || p.Offset < -1 || p.Offset > len(src.Text()) {
			t.Fatalf("position %v (offset %d) is outside the text of %d bytes", p, p.Offset, len(src.Text()))
		}
	}
}

// checkReading fails when a part of a time is negative or a clock of any kind makes
// it one before its zero.
func checkReading(t *testing.T, r timecode.Reading, rate timecode.Rate) {
	t.Helper()
	if r.Frac < 0 || slices.ContainsFunc(r.Fields, func(v int) bool { return v < 0 }) {
		t.Fatalf("the time %q has the fields %v and %v", r, r.Fields, r.Frac)
	}
	for _, kind := range []timecode.Kind{timecode.Elapsed, timecode.Wall, timecode.Timecode} {
		if at, err := (timecode.Clock{Kind: kind, Rate: rate, FirstDay: r.Date}).Time(r); err == nil && at < 0 {
			t.Fatalf("the time %q is %v on a clock of %v", r, at, kind)
		}
	}
}

func fuzzStamps(f *testing.F, name string) {
	seedLists(f, "stamps")
	f.Fuzz(func(t *testing.T, extension string, raw []byte) {
		src := source.Decode("list"+extension, raw, func(source.Finding) {})
		for _, s := range reader(t, name).Stamps(src, func(f source.Finding) { checkPlaces(t, src, f.Pos) }) {
			checkPlaces(t, src, s.Pos, s.TextPos)
			if n := len(s.At.Fields); n < 2 || n > 4 {
				t.Fatalf("stamp %q has %d fields", s.At, n)
			}
			checkReading(t, s.At, s.Rate)
			if s.End != nil {
				checkReading(t, *s.End, s.Rate)
			}
			if at := s.Pos.Offset; string(src.Text()[at:min(at+len(s.At.Text), len(src.Text()))]) != s.At.Text && name == "stamps" {
				t.Fatalf("the time %q does not stand at its position %v", s.At, s.Pos)
			}
		}
	})
}

func FuzzStamps(f *testing.F)    { fuzzStamps(f, "stamps") }
func FuzzStampsCSV(f *testing.F) { fuzzStamps(f, "stamps-csv") }

func fuzzChapters(f *testing.F, name, folder string) {
	seedLists(f, folder)
	f.Fuzz(func(t *testing.T, extension string, raw []byte) {
		src := source.Decode("list"+extension, raw, func(source.Finding) {})
		for _, c := range reader(t, name).Chapters(src, func(f source.Finding) { checkPlaces(t, src, f.Pos) }) {
			checkPlaces(t, src, c.Pos, c.TitleP)
			checkMembers(t, src, c.Members)
			if c.From < 0 || c.HasTo && c.To < c.From {
				t.Fatalf("chapter %q runs from %v to %v", c.Title, c.From, c.To)
			}
		}
		if read := reader(t, name).Members; read != nil {
			checkMembers(t, src, read(src))
		}
		for _, tag := range format.FFMetadataTags(src) {
			checkPlaces(t, src, tag.Pos)
		}
	})
}

// checkMembers fails on a member that is no JSON or whose value does not stand at
// its place. The title of ffmetadata is made JSON here.
func checkMembers(t *testing.T, src *source.Source, members []timeline.Member) {
	t.Helper()
	for _, m := range members {
		checkPlaces(t, src, m.Pos)
		if !json.Valid([]byte(m.JSON)) {
			t.Fatalf("member %q is no JSON: %s", m.Name, m.JSON)
		}
		if !strings.HasPrefix(string(src.Text()), ";") && !strings.HasPrefix(string(src.Text()[m.Pos.Offset:]), m.JSON) {
			t.Fatalf("member %q does not stand at %v", m.Name, m.Pos)
		}
	}
}

func FuzzDescription(f *testing.F) { fuzzChapters(f, "description", "description") }
func FuzzFFMetadata(f *testing.F)  { fuzzChapters(f, "ffmetadata", "ffmetadata") }
func FuzzSimple(f *testing.F)      { fuzzChapters(f, "simple", "simple") }
func FuzzMatroska(f *testing.F)    { fuzzChapters(f, "matroska", "matroska") }
func FuzzJSON(f *testing.F)        { fuzzChapters(f, "json", "json") }
func FuzzChaptersCSV(f *testing.F) { fuzzChapters(f, "chapters-csv", "chapters-csv") }
