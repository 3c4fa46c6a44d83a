package annotate_test

import (
	"fmt"
	"strings"
	"testing"

	"sideport/annotate"

	"github.com/google/go-cmp/cmp"
)

// judged is a value's result, the band it was held against, and the rules that
// spoke.
func judged(v annotate.Value) string {
	j := v.Judgement
	end := func(x *float64) string {
		if x == nil {
			return ""
		}
		return fmt.Sprintf("%g", *x)
	}
	out := fmt.Sprintf("%s %s..%s", j.Result, end(j.Accepted.Low), end(j.Accepted.High))
	for _, f := range j.Findings {
		out += " " + f.Rule
	}
	return out
}

// Every fact that annotate/ranges asks for is filled in from case.yaml: with the
// fact another row is chosen than without it, or than with another one. The bands
// are those that ranges/RANGES.md lists for the conditions, each with its source.
func TestEachFactChoosesItsRow(t *testing.T) {
	const ours = "files: {ranges: ours.yaml}\n"
	groove := "steps: [{step: scleral-groove, values: {external-incision-length: 6.9 mm}}"
	tests := []struct {
		fact      string
		head      string
		parameter string
		keys      [2]string
		want      [2]string
	}{
		{"procedure", "", "side-port-width",
			[2]string{head + "steps: [{step: side-port, values: {side-port-width: 1.8 mm}}]\n", phacoHead + "steps: [{step: side-port, values: {side-port-width: 1.8 mm}}]\n"},
			[2]string{"within 0.8..2", "outside 0.8..1.5 range/side-port-width"}},
		{"procedure, both after a conversion", phacoHead, "side-port-width",
			[2]string{"steps: [{step: side-port, values: {side-port-width: 1.8 mm}}]\n", "events: [{event: conversion}]\nsteps: [{step: side-port, values: {side-port-width: 1.8 mm}}]\n"},
			[2]string{"outside 0.8..1.5 range/side-port-width", "within 0.8..2 range/which"}},
		{"variant", head, "bottle-height",
			[2]string{"steps: [{step: cortex-aspiration, variant: simcoe, values: {bottle-height: 100 cm}}]\n", "steps: [{step: cortex-aspiration, variant: Bimanual Machine, values: {bottle-height: 100 cm}}]\n"},
			[2]string{"outside 50..80 range/bottle-height", "within 65..110"}},
		{"the technique of another step", head + ours, "irrigant-volume",
			[2]string{"values: {irrigant-volume: 60 mL}\nsteps: [{step: nucleus-delivery, variant: snare}]\n", "values: {irrigant-volume: 60 mL}\nsteps: [{step: nucleus-delivery, variant: Fish Hook}]\n"},
			[2]string{"unknown ..", "outside 10..20 range/irrigant-volume"}},
		{"delivery", head, "external-incision-length",
			[2]string{groove + "]\n", groove + ", {step: nucleus-delivery, variant: trisection}]\n"},
			[2]string{"within 2..8 range/which", "outside 2..6 range/external-incision-length"}},
		{"delivery from the fragmentation", head, "external-incision-length",
			[2]string{"patient: {cataract: {type: [ns]}}\n" + groove + ", {step: nucleus-delivery, variant: viscoexpression}]\n", groove + ", {step: nucleus-fragmentation, variant: snare-loop}]\n"},
			[2]string{"within 5.5..8", "outside 2..6 range/external-incision-length"}},
		{"cataract", head, "external-incision-length",
			[2]string{"patient: {cataract: {type: [ns], grade: [{scheme: locs3-no, value: 3}]}}\n" + groove + ", {step: nucleus-delivery, variant: viscoexpression}]\n",
				"patient: {cataract: {type: [Brown]}}\n" + groove + ", {step: nucleus-delivery, variant: viscoexpression}]\n"},
			[2]string{"within 5.5..7", "within 6.5..8"}},
		{"grade", head, "external-incision-length",
			[2]string{"patient: {cataract: {type: [ns], grade: [{scheme: locs3-no, value: 4.9}]}}\n" + groove + ", {step: nucleus-delivery, variant: viscoexpression}]\n",
				"patient: {cataract: {type: [ns], grade: [{scheme: locs3-no, value: 5}]}}\n" + groove + ", {step: nucleus-delivery, variant: viscoexpression}]\n"},
			[2]string{"within 5.5..7", "within 6.5..8"}},
		{"grade, noted before surgery", phacoHead, "vacuum",
			[2]string{"before: {grade-locs3-no: 3}\nsteps: [{step: fragment-removal, values: {vacuum: 450 mmHg}}]\n", "before: {grade-locs3-no: 2}\nsteps: [{step: fragment-removal, values: {vacuum: 450 mmHg}}]\n"},
			[2]string{"within 200..500", "outside 150..400 range/vacuum"}},
		{"grade in a scheme that no row goes by", phacoHead, "vacuum",
			[2]string{"patient: {cataract: {grade: [{scheme: locs3-no, value: 3}]}}\nsteps: [{step: fragment-removal, values: {vacuum: 450 mmHg}}]\n",
				"patient: {cataract: {grade: [{scheme: clinical-1-4, value: 1}]}}\nsteps: [{step: fragment-removal, values: {vacuum: 450 mmHg}}]\n"},
			[2]string{"within 200..500", "within 200..500 range/grade-scheme"}},
		{"lens.material", phacoHead, "main-incision-width",
			[2]string{"lens: {material: silicone}\nsteps: [{step: main-incision, variant: clear-corneal, values: {main-incision-width: 3.4 mm}}]\n", "lens: {material: PMMA}\nsteps: [{step: main-incision, variant: clear-corneal, values: {main-incision-width: 3.4 mm}}]\n"},
			[2]string{"far-outside 2.2..2.8 range/main-incision-width", "outside 5..6.5 range/main-incision-width"}},
		{"lens.optic-diameter", phacoHead, "rhexis-diameter",
			[2]string{"lens: {optic-diameter: 6.0 mm}\nsteps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 4.7 mm}}]\n", "lens: {optic-diameter: 0.55 cm}\nsteps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 4.7 mm}}]\n"},
			[2]string{"outside 5..5.5 range/rhexis-diameter", "within 4.5..5"}},
		{"lens.site", head, "overall-diameter",
			[2]string{"lens: {overall-diameter: 13.2 mm, site: in-bag}\n", "lens: {overall-diameter: 13.2 mm, site: sulcus}\n"},
			[2]string{"outside 12..12.5 range/overall-diameter", "within 13..14"}},
		{"limbus-landmark", head, "distance-from-limbus",
			[2]string{"steps: [{step: scleral-groove, values: {distance-from-limbus: 1 mm, limbus-landmark: middle}}]\n", "steps: [{step: scleral-groove, values: {distance-from-limbus: 1 mm, limbus-landmark: posterior}}]\n"},
			[2]string{"outside 1.5..2.5 range/distance-from-limbus", "within 0.5..1.5"}},
		{"ovd-type", head, "ovd-concentration",
			[2]string{"steps: [{step: ovd-fill, values: {ovd-type: hpmc, ovd-concentration: 1.4 %}}]\n", "steps: [{step: ovd-fill, values: {ovd-type: hyaluronate, ovd-concentration: 1.4 %}}]\n"},
			[2]string{"far-outside 2..2.5 range/ovd-concentration", "within 1..3"}},
		{"drug", head, "dose",
			[2]string{"steps: [{step: intracameral-antibiotic, values: {drug: cefuroxime, dose: 0.5 mg}}]\n", "steps: [{step: intracameral-antibiotic, values: {drug: moxifloxacin, dose: 0.5 mg}}]\n"},
			[2]string{"far-outside 0.9..1.1 range/dose", "within 0.25..0.6"}},
		{"drug named by the technique", head, "dose",
			[2]string{"steps: [{step: intracameral-antibiotic, variant: cefuroxime, values: {dose: 0.5 mg}}]\n", "values: {drug: cefuroxime}\nsteps: [{step: intracameral-antibiotic, variant: moxifloxacin, values: {dose: 0.5 mg}}]\n"},
			[2]string{"far-outside 0.9..1.1 range/dose", "within 0.25..0.6"}},
		{"ocular", phacoHead, "cumulative-energy",
			[2]string{"patient: {ocular: [none]}\nsteps: [{step: fragment-removal, values: {cumulative-energy: 12 %-s}}]\n", "patient: {ocular: [Fuchs]}\nsteps: [{step: fragment-removal, values: {cumulative-energy: 12 %-s}}]\n"},
			[2]string{"within 2..25", "outside ..10 range/cumulative-energy"}},
		{"endothelial-count", phacoHead, "cumulative-energy",
			[2]string{"patient: {ocular: [none]}\nbefore: {endothelial-count: 2000}\nsteps: [{step: fragment-removal, values: {cumulative-energy: 12 %-s}}]\n",
				"patient: {ocular: [none]}\nbefore: {endothelial-count: \"1,999\"}\nsteps: [{step: fragment-removal, values: {cumulative-energy: 12 %-s}}]\n"},
			[2]string{"within 2..25", "outside ..10 range/cumulative-energy"}},
		{"axial-length", phacoHead, "bottle-height",
			[2]string{"patient: {ocular: [none]}\nbefore: {axial-length: 26.5 mm}\nsteps: [{step: fragment-removal, values: {bottle-height: 95 cm}}]\n",
				"patient: {ocular: [none]}\nbefore: {axial-length: 2.66 cm}\nsteps: [{step: fragment-removal, values: {bottle-height: 95 cm}}]\n"},
			[2]string{"within 65..110", "outside ..80 range/bottle-height"}},
		{"given.infusion-pressure", phacoHead, "vacuum",
			[2]string{"before: {grade-locs3-no: 4}\nsteps: [{step: fragment-removal, values: {vacuum: 580 mmHg}}]\n", "before: {grade-locs3-no: 4}\nsteps: [{step: fragment-removal, values: {vacuum: 580 mmHg, infusion-pressure: 50 mmHg}}]\n"},
			[2]string{"outside 200..500 range/vacuum", "within 200..600"}},
		{"step", head, "bottle-height",
			[2]string{"steps: [{step: cortex-aspiration, variant: simcoe, values: {bottle-height: 75 cm}}]\n", "steps: [{step: acm-insertion}, {step: cortex-aspiration, variant: simcoe, values: {bottle-height: 75 cm}}]\n"},
			[2]string{"within 50..80", "outside 40..70 range/bottle-height"}},
		{"event", phacoHead, "bottle-height",
			[2]string{"patient: {ocular: [none]}\nsteps: [{step: fragment-removal, values: {bottle-height: 95 cm}}]\n", "events: [{event: Zonular Dialysis}]\nsteps: [{step: fragment-removal, values: {bottle-height: 95 cm}}]\n"},
			[2]string{"within 65..110", "outside ..80 range/bottle-height"}},
	}
	local := "whose: ours\nrows: [{parameter: irrigant-volume, when: [nucleus-delivery.variant = fish-hook], accept: 10..20, unit: mL}]\n"
	for _, tt := range tests {
		t.Run(tt.fact, func(t *testing.T) {
			for i := range tt.keys {
				c := resolve(t, map[string]string{"case.yaml": tt.head + tt.keys[i], "ours.yaml": local})
				if got := printed(c.Findings, "read/"); got != nil {
					t.Errorf("findings: %v", got)
				}
				if got := judged(value(t, c, tt.parameter)); got != tt.want[i] {
					t.Errorf("%s:\n%s = %s, want %s", tt.keys[i], tt.parameter, got, tt.want[i])
				}
			}
		})
	}
}

// HasFact answers what the vocabulary asks: where the steps that a case may lack
// are listed.
func TestHasFact(t *testing.T) {
	c := resolve(t, map[string]string{"case.yaml": head +
		"patient: {cataract: {type: [posterior-polar]}}\nlens: {site: aphakic}\nsteps: [{step: hydrodissection}]\n"})
	for _, tt := range []struct {
		key, value string
		want       bool
	}{
		{"cataract-type", "posterior-polar", true}, {"cataract-type", "ns", false},
		{"lens-site", "aphakic", true}, {"lens-site", "in-bag", false},
		{"step.hydroprocedure", "yes", true}, {"step.capsulotomy", "yes", false},
		// A step named by its part names its technique.
		{"hydroprocedure.variant", "dissection", true},
	} {
		if got := c.HasFact(tt.key, tt.value); got != tt.want {
			t.Errorf("HasFact(%q, %q) = %v, want %v", tt.key, tt.value, got, tt.want)
		}
	}
}

// A fact that is a range or cannot be compared is not known.
func TestFactsThatAreNotKnown(t *testing.T) {
	for _, optic := range []string{"5.5-6.0 mm", "\"\"", "wide"} {
		c := resolve(t, map[string]string{"case.yaml": phacoHead +
			"lens: {optic-diameter: " + optic + "}\nsteps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 4.7 mm}}]\n"})
		if got := judged(value(t, c, "rhexis-diameter")); !strings.Contains(got, "4.5..5.5") {
			t.Errorf("with the optic %s: %s, want the union of both bands", optic, got)
		}
	}
}

func TestGrades(t *testing.T) {
	c := resolve(t, map[string]string{"case.yaml": head +
		"patient: {cataract: {grade: [{scheme: locs3-no, value: hard}, {value: 3}, {scheme: LOCS3-NC}, {scheme: buratto, value: 2}]}}\n"})
	want := []string{
		`case/case.yaml:4:56: error: the grade is "hard"; a number is read here, such as 3 or 3.4 [read/wrong-type]`,
		`case/case.yaml:4:63: error: the key "scheme" is missing in this entry [read/missing-key]`,
		`case/case.yaml:4:75: error: the key "value" is missing in this entry [read/missing-key]`,
		`case/case.yaml:4:104: error: "buratto" is none of the words known here; known are locs3-no, locs3-nc, locs3-c, locs3-p, clinical-1-4, clinical-1-5 [read/unknown-word]`,
	}
	if diff := cmp.Diff(want, faults(c.Findings)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
