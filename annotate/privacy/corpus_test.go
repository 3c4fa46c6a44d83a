package privacy_test

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"sideport/annotate/privacy"
)

// sentences reads a list of sentences, one a line, without comments.
func sentences(t testing.TB, file string) []string {
	t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for line := range strings.Lines(string(raw)) {
		line = strings.TrimRight(line, "\r\n")
		if line != "" && !strings.HasPrefix(line, "#") {
			out = append(out, line)
		}
	}
	return out
}

var markup = regexp.MustCompile(`\{([a-z0-9-]+)\|([^}]*)\}`)

// unmark takes the markup off a sentence and returns where it stood.
func unmark(line string) (text string, want []privacy.Hit) {
	at := 0
	for _, m := range markup.FindAllStringSubmatchIndex(line, -1) {
		text += line[at:m[0]]
		want = append(want, privacy.Hit{Class: line[m[2]:m[3]], Start: len(text), End: len(text) + m[5] - m[4]})
		text += line[m[4]:m[5]]
		at = m[1]
	}
	return text + line[at:], want
}

func describe(text string, hits []privacy.Hit) string {
	var parts []string
	for _, h := range hits {
		parts = append(parts, fmt.Sprintf("%s %q", h.Class, text[h.Start:h.End]))
	}
	return strings.Join(parts, ", ")
}

// The figures are measured on sentences written for this test, by the people who
// wrote the patterns: they show that what is claimed is so, not how many
// identifiers of an unseen shelf are found.
func TestScanFindsEachClassInSentencesWrittenForThisTest(t *testing.T) {
	const leastRecall = 0.95 // of the marked places, for each class
	found, total, extra := map[string]int{}, map[string]int{}, map[string]int{}
	lines := sentences(t, "testdata/identifying.txt")
	if len(lines) < 100 {
		t.Fatalf("%d sentences, want at least 100", len(lines))
	}
	for _, line := range lines {
		text, want := unmark(line)
		if len(want) == 0 {
			t.Errorf("nothing is marked in %q", line)
		}
		hits := privacy.Scan(text, privacy.Options{AllowYear: true})
		for _, w := range want {
			total[w.Class]++
			// Covered whole: what a hit leaves uncovered would stay readable after
			// Redact.
			if slices.ContainsFunc(hits, func(h privacy.Hit) bool {
				return h.Class == w.Class && h.Start <= w.Start && w.End <= h.End
			}) {
				found[w.Class]++
			} else {
				t.Logf("missed: %s %q in %q; got %s", w.Class, text[w.Start:w.End], text, describe(text, hits))
			}
		}
		for _, h := range hits {
			if !slices.ContainsFunc(want, func(w privacy.Hit) bool { return h.Start < w.End && w.Start < h.End }) {
				extra[h.Class]++
				t.Errorf("Scan(%q) has %s, which is not marked", text, describe(text, []privacy.Hit{h}))
			}
		}
	}
	sumFound, sumTotal := 0, 0
	for _, c := range privacy.Classes() {
		if c.ID == privacy.PrivateWord || c.ID == privacy.WallClock {
			continue
		}
		n, of := found[c.ID], total[c.ID]
		sumFound, sumTotal = sumFound+n, sumTotal+of
		t.Logf("%-20s recall %2d of %2d, false alarms %d (measured on sentences written for this test)", c.ID, n, of, extra[c.ID])
		if of < 3 {
			t.Errorf("class %s has %d marked places, want at least 3", c.ID, of)
		}
		if float64(n) < leastRecall*float64(of) {
			t.Errorf("recall of %s = %d of %d, want at least %.0f %%", c.ID, n, of, 100*leastRecall)
		}
	}
	t.Logf("all classes: recall %d of %d in %d sentences (measured on sentences written for this test)", sumFound, sumTotal, len(lines))
}

func TestScanLeavesCleanClinicalSentencesAlone(t *testing.T) {
	lines := sentences(t, "testdata/clean.txt")
	if len(lines) < 150 {
		t.Fatalf("%d sentences, want at least 150", len(lines))
	}
	alarms := 0
	for _, line := range lines {
		hits := privacy.Scan(line, privacy.Options{AllowYear: true})
		if len(hits) > 0 {
			alarms++
			t.Errorf("Scan(%q) = %s, want nothing", line, describe(line, hits))
		}
	}
	t.Logf("false alarms in %d of %d clean sentences (measured on sentences written for this test)", alarms, len(lines))
}

// The clean sentences joined into one text exercise patterns that reach over a
// line end.
func TestScanLeavesCleanTextAlone(t *testing.T) {
	text := strings.Join(sentences(t, "testdata/clean.txt"), "\n")
	if hits := privacy.Scan(text, privacy.Options{AllowYear: true}); len(hits) > 0 {
		t.Errorf("Scan(all clean sentences) = %s, want nothing", describe(text, hits))
	}
}
