package annotate_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sideport/annotate"

	"github.com/google/go-cmp/cmp"
)

// Half a number is worse than none: a decimal comma inside { } is said and the value
// left out, wherever values stand.
func TestDecimalCommaInsideBraces(t *testing.T) {
	for _, tt := range []struct {
		name, keys string
		want       []string
		values     int
	}{
		{"a value", "steps: [{step: scleral-groove, values: {external-incision-length: 6,5 mm, distance-from-limbus: 2 mm}}]\n",
			[]string{`case/case.yaml:4:67: error: "6,5 mm" is written with a decimal comma; inside { } it stands in quotes or with a point [read/decimal-comma]`}, 1},
		{"the long form", "steps: [{step: scleral-groove, values: {external-incision-length: {value: 6,5 mm, how: measured}}}]\n",
			[]string{`case/case.yaml:4:75: error: "6,5 mm" is written with a decimal comma; inside { } it stands in quotes or with a point [read/decimal-comma]`}, 0},
		{"the header", "before: {axial-length: 23,4 mm}\n",
			[]string{`case/case.yaml:4:24: error: "23,4 mm" is written with a decimal comma; inside { } it stands in quotes or with a point [read/decimal-comma]`}, 0},
		{"in quotes", "before: {axial-length: \"23,4 mm\"}\n", nil, 1},
		{"outside braces", "before:\n  axial-length: 23,4 mm\n", nil, 1},
		{"a value not filled in is none", "steps: [{step: scleral-groove, values: {external-incision-length: , distance-from-limbus: 2 mm}}]\n", nil, 1},
	} {
		c := resolve(t, map[string]string{"case.yaml": head + tt.keys})
		if diff := cmp.Diff(tt.want, faults(c.Findings)); diff != "" {
			t.Errorf("%s: findings (-want +got):\n%s", tt.name, diff)
		}
		n := len(c.Header)
		for _, s := range c.Steps {
			n += len(s.Values)
		}
		if n != tt.values {
			t.Errorf("%s: %d values, want %d", tt.name, n, tt.values)
		}
	}
}

// Characters that move a cursor or turn the writing round are noted once a file and
// go nowhere.
func TestHiddenCharactersAreLeftOut(t *testing.T) {
	c := resolve(t, map[string]string{
		"case.yaml":     "sideport: 1\ntitle: \"A \u202Ecase\\a\"\nprocedure: msics\n",
		"recording.txt": "0:10 rhexis \x1b[31mred\n",
		"chapters.txt":  "0:00 Side\u2067 port\n",
	})
	if got, want := c.File.Title.Value, "A case"; got != want {
		t.Errorf("title = %q, want %q", got, want)
	}
	if got, want := c.Marks[0].Text, "rhexis [31mred"; got != want {
		t.Errorf("stamp = %q, want %q", got, want)
	}
	if got, want := c.Titles[0].Title, "Side port"; got != want {
		t.Errorf("chapter = %q, want %q", got, want)
	}
	if got := printed(c.Findings, "read/hidden-character"); len(got) != 3 {
		t.Errorf("findings = %q, want one a file", got)
	}
}

// A link that leads out of the folder is said and passed over; the rest is read.
func TestLinksOutOfTheFolderAreNotFollowed(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "case")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	outside := filepath.Join(t.TempDir(), "secret.txt")
	for path, text := range map[string]string{outside: "0:10 rhexis\n", filepath.Join(dir, "case.yaml"): head, filepath.Join(dir, "chapters.txt"): "0:00 Rhexis\n"} {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(outside, filepath.Join(dir, "recording.txt")); err != nil {
		t.Skipf("no links here: %v", err)
	}
	m, err := annotate.Load(dir, "case")
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Stamps) != 0 || len(m.Chapters) != 1 {
		t.Errorf("%d stamps and %d chapters, want 0 and 1", len(m.Stamps), len(m.Chapters))
	}
	want := []string{"case/recording.txt: error: this is a link to no file inside the case folder; it is not read [read/outside-folder]"}
	if diff := cmp.Diff(want, printed(m.Findings, "read/outside-folder")); diff != "" {
		t.Errorf("findings (-want +got):\n%s", diff)
	}
}

// A word that is none of a closed list is reported and goes no further.
func TestUnknownWordsAreNotCarriedOn(t *testing.T) {
	c := resolve(t, map[string]string{"case.yaml": head + "languages: [en, zebedee1]\nbefore: {acuity: {zebedee: 6/6, corrected: 6/9}}\n" +
		"steps: [{step: capsulotomy, values: {rhexis-diameter: {value: 6 mm, how: Zebedee}}}]\n"})
	if diff := cmp.Diff([]string{"en"}, c.Languages); diff != "" {
		t.Errorf("languages (-want +got):\n%s", diff)
	}
	if len(c.Header) != 1 || c.Header[0].Parameter != "acuity.corrected" {
		t.Errorf("header = %v, want the corrected acuity alone", c.Header)
	}
	if how := value(t, c, "rhexis-diameter").How; how != "" {
		t.Errorf("how = %q, want none", how)
	}
	if got := faults(c.Findings); len(got) != 3 || slices.ContainsFunc(got, func(s string) bool { return !strings.Contains(s, "error") }) {
		t.Errorf("findings = %q, want three errors", got)
	}
}
