package taxonomy_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"sideport/annotate/taxonomy"

	"github.com/google/go-cmp/cmp"
)

// Stamps as surgeons type them: our own material.
func TestStampsAsTyped(t *testing.T) {
	tests := []struct{ procedure, text, id, variant string }{
		{"msics", "Peribulbar block 8 ml", "anaesthesia", "peribulbar"},
		{"msics", "lid speculum in", "draping", ""},
		{"msics", "SR bridle 4-0 silk", "bridle-suture", ""},
		{"msics", "bridle suture passed", "bridle-suture", ""},
		{"msics", "conj flap fornix based", "peritomy", "fornix-based"},
		{"msics", "peritomy 10 to 1 oclock", "peritomy", ""},
		{"msics", "wet field cautry", "cautery", ""},
		{"msics", "frown groove 6.5mm", "scleral-groove", "frown"},
		{"msics", "ext incision 7 mm straight", "scleral-groove", "straight"},
		{"msics", "sclero-corneal tunnel w/ crescent", "tunnel-dissection", ""},
		{"msics", "tunel dissection", "tunnel-dissection", ""},
		{"msics", "side pockets both sides", "tunnel-dissection", "with-side-pockets"},
		{"msics", "SP made", "side-port", ""},
		{"msics", "sp made", "side-port", ""},
		{"msics", "2nd side port", "side-port", ""},
		{"msics", "para x 2", "side-port", ""},
		{"msics", "AC maintainer on", "acm-insertion", ""},
		{"msics", "Trypan", "capsule-stain", ""},
		{"msics", "trypan wash out", "capsule-stain", ""},
		{"msics", "VB under air", "capsule-stain", "under-air"},
		{"msics", "blue under air", "capsule-stain", "under-air"},
		{"msics", "capsule stained", "capsule-stain", ""},
		{"msics", "visco in", "ovd-fill", ""},
		{"msics", "viscco injected", "ovd-fill", ""},
		{"msics", "HPMC 2%", "ovd-fill", ""},
		{"msics", "AC entry keratome 2.8", "ac-entry", ""},
		{"msics", "enlarged 5.2 blade", "entry-extension", ""},
		{"msics", "capsulorexis", "capsulotomy", ""},
		{"msics", "CAPSULORHEXIS", "capsulotomy", ""},
		{"msics", "rhexis 6 mm", "capsulotomy", ""},
		{"msics", "rhexis 6.2-6.8mm", "capsulotomy", ""},
		{"msics", "under visco rhexis started", "capsulotomy", ""},
		{"msics", "CCC complete, 6 mm", "capsulotomy", "ccc"},
		{"msics", "07. Capsulorhexis – CCC", "capsulotomy", "ccc"},
		{"msics", "can opener ~60 nicks", "capsulotomy", "can-opener"},
		{"msics", "rhexis, can-opener in part", "capsulotomy", "can-opener"},
		{"msics", "relaxing cut x 2", "relaxing-cuts", ""},
		{"msics", "hydrodisection", "hydroprocedure", "dissection"},
		{"msics", "hydro - fluid wave seen", "hydroprocedure", "dissection"},
		{"msics", "golden ring", "hydroprocedure", "delineation"},
		{"msics", "fluid wave, then golden ring", "hydroprocedure", "both"},
		{"msics", "hydrodissection + hydrodelineation", "hydroprocedure", "both"},
		{"msics", "wheel out nucleus", "nucleus-prolapse", ""},
		{"msics", "nucleus prolapsed into AC", "nucleus-prolapse", ""},
		{"msics", "chop in AC", "nucleus-fragmentation", ""},
		{"msics", "nucleus out", "nucleus-delivery", ""},
		{"msics", "nucleus out (sandwich)", "nucleus-delivery", "phaco-sandwich"},
		{"msics", "Nucleus delivered by irrigating vectis", "nucleus-delivery", "irrigating-vectis"},
		{"msics", "fish hook", "nucleus-delivery", "fish-hook"},
		{"msics", "viscoexpression of nucleus", "nucleus-delivery", "viscoexpression"},
		{"msics", "delivery of the nucleus", "nucleus-delivery", ""},
		{"msics", "epinucleus out", "epinucleus-removal", ""},
		{"msics", "cortical wash with simcoe", "cortex-aspiration", "simcoe"},
		{"msics", "I/A cortex", "cortex-aspiration", ""},
		{"msics", "I & A", "cortex-aspiration", ""},
		{"msics", "i/a subincisional", "cortex-aspiration", ""},
		{"msics", "removal of the cortex", "cortex-aspiration", ""},
		{"msics", "visco in bag", "ovd-refill", ""},
		{"msics", "IOL in the bag", "iol-insertion", "in-bag"},
		{"msics", "IOL in the bag 21.5 D", "iol-insertion", "in-bag"},
		{"msics", "IOL inserted in sulcus", "iol-insertion", "sulcus"},
		{"msics", "PCIOL PMMA 6x12.5", "iol-insertion", "rigid-pmma"},
		{"msics", "IOL under visco", "iol-insertion", ""},
		{"msics", "lens rotated & centred", "iol-dialling", ""},
		{"msics", "visco wash from behind IOL", "ovd-removal", ""},
		{"msics", "IC moxi 0.1 ml", "intracameral-antibiotic", ""},
		{"msics", "side ports hydrated", "stromal-hydration", ""},
		{"msics", "AC formed, no leak", "wound-check", ""},
		{"msics", "leak test - neg", "wound-check", ""},
		{"msics", "Seidel negative", "wound-check", ""},
		{"msics", "10-0 nylon 1 X suture", "wound-suture", ""},
		{"msics", "scleral tunnel suture", "wound-suture", ""},
		{"msics", "conj apposed w/ bipolar", "conj-closure", ""},
		{"msics", "subconj genta dexa + patch", "end-medication", ""},
		{"msics", "step 4: tunnel", "tunnel-dissection", ""},
		{"msics", "(3) Side port", "side-port", ""},
		{"msics", "iv) vectis", "nucleus-delivery", ""},
		{"phaco", "CCI temporal", "main-incision", ""},
		{"phaco", "2.2 mm keratome", "main-incision", ""},
		{"phaco", "IOL through 2.8 incision", "iol-insertion", ""},
		{"phaco", "after femto: HD", "hydrodissection", ""},
		{"phaco", "femto rhexis", "capsulotomy", "ccc"},
		{"phaco", "HD with fluid wave", "hydrodissection", ""},
		{"phaco", "stop & chop", "nucleus-chop", "stop-chop"},
		{"phaco", "nucleus cracked into 4", "nucleus-crack", ""},
		{"phaco", "quads out", "fragment-removal", ""},
		{"phaco", "phaco of quadrants in bag", "fragment-removal", "in-bag"},
		{"phaco", "flip epi", "epinucleus-removal", ""},
		{"phaco", "final IA", "ovd-removal", ""},
		{"phaco", "hemostasis of the side port", "side-port", ""},
	}
	for _, test := range tests {
		m := procedure(t, test.procedure).Match(test.text, taxonomy.Context{})
		if m.Kind != taxonomy.KindStep || m.ID != test.id || m.Variant != test.variant {
			t.Errorf("%s: Match(%q) = %+v, want step %s %q", test.procedure, test.text, m, test.id, test.variant)
		}
	}
}

// Notes of events and complications: our own material.
func TestEventsAndComplicationsAsTyped(t *testing.T) {
	tests := []struct {
		text, id string
		kind     taxonomy.Kind
		with     string // a step listed beside it
	}{
		{"rhexis run-out", "rhexis-run-out", taxonomy.KindComplication, ""},
		{"rhexis run out at 4 o'clock!!", "rhexis-run-out", taxonomy.KindComplication, ""},
		{"rhexis extention", "rhexis-run-out", taxonomy.KindComplication, ""},
		{"extension of the rhexis", "rhexis-run-out", taxonomy.KindComplication, ""},
		{"iris prolapse during nucleus delivery", "iris-prolapse", taxonomy.KindComplication, "nucleus-delivery"},
		{"nucleus delivery: iris prolapse", "iris-prolapse", taxonomy.KindComplication, "nucleus-delivery"},
		{"iris prolaps in tunel", "iris-prolapse", taxonomy.KindComplication, "tunnel-dissection"},
		{"hyphaema during tunnel", "hyphaema", taxonomy.KindComplication, "tunnel-dissection"},
		{"hyphema", "hyphaema", taxonomy.KindComplication, ""},
		{"PCR!!", "pc-rupture", taxonomy.KindComplication, ""},
		{"PC ruptured during I/A", "pc-rupture", taxonomy.KindComplication, "cortex-aspiration"},
		{"PC rent at 6 oc, vitreous loss", "pc-rupture", taxonomy.KindComplication, ""},
		{"posterior capsule rupure", "pc-rupture", taxonomy.KindComplication, ""},
		{"vl during ia", "vitreous-loss", taxonomy.KindComplication, "cortex-aspiration"},
		{"small DM detachment", "descemet-detachment", taxonomy.KindComplication, ""},
		{"nucleus dropped", "nucleus-drop", taxonomy.KindComplication, ""},
		{"ZD 2 clock hours", "zonular-dialysis", taxonomy.KindComplication, ""},
		{"premature entry", "premature-entry", taxonomy.KindComplication, ""},
		{"button hole", "button-hole", taxonomy.KindComplication, ""},
		{"leak +ve", "leak", taxonomy.KindComplication, ""},
		{"ant vitrectomy for PCR", "pc-rupture", taxonomy.KindComplication, ""},
		{"anterior vitrectomy", "anterior-vitrectomy", taxonomy.KindEvent, ""},
		{"CTR inserted", "ctr-insertion", taxonomy.KindEvent, ""},
		{"iris hooks x4", "pupil-expansion", taxonomy.KindEvent, ""},
		{"iris hooks before rhexis", "pupil-expansion", taxonomy.KindEvent, "capsulotomy"},
		{"converted to ECCE", "conversion", taxonomy.KindEvent, ""},
		{"surgical PI done", "peripheral-iridectomy", taxonomy.KindEvent, ""},
	}
	p := procedure(t, "msics")
	for _, test := range tests {
		m := p.Match(test.text, taxonomy.Context{})
		listed := test.with == ""
		for _, c := range m.Candidates {
			listed = listed || c.ID == test.with && c.Kind == taxonomy.KindStep
		}
		if m.Kind != test.kind || m.ID != test.id || !listed {
			t.Errorf("Match(%q) = %+v, want %s %s beside %q", test.text, m, test.kind, test.id, test.with)
		}
	}
}

// What is denied, looked for or guarded against did not happen: our own material.
func TestDeniedComplicationsDoNotMatch(t *testing.T) {
	tests := []struct{ text, id string }{
		{"no PC rupture", ""}, {"no PCR", ""}, {"no leak", ""}, {"leak: nil", ""}, {"leak -ve", ""}, {"leak none", ""}, {"PC rupture? no", ""},
		{"not leaking", ""}, {"without iris prolapse", ""}, {"w/o PCR", ""}, {"no sign of leak", ""}, {"no evidence of a PC rent", ""},
		{"no iris prolapse or hyphaema", ""}, {"no PCR, no VL", ""}, {"nucleus drop averted", ""}, {"PCR ruled out", ""},
		{"vitreous loss not seen", ""}, {"risk of PCR", ""}, {"watch for surge", ""}, {"no posterior leak", ""},
		{"to avoid iris prolapse, visco", "ovd-fill"},
		{"hydration, no leak", "stromal-hydration"},
		{"no PCR IOL in bag", "iol-insertion"},
		{"no red reflex so trypan used", "capsule-stain"},
		{"no suture", ""}, {"suture not needed", ""}, {"without hydro", ""}, {"hydrodissection not done", ""},
		{"rhexis without dye", "capsulotomy"},
		{"no hyphaema but iris prolapse", "iris-prolapse"},
		{"PCR, no vitreous loss", "pc-rupture"},
		{"No. 15 blade for groove", "scleral-groove"},
	}
	p := procedure(t, "msics")
	for _, test := range tests {
		if m := p.Match(test.text, taxonomy.Context{}); m.ID != test.id {
			t.Errorf("Match(%q) = %+v, want %q", test.text, m, test.id)
		}
	}
	if m := p.Match("IOL not in bag", taxonomy.Context{}); m.ID != "iol-insertion" || m.Variant != "" {
		t.Errorf("Match(IOL not in bag) = %+v, want iol-insertion without a variant", m)
	}
}

func TestCollisionsStayOpenWithoutContext(t *testing.T) {
	tests := map[string][]string{
		"PI":         {"antisepsis", "peripheral-iridectomy"},
		"hydro":      {"hydroprocedure", "stromal-hydration", "nucleus-delivery"},
		"wash":       {"capsule-stain", "cortex-aspiration", "ovd-removal"},
		"entry":      {"ac-entry", "side-port"},
		"suture":     {"wound-suture", "bridle-suture", "conj-closure"},
		"extension":  {"entry-extension", "rhexis-run-out"},
		"PS":         {"synechiolysis", "nucleus-delivery"},
		"dehiscence": {"zonular-dialysis", "pc-rupture"},
		"HD":         {"hydroprocedure", ""},
		"IV":         {"nucleus-delivery", ""},
		"ND":         {"nucleus-delivery", ""},
		"CAT":        {"cortex-aspiration", ""},
		"ST":         {"anaesthesia", ""},
		"DD":         {"descemet-detachment", ""},
		"DM":         {"", ""},
		"NS":         {"", ""},
		"AC":         {"", ""},
		"PC":         {"", ""},
	}
	p := procedure(t, "msics")
	for text, want := range tests {
		m := p.Match(text, taxonomy.Context{})
		var got []string
		sum := 0.0
		for _, c := range m.Candidates {
			got = append(got, c.ID)
			sum += c.Score
			if c.ID == "" && c.Meaning == "" {
				t.Errorf("Match(%q) has a candidate without id and meaning", text)
			}
		}
		if diff := cmp.Diff(want, got); m.ID != "" || diff != "" || sum < 0.999 || sum > 1.001 {
			t.Errorf("Match(%q) = %+v, want it open with shares that sum to 1 (-want +got)\n%s", text, m, diff)
		}
	}
}

// The neighbours settle what they can: common practice, no source.
func TestCollisionsSettledByContext(t *testing.T) {
	tests := []struct{ procedure, text, previous, next, id, variant string }{
		{"msics", "PI", "", "draping", "antisepsis", ""},
		{"msics", "PI", "anaesthesia", "", "antisepsis", ""},
		{"msics", "PI", "iol-dialling", "ovd-removal", "peripheral-iridectomy", ""},
		{"msics", "HD", "capsulotomy", "nucleus-prolapse", "hydroprocedure", "dissection"},
		{"msics", "hydro", "capsulotomy", "", "hydroprocedure", ""},
		{"msics", "hydro", "ovd-removal", "wound-check", "stromal-hydration", ""},
		{"phaco", "hydro", "capsulotomy", "", "hydrodissection", ""},
		{"phaco", "hydro", "ovd-removal", "", "stromal-hydration", ""},
		{"msics", "wash", "capsule-stain", "", "capsule-stain", ""},
		{"msics", "wash", "nucleus-delivery", "", "cortex-aspiration", ""},
		{"msics", "wash", "iol-dialling", "", "ovd-removal", ""},
		{"msics", "entry", "ovd-fill", "capsulotomy", "ac-entry", ""},
		{"msics", "suture", "draping", "peritomy", "bridle-suture", ""},
		{"msics", "suture", "wound-check", "", "wound-suture", ""},
		{"msics", "extension", "ac-entry", "", "entry-extension", ""},
		{"msics", "extension", "capsulotomy", "", "rhexis-run-out", ""},
		{"msics", "extension", "ac-entry", "capsulotomy", "", ""},
		{"msics", "extension", "ovd-fill", "ac-entry", "", ""},
		{"msics", "PS", "nucleus-prolapse", "cortex-aspiration", "nucleus-delivery", "phaco-sandwich"},
		{"msics", "IV", "nucleus-prolapse", "", "nucleus-delivery", "irrigating-vectis"},
		{"msics", "ND", "nucleus-prolapse", "", "nucleus-delivery", ""},
		{"msics", "ND", "draping", "", "", ""},
		{"msics", "ST", "", "antisepsis", "anaesthesia", "sub-tenon"},
		{"msics", "DD", "ac-entry", "", "descemet-detachment", ""},
		{"msics", "visco", "cortex-aspiration", "iol-insertion", "ovd-refill", ""},
		{"msics", "visco", "capsule-stain", "ac-entry", "ovd-fill", ""},
		{"msics", "visco", "", "", "ovd-fill", ""},
		{"msics", "incision", "cautery", "tunnel-dissection", "scleral-groove", ""},
		{"msics", "incision", "", "", "tunnel-dissection", ""},
		{"msics", "suture", "no-such-step", "", "", ""},
	}
	for _, test := range tests {
		m := procedure(t, test.procedure).Match(test.text, taxonomy.Context{Previous: test.previous, Next: test.next})
		if m.ID != test.id || m.Variant != test.variant {
			t.Errorf("%s: Match(%q) between %q and %q = %+v, want %q %q",
				test.procedure, test.text, test.previous, test.next, m, test.id, test.variant)
		}
	}
	m := procedure(t, "msics").Match("wash", taxonomy.Context{Previous: "nucleus-delivery"})
	if m.Confidence != 0.85 {
		t.Errorf("Match(wash) after delivery has confidence %v, want 0.85", m.Confidence)
	}
}

func TestConfidenceByHowAMatchWasMade(t *testing.T) {
	tests := []struct {
		text string
		want float64
	}{
		{"capsulotomy", 1}, {"Anterior capsulotomy", 1}, {"1. Nucleus delivery", 1}, {"rhexis", 0.97}, {"rhexis 6 mm", 0.97},
		{"rhexis under visco", 0.9}, {"rhexis started", 0.9}, {"capsule stained", 0.8}, {"trypan then rhexis", 0.8},
		{"capsulorexis", 0.75}, {"nukleus delivary", 0.7}, {"capsulorexis nicely round", 0.65}, {"phone rang", 0},
	}
	p := procedure(t, "msics")
	for _, test := range tests {
		if m := p.Match(test.text, taxonomy.Context{}); m.Confidence != test.want {
			t.Errorf("Match(%q) = %+v, want confidence %v", test.text, m, test.want)
		}
	}
}

// British and American spellings, accents, full-width forms and marks are one.
func TestSpellingsAreOne(t *testing.T) {
	p := procedure(t, "msics")
	for _, group := range [][]string{
		{"haemostasis", "hemostasis", "Hæmostasis", "HAEMOSTASIS", "hémostasis"},
		{"anaesthesia", "anesthesia", "Anæsthesia"},
		{"dialling", "dialing"},
		{"side port", "side-port", "sideport", "SIDE_PORT", "Side  port", "ｓｉｄｅ ｐｏｒｔ"},
		{"rhexis", "rrhexis", "rhexis.", "«rhexis»"},
		{"I/A", "I&A", "I & A", "IA", "i/a", "I.A."},
		{"can-opener", "can opener", "canopener"},
		{"expulsive haemorrhage", "expulsive hemorrhage"},
		{"IOL centred", "IOL centered"},
	} {
		want := p.Match(group[0], taxonomy.Context{})
		if want.ID == "" {
			t.Errorf("Match(%q) = %+v, want an id", group[0], want)
		}
		for _, text := range group[1:] {
			if got := p.Match(text, taxonomy.Context{}); got.ID != want.ID || got.Confidence < 0.9 {
				t.Errorf("Match(%q) = %+v, want %s as for %q", text, got, want.ID, group[0])
			}
		}
	}
}

func TestHostileTextIsBounded(t *testing.T) {
	p := procedure(t, "msics")
	texts := []string{
		"", " ", "\x00\x01\x02", "\xff\xfe", "́́́", strings.Repeat("a", 1<<20), strings.Repeat("rhexis ", 1<<18), strings.Repeat("́", 1<<19),
		strings.Repeat("capsulorexes nukleus delivary ", 1<<15), strings.Repeat("I/", 1<<19), strings.Repeat("6 mm ", 1<<18),
		strings.Repeat("ﷺ", 1<<18), strings.Repeat("\n", 1<<20), strings.Repeat("no ", 1<<18) + "leak", "😀 rhexis 😀", "rh\x00exis",
	}
	for _, text := range texts {
		for _, lead := range []string{"", "CCC. "} {
			m := p.Match(lead+text, taxonomy.Context{Previous: text, Next: "\x00"})
			if m.Confidence < 0 || m.Confidence > 1 || m.Kind == "" {
				t.Errorf("Match(%.20q…) = %+v, want a kind and a confidence in 0..1", lead+text, m)
			}
			if lead != "" && m.ID != "capsulotomy" {
				t.Errorf("Match(%.20q…) = %+v, want capsulotomy", lead+text, m)
			}
		}
	}
	allocs := testing.AllocsPerRun(3, func() { p.Match(strings.Repeat("capsulorexes nukleus ", 1<<16), taxonomy.Context{}) })
	if allocs > 20000 {
		t.Errorf("Match of a long text takes %v allocations, want them bounded", allocs)
	}
}

func FuzzMatch(f *testing.F) {
	for _, row := range synonyms {
		for _, text := range strings.Split(row.texts, ";") {
			f.Add(text, "capsulotomy", "")
		}
	}
	for _, text := range remarks {
		f.Add(text, "", "iol-insertion")
	}
	msics, phaco := procedure(f, "msics"), procedure(f, "phaco")
	f.Fuzz(func(t *testing.T, text, previous, next string) {
		for _, p := range []*taxonomy.Procedure{msics, phaco} {
			ctx := taxonomy.Context{Previous: previous, Next: next}
			m := p.Match(text, ctx)
			if diff := cmp.Diff(m, p.Match(text, ctx)); diff != "" {
				t.Fatalf("Match(%q) differs from itself (-first +second)\n%s", text, diff)
			}
			switch {
			case m.ID != "" && p.Kind(m.ID) != m.Kind:
				t.Fatalf("Match(%q) = %+v, but %s is a %s", text, m, m.ID, p.Kind(m.ID))
			case m.Confidence < 0 || m.Confidence > 1:
				t.Fatalf("Match(%q) has confidence %v", text, m.Confidence)
			case m.ID == "" && m.Kind != taxonomy.KindRemark && len(m.Candidates) < 2:
				t.Fatalf("Match(%q) = %+v, open without candidates", text, m)
			}
			if m.Variant != "" {
				s, ok := p.Step(m.ID)
				if !ok {
					t.Fatalf("Match(%q) = %+v, a variant of no step", text, m)
				}
				if _, ok := s.Variant(m.Variant); !ok {
					t.Fatalf("Match(%q) = %+v, an unknown variant", text, m)
				}
			}
			if utf8.ValidString(text) && m.ID != "" && len(text) < 300 {
				if again := p.Match("  "+text+"  ", ctx); again.ID != m.ID {
					t.Fatalf("Match(%q) = %s, with space around it %s", text, m.ID, again.ID)
				}
			}
		}
	})
}
