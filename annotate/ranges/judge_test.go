package ranges_test

import (
	"fmt"
	"strings"
	"testing"

	"sideport/annotate/ranges"

	"github.com/google/go-cmp/cmp"
)

// judge parses a value as its parameter reads it and judges it.
func judge(t testing.TB, table *ranges.Table, parameter, step, value string, facts ranges.Facts) ranges.Judgement {
	t.Helper()
	p, ok := table.Parameter(step, parameter)
	if !ok {
		t.Fatalf("no parameter %s in %q", parameter, step)
	}
	q, err := p.Parse(value)
	if err != nil {
		t.Fatalf("%s %q: %v", parameter, value, err)
	}
	return table.Judge(parameter, step, q, facts)
}

// lines prints findings as "severity: message [rule]".
func lines(j ranges.Judgement) string {
	var out []string
	for _, f := range j.Findings {
		out = append(out, fmt.Sprintf("%s: %s [%s]", f.Severity, f.Message, f.Rule))
	}
	return strings.Join(out, "\n")
}

// facts makes Facts from "key=value,value" words; "key=" is known to be none.
func facts(pairs ...string) ranges.Facts {
	out := ranges.Facts{}
	for _, p := range pairs {
		key, values, _ := strings.Cut(p, "=")
		out[key] = []string{}
		if values != "" {
			out[key] = strings.Split(values, ",")
		}
	}
	return out
}

var (
	msicsCCC = facts("procedure=msics", "variant=ccc")
	whole    = facts("procedure=msics", "delivery=phaco-sandwich", "cataract=mature-white", "grade.locs3-no=3.5")
	brown    = facts("procedure=msics", "delivery=phaco-sandwich", "cataract=brown")
)

func TestJudge(t *testing.T) {
	for _, tt := range []struct {
		name, parameter, step, value string
		facts                        ranges.Facts
		result                       ranges.Result
		want                         string
	}{
		{"within", "rhexis-diameter", "capsulotomy", "6.2-6.8 mm", msicsCCC, ranges.Within, ""},
		{"below", "rhexis-diameter", "capsulotomy", "5.2 mm", msicsCCC, ranges.Outside,
			"caution: rhexis diameter 5.2 mm is below 5.5–7.5 mm [range/rhexis-diameter]"},
		{"about", "rhexis-diameter", "capsulotomy", "about 5.2 mm", msicsCCC, ranges.Outside,
			"caution: rhexis diameter about 5.2 mm is below 5.5–7.5 mm [range/rhexis-diameter]"},
		{"on the bound", "rhexis-diameter", "capsulotomy", "5.5 mm", msicsCCC, ranges.Within, ""},
		{"another unit", "rhexis-diameter", "capsulotomy", "5200 µm", msicsCCC, ranges.Outside,
			"caution: rhexis diameter 5200 µm (5.2 mm) is below 5.5–7.5 mm [range/rhexis-diameter]"},
		{"partly", "rhexis-diameter", "capsulotomy", "5.2-6 mm", msicsCCC, ranges.Partly,
			"caution: rhexis diameter 5.2–6 mm is partly outside 5.5–7.5 mm: 5.2 mm is below [range/rhexis-diameter]"},
		{"one end far", "rhexis-diameter", "capsulotomy", "4-6 mm", msicsCCC, ranges.FarOutside,
			"caution: rhexis diameter 4–6 mm is partly outside 5.5–7.5 mm: 4 mm is far below [range/rhexis-diameter]"},
		{"both ends below, one far", "rhexis-diameter", "capsulotomy", "4-5.2 mm", msicsCCC, ranges.FarOutside,
			"caution: rhexis diameter 4–5.2 mm is below 5.5–7.5 mm, 4 mm far below [range/rhexis-diameter]"},
		{"beyond both ends", "external-incision-length", "scleral-groove", "5.2-8 mm", whole, ranges.Outside,
			"caution: external incision length 5.2–8 mm reaches beyond both ends of 5.5–7.0 mm [range/external-incision-length]"},
		{"open end judged at the stated end", "external-incision-length", "scleral-groove", "≥ 6 mm", whole, ranges.Within, ""},
		{"open end outside", "external-incision-length", "scleral-groove", "> 7.5 mm", whole, ranges.Outside,
			"caution: external incision length > 7.5 mm is above 5.5–7.0 mm [range/external-incision-length]"},
		{"no unit", "rhexis-diameter", "capsulotomy", "5.2", msicsCCC, ranges.NotJudged,
			"caution: rhexis diameter 5.2 is recorded without a unit; the range is quoted in mm [range/unit-missing]"},
		{"also: beyond the zonules", "rhexis-diameter", "capsulotomy", "7.8 mm", msicsCCC, ranges.Outside,
			"caution: rhexis diameter 7.8 mm is above 5.5–7.5 mm [range/rhexis-diameter]\n" +
				"caution: rhexis diameter 7.8 mm is above 7.5 mm (reach of the zonules) [range/rhexis-diameter]"},
		{"technique without a row", "rhexis-diameter", "capsulotomy", "4 mm", facts("procedure=msics", "variant=envelope"), ranges.NoRange, ""},
		{"whichever technique", "rhexis-diameter", "capsulotomy", "5.2 mm", facts("procedure=msics"), ranges.Outside,
			"note: rhexis diameter 5.2 mm is below 5.5–7.5 mm, whichever technique [range/rhexis-diameter]"},
		{"inside some techniques", "rhexis-diameter", "capsulotomy", "7.2 mm", facts("procedure=msics"), ranges.Within,
			"note: rhexis diameter 7.2 mm is inside the range of some techniques and not of others (5.5–7.5 mm, 5.5–7.0 mm); not recorded: technique of the step [range/which]"},
		{"inside every technique", "rhexis-diameter", "capsulotomy", "6 mm", facts("procedure=msics"), ranges.Within, ""},
		{"one possible row", "capsulotomy-nicks", "capsulotomy", "8", facts("procedure=msics"), ranges.FarOutside,
			"note: capsulotomy nicks 8 is far below 40–100, a range that holds only for can-opener; not recorded: technique of the step [range/capsulotomy-nicks]"},
		{"hard nucleus row", "external-incision-length", "scleral-groove", "7.5 mm", brown, ranges.Within, ""},
		{"hard nucleus row, short", "external-incision-length", "scleral-groove", "6.2 mm", brown, ranges.Outside,
			"caution: external incision length 6.2 mm is below 6.5–8.0 mm [range/external-incision-length]"},
		{"grade selects the hard row", "external-incision-length", "scleral-groove", "7.5 mm", facts("procedure=msics", "delivery=phaco-sandwich", "cataract=", "grade.locs3-no=5.2"), ranges.Within, ""},
		{"fragments", "external-incision-length", "scleral-groove", "4.5 mm", facts("procedure=msics", "delivery=trisection", "cataract=brown"), ranges.Within, ""},
		{"fragmentation step recorded", "external-incision-length", "scleral-groove", "4.5 mm", facts("procedure=msics", "step.nucleus-fragmentation=yes"), ranges.Within, ""},
		{"rigid lens beside the row", "external-incision-length", "scleral-groove", "5.8 mm", whole.With("lens.material", "pmma"), ranges.Outside,
			"caution: external incision length 5.8 mm is below 6.0 mm (rigid lens) [range/external-incision-length]"},
		{"rigid lens of 6.5 mm", "external-incision-length", "scleral-groove", "6.2 mm", whole.With("lens.material", "pmma").With("lens.optic-diameter", "6.5"), ranges.Outside,
			"caution: external incision length 6.2 mm is below 6.5 mm (rigid lens) [range/external-incision-length]"},
		{"grade in another scheme", "external-incision-length", "scleral-groove", "6.8 mm", facts("procedure=msics", "delivery=fish-hook", "cataract=mature-white", "grade.clinical-1-4=3"), ranges.Within,
			"note: the nucleus grade is recorded in clinical-1-4 and selects no range of external incision length; the quoted ranges go by locs3-no [range/grade-scheme]"},
		{"landmark middle", "distance-from-limbus", "scleral-groove", "2 mm", facts("limbus-landmark=middle"), ranges.Within, ""},
		{"landmark anterior", "distance-from-limbus", "scleral-groove", "3 mm", facts("limbus-landmark=anterior"), ranges.Within, ""},
		{"landmark anterior, 2 mm is 1 mm at the middle", "distance-from-limbus", "scleral-groove", "2 mm", facts("limbus-landmark=anterior"), ranges.Outside,
			"caution: distance from limbus 2 mm is below 2.5–3.5 mm [range/distance-from-limbus]"},
		{"landmark posterior, 2 mm is 3 mm at the middle", "distance-from-limbus", "scleral-groove", "2 mm", facts("limbus-landmark=posterior"), ranges.Outside,
			"caution: distance from limbus 2 mm is above 0.5–1.5 mm [range/distance-from-limbus]"},
		{"landmark missing", "distance-from-limbus", "scleral-groove", "2 mm", facts(), ranges.Within,
			"note: distance from limbus 2 mm is inside the range of some techniques and not of others (1.5–2.5 mm, 2.5–3.5 mm, 0.5–1.5 mm); not recorded: limbus landmark [range/which]"},
		{"grade in another scheme, which row", "external-incision-length", "scleral-groove", "7.2 mm", facts("procedure=msics", "delivery=fish-hook", "cataract=mature-white", "grade.clinical-1-4=3"), ranges.Within,
			"note: external incision length 7.2 mm is inside the range of some techniques and not of others (5.5–7.0 mm, 6.5–8.0 mm); not recorded: nucleus grade (locs3-no); the grade recorded in clinical-1-4 selects no row [range/which]"},
		{"bridle of another size", "suture-size", "bridle-suture", "6-0", facts(), ranges.Outside, "note: suture size 6-0 is thinner than 4-0 to 5-0 [range/suture-size]"},
		{"rows in different units joined", "drug-concentration", "intracameral-anaesthetic", "40 %", facts(), ranges.FarOutside,
			"stop: drug concentration 40 % is 100 times a value inside 0.3–1.5 % [range/slip]"},
		{"rows in different units, inside one", "drug-concentration", "intracameral-anaesthetic", "0.5 %", facts(), ranges.Within,
			"note: drug concentration 0.5 % is inside the range of some techniques and not of others (0.5–1 %, 1:400,000 to 1:10,000, 0.3–1.5 %); not recorded: drug [range/which]"},
		{"blood pressure without a unit", "blood-pressure", "before", "130/110", facts(), ranges.Outside,
			"note: diastolic blood pressure 110 mmHg is above 50–100 mmHg [range/blood-pressure-diastolic]"},
		{"eye pressure is no pair", "pressure", "before", "14/16", facts(), ranges.NotJudged, ""},
		{"fraction of thickness", "groove-depth", "scleral-groove", "1/3-1/2", facts(), ranges.Within, ""},
		{"fraction too deep", "groove-depth", "scleral-groove", "3/4", facts(), ranges.FarOutside,
			"caution: groove depth 3/4 is far above 0.33–0.50 of thickness [range/groove-depth]"},
		{"per cent of thickness", "groove-depth", "scleral-groove", "50 %", facts(), ranges.Within, ""},
		{"micrometres", "groove-depth", "scleral-groove", "300 µm", facts(), ranges.Within, ""},
		{"clock hours", "side-port-offset", "side-port", "2-3 clock hours", facts(), ranges.Within, ""},
		{"port of a phaco", "side-port-width", "side-port", "1.8 mm", facts("procedure=phaco"), ranges.Outside,
			"note: side port width 1.8 mm is above 0.8–1.5 mm [range/side-port-width]"},
		{"port of an MSICS", "side-port-width", "side-port", "1.8 mm", facts("procedure=msics"), ranges.Within, ""},
		{"both procedures after a conversion", "side-port-width", "side-port", "1 mm", facts("procedure=phaco,msics"), ranges.Within, ""},
		{"inside the row of one procedure", "side-port-width", "side-port", "1.8 mm", facts("procedure=phaco,msics"), ranges.Within,
			"note: side port width 1.8 mm is inside the range of some techniques and not of others (0.8–2.0 mm, 0.8–1.5 mm) [range/which]"},
		{"gauge", "needle-gauge", "capsulotomy", "24 G", facts(), ranges.Outside, "note: needle gauge 24 G is thicker than 26–30 G [range/needle-gauge]"},
		{"suture token", "suture-size", "wound-suture", "9-0 nylon", facts(), ranges.Outside, "note: suture size 9-0 nylon is thicker than 10-0 [range/suture-size]"},
		{"suture in another spelling", "suture-size", "wound-suture", "10.0", facts(), ranges.Within, ""},
		{"bottle, double-barrel cannula", "bottle-height", "cortex-aspiration", "45 cm", facts("procedure=msics", "variant=simcoe"), ranges.Outside,
			"caution: bottle height 45 cm is below 50–80 cm [range/bottle-height]"},
		{"bottle, machine with two hands", "bottle-height", "cortex-aspiration", "105 cm", facts("procedure=msics", "variant=bimanual-machine"), ranges.Within, ""},
		{"bottle under a maintainer", "bottle-height", "cortex-aspiration", "45 cm", facts("procedure=msics", "variant=simcoe", "step.acm-insertion=yes"), ranges.Within, ""},
		{"bottle, a published routine setting", "bottle-height", "fragment-removal", "135 cm", facts("procedure=phaco"), ranges.Outside,
			"note: bottle height 135 cm is above 65–110 cm [range/bottle-height]"},
		{"bottle, vitrectomised eye", "bottle-height", "fragment-removal", "100 cm", facts("procedure=phaco", "ocular=vitrectomised"), ranges.Outside,
			"caution: bottle height 100 cm is above 80 cm (weak zonules, vitrectomised or long eye) [range/bottle-height]"},
		{"bottle beside a forced infusion", "bottle-height", "fragment-removal", "20 cm", facts("procedure=phaco", "given.infusion-pressure=yes"), ranges.NoRange, ""},
		{"vacuum under forced infusion", "vacuum", "fragment-removal", "550 mmHg", facts("procedure=phaco", "given.infusion-pressure=yes"), ranges.Within, ""},
		{"vacuum without it", "vacuum", "fragment-removal", "550 mmHg", facts("procedure=phaco"), ranges.Outside,
			"caution: vacuum 550 mmHg is above 200–500 mmHg [range/vacuum]"},
		{"vacuum of a hand syringe", "vacuum", "cortex-aspiration", "400 mmHg", facts("procedure=msics", "variant=simcoe"), ranges.NotJudged,
			"note: vacuum 400 mmHg is recorded; with a hand syringe the source measures no vacuum [range/vacuum]"},
		{"passive polish", "vacuum", "capsule-polish", "passive", facts("procedure=msics"), ranges.NotJudged, ""},
		{"physical limit", "vacuum", "fragment-removal", "800 mmHg", facts("procedure=phaco"), ranges.FarOutside,
			"stop: vacuum 800 mmHg is above 760 mmHg, more than the pressure of the air at sea level [range/vacuum]"},
		{"power above full", "ultrasound-power", "fragment-removal", "120 %", facts("procedure=phaco"), ranges.FarOutside,
			"stop: ultrasound power 120 % is above 100 %, more than full power [range/ultrasound-power]"},
		{"kPa for mmHg", "intraoperative-pressure", "fragment-removal", "40 kPa", facts(), ranges.FarOutside,
			"stop: intraoperative pressure 40 kPa (300.025 mmHg) is far above 20–70 mmHg; the same number in mmHg lies inside [range/unit-unlikely]"},
		{"mmHg for kPa", "vacuum", "capsule-polish", "370 mmHg", facts("procedure=msics"), ranges.FarOutside,
			"stop: vacuum 370 mmHg is 10 times a value inside 5–60 mmHg [range/slip]"},
		{"decimal slip", "stain-concentration", "capsule-stain", "0.6 %", facts(), ranges.FarOutside,
			"stop: stain concentration 0.6 % is 10 times a value inside 0.0125–0.10 % [range/slip]"},
		{"two places", "stain-concentration", "capsule-stain", "6 %", facts(), ranges.FarOutside,
			"stop: stain concentration 6 % is 100 times a value inside 0.0125–0.10 % [range/slip]"},
		{"centimetres for millimetres", "external-incision-length", "scleral-groove", "6.5 cm", whole, ranges.FarOutside,
			"stop: external incision length 6.5 cm (65 mm) is 10 times a value inside 5.5–7.0 mm [range/slip]"},
		{"millimetres for centimetres", "bottle-height", "cortex-aspiration", "65 mm", facts("procedure=msics", "variant=simcoe"), ranges.FarOutside,
			"stop: bottle height 65 mm (6.5 cm) is a tenth of a value inside 50–80 cm [range/slip]"},
		{"slip whichever technique", "external-incision-length", "scleral-groove", "60 mm", facts("procedure=msics"), ranges.FarOutside,
			"stop: external incision length 60 mm is 10 times a value inside 5.5–7.0 mm [range/slip]"},
		{"far, no slip", "external-incision-length", "scleral-groove", "12 mm", whole, ranges.FarOutside,
			"caution: external incision length 12 mm is far above 5.5–7.0 mm [range/external-incision-length]"},
		{"volume in a length field", "rhexis-diameter", "capsulotomy", "5.5 mL", msicsCCC, ranges.NotJudged,
			"stop: rhexis diameter 5.5 mL is recorded in a unit of volume; it is quoted in mm [range/unit-unlikely]"},
		{"word", "entry-plane", "ac-entry", "uniplanar", facts(), ranges.Outside,
			"caution: entry plane uniplanar is recorded; quoted: triplanar or multiplanar [range/entry-plane]"},
		{"word accepted", "entry-plane", "ac-entry", "Triplanar", facts(), ranges.Within, ""},
		{"word without a row", "ovd-type", "ovd-fill", "HPMC", facts(), ranges.NoRange, ""},
		{"leak without suture", "leak", "wound-check", "yes", facts(), ranges.Outside,
			"caution: leak yes is recorded; quoted: no [range/leak]"},
		{"leak with suture", "leak", "wound-check", "yes", facts("step.wound-suture=yes"), ranges.NoRange, ""},
		{"saline", "irrigant", "", "normal saline", facts(), ranges.Outside,
			"caution: irrigant saline is recorded; quoted: bss or ringer [range/irrigant]"},
		{"vancomycin", "drug", "intracameral-antibiotic", "vancomycin", facts(), ranges.Outside,
			"stop: drug vancomycin is recorded; the source links it to haemorrhagic occlusive retinal vasculitis [range/drug]"},
		{"aminoglycoside, no suture", "drug", "end-medication", "gentamicin", facts(), ranges.Outside,
			"caution: drug gentamicin is recorded; sources report macular toxicity of an aminoglycoside beside an unsutured scleral wound [range/drug]"},
		{"header value without unit", "endothelial-count", "before", "2,400", facts(), ranges.Within, ""},
		{"header value, slip", "axial-length", "before", "234 mm", facts(), ranges.FarOutside,
			"stop: axial length 234 mm is 10 times a value inside 20–30 mm [range/slip]"},
		{"keratometry with axis", "k-flat", "before", "43.00 D @ 180", facts(), ranges.Within, ""},
		{"blood pressure", "blood-pressure", "before", "190/80 mmHg", facts(), ranges.Outside,
			"note: systolic blood pressure 190 mmHg is above 90–180 mmHg [range/blood-pressure]"},
		{"glucose in the other unit", "glucose", "before", "110 mg/dL", facts(), ranges.Within, ""},
		{"LOCS grade without unit", "grade-locs3-no", "before", "7.5", facts(), ranges.FarOutside,
			"caution: LOCS III nuclear opalescence 7.5 is far above 0–6.9 [range/grade-locs3-no]"},
		{"LOCS grade below 0.1", "grade-locs3-no", "before", "0.05", facts(), ranges.Within, ""},
		{"adrenaline 1:100,000", "drug-concentration", "intracameral-anaesthetic", "1:100,000", facts("drug=adrenaline"), ranges.Within, ""},
		{"adrenaline 0.001 %", "drug-concentration", "intracameral-anaesthetic", "0.001 %", facts("drug=adrenaline"), ranges.Within, ""},
		{"adrenaline 1:4,000", "drug-concentration", "intracameral-anaesthetic", "1:4,000", facts("drug=adrenaline"), ranges.Outside,
			"caution: drug concentration 1:4,000 is above 1:400,000 to 1:10,000 [range/drug-concentration]"},
		{"adrenaline undiluted", "drug-concentration", "intracameral-anaesthetic", "1:1 000", facts("drug=adrenaline"), ranges.FarOutside,
			"stop: drug concentration 1:1,000 is 10 times a value inside 1:400,000 to 1:10,000 [range/slip]"},
		{"lidocaine 2 %", "drug-concentration", "intracameral-anaesthetic", "2 %", facts("drug=lidocaine"), ranges.Outside,
			"note: drug concentration 2 % is above 0.5–1 % [range/drug-concentration]"},
		{"lidocaine 4 %", "drug-concentration", "intracameral-anaesthetic", "4 %", facts("drug=lidocaine"), ranges.FarOutside,
			"stop: drug concentration 4 % is far above 0.5–1 % [range/drug-concentration]"},
		{"pilocarpine as published", "drug-concentration", "miosis", "0.013 %", facts("drug=pilocarpine"), ranges.Within, ""},
		{"pilocarpine drops", "drug-concentration", "miosis", "2 %", facts("drug=pilocarpine"), ranges.FarOutside,
			"stop: drug concentration 2 % is 10 times a value inside 0.01–0.5 % [range/slip]"},
		{"carbachol drops", "drug-concentration", "miosis", "3 %", facts("drug=carbachol"), ranges.FarOutside,
			"stop: drug concentration 3 % is far above 0.01 % [range/drug-concentration]"},
		{"cefuroxime tenfold", "dose", "intracameral-antibiotic", "10 mg in 0.1 mL", facts("drug=cefuroxime"), ranges.FarOutside,
			"stop: dose 10 mg is 10 times a value inside 0.9–1.1 mg [range/slip]"},
		{"dose from memory is not judged", "dose", "end-medication", "8 mg", facts("drug=dexamethasone"), ranges.NotJudged, ""},
		{"dose from memory, slip", "dose", "end-medication", "40 mg", facts("drug=dexamethasone"), ranges.FarOutside,
			"stop: dose 40 mg is 10 times a value inside 2–4 mg [range/slip]"},
		{"peribulbar", "volume", "anaesthesia", "6 mL", facts("variant=peribulbar"), ranges.Within, ""},
		{"lens in the sulcus", "overall-diameter", "iol-insertion", "12.5 mm", facts("lens.site=sulcus"), ranges.Outside,
			"caution: overall diameter 12.5 mm is below 13.0–14.0 mm [range/overall-diameter]"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			j := judge(t, ranges.Builtin(), tt.parameter, tt.step, tt.value, tt.facts)
			if j.Result != tt.result {
				t.Errorf("Judge(%s, %s).Result = %s, want %s", tt.parameter, tt.value, j.Result, tt.result)
			}
			if diff := cmp.Diff(tt.want, lines(j)); diff != "" {
				t.Errorf("Judge(%s, %s) (-want +got):\n%s", tt.parameter, tt.value, diff)
			}
		})
	}
}
