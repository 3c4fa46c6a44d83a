package rule_test

import (
	"slices"
	"strings"
	"testing"

	"sideport/annotate"
	"sideport/annotate/quantity"
	"sideport/annotate/rule"
	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"

	"github.com/google/go-cmp/cmp"
)

func bounds(low, high float64, unit string) *source.Bounds {
	return &source.Bounds{Low: &low, High: &high, Unit: unit}
}

// findings is a list with one finding of each kind that waivers meet.
func findings() []source.Finding {
	notes := source.New("cases/a/notes.md", []byte("# Notes\n\nseen 2026-03-01 and 2026-03-02\n"))
	open := 30.0
	return []source.Finding{
		{Rule: "range/bottle-height", Step: "cortex-aspiration", Nth: 1, Severity: source.Caution, Value: bounds(45, 45, "cm"), Message: "bottle height 45 cm is below 50–80 cm"},
		{Rule: "range/bottle-height", Step: "cortex-aspiration", Nth: 2, Severity: source.Caution, Value: bounds(40, 45, "cm"), Message: "bottle height 40–45 cm is below 50–80 cm"},
		{Rule: "range/vacuum", Step: "capsule-polish", Nth: 1, Severity: source.Stop, Value: &source.Bounds{Low: &open, Unit: "mmHg"}, Message: "vacuum ≥ 30 mmHg"},
		{Rule: "range/suture-count", Step: "wound-suture", Nth: 1, Severity: source.Note, Value: bounds(3, 3, "count"), Message: "suture count 3 is above 0–2"},
		{Rule: "range/irrigant", Severity: source.Caution, Message: "irrigant saline is none of bss, ringer"},
		{Rule: "order/missing-step", Severity: source.Note, Message: "expected and not named: draping"},
		{Rule: "read/bad-time", Severity: source.Error, Message: "the time 1:75 has seconds above 59"},
		{Rule: "privacy/text", Severity: source.Stop, Pos: notes.PosAt(3, 6), Message: "the text reads like a date"},
		{Rule: "privacy/text", Severity: source.Stop, Pos: notes.PosAt(3, 21), Message: "the text reads like a date"},
		{Rule: "privacy/authors", Severity: source.Note, Message: "authors are named"},
		{Rule: "privacy/text", Severity: source.Stop, Pos: notes.PosAt(1, 3), Final: true, Message: "the text holds one of the case's private words"},
	}
}

// waivers reads the waivers block of a case file.
func waivers(t *testing.T, lines ...string) []annotate.Waiver {
	t.Helper()
	text := "waivers:\n"
	for _, l := range lines {
		text += "  - {" + l + "}\n"
	}
	var file annotate.File
	yamldoc.Decode(source.New("case.yaml", []byte(text)), &file, func(f source.Finding) { t.Fatal(f) })
	return file.Waivers
}

func TestWaive(t *testing.T) {
	const by = ", reason: hard nucleus, by: T3"
	tests := []struct {
		name, waiver string
		waived       []int  // of findings()
		note         string // the whole of it, or nothing
	}{
		{"equal value", "rule: range/bottle-height, step: cortex-aspiration, nth: 1, value: 45 cm" + by, []int{0}, ""},
		{"the first occurrence when none is written", "rule: range/bottle-height, step: cortex-aspiration, value: 45 cm" + by, []int{0}, ""},
		{"another unit of the same value", "rule: range/bottle-height, step: cortex-aspiration, nth: 1, value: 450 mm" + by, []int{0}, ""},
		{"another occurrence, a range", "rule: range/bottle-height, step: cortex-aspiration, nth: 2, value: 40-45 cm" + by, []int{1}, ""},
		{"an open end", "rule: range/vacuum, step: capsule-polish, value: \">= 30 mmHg\"" + by, []int{2}, ""},
		{"a count without its unit", "rule: range/suture-count, step: wound-suture, value: 3" + by, []int{3}, ""},
		{"a word stands in the message", "rule: range/irrigant, value: saline" + by, []int{4}, ""},
		{"no value to name", "rule: order/missing-step" + by, []int{5}, ""},
		{"a privacy note", "rule: privacy/authors" + by, []int{9}, ""},
		{"one privacy stop by its place", "rule: privacy/text, value: \"notes.md:3:21\"" + by, []int{8}, ""},
		{"one privacy stop by its whole path", "rule: privacy/text, value: \"cases/a/notes.md:3:6\"" + by, []int{7}, ""},

		{"the value changed", "rule: range/bottle-height, step: cortex-aspiration, nth: 1, value: 40 cm" + by, nil,
			"case.yaml:2:12: note: the waiver for range/bottle-height at cortex-aspiration 1 was given for 40 cm; recorded is 45 cm [read/waiver-lapsed]"},
		{"a range is no single value", "rule: range/bottle-height, step: cortex-aspiration, nth: 2, value: 45 cm" + by, nil,
			"case.yaml:2:12: note: the waiver for range/bottle-height at cortex-aspiration 2 was given for 45 cm; recorded is 40–45 cm [read/waiver-lapsed]"},
		{"a closed value is no open one", "rule: range/vacuum, step: capsule-polish, value: 30 mmHg" + by, nil,
			"case.yaml:2:12: note: the waiver for range/vacuum at capsule-polish 1 was given for 30 mmHg; recorded is ≥ 30 mmHg [read/waiver-lapsed]"},
		{"a number without its unit", "rule: range/bottle-height, step: cortex-aspiration, value: 45" + by, nil,
			"case.yaml:2:12: note: the waiver for range/bottle-height at cortex-aspiration 1 was given for 45; recorded is 45 cm [read/waiver-lapsed]"},
		{"a unit of another kind", "rule: range/bottle-height, step: cortex-aspiration, value: 45 mL" + by, nil,
			"case.yaml:2:12: note: the waiver for range/bottle-height at cortex-aspiration 1 was given for 45 mL; recorded is 45 cm [read/waiver-lapsed]"},
		{"no value where there is one", "rule: range/bottle-height, step: cortex-aspiration" + by, nil,
			"case.yaml:2:12: note: the waiver for range/bottle-height at cortex-aspiration 1 names no value; recorded is 45 cm [read/waiver-incomplete]"},
		{"another word", "rule: range/irrigant, value: sal" + by, nil,
			"case.yaml:2:12: note: the waiver for range/irrigant was given for sal; recorded is another value [read/waiver-lapsed]"},
		{"another occurrence than any", "rule: range/bottle-height, step: cortex-aspiration, nth: 3, value: 45 cm" + by, nil,
			"case.yaml:2:12: note: the waiver for range/bottle-height at cortex-aspiration 3 matches no finding; the rule speaks of cortex-aspiration 1, cortex-aspiration 2 [read/waiver-unused]"},
		{"no step where the finding has one", "rule: range/vacuum, value: 30 mmHg" + by, nil,
			"case.yaml:2:12: note: the waiver for range/vacuum matches no finding; the rule speaks of capsule-polish 1 [read/waiver-unused]"},
		{"a rule that is silent", "rule: range/flow, step: capsule-polish, value: 60 mL/min" + by, nil,
			"case.yaml:2:12: note: the waiver for range/flow at capsule-polish 1 matches no finding [read/waiver-unused]"},
		{"an error", "rule: read/bad-time" + by, nil,
			"case.yaml:2:12: note: the waiver for read/bad-time sets nothing aside: material that cannot be read is no exception [read/waiver-refused]"},
		{"a privacy stop without its place", "rule: privacy/text" + by, nil,
			"case.yaml:2:12: note: the waiver for privacy/text sets nothing aside: a privacy stop is accepted by its exact position only [read/waiver-refused]"},
		{"a privacy stop at another place", "rule: privacy/text, value: \"notes.md:3:2\"" + by, nil,
			"case.yaml:2:12: note: the waiver for privacy/text sets nothing aside: a privacy stop is accepted by its exact position only [read/waiver-refused]"},
		{"a private word at its place", "rule: privacy/text, value: \"notes.md:1:3\"" + by, nil,
			"case.yaml:2:12: note: the waiver for privacy/text sets nothing aside: a private word is never exported [read/waiver-refused]"},
		{"an empty code", "rule: order/missing-step, reason: off video, by: \"\"", nil,
			"case.yaml:2:12: note: the waiver lacks by and sets nothing aside [read/waiver-incomplete]"},
		// read/missing-key has said so already.
		{"no reason written", "rule: order/missing-step, by: T3", nil, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			before := findings()
			after := rule.Waive(before, waivers(t, tt.waiver))
			if len(after) < len(before) {
				t.Fatalf("%d findings of %d are left", len(after), len(before))
			}
			var waived []int
			for i := range before {
				if before[i].Waived {
					t.Errorf("finding %d of the list given was changed", i)
				}
				if after[i].Waived {
					waived = append(waived, i)
					if after[i].WaivedBy != "T3: hard nucleus" {
						t.Errorf("WaivedBy = %q, want %q", after[i].WaivedBy, "T3: hard nucleus")
					}
				}
			}
			if !slices.Equal(waived, tt.waived) {
				t.Errorf("waived = %v, want %v", waived, tt.waived)
			}
			var notes []string
			for _, f := range after[len(before):] {
				notes = append(notes, f.String())
				for _, fault := range rule.Wording(f.Message) {
					t.Errorf("message %q: %s", f.Message, fault)
				}
			}
			if got := strings.Join(notes, "\n"); got != tt.note {
				t.Errorf("notes (-want +got):\n%s", cmp.Diff(tt.note, got))
			}
		})
	}
}

// A finding's value as the ranges make it, converted to the row's unit, equals the
// waiver's as the user writes it.
func TestWaiveComparesConvertedValues(t *testing.T) {
	for _, text := range []string{"0.7 cm", "275 µm", "30 kPa", "0.06 %", "1/3"} {
		q, err := quantity.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		unit := map[string]string{"cm": "mm", "µm": "mm", "kPa": "mmHg", "%": "mg/mL", "fraction": "fraction"}[q.Unit]
		in, err := q.In(unit)
		if err != nil {
			t.Fatal(err)
		}
		f := source.Finding{Rule: "range/x", Step: "s", Nth: 1, Value: &source.Bounds{Low: in.Low, High: in.High, Unit: in.Unit}}
		after := rule.Waive([]source.Finding{f}, waivers(t, "rule: range/x, step: s, value: "+text+", reason: r, by: T3"))
		if !after[0].Waived {
			t.Errorf("a waiver for %s does not fit the same value in %s: %v", text, unit, after)
		}
	}
}

// Two things in one file name are accepted by two waivers, not by one.
func TestWaiveAcceptsOnePrivacyStopAtATime(t *testing.T) {
	name := source.New("cases/a/20260301_204518.mp4", nil)
	stop := source.Finding{Rule: "privacy/file-name", Severity: source.Stop, Pos: name.Whole(), Message: "the name of the video reads like a date"}
	accept := "rule: privacy/file-name, value: 20260301_204518.mp4, reason: made up, by: T3"
	for _, n := range []int{1, 2} {
		lines := []string{accept, accept}[:n]
		got := 0
		for _, f := range rule.Waive([]source.Finding{stop, stop}, waivers(t, lines...)) {
			if f.Waived {
				got++
			}
		}
		if got != n {
			t.Errorf("%d waivers accept %d stops, want %d", n, got, n)
		}
	}
}
