package export_test

import (
	"bytes"
	"fmt"
	"html"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/export"
	"sideport/export/report"
	"sideport/export/words"
	"sideport/timeline/timelinetest"
)

func bundle(t testing.TB, name string) *export.Bundle {
	t.Helper()
	m, err := annotate.Load(filepath.Join(timelinetest.Root(t), "testdata", "cases", name), name)
	if err != nil {
		t.Fatal(err)
	}
	c, ok := annotate.Resolve(m, ranges.Builtin())
	if !ok {
		t.Fatalf("%s: no procedure", name)
	}
	b, findings := export.New(c)
	b.Findings = slices.Concat(c.Findings, findings)
	return b
}

// The caution stands in everything that is for people to read or carries findings.
// The exporters without it are those that only carry times, and are named here.
func TestEveryExporterCarriesTheCaution(t *testing.T) {
	bare := map[string]string{"tracks": "words on a picture that the page and the description go with"}
	b := bundle(t, "msics-chevron")
	for _, e := range export.All() {
		files, err := e.Files(b)
		if err != nil {
			t.Fatal(err)
		}
		if len(files) == 0 {
			t.Errorf("%s makes nothing of the demo", e.Name)
		}
		found := false
		for _, f := range files {
			found = found || strings.Contains(html.UnescapeString(string(f.Data)), words.Caution)
		}
		if _, excused := bare[e.Name]; found == excused {
			t.Errorf("%s: caution found = %v", e.Name, found)
		}
	}
	for name, write := range map[string]func(*bytes.Buffer, []report.Case) error{
		"text": func(w *bytes.Buffer, c []report.Case) error { return report.Text(w, c) },
		"json": func(w *bytes.Buffer, c []report.Case) error { return report.JSON(w, c) },
		"csv":  func(w *bytes.Buffer, c []report.Case) error { return report.CSV(w, c) },
		"html": func(w *bytes.Buffer, c []report.Case) error { return report.HTML(w, c) },
	} {
		var out bytes.Buffer
		if err := write(&out, []report.Case{{Path: "a", Findings: b.Findings}}); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(html.UnescapeString(out.String()), words.Caution) {
			t.Errorf("the %s report does not carry the caution", name)
		}
	}
}

// The file names are those that a reader of the folder is promised.
func TestFilesOfTheDemos(t *testing.T) {
	for name, want := range map[string]string{
		"msics-chevron":  "steps.en.vtt steps.en.srt steps.en.ttml speech.en.vtt speech.en.srt speech.en.ttml chapters.vtt chapters.txt chapters.xml chapters.json chapters.ffmeta description.txt findings.json case.json index.html",
		"phaco-chapters": "steps.en.vtt steps.en.srt steps.en.ttml chapters.vtt chapters.txt chapters.xml chapters.json chapters.ffmeta description.txt findings.json case.json index.html",
		"facts-only":     "description.txt findings.json case.json index.html",
	} {
		files, err := export.Files(bundle(t, name))
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, f := range files {
			got = append(got, f.Name)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s: files = %v, want %s", name, got, want)
		}
	}
}

// Fifty runs over one case give the same bytes.
func TestFilesAreTheSameEachTime(t *testing.T) {
	b := bundle(t, "msics-chevron")
	first, err := export.Files(b)
	if err != nil {
		t.Fatal(err)
	}
	for range 50 {
		again, err := export.Files(bundle(t, "msics-chevron"))
		if err != nil {
			t.Fatal(err)
		}
		for i := range first {
			if !bytes.Equal(first[i].Data, again[i].Data) {
				t.Fatalf("%s differs between two runs", first[i].Name)
			}
		}
	}
}

func Example() {
	m, _ := annotate.Load("../testdata/cases/phaco-chapters", "phaco-chapters")
	c, _ := annotate.Resolve(m, ranges.Builtin())
	b, _ := export.New(c)
	for _, cue := range b.Steps[0].Cues[:2] {
		fmt.Printf("%v %q\n", cue.From, cue.Text)
	}
	// Output:
	// 0s "Main incision: clear corneal\nmain incision width 2.6 mm\ncorneal tunnel length 1.9 mm"
	// 21.5s "OVD injection"
}
