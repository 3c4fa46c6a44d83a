package page_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sideport/annotate"
)

// A grade names its scheme, and an abbreviation readers may not know is written out.
func TestTheHeadReadsAsInPrint(t *testing.T) {
	c := exampleCase(t)
	p := &c.File.Patient
	p.Cataract.Type = texts("ns", "psc")
	p.Cataract.Grade = append(p.Cataract.Grade, annotate.Grade{Scheme: text("locs3-no"), Value: text("4.1")})
	p.Systemic = texts("ihd", "copd")
	doc := parse(t, write(t, c, exampleOptions()))
	var facts []string
	for _, li := range byName(byClass(doc, "facts")[0], "li") {
		facts = append(facts, content(li))
	}
	want := []string{"left eye, first eye operated on", "age 60–69", "nuclear, posterior subcapsular cataract", "grade 3 on the clinical scale 1–4", "LOCS III NO 4.1"}
	if diff := cmp.Diff(want, facts); diff != "" {
		t.Errorf("facts above the text (-want +got)\n%s", diff)
	}
	if got := content(doc); !strings.Contains(got, "ischaemic heart disease, COPD") {
		t.Error("general health is not written as in print")
	}
}
