package rules_test

import (
	"slices"
	"testing"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/annotate/rules"
	"sideport/timeline/source"
)

// FuzzCheck reads, resolves and checks a case of five files, an empty one not
// there. Nothing panics, every finding stands inside its source, and a second run
// says the same. Its inputs are long: -fuzzminimizetime 5x keeps it from spending its
// time on making them short.
func FuzzCheck(f *testing.F) {
	seeds := 0
	for _, cases := range []map[string]map[string]string{corpus(f), faulty()} {
		for _, files := range cases {
			f.Add(files["case.yaml"], files["recording.txt"], files["chapters.vtt"], files["narration.srt"], files["notes.md"])
			seeds++
		}
	}
	if seeds == 0 {
		f.Fatal("there are no seeds")
	}
	f.Fuzz(func(t *testing.T, file, recording, chapters, narration, notes string) {
		files := map[string]string{"case.yaml": file, "recording.txt": recording, "chapters.vtt": chapters, "narration.srt": narration, "notes.md": notes}
		for name, text := range files {
			if text == "" && name != "case.yaml" {
				delete(files, name)
			}
		}
		m, err := annotate.Load(folder(t, "case", files), "case")
		if err != nil {
			t.Fatal(err)
		}
		c, ok := annotate.Resolve(m, ranges.Builtin())
		check := rules.Check
		if !ok {
			check = rules.CheckPrivacy
		}
		list := check(c)
		for _, f := range rules.Waive(slices.Concat(c.Findings, list), c) {
			inside(t, f, f.Pos)
			for _, r := range f.Related {
				inside(t, f, r.Pos)
			}
		}
		if again := check(c); len(again) != len(list) {
			t.Errorf("%d findings, and %d the second time", len(list), len(again))
		}
	})
}

func inside(t *testing.T, f source.Finding, p source.Pos) {
	t.Helper()
	if p.Source == nil || p.Offset < -1 || p.Offset > len(p.Source.Text()) {
		t.Errorf("%s %q stands at %d, outside its source", f.Rule, f.Message, p.Offset)
	}
}
