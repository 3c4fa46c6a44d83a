package rules_test

import (
	"strings"
	"testing"

	"sideport/annotate/rules"
	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
)

// Waivers through the whole of a case: rule.Waive's own table is in annotate/rule.
func TestWaiversOfACase(t *testing.T) {
	const (
		steps   = "steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 5.2 mm}}]\n"
		caution = "case/case.yaml:4:69: caution: rhexis diameter 5.2 mm is below 5.5–7.5 mm [range/rhexis-diameter]"
		start   = "waivers: [{rule: range/rhexis-diameter, step: capsulotomy, "
		end     = "reason: small pupil, by: T3}]\n"
		reading = "case/case.yaml:5:18: note: the waiver for range/rhexis-diameter at capsulotomy "
	)
	for _, tt := range []struct {
		name, waiver string
		want         []string
	}{
		{"none", "", []string{caution}},
		{"for the value", start + "value: 5.2 mm, " + end, []string{caution + " (listed exception)"}},
		{"for the value in another unit", start + "value: 0.52 cm, " + end, []string{caution + " (listed exception)"}},
		{"for the first occurrence, said", start + "nth: 1, value: 5.2 mm, " + end, []string{caution + " (listed exception)"}},
		{"for another value", start + "value: 5.0 mm, " + end, []string{caution, reading + "1 was given for 5.0 mm; recorded is 5.2 mm [read/waiver-lapsed]"}},
		{"for another occurrence", start + "nth: 2, value: 5.2 mm, " + end, []string{caution, reading + "2 matches no finding; the rule speaks of capsulotomy 1 [read/waiver-unused]"}},
		{"for no value", start + end, []string{caution, reading + "1 names no value; recorded is 5.2 mm [read/waiver-incomplete]"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			list := found(t, with(steps+tt.waiver, ""))
			got := append(only(list, "range/"), only(list, "read/")...)
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// Findings of order, step and time carry step and occurrence, so that they can be
// waived too; what would be said of another occurrence stays.
func TestWaiversOfOtherRules(t *testing.T) {
	for _, tt := range []struct{ rule, lines, list, waiver string }{
		{"order/sequence", "", ticks("rhexis", "trypan"), "step: capsulotomy, "},
		{"order/repeat", "", ticks("rhexis", "hydro", "rhexis"), "step: capsulotomy, nth: 2, "},
		{"order/missing-step", "", ticks("rhexis"), ""},
		{"step/variant", "steps: [{step: capsulotomy, variant: magic}]\n", "", "step: capsulotomy, "},
		{"time/window", "", "1:00-1:01 side port\n", "step: side-port, value: 1 s, "},
		{"privacy/authors", "authors: [A]\n", "", ""},
	} {
		waiver := "waivers: [{rule: " + tt.rule + ", " + tt.waiver + "reason: so it was, by: T3}]\n"
		list := found(t, with(tt.lines+waiver, tt.list))
		said := only(list, tt.rule)
		if len(said) == 0 {
			t.Errorf("%s says nothing", tt.rule)
		}
		for _, f := range said {
			if !strings.HasSuffix(f, " (listed exception)") {
				t.Errorf("%s is not waived: %s", tt.rule, f)
			}
		}
		if unused := only(list, "read/waiver-unused"); len(unused) != 0 {
			t.Errorf("%s: %v", tt.rule, unused)
		}
	}
}

// A privacy stop is accepted at its place alone, one at a time, with a reason and a
// code; nothing else sets it aside: design section 9.
func TestWaiversOfPrivacyStops(t *testing.T) {
	notes := "See MRN 00731.\nSee MRN 00732.\n"
	stop := func(place, after string) string {
		return "case/" + place + ": stop: the text reads like a medical record number; every output of the case is withheld [privacy/text]" + after
	}
	const listed = " (listed exception)"
	for _, tt := range []struct {
		name, waivers string
		want          []string
	}{
		{"one place", "{rule: privacy/text, value: \"notes.md:1:9\", reason: invented, by: T3}", []string{stop("notes.md:1:9", listed), stop("notes.md:2:9", "")}},
		{"both, each by its own", "{rule: privacy/text, value: \"notes.md:1:9\", reason: invented, by: T3}, {rule: privacy/text, value: \"case/notes.md:2:9\", reason: invented, by: T3}",
			[]string{stop("notes.md:1:9", listed), stop("notes.md:2:9", listed)}},
		{"the rule alone", "{rule: privacy/text, reason: invented, by: T3}", []string{stop("notes.md:1:9", ""), stop("notes.md:2:9", "")}},
		{"the file alone", "{rule: privacy/text, value: notes.md, reason: invented, by: T3}", []string{stop("notes.md:1:9", ""), stop("notes.md:2:9", "")}},
		{"no code", "{rule: privacy/text, value: \"notes.md:1:9\", reason: invented, by: ''}", []string{stop("notes.md:1:9", ""), stop("notes.md:2:9", "")}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			list := found(t, map[string]string{"case.yaml": head + "waivers: [" + tt.waivers + "]\n", "notes.md": notes})
			if diff := cmp.Diff(tt.want, only(list, "privacy/text")); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
			for _, f := range list {
				if f.Waived && f.WaivedBy != "T3: invented" {
					t.Errorf("WaivedBy = %q, want the code and the reason", f.WaivedBy)
				}
			}
		})
	}
}

// A private word is never exported, so that no waiver accepts one: design section 4.
func TestWaiversOfPrivateWords(t *testing.T) {
	const (
		after   = " holds one of the case's private words; every output of the case is withheld "
		refused = "case/case.yaml:5:18: note: the waiver for privacy/RULE sets nothing aside: a private word is never exported [read/waiver-refused]"
	)
	for _, tt := range []struct{ name, folder, rule, place, notes, stop string }{
		{"as written", "case", "text", "notes.md:1:4", "by Zubrik, MRN 00731\n", "case/notes.md:1:4: stop: the text" + after + "[privacy/text]"},
		{"among other stops", "case", "text", "case/notes.md:2:4", "MRN 00731\nby Zubrik, MRN 00732\n", "case/notes.md:2:4: stop: the text" + after + "[privacy/text]"},
		{"in pieces", "case", "text", "notes.md:1:4", "by Zub**rik**\n", "case/notes.md:1:4: stop: the text" + after + "[privacy/text]"},
		{"a name", "by Zubrik", "file-name", "case.yaml", "", "case/case.yaml: stop: the name of the case folder" + after + "[privacy/file-name]"},
	} {
		files := map[string]string{"case.yaml": head + "private-words: [Zubrik]\nwaivers: [{rule: privacy/" + tt.rule + ", value: \"" + tt.place + "\", reason: invented, by: T3}]\n", "notes.md": tt.notes}
		c := resolve(t, folder(t, tt.folder, files))
		var got []string
		for _, f := range rules.Waive(rules.Check(c), c) {
			if f.Waived {
				t.Errorf("%s: %s is accepted", tt.name, f)
			}
			private := strings.Contains(f.Message, "private words")
			if private || f.Rule == "read/waiver-refused" {
				got = append(got, f.String())
			}
			if private && !strings.Contains(f.Hint, "no waiver accepts") {
				t.Errorf("%s: the hint offers what is refused: %s", tt.name, f.Hint)
			}
		}
		if diff := cmp.Diff([]string{tt.stop, strings.Replace(refused, "RULE", tt.rule, 1)}, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}

// What cannot be read is no exception.
func TestWaiversOfErrors(t *testing.T) {
	list := found(t, with("steps: [{step: capsulotomi}]\nwaivers: [{rule: read/unknown-step, reason: so, by: T3}]\n", ""))
	if worst, _ := source.Worst(list); worst != source.Error {
		t.Errorf("worst = %v, want the error to stay", worst)
	}
	want := []string{"case/case.yaml:5:18: note: the waiver for read/unknown-step sets nothing aside: material that cannot be read is no exception [read/waiver-refused]"}
	if diff := cmp.Diff(want, only(list, "read/waiver-refused")); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
