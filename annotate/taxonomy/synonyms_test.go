package taxonomy_test

import (
	"slices"
	"strings"
	"testing"

	"sideport/annotate/taxonomy"
)

// What surgeons type for a step or complication: trade terms, common practice, no
// source. A text that stands in two rows is a declared collision.
var synonyms = []struct{ procedure, id, texts string }{
	{"msics", "anaesthesia", `block; LA; PBB; peribulbar; retrobulbar; RB block; sub-Tenon; STB; topical; intracameral; facial block;
		O'Brien; GA; local anaesthesia`},
	{"msics", "antisepsis", "PVI; PI; povidone; iodine; painting; prep"},
	{"msics", "draping", "drape; speculum; lid speculum; wire speculum"},
	{"msics", "bridle-suture", "SR stitch; SRBS; bridle; rectus suture; traction suture; 4-0 silk"},
	{"msics", "peritomy", "conj flap; fornix-based flap; conjunctival dissection; Tenon's"},
	{"msics", "cautery", "diathermy; bipolar; haemostasis; cauterise; ball-point cautery"},
	{"msics", "scleral-groove", "groove; external incision; scratch incision; partial-thickness incision; frown; chevron; straight"},
	{"msics", "tunnel-dissection", "tunnel; pocket; scleral pocket; lamellar dissection; crescent; side pockets; back-cuts; funnel"},
	{"msics", "side-port", "SP; paracentesis; para; stab; MVR entry; second port; 2nd port"},
	{"msics", "acm-insertion", "ACM; maintainer; Blumenthal; Lewicky"},
	{"msics", "capsule-stain", "trypan; dye; blue; VB; staining; air + dye; dye wash"},
	{"msics", "ovd-fill", "visco; viscoelastic; HPMC; methyl; OVD in; gel; soft shell"},
	{"msics", "ac-entry", "entry; AC entry; corneal entry; internal incision; dimple; keratome"},
	{"msics", "entry-extension", "extension; enlarge; 5.2 blade; side cuts; extend wound"},
	{"msics", "capsulotomy", `CCC; rhexis; rrhexis; capsulorhexis; capsulorrhexis; capsulotomy; can-opener; COC; envelope; linear; V-shaped;
		triangular; trapdoor`},
	{"msics", "relaxing-cuts", "relaxing cuts; radial nick; tangential cuts"},
	{"msics", "hydroprocedure", "hydro; HD; CCH; cortical cleaving; hydrodelineation; delamination; golden ring; fluid wave"},
	{"msics", "nucleus-prolapse", `prolapse; wheel-out; wheeling; tumbling; flip; dial out; rotate out; hydroprolapse; bimanual prolapse;
		lollipop`},
	{"msics", "nucleus-fragmentation", "phacofracture; trisection; bisection; snare; loop; chop in AC"},
	{"msics", "nucleus-delivery", `delivery; ND; nucleus out; expression; extraction; sandwich; vectis; irrigating vectis; IV; fish-hook;
		fishhook; viscoexpression; hydroexpression; Blumenthal; glide; PS; visco-express; VE; mini-nuc; hydro-vectis`},
	{"msics", "epinucleus-removal", "epi; epinuclear shell; bowl; visco-express epi"},
	{"msics", "cortex-aspiration", `I/A; IA; I&A; irrigation-aspiration; cortical aspiration; cortex; wash; Simcoe; sub-incisional cortex;
		12 o'clock cortex; CAT`},
	{"msics", "capsule-polish", "polish; PC polish; vacuuming; sandblasted cannula; Kratz"},
	{"msics", "ovd-refill", "refill; visco in bag; bag inflated"},
	{"msics", "iol-insertion", "IOL; PCIOL; lens in; implant; rigid lens; foldable; leading haptic; lens insertion"},
	{"msics", "iol-dialling", "dialling; dialing; rotate lens; trailing haptic; centre"},
	{"msics", "ovd-removal", "visco wash; visco out; OVD aspiration; wash-out; thorough wash"},
	{"msics", "miosis", "pilocarpine; pilo; carbachol; acetylcholine"},
	{"msics", "intracameral-antibiotic", "IC moxi; moxi; cefuroxime; ICMP; antibiotic"},
	{"msics", "stromal-hydration", "hydration; hydrate; wound hydration; SP hydration"},
	{"msics", "wound-check", "leak test; wound check; Seidel; IOP check; form AC; air bubble"},
	{"msics", "wound-suture", "suture; stitch; 10-0; nylon; X suture; infinity; horizontal mattress"},
	{"msics", "conj-closure", "conj cautery; conj apposition; flap back"},
	{"msics", "end-medication", "subconj genta-dexa; subconj; sub-tenon steroid; patch; pad and shield"},
	{"msics", "pupil-expansion", "hooks; pupil ring; sphincterotomy; stretch"},
	{"msics", "ctr-insertion", "CTR; ring"},
	{"msics", "anterior-vitrectomy", "AV; vitrectomy; cellulose sponge; bimanual cutter"},
	{"msics", "conversion", "convert to ECCE; convert to MSICS"},
	{"msics", "peripheral-iridectomy", "PI; iridectomy"},

	{"phaco", "side-port", "SP; para; stab"},
	{"phaco", "intracameral-anaesthetic", "IC lido; intracameral xylocaine; adrenaline; phenylephrine"},
	{"phaco", "ovd-fill", "soft-shell; dispersive; cohesive"},
	{"phaco", "main-incision", "CCI; main port; main wound; keratome; 2.2; 2.8; temporal incision; limbal incision; scleral tunnel phaco"},
	{"phaco", "capsulotomy", "CCC; rhexis; femto capsulotomy; precision pulse"},
	{"phaco", "hydrodissection", "HD; CCH; fluid wave; rotate nucleus"},
	{"phaco", "hydrodelineation", "golden ring; delineation; inside-out"},
	{"phaco", "nucleus-sculpt", "groove; trench; sculpt; divide and conquer; DnC"},
	{"phaco", "nucleus-crack", "crack; split; division"},
	{"phaco", "nucleus-chop", "chop; horizontal chop; vertical chop; quick chop; direct chop; prechop; stop and chop"},
	{"phaco", "fragment-removal", "quads; quadrant removal; phaco 2; emulsification; NE"},
	{"phaco", "epinucleus-removal", "epi; shell; flip; bowl"},
	{"phaco", "cortex-aspiration", "IA; I&A; cortex; cortical clean-up; sub-incisional"},
	{"phaco", "capsule-polish", "polish; cap vac; capsule vacuum; ACP"},
	{"phaco", "ovd-refill", "visco in bag"},
	{"phaco", "incision-enlargement", "enlarge; extend for rigid IOL; extension"},
	{"phaco", "iol-insertion", "foldable; injector; cartridge; toric"},
	{"phaco", "iol-dialling", "toric alignment"},
	{"phaco", "ovd-removal", "final IA"},
	{"phaco", "stromal-hydration", "hydration; seal"},

	{"msics", "premature-entry", "early entry; premature AC entry; early AC entry"},
	{"msics", "button-hole", "roof perforation; tunnel buttonhole"},
	{"msics", "scleral-disinsertion", "external wound gape; full-thickness groove"},
	{"msics", "descemet-detachment", "DMD; DD; DM strip; Descemet's strip"},
	{"msics", "iris-prolapse", "iris out; floppy iris; IFIS"},
	{"msics", "iridodialysis", "iris root tear; ID"},
	{"msics", "hyphaema", "bleed; AC bleed; hyphema"},
	{"msics", "rhexis-run-out", "extension; radial tear; runaway rhexis; Argentinian flag; flag sign; tear out"},
	{"msics", "small-rhexis", "small CCC"},
	{"msics", "zonular-dialysis", "ZD; zonulysis; dehiscence; subluxation"},
	{"msics", "pc-rupture", "PCR; PCT; PC rent; rent; PC tear; dehiscence; posterior capsule opening"},
	{"msics", "vitreous-loss", "VL; vitreous prolapse; VP; vitreous in AC"},
	{"msics", "nucleus-drop", "dropped nucleus; nuclear fragment drop; lens drop"},
	{"msics", "capsular-block", "CBS"},
	{"msics", "cortex-remnants", "retained cortex; residual cortex"},
	{"msics", "retained-fragment", "chip; nuclear chip"},
	{"msics", "endothelial-touch", "corneal touch; endo touch; endothelial scrape"},
	{"phaco", "wound-burn", "phaco burn; corneal burn; thermal injury; whitish wound"},
	{"phaco", "surge", "chamber bounce; trampolining; AC collapse"},
	{"msics", "leak", "wound leak; Seidel positive; soft eye"},
	{"msics", "expulsive-haemorrhage", "SCH; suprachoroidal haemorrhage; hard eye"},
	{"msics", "iol-decentration", "tilt; half in-out"},
	{"msics", "aphakia", "left aphakic"},
}

func TestSynonymsResolveOrAreDeclaredCollisions(t *testing.T) {
	for _, row := range synonyms {
		p := procedure(t, row.procedure)
		for _, text := range strings.Split(row.texts, ";") {
			text = strings.Join(strings.Fields(text), " ")
			m := p.Match(text, taxonomy.Context{})
			if m.ID == row.id {
				if m.Confidence < 0.9 {
					t.Errorf("%s: Match(%q) has confidence %v, want 0.9 or more", row.procedure, text, m.Confidence)
				}
				continue
			}
			declared := slices.ContainsFunc(p.Collisions, func(c taxonomy.Collision) bool {
				return strings.EqualFold(c.Text, text) && slices.ContainsFunc(c.Readings, func(r taxonomy.Reading) bool { return r.ID == row.id })
			})
			listed := slices.ContainsFunc(m.Candidates, func(c taxonomy.Candidate) bool { return c.ID == row.id })
			if m.ID != "" || !declared || !listed {
				t.Errorf("%s: Match(%q) = %+v, want %s or a declared collision with it", row.procedure, text, m, row.id)
			}
		}
	}
}

// Every id and label names itself with certainty, in its own procedure.
func TestIDsAndLabelsNameThemselves(t *testing.T) {
	for _, p := range taxonomy.All() {
		check := func(id, text string) {
			if m := p.Match(text, taxonomy.Context{}); m.ID != id || m.Confidence != 1 {
				t.Errorf("%s: Match(%q) = %+v, want %s at 1", p.ID, text, m, id)
			}
		}
		for _, s := range p.Steps {
			check(s.ID, s.ID)
			check(s.ID, s.Label)
		}
		for _, e := range p.Events {
			check(e.ID, e.ID)
			check(e.ID, e.Label)
		}
	}
}

// Every synonym in the data finds its owner.
func TestDataSynonymsFindTheirOwner(t *testing.T) {
	for _, p := range taxonomy.All() {
		check := func(id, variant string, texts ...[]string) {
			for _, text := range slices.Concat(texts...) {
				if m := p.Match(text, taxonomy.Context{}); m.ID != id || m.Variant != variant && variant != "" {
					t.Errorf("%s: Match(%q) = %+v, want %s %s", p.ID, text, m, id, variant)
				}
			}
		}
		for _, s := range p.Steps {
			check(s.ID, "", s.Synonyms, s.Words)
			for _, v := range s.Variants {
				check(s.ID, v.ID, v.Synonyms, v.Words)
			}
		}
		for _, e := range p.Events {
			check(e.ID, "", e.Synonyms, e.Words)
		}
	}
}
