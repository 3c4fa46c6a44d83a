package rules_test

import "testing"

func TestVariants(t *testing.T) {
	expect(t, "step/variant", []sample{
		{"known", with("steps: [{step: capsulotomy, variant: can-opener}]\n", ""), nil},
		{"a synonym in other letters", with("steps: [{step: capsulotomy, variant: Continuous curvilinear capsulorhexis}]\n", ""), nil},
		{"none written", with("steps: [{step: capsulotomy}]\n", ""), nil},
		{"no step of the vocabulary", with("steps: [{step: lunch, variant: long}]\n", ""), nil},
		{"near", with("steps: [{step: capsulotomy, variant: envelop}]\n", ""), []string{
			`case/case.yaml:4:38: caution: "envelop" is no variant of capsulotomy in the vocabulary; the nearest is "envelope" [step/variant]`}},
		{"far", with("steps:\n  - step: nucleus-delivery\n    variant: 'by magic'\n", ""), []string{
			`case/case.yaml:6:14: caution: "by magic" is no variant of nucleus-delivery in the vocabulary [step/variant]`}},
		{"a step without variants", with("steps: [{step: entry-extension, variant: wide}]\n", ""), []string{
			`case/case.yaml:4:42: caution: "wide" is no variant of entry-extension in the vocabulary [step/variant]`}},
		{"the second occurrence", with("steps: [{step: hydroprocedure, nth: 2, variant: magic}]\n", ticks("hydro", "rhexis", "hydro")), []string{
			`case/case.yaml:4:49: caution: "magic" is no variant of hydroprocedure in the vocabulary [step/variant]`}},
	})
	for _, f := range found(t, with("steps: [{step: hydroprocedure, nth: 2, variant: magic}]\n", ticks("hydro", "rhexis", "hydro"))) {
		if f.Rule == "step/variant" && (f.Step != "hydroprocedure" || f.Nth != 2 || f.Path != "steps[0].variant") {
			t.Errorf("step %s %d, path %s; want hydroprocedure 2, steps[0].variant", f.Step, f.Nth, f.Path)
		}
	}
}
