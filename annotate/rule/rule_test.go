package rule_test

import (
	"testing"

	"sideport/annotate/rule"
	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
)

func TestValidate(t *testing.T) {
	run := func(*rule.Pass) {}
	good := rule.Rule{Name: "order/missing-step", Doc: "Expected steps not named.", Severity: source.Note, Run: run}
	with := func(change func(*rule.Rule)) rule.Rule { r := good; change(&r); return r }
	tests := []struct {
		name  string
		rules []rule.Rule
		want  []string
	}{
		{"sound", []rule.Rule{good, with(func(r *rule.Rule) { r.Name = "range/<parameter>" })}, nil},
		{"twice", []rule.Rule{good, good}, []string{`rule 1 "order/missing-step": the name stands twice`}},
		{"form", []rule.Rule{with(func(r *rule.Rule) { r.Name = "order/Missing" })}, []string{`rule 0 "order/Missing": the name is not group/rule in lower case with hyphens`}},
		{"no slash", []rule.Rule{with(func(r *rule.Rule) { r.Name = "order" })}, []string{`rule 0 "order": the name is not group/rule in lower case with hyphens`}},
		{"group", []rule.Rule{with(func(r *rule.Rule) { r.Name = "style/x" })},
			[]string{`rule 0 "style/x": the group is none of read, time, step, order, range, cross, speech, privacy, reporting, media`}},
		{"text", []rule.Rule{with(func(r *rule.Rule) { r.Doc = " " })}, []string{`rule 0 "order/missing-step": there is no text`}},
		{"severity", []rule.Rule{with(func(r *rule.Rule) { r.Severity = 7 })}, []string{`rule 0 "order/missing-step": the severity is none of the four`}},
		{"function", []rule.Rule{with(func(r *rule.Rule) { r.Run = nil })}, []string{`rule 0 "order/missing-step": there is no function`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if diff := cmp.Diff(tt.want, rule.Validate(tt.rules)); diff != "" {
				t.Errorf("Validate (-want +got):\n%s", diff)
			}
		})
	}
}

func TestWording(t *testing.T) {
	tests := []struct {
		message string
		want    int
	}{
		{"rhexis diameter 5.2 mm is below 5.5–7.5 mm", 0},
		{"IOL power 60 D is above -10–40 D", 0},
		{`"gel" could be ovd-fill or ovd-refill`, 0},
		{"5.2 mm is recorded", 0},
		{`"Title" names no step`, 0},
		{`"we should avoid \"gel\"." names no step`, 0},
		{`"a" should be "b"`, 1},
		{"needle gauge 23 G is outside 26–30 G", 0},
		{"Rhexis diameter is small", 1},
		{"the rhexis is small.", 1},
		{"the rhexis should be larger", 1},
		{"Consider a larger rhexis.", 3},
		{"", 1},
	}
	for _, tt := range tests {
		if got := rule.Wording(tt.message); len(got) != tt.want {
			t.Errorf("Wording(%q) = %v, want %d faults", tt.message, got, tt.want)
		}
	}
}

func TestSourceText(t *testing.T) {
	tests := []struct{ reference, evidence, want string }{
		{"A reference", "confirmed", "A reference"},
		{"", "common-practice", "common practice, no source"},
		{"", "from-memory", "from memory, unconfirmed"},
		{"", "assumption", "our sanity limit (assumption)"},
		{"", "", ""},
	}
	for _, tt := range tests {
		if got := rule.SourceText(tt.reference, tt.evidence); got != tt.want {
			t.Errorf("SourceText(%q, %q) = %q, want %q", tt.reference, tt.evidence, got, tt.want)
		}
	}
}
