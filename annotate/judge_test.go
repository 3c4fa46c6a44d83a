package annotate_test

import (
	"strings"
	"testing"

	"sideport/annotate"

	"github.com/google/go-cmp/cmp"
)

// found are what the judgements of a case say, in file order.
func found(c *annotate.Case) []string {
	var out []string
	add := func(list []annotate.Value) {
		for _, v := range list {
			for _, f := range v.Judgement.Findings {
				out = append(out, f.Severity.String()+": "+f.Message+" ["+f.Rule+"]")
			}
		}
	}
	add(c.Header)
	for _, s := range c.Steps {
		add(s.Values)
	}
	return out
}

// The blocks before, day-1 and week-6 are held against the ranges of the eye, lens
// against those of the lens and values against those of the whole case. Corneal
// power has a mean of 44.26 D with SD 1.70 in 28,709 eyes (BMC Ophthalmol 2021, doi
// 10.1186/s12886-021-01932-4): 62 D lies ten SD away.
func TestHeaderGroups(t *testing.T) {
	c := resolve(t, map[string]string{"case.yaml": head +
		"before: {acuity: {corrected: HM}, pressure: 14, k-flat: 43.00 D @ 180, k-steep: 62 D @ 90, axial-length: 2.34 cm}\n" +
		"day-1: {pressure: 30 mmHg, acuity: {uncorrected: 6/12}}\n" +
		"week-6: {pressure: 12 mmHg}\n" +
		"lens: {material: PMMA, optic-diameter: 6.0, overall-diameter: 12.5 mm, site: in-bag, lens-power: 21 D}\n" +
		"values: {irrigant: saline, irrigant-temperature: 20 °C}\n"})
	if got := printed(c.Findings, "read/"); got != nil {
		t.Fatalf("findings: %v", got)
	}
	want := []string{
		"before acuity.corrected HM not-judged",
		"before pressure 14 mmHg within", // the unit may be left out in the header
		"before k-flat 43.00 D @ 180 within",
		"before k-steep 62 D @ 90 far-outside range/k-steep",
		"before axial-length 2.34 cm within",
		"day-1 pressure 30 mmHg outside range/pressure",
		"day-1 acuity.uncorrected 6/12 not-judged",
		"week-6 pressure 12 mmHg within",
		"lens material pmma not-judged",
		"lens optic-diameter 6.0 mm within",
		"lens overall-diameter 12.5 mm within",
		"lens site in bag not-judged",
		"lens lens-power 21 D within",
		"case irrigant saline outside range/irrigant",
		"case irrigant-temperature 20 °C within",
	}
	var got []string
	for _, v := range c.Header {
		line := v.Group + " " + v.Parameter + " " + v.Shown() + " " + string(v.Judgement.Result)
		for _, f := range v.Judgement.Findings {
			line += " " + f.Rule
		}
		got = append(got, line)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// The grades of patient.cataract are judged like those of before. LOCS III grades
// nuclear opalescence from 0.1 to 6.9 (Chylack LT Jr et al. Arch Ophthalmol
// 1993;111:831-6).
func TestGradesAreJudged(t *testing.T) {
	tests := []struct {
		name, keys string
		want       []string
	}{
		{"on its scale", "patient: {cataract: {grade: [{scheme: locs3-no, value: 4.2}]}}\n", nil},
		{"off its scale", "patient: {cataract: {grade: [{scheme: locs3-no, value: 7.2}]}}\n", []string{"range/grade-locs3-no"}},
		{"said twice", "patient: {cataract: {grade: [{scheme: locs3-no, value: 7.2}]}}\nbefore: {grade-locs3-no: 4}\n", nil},
		{"of no known scheme", "patient: {cataract: {grade: [{scheme: own, value: 7.2}]}}\n", nil},
	}
	for _, tt := range tests {
		c := resolve(t, map[string]string{"case.yaml": head + tt.keys})
		var got []string
		for _, v := range c.Header {
			for _, f := range v.Judgement.Findings {
				got = append(got, f.Rule)
			}
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}

// Design section 6, points 1, 2 and 5, and what case.yaml cannot say.
func TestJudge(t *testing.T) {
	tests := []struct {
		name, keys string
		want       []string // of the judgements
		found      []string // of the reading, with places
	}{
		{"inside", "steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 6 mm}}]\n", nil, nil},
		{"another unit, exactly", "steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 0.55 cm}}]\n", nil, nil},
		{"outside", "steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: about 5.2 mm}}]\n",
			[]string{"caution: rhexis diameter about 5.2 mm is below 5.5–7.5 mm [range/rhexis-diameter]"}, nil},
		{"one end outside", "steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 5.2-5.8 mm}}]\n",
			[]string{"caution: rhexis diameter 5.2–5.8 mm is partly outside 5.5–7.5 mm: 5.2 mm is below [range/rhexis-diameter]"}, nil},
		{"an open end", "steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: ≥ 5.5 mm}}]\n", nil, nil},
		{"no unit", "steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 5.2}}]\n",
			[]string{"caution: rhexis diameter 5.2 is recorded without a unit; the range is quoted in mm [range/unit-missing]"}, nil},
		{"a unit of another kind", "steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 5.2 mL}}]\n",
			[]string{"stop: rhexis diameter 5.2 mL is recorded in a unit of volume; it is quoted in mm [range/unit-unlikely]"}, nil},
		{"a slip of the point", "steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 60 mm}}]\n",
			[]string{"stop: rhexis diameter 60 mm is 10 times a value inside 5.5–7.5 mm [range/slip]"}, nil},
		{"the whole case has no such value", "values: {rhexis-diameter: 6 mm}\n", nil,
			[]string{"case/case.yaml:4:10: note: rhexis diameter is no value of the whole case in the vocabulary; it is kept and compared with nothing [step/value-elsewhere]"}},
		{"nor has the step", "steps: [{step: peritomy, values: {rhexis-diameter: 60 mm}}]\n", nil,
			[]string{"case/case.yaml:4:35: note: rhexis diameter is no value of peritomy in the vocabulary; it is kept and compared with nothing [step/value-elsewhere]"}},
		{"an unknown value", "steps: [{step: capsulotomy, values: {rhexis-diametre: 6 mm}}]\n", nil,
			[]string{`case/case.yaml:4:38: error: unknown value "rhexis-diametre"; the nearest known is "rhexis-diameter" [read/unknown-key]`}},
		{"no quantity", "steps: [{step: capsulotomy, values: {rhexis-diameter: round}}]\n", nil,
			[]string{`case/case.yaml:4:55: error: rhexis diameter: expected a number, found "round" [read/value]`}},
		{"how it is known", "steps: [{step: capsulotomy, values: {rhexis-diameter: {value: 6 mm, how: On-Image}}}]\n", nil, nil},
		{"how, none of the words", "steps: [{step: capsulotomy, values: {rhexis-diameter: {value: 6 mm, how: witnessed}}}]\n", nil,
			[]string{`case/case.yaml:4:74: error: "witnessed" is none of the words known here; known are set, measured, estimated, planned, on-image [read/unknown-word]`}},
		{"a value without a value", "steps: [{step: capsulotomy, values: {rhexis-diameter: {how: set}}}]\n", nil,
			[]string{"case/case.yaml:4:55: error: \"rhexis-diameter\" has no value [read/missing-key]"}},
		{"a list", "steps: [{step: capsulotomy, values: {rhexis-diameter: [6 mm]}}]\n", nil,
			[]string{"case/case.yaml:4:55: error: expected a value for \"rhexis-diameter\", such as 6 mm [read/wrong-type]"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := resolve(t, map[string]string{"case.yaml": head + tt.keys})
			if diff := cmp.Diff(tt.want, found(c)); diff != "" {
				t.Errorf("judgements (-want +got):\n%s", diff)
			}
			got := append(printed(c.Findings, "read/"), printed(c.Findings, "step/value-elsewhere")...)
			if diff := cmp.Diff(tt.found, got); diff != "" {
				t.Errorf("findings (-want +got):\n%s", diff)
			}
		})
	}
}

// Per cent is grams in 100 mL, so 0.5 % holds 5 mg/mL and 0.1 mL of it 0.5 mg: the
// moxifloxacin that the summary of 617,453 eyes gives (Haripriya et al. 2017). The
// check allows a fifth.
func TestDose(t *testing.T) {
	for _, tt := range []struct{ dose, strength, volume, want string }{
		{"0.5 mg", "0.5 %", "0.1 mL", ""},
		{"500 mcg", "5 mg/mL", "0.1 mL", ""},
		{"0.6 mg", "0.5 %", "0.1 mL", ""}, // a fifth more
		{"0.27 mg", "0.5 %", "0.1 mL", "range/dose"},
		{"5 mg", "0.5 %", "0.1 mL", "range/slip"},   // one fact, one finding,
		{"0.5 mg", "0.5 %", "about 0.1-0.2 mL", ""}, // no one product
	} {
		c := resolve(t, map[string]string{"case.yaml": head + "steps: [{step: intracameral-antibiotic, variant: moxifloxacin, values: {volume: " +
			tt.volume + ", dose: " + tt.dose + ", drug-concentration: " + tt.strength + "}}]\n"})
		var got []string
		for _, f := range value(t, c, "dose").Judgement.Findings {
			got = append(got, f.Rule)
		}
		if strings.Join(got, " ") != tt.want {
			t.Errorf("dose %s of %s and %s = %v, want %s", tt.dose, tt.strength, tt.volume, got, tt.want)
		}
	}
}

// How a value is known is printed where it was estimated, and stands beside it.
func TestHow(t *testing.T) {
	c := resolve(t, map[string]string{"case.yaml": head +
		"steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: {value: 5.8-6.2 mm, how: Estimated}}}]\n"})
	v := value(t, c, "rhexis-diameter")
	if v.How != "estimated" || v.Shown() != "5.8–6.2 mm (estimated)" || v.Text != "5.8-6.2 mm" {
		t.Errorf("how %q, shown %q, text %q", v.How, v.Shown(), v.Text)
	}
}

// A reading is a value of its step at a moment: its own how wins over the one of
// the moment, and each is judged.
func TestReadings(t *testing.T) {
	c := resolve(t, map[string]string{"case.yaml": head +
		"recording: {clock: elapsed}\nvideo: {shows: recording, duration: \"5:00\"}\n" +
		"steps:\n" +
		"  - step: cortex-aspiration\n" +
		"    variant: bimanual-machine\n" +
		"    at: \"1:00\"\n" +
		"    values: {flow: 30 mL/min}\n" +
		"    readings:\n" +
		"      - {at: \"1:10\", vacuum: 280 mmHg, flow: {value: 40 mL/min, how: on-image}, how: set}\n" +
		"      - {at: soon, vacuum: 450 mmHg}\n" +
		"      - {vacuum: 500 mmHg}\n" +
		"      - {at: [1], how: witnessed, vacuum: 510 mmHg}\n"})
	var got []string
	for _, v := range c.Steps[0].Values {
		line := v.Parameter + " " + v.Text + " " + v.How + " " + secs(v.At) + "/" + secs(v.AtVideo) + " " + string(v.Judgement.Result)
		if v.Reading {
			line += " reading"
		}
		got = append(got, line)
	}
	want := []string{
		"flow 30 mL/min  -/- within",
		"vacuum 280 mmHg set 70/70 outside reading",
		"flow 40 mL/min on-image 70/70 within reading",
		"vacuum 450 mmHg  -/- within reading",
		"vacuum 500 mmHg  -/- within reading",
		"vacuum 510 mmHg  -/- within reading",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("values (-want +got):\n%s", diff)
	}
	faulty := []string{
		`case/case.yaml:13:14: error: no time: "soon" does not start with one [read/bad-time]`,
		"case/case.yaml:15:14: error: expected a single value for \"at\" [read/wrong-type]",
		`case/case.yaml:15:24: error: "witnessed" is none of the words known here; known are set, measured, estimated, planned, on-image [read/unknown-word]`,
	}
	if diff := cmp.Diff(faulty, printed(c.Findings, "read/")); diff != "" {
		t.Errorf("findings (-want +got):\n%s", diff)
	}
}
