package annotate_test

import (
	"os"
	"path/filepath"
	"testing"

	"sideport/annotate/agreement"
	"sideport/timeline/timelinetest"
)

// FuzzHoldAgainst holds any second list against a list: it ends without a panic, its
// findings lie inside their sources, every step is in a list, and what is compared
// lies inside the window. Seeds are the recording lists of the format corpus.
func FuzzHoldAgainst(f *testing.F) {
	seeds := 0
	names, err := filepath.Glob(filepath.Join(timelinetest.Root(f), "testdata", "formats", "stamps", "*"))
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range names {
		if filepath.Ext(name) == ".want" {
			continue
		}
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(fiveSteps, string(text))
		f.Add(string(text), "09:14:00 side port\n09:15:00 rhexis\n09:17:00 hydrodissection\n")
		seeds++
	}
	if seeds == 0 {
		f.Fatal("no recording list in the corpus")
	}
	f.Fuzz(func(t *testing.T, first, second string) {
		c := resolve(t, map[string]string{"case.yaml": head + "recording: {rate: 25, part: {to: \"2:30:00\"}}\n", "recording.txt": first})
		a := hold(t, c, second, 0)
		checkFindings(t, a.Findings)
		for _, s := range a.Steps {
			if s.First == nil && s.Second == nil {
				t.Fatalf("step %v is in no list", s)
			}
		}
		for _, list := range [][]agreement.Segment{a.First, a.Second} {
			for _, s := range list {
				if s.From < a.Window.From || s.To > a.Window.To {
					t.Fatalf("segment %v lies outside %v", s, a.Window)
				}
			}
		}
		agreement.Bins(a.First, a.Second, a.Window, 1)
		agreement.F1(a.First, a.Second, 10)
		agreement.Boundaries(a.First, a.Second)
		agreement.Edit(a.First, a.Second)
	})
}
