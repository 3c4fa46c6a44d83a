package ranges_test

import (
	"testing"

	"sideport/annotate/quantity"
	"sideport/annotate/ranges"
	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
)

// Values printed in technique sections, abstracts and teaching cases that were not
// used to build the rows they meet. Each was read in the source named; where it does
// not lie inside, the difference is what the table says.
func TestPublishedTechniquesThatBuiltNoRow(t *testing.T) {
	const (
		limb = "Mahajan D et al. Oman J Ophthalmol 2017;10:155-61, abstract (cited here for astigmatism only)"
		long = "Long DA, Monica ML. Ophthalmology 1996;103:226-32, abstract (cited here for sutures only)"
		koth = "Kothari K et al. Indian J Ophthalmol 2001;49:177-80, abstract (dye volume)"
		park = "Om Parkash R et al. Clin Ophthalmol 2017;11:1651-6, abstract"
		dada = "Dada T et al. J Cataract Refract Surg 2002;28:575-6, text"
		bara = "Baradaran-Rafii A et al. J Cataract Refract Surg 2009;35:732-7, abstract, chop stage"
		jha  = "Jha KN, Vats DP. Med J Armed Forces India 2006;62:212-5, as quoted for astigmatism"
		bhat = "Bhat K, Vikram MJ, doi 10.36478/makrjms.2025.1.55.58, abstract, chord groups"
	)
	phaco := facts("procedure=phaco", "variant=clear-corneal", "lens.material=hydrophobic-acrylic")
	for _, tt := range []struct {
		source, parameter, step, value string
		facts                          ranges.Facts
		want                           ranges.Result
		says                           string
	}{
		{limb, "external-incision-length", "scleral-groove", "6-7 mm", whole, ranges.Within, ""},
		{limb, "main-incision-width", "main-incision", "2.8 mm", phaco, ranges.Within, ""},
		{long, "main-incision-width", "main-incision", "3.0-3.5 mm", phaco, ranges.FarOutside,
			"caution: main incision width 3.0–3.5 mm is above 2.2–2.8 mm, 3.5 mm far above [range/main-incision-width]"},
		{koth, "stain-volume", "capsule-stain", "0.2 ml", facts(), ranges.Within, ""},
		{park, "stain-dwell", "capsule-stain", "15 s", facts(), ranges.Within, ""},
		{dada, "needle-gauge", "capsulotomy", "26-gauge", phaco, ranges.Within, ""},
		{bara, "vacuum", "nucleus-chop", "400 mm Hg", phaco, ranges.Within, ""},
		{bara, "vacuum", "nucleus-chop", "200 mm Hg", phaco, ranges.Within, ""},
		{bara, "flow", "fragment-removal", "20-40 cc/min", phaco, ranges.Within, ""},
		{jha, "external-incision-length", "scleral-groove", "6 mm", whole, ranges.Within, ""},
		{bhat, "external-incision-length", "scleral-groove", "6.0-7.0 mm", whole, ranges.Within, ""},
	} {
		j := judge(t, ranges.Builtin(), tt.parameter, tt.step, tt.value, tt.facts)
		if j.Result != tt.want {
			t.Errorf("%s %s = %s, want %s (%s)", tt.parameter, tt.value, j.Result, tt.want, tt.source)
		}
		if diff := cmp.Diff(tt.says, lines(j)); diff != "" {
			t.Errorf("%s %s, %s (-want +got):\n%s", tt.parameter, tt.value, tt.source, diff)
		}
	}
}

// Unit slips that stand in print. Each is caught as a stop.
func TestPublishedUnitSlips(t *testing.T) {
	for _, tt := range []struct{ printed, parameter, step, value, drug, want string }{
		{"Bardoloi N. Indian J Ophthalmol 2020;68:1081-5, abstract: 500 mg for 500 µg", "dose", "intracameral-antibiotic", "500 mg in 0.1 mL", "moxifloxacin",
			"stop: dose 500 mg is 1000 times a value inside 0.25–0.6 mg [range/slip]"},
		{"letter on the chopstick technique: mm for mL of trypan blue", "stain-volume", "capsule-stain", "0.1 mm", "",
			"stop: stain volume 0.1 mm is recorded in a unit of length; it is quoted in mL [range/unit-unlikely]"},
		{"Bhat KT et al. Indian J Ophthalmol 2022;70:3849-52, abstract: 2 ml into the chamber", "volume", "intracameral-anaesthetic", "2 ml", "lidocaine",
			"stop: volume 2 mL is 10 times a value inside 0.1–0.6 mL [range/slip]"},
		{"the same as an antibiotic", "volume", "intracameral-antibiotic", "2 ml", "moxifloxacin",
			"stop: volume 2 mL is 10 times a value inside 0.05–0.6 mL [range/slip]"},
	} {
		f := facts()
		if tt.drug != "" {
			f = facts("drug=" + tt.drug)
		}
		j := judge(t, ranges.Builtin(), tt.parameter, tt.step, tt.value, f)
		if diff := cmp.Diff(tt.want, lines(j)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.printed, diff)
		}
	}
	// The right figures of the same papers pass: 500 µg in 0.1 mL, 0.1 mL of dye.
	for _, tt := range []struct{ parameter, step, value string }{
		{"dose", "intracameral-antibiotic", "500 µg in 0.1 mL"}, {"stain-volume", "capsule-stain", "0.1 mL"},
	} {
		if j := judge(t, ranges.Builtin(), tt.parameter, tt.step, tt.value, facts("drug=moxifloxacin")); j.Result != ranges.Within || len(j.Findings) > 0 {
			t.Errorf("%s %s = %s %s, want within", tt.parameter, tt.value, j.Result, lines(j))
		}
	}
}

// What cannot be: more suction than the air presses, more than full power, a litre in
// the chamber, each whatever the unit it is written in.
func TestPhysicalImpossibilitiesStop(t *testing.T) {
	for _, tt := range []struct {
		parameter, step, value string
		facts                  ranges.Facts
	}{
		{"vacuum", "fragment-removal", "110 kPa", facts("procedure=phaco")}, // standard atmosphere 101.325 kPa
		{"vacuum", "ovd-removal", "15 psi", facts("procedure=phaco")},       // 14.7 psi
		{"vacuum", "cortex-aspiration", "0.9-1.1 bar", facts("procedure=msics", "variant=bimanual-machine")},
		{"ultrasound-power", "nucleus-sculpt", "101 %", facts("procedure=phaco")},
		{"volume", "intracameral-antibiotic", "1.1 mL", facts()},
	} {
		j := judge(t, ranges.Builtin(), tt.parameter, tt.step, tt.value, tt.facts)
		if worst, ok := source.Worst(j.Findings); !ok || worst != source.Stop || j.Result != ranges.FarOutside {
			t.Errorf("%s %s = %s, %q, want a stop", tt.parameter, tt.value, j.Result, lines(j))
		}
	}
	// The pressure of the air itself passes the limit as a caution only.
	j := judge(t, ranges.Builtin(), "vacuum", "ovd-removal", "101 kPa", facts("procedure=phaco"))
	if worst, _ := source.Worst(j.Findings); worst != source.Caution {
		t.Errorf("vacuum 101 kPa = %q, want a caution", lines(j))
	}
}

func TestJudgeDose(t *testing.T) {
	parse := func(text string) quantity.Quantity {
		q, err := quantity.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		return q
	}
	for _, tt := range []struct{ dose, concentration, volume, want string }{
		{"0.5 mg", "0.5 %", "0.1 mL", ""}, // editors' summary of the ten-hospital study: 0.1 mL of 0.5 % is 0.5 mg
		{"500 µg", "5 mg/mL", "0.1 mL", ""},
		{"9 mg", "1.5 %", "0.6 mL", ""}, // Lorente R et al., abstract: 0.6 mL of 1.5 % is 9 mg
		{"10 µg", "1:10,000", "0.1 mL", ""},
		{"0.6 mg", "0.5 %", "0.1 mL", ""}, // 20 % off is still taken
		{"0.61 mg", "0.5 %", "0.1 mL", "dose 0.61 mg is recorded, and 0.5 % times 0.1 mL gives 0.5 mg"},
		{"500 mg", "0.5 %", "0.1 mL", "dose 500 mg is recorded, and 0.5 % times 0.1 mL gives 0.5 mg"},
		{"0.5 mg", "0.05 %", "0.1 mL", "dose 0.5 mg is recorded, and 0.05 % times 0.1 mL gives 0.05 mg"},
		{"0.5 mg", "0.5 %", "0.1 mm", ""}, // a unit that is no volume is told elsewhere
	} {
		got := ""
		for _, f := range ranges.JudgeDose(parse(tt.dose), parse(tt.concentration), parse(tt.volume)) {
			got = f.Message
			if f.Severity != source.Stop || f.Rule != "range/dose" {
				t.Errorf("JudgeDose(%s, %s, %s) = %s [%s]", tt.dose, tt.concentration, tt.volume, f.Severity, f.Rule)
			}
		}
		if got != tt.want {
			t.Errorf("JudgeDose(%s, %s, %s) = %q, want %q", tt.dose, tt.concentration, tt.volume, got, tt.want)
		}
	}
}
