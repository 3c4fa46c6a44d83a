package taxonomy_test

import (
	"testing"

	"sideport/annotate/taxonomy"
)

// Class names of open label sets, as their authors publish them, with the step a
// reader of both would point to.
var dataSets = []struct {
	name, procedure string
	classes         [][2]string
}{
	// Source: SICS-155 label list; Mueller S et al. Sci Rep 2025;15:16886.
	{"sics-155", "msics", [][2]string{
		{"background", ""}, {"peritomy", "peritomy"}, {"cautery", "cautery"}, {"scleral_groove", "scleral-groove"},
		{"incision", "tunnel-dissection"}, {"tunnel", "tunnel-dissection"}, {"sideport", "side-port"},
		{"AB_injection_and_wash", "capsule-stain"}, {"OVD_injection", "ovd-fill"}, {"capsulorrhexis", "capsulotomy"},
		{"main_incision_entry", "ac-entry"}, {"hydroprocedure", "hydroprocedure"}, {"nucleus_prolapse", "nucleus-prolapse"},
		{"nucleus_delivery", "nucleus-delivery"}, {"cortical_wash", "cortex-aspiration"}, {"OVD_IOL_insertion", "iol-insertion"},
		{"OVD_wash", "ovd-removal"}, {"stromal_hydration", "stromal-hydration"}, {"tunnel_suture", "wound-suture"},
	}},
	// Source: Cataract-101 phases.csv; Schoeffmann K et al. ACM MMSys 2018:421-425.
	{"cataract-101", "phaco", [][2]string{
		{"Incision", "main-incision"}, {"Viscous agent injection", "ovd-fill"}, {"Rhexis", "capsulotomy"},
		{"Hydrodissection", "hydrodissection"}, {"Phacoemulsificiation", "fragment-removal"}, {"Phacoemulsification", "fragment-removal"},
		{"Irrigation and aspiration", "cortex-aspiration"}, {"Capsule polishing", "capsule-polish"},
		{"Lens implant setting-up", "iol-insertion"}, {"Viscous agent removal", "ovd-removal"},
		{"Tonifying and antibiotics", "stromal-hydration"},
	}},
	// Source: the German names of the same set in a public repository; the last three from memory.
	{"cataract-101-de", "phaco", [][2]string{
		{"Incision", "main-incision"}, {"Viscoelasticum", "ovd-fill"}, {"Rhexis", "capsulotomy"}, {"Hydrodissektion", "hydrodissection"},
		{"Phako", "fragment-removal"}, {"Irrigation-Aspiration", "cortex-aspiration"}, {"Kapselpolishing", "capsule-polish"},
		{"Linsenimplantation", "iol-insertion"}, {"Visco-Absaugung", "ovd-removal"}, {"Tonisieren/Antibiotikum", "stromal-hydration"},
		{"Tonisieren", "stromal-hydration"}, {"Antibiotikum", "intracameral-antibiotic"},
	}},
	// Source: Cataract-1K phase list; Ghamsarian N et al. Sci Data 2024 (s41597-024-03193-4).
	{"cataract-1k", "phaco", [][2]string{
		{"idle", ""}, {"incision", "main-incision"}, {"viscoelastic", "ovd-fill"}, {"capsulorhexis", "capsulotomy"},
		{"hydrodissection", "hydrodissection"}, {"phacoemulsification", "fragment-removal"}, {"irrigation-aspiration", "cortex-aspiration"},
		{"capsule polishing", "capsule-polish"}, {"lens implantation", "iol-insertion"}, {"lens positioning", "iol-dialling"},
		{"viscoelastic suction", "ovd-removal"}, {"anterior-chamber flushing", "ovd-removal"}, {"tonifying/antibiotics", "stromal-hydration"},
	}},
}

func TestDataSetClassesResolve(t *testing.T) {
	for _, set := range dataSets {
		p := procedure(t, set.procedure)
		mapped := 0
		for _, l := range p.DataLabels {
			if l.Set == set.name {
				mapped++
			}
		}
		if mapped != len(set.classes) {
			t.Errorf("%s maps %d classes, want %d", set.name, mapped, len(set.classes))
		}
		for _, c := range set.classes {
			class, want := c[0], c[1]
			if l, ok := p.DataLabel(set.name, class); !ok || l.Step != want {
				t.Errorf("DataLabel(%q, %q) = %q, %v, want %q", set.name, class, l.Step, ok, want)
			}
			m := p.Match(class, taxonomy.Context{})
			if m.ID != want || want != "" && m.Confidence < 0.97 {
				t.Errorf("%s: Match(%q) = %+v, want %q at 0.97 or more", set.name, class, m, want)
			}
			if want == "" && m.Kind != taxonomy.KindRemark {
				t.Errorf("%s: Match(%q) = %+v, want a remark", set.name, class, m)
			}
		}
	}
}

// The classes' own order, cases aside in which a class returns, is an order the
// vocabulary allows: no hard constraint is broken by walking through the list.
func TestDataSetOrderBreaksNoHardConstraint(t *testing.T) {
	for _, set := range dataSets[:2] {
		p := procedure(t, set.procedure)
		at := map[string]int{}
		for i, c := range set.classes {
			if _, seen := at[c[1]]; !seen && c[1] != "" {
				at[c[1]] = i
			}
		}
		for _, o := range p.Order {
			before, one := at[o.Before]
			after, two := at[o.After]
			if o.Hard && one && two && before >= after {
				t.Errorf("%s has %s at %d and %s at %d", set.name, o.Before, before, o.After, after)
			}
		}
	}
}
