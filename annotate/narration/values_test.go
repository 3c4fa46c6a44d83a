package narration_test

import (
	"fmt"
	"strings"
	"testing"

	"sideport/annotate/narration"
	"sideport/annotate/quantity"
	"sideport/annotate/ranges"
	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
)

// likely stands for the ranges: steps with one parameter of a unit.
func likely(step string, unit quantity.Unit) (string, bool) {
	table := map[string]string{
		"capsulotomy mm":                "rhexis-diameter",
		"capsulotomy ":                  "rhexis-diameter",
		"hydrodissection mL":            "hydrodissection-volume",
		"fragment-removal mmHg":         "vacuum",
		"iol-insertion D":               "lens-power",
		"capsule-stain s":               "stain-dwell",
		"intracameral-antibiotic mg":    "dose",
		"intracameral-antibiotic mg/mL": "drug-concentration",
	}
	id, ok := table[step+" "+unit]
	return id, ok
}

func said(text, step string) []string {
	out := []string{}
	for _, s := range narration.Values(text, narration.Options{Step: step, Likely: likely}) {
		out = append(out, fmt.Sprintf("%s %s = %q %.1f", s.Parameter, s.Quantity, s.Quote, s.Confidence))
	}
	return out
}

func TestValues(t *testing.T) {
	tests := []struct {
		name, text, step string
		want             []string
	}{
		{"word before", "vacuum is 300 mmHg", "fragment-removal", []string{`vacuum 300 mmHg = "300 mmHg" 0.9`}},
		{"word behind", "a 6 mm optic goes in", "iol-insertion", []string{`optic-diameter 6 mm = "6 mm" 0.9`}},
		{"range", "rhexis of 5.5-6 mm", "capsulotomy", []string{`rhexis-diameter 5.5–6 mm = "5.5-6 mm" 0.9`}},
		{"number in words", "the rhexis is about six and a half millimetres", "capsulotomy", []string{`rhexis-diameter about 6.5 mm = "about six and a half millimetres" 0.9`}},
		{"range in words", "rhexis between five and six millimetres", "capsulotomy", []string{`rhexis-diameter 5–6 mm = "between five and six millimetres" 0.9`}},
		{"three settings in one sentence", "vacuum 350 mmHg, flow 30 cc per minute, bottle at 70 cm", "fragment-removal",
			[]string{`vacuum 350 mmHg = "350 mmHg" 0.9`, `flow 30 mL/min = "30 cc per minute" 0.9`, `bottle-height 70 cm = "70 cm" 0.9`}},
		{"two lengths with their own words", "the pupil is 7 mm and the rhexis is 5.5 mm", "capsulotomy",
			[]string{`pupil 7 mm = "7 mm" 0.9`, `rhexis-diameter 5.5 mm = "5.5 mm" 0.9`}},
		{"two lengths behind each other", "5.5 mm rhexis through a 7 mm pupil", "capsulotomy",
			[]string{`rhexis-diameter 5.5 mm = "5.5 mm" 0.9`, `pupil 7 mm = "7 mm" 0.9`}},
		{"a word means by its step", "width is 2.8 mm", "main-incision", []string{`main-incision-width 2.8 mm = "2.8 mm" 0.9`}},
		{"the same word elsewhere ties nothing", "width is 2.8 mm", "capsulotomy", []string{}},
		{"power by unit, lens", "power is 21 dioptres", "iol-insertion", []string{`lens-power 21 D = "21 dioptres" 0.9`}},
		{"power by unit, ultrasound", "power is 40 percent", "fragment-removal", []string{`ultrasound-power 40 % = "40 percent" 0.9`}},
		{"incision and limbus", "a 6.5 mm frown 2 mm behind the limbus", "scleral-groove",
			[]string{`external-incision-length 6.5 mm = "6.5 mm" 0.9`, `distance-from-limbus 2 mm = "2 mm" 0.9`}},
		{"suture size", "one 10-0 nylon", "wound-suture", []string{`suture-size 10-0 nylon = "10-0 nylon" 0.9`}},
		{"gauge", "with a 27 gauge cannula", "hydrodissection", []string{`cannula-gauge 27 G = "27 gauge" 0.9`}},
		{"by unit alone", "0.7 mL in two waves", "hydrodissection", []string{`hydrodissection-volume 0.7 mL = "0.7 mL" 0.7`}},
		{"bare number after its word", "rhexis 5.5", "capsulotomy", []string{`rhexis-diameter 5.5 = "5.5" 0.6`}},
		{"bare number in words", "the rhexis is five and a half", "capsulotomy", []string{`rhexis-diameter 5.5 = "five and a half" 0.6`}},
		{"farther word", "the rhexis that I finally got here was 5 mm", "capsulotomy", []string{}},

		{"no step: only words speak", "5.5 mm and a vacuum of 300 mmHg", "", []string{`vacuum 300 mmHg = "300 mmHg" 0.9`}},
		{"bare number elsewhere", "rhexis in 2 moves", "capsulotomy", []string{}},
		{"bare number that counts something", "rhexis 2 quadrants done", "capsulotomy", []string{}},
		{"time beside a word", "rhexis 1:17", "capsulotomy", []string{}},
		{"acuity", "rhexis, vision 6/18", "capsulotomy", []string{}},
		{"negated", "the rhexis is not 6 mm", "capsulotomy", []string{}},
		{"negated behind", "a rhexis of 6 mm is not enough", "capsulotomy", []string{}},
		{"limit", "no more than 300 mmHg of vacuum", "fragment-removal", []string{}},
		{"negation ends at but", "vacuum not 300 mmHg but 250 mmHg of vacuum", "fragment-removal", []string{`vacuum 250 mmHg = "250 mmHg" 0.9`}},
		{"negation ends at a comma", "the bag is not torn, rhexis 5.5 mm", "capsulotomy", []string{`rhexis-diameter 5.5 mm = "5.5 mm" 0.9`}},
		{"plan", "we will use a vacuum of 300 mmHg", "fragment-removal", []string{}},
		{"plan, contracted", "we'll use a vacuum of 300 mmHg", "fragment-removal", []string{}},
		{"habit", "I usually make a 5.5 mm rhexis", "capsulotomy", []string{}},
		{"habit, then now", "I usually make a 5.5 mm rhexis. This rhexis is 6 mm.", "capsulotomy", []string{`rhexis-diameter 6 mm = "6 mm" 0.9`}},
		{"rule", "the rhexis should be 5.5 mm", "capsulotomy", []string{}},
		{"question", "is the rhexis 5.5 mm?", "capsulotomy", []string{}},
		{"another case", "in the fellow eye the rhexis was 5 mm", "capsulotomy", []string{}},
		{"can-opener is no plan", "can-opener capsulotomy of 6 mm", "capsulotomy", []string{`rhexis-diameter 6 mm = "6 mm" 0.9`}},
		{"ambiguous number", "rhexis five five millimetres", "capsulotomy", []string{}},
		{"ambiguous decimal", "trypan blue oh six percent", "capsule-stain", []string{}},
		{"six to five is 6.25 or a range", "rhexis six to five millimetres", "capsulotomy", []string{}},
		{"six by twelve five", "lens six by twelve five millimetres", "iol-insertion", []string{}},
		{"two numbers in digits", "rhexis 5 5 mm", "capsulotomy", []string{}},
		{"blade angle is not the port's", "side port with a fifteen degree blade", "side-port", []string{}},
		{"an instrument has its own size", "a 2.8 mm keratome nicks the edge", "capsulotomy", []string{}},
		{"pressure is nobody's here", "pressure of 30 mmHg", "fragment-removal", []string{}},
		{"a pause of speech", "wait one second", "capsule-stain", []string{}},
		{"dwell by its word", "dye stays for 10 seconds", "capsule-stain", []string{`stain-dwell 10 s = "10 seconds" 0.9`}},
		{"clock position", "groove at 12 o'clock", "scleral-groove", []string{}},
		{"equally near words", "rhexis 6 mm optic", "capsulotomy", []string{}},
		{"empty", "", "capsulotomy", []string{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if diff := cmp.Diff(tt.want, said(tt.text, tt.step)); diff != "" {
				t.Errorf("Values(%q, %s) (-want +got):\n%s", tt.text, tt.step, diff)
			}
		})
	}
}

func TestValuesQuoteTheirOwnBytes(t *testing.T) {
	text := "Überall: the rhexis is six and a half millimetres, the pupil seven millimetres."
	for _, s := range narration.Values(text, narration.Options{Step: "capsulotomy"}) {
		if got := text[s.Start:s.End]; got != s.Quote || s.Quantity.Text != s.Quote {
			t.Errorf("text[%d:%d] = %q, want the quote %q", s.Start, s.End, got, s.Quote)
		}
	}
	if got := said(text, "capsulotomy"); len(got) != 2 {
		t.Errorf("Values(%q) = %v, want two", text, got)
	}
}

// Every parameter the lexicon names is one of the accepted ranges or of the case
// header, and its unit converts to the parameter's.
func TestEnglishLexiconAgreesWithTheRanges(t *testing.T) {
	known := map[string]ranges.Parameter{}
	for _, p := range ranges.Builtin().Parameters() {
		known[p.ID] = p
	}
	if len(known) == 0 {
		t.Fatal("the ranges have no parameters")
	}
	for _, id := range narration.English().Parameters() {
		if _, ok := known[id]; !ok {
			t.Errorf("the lexicon names %s, which the ranges do not know", id)
		}
	}
	for id, units := range narration.English().Units() {
		for _, u := range units {
			if p := known[id]; p.Unit != "" && !quantity.Compatible(u, p.Unit) && p.Unit != u {
				t.Errorf("the lexicon ties %s to %s; its unit is %s", u, id, p.Unit)
			}
		}
	}
}

func TestReadLexiconReportsFaultyEntries(t *testing.T) {
	text := "language: xx\nparameters:\n" +
		"  - {words: [a], unit: mm, parameter: p}\n" +
		"  - {words: [b], unit: furlong, parameter: p}\n" +
		"  - {words: [c], unit: mm}\n" +
		"  - {unit: mm, parameter: p}\n"
	var got []string
	lex := narration.ReadLexicon(source.New("ours.yaml", []byte(text)), func(f source.Finding) { got = append(got, f.String()) })
	want := []string{
		`ours.yaml:4:14: error: unknown unit "furlong" [read/lexicon]`,
		`ours.yaml:5:14: error: the entry has not exactly one of parameter and steps [read/lexicon]`,
		`ours.yaml:6:12: error: the entry has no words [read/lexicon]`,
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("ReadLexicon (-want +got):\n%s", diff)
	}
	if ids := lex.Parameters(); len(ids) != 1 || ids[0] != "p" {
		t.Errorf("Parameters() = %v, want [p]", ids)
	}
}

func TestEvents(t *testing.T) {
	match := func(s string) (string, bool) {
		if strings.Contains(strings.ToLower(s), "vitreous") {
			return "vitreous-loss", true
		}
		return "", false
	}
	tests := []struct {
		text string
		want []string
	}{
		{"A rent appears, vitreous in the chamber.", []string{"vitreous in the chamber"}},
		{"There is no vitreous loss.", nil},
		{"The cortex is out and there is no tear, vitreous comes.", []string{"vitreous comes"}},
		{"If vitreous comes we convert.", nil},
		{"Is that vitreous?", nil},
		{"Vitreous. And more vitreous.", []string{"Vitreous"}},
		{"Nothing of note.", nil},
	}
	for _, tt := range tests {
		var got []string
		for _, e := range narration.Events(tt.text, nil, match) {
			if e.Event != "vitreous-loss" || tt.text[e.Start:e.End] != e.Quote {
				t.Errorf("Events(%q) has %+v", tt.text, e)
			}
			got = append(got, e.Quote)
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("Events(%q) (-want +got):\n%s", tt.text, diff)
		}
	}
}

func FuzzValues(f *testing.F) {
	for _, s := range []string{"rhexis is six and a half millimetres", "vacuum 300 mmHg, not 400", "between five and six mm", "ten oh nylon", "0.5 mg in 0.1 mL"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		digits, back := narration.RoundTrip(text)
		if from, to := back(0, len(digits)); from != 0 || to != len(text) {
			t.Fatalf("the whole of %q maps to [%d, %d)", text, from, to)
		}
		for _, s := range narration.Values(text, narration.Options{Step: "capsulotomy", Likely: likely}) {
			if s.Start < 0 || s.End > len(text) || s.Start >= s.End || s.Quote != text[s.Start:s.End] {
				t.Fatalf("Values(%q) has %+v", text, s)
			}
		}
	})
}
