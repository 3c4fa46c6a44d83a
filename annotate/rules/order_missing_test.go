package rules_test

import (
	"slices"
	"strings"
	"testing"

	"sideport/annotate/rules"

	"github.com/google/go-cmp/cmp"
)

// full is a list that names every expected step of the small-incision operation but
// those left out.
func full(without ...string) string {
	names := []string{"draping", "peritomy", "scleral groove", "tunnel", "side port", "visco", "keratome entry", "rhexis", "hydro", "entry extension",
		"nucleus prolapse", "nucleus delivery", "cortical wash", "visco in bag", "iol", "dialling", "visco wash", "leak test"}
	return ticks(slices.DeleteFunc(names, func(n string) bool { return slices.Contains(without, n) })...)
}

func TestMissingSteps(t *testing.T) {
	const said = "case/recording.txt: note: expected and not named: "
	expect(t, "order/missing-step", []sample{
		{"none", with("", full()), nil},
		{"one note lists all", with("", full("peritomy", "keratome entry", "dialling")), []string{
			said + "Conjunctival peritomy, Keratome entry into AC, IOL positioning [order/missing-step]"}},
		{"no stamps", with("steps: [{step: capsulotomy}]\n", ""), nil},
		{"chapters alone are an edit, not a list", map[string]string{"case.yaml": head, "chapters.vtt": titles("Rhexis", "Hydro")}, nil},
		{"an empty list", with("", "# nothing was noted\n"), nil},
		{"an entry names it", with("steps: [{step: peritomy}]\n", full("peritomy")), nil},
		{"a chapter names it", map[string]string{"case.yaml": head, "recording.txt": full("peritomy"), "chapters.vtt": titles("Peritomy")}, nil},
		{"can-opener", with("steps: [{step: capsulotomy, variant: can-opener}]\n", full("hydro")), nil},
		{"another opening", with("steps: [{step: capsulotomy, variant: ccc}]\n", full("hydro")), []string{
			said + "Hydrodissection / hydrodelineation [order/missing-step]"}},
		{"posterior polar", with("patient: {cataract: {type: [posterior-polar]}}\n", full("hydro")), nil},
		{"another cataract", with("patient: {cataract: {type: [brown]}}\n", full("hydro")), []string{
			said + "Hydrodissection / hydrodelineation [order/missing-step]"}},
		{"maintainer", with("", strings.Replace(full("visco", "visco in bag", "visco wash"), "side port", "AC maintainer", 1)), []string{
			said + "Side port [order/missing-step]"}},
		{"maintainer technique", with("steps: [{step: nucleus-delivery, variant: hydroexpression-acm}]\n", full("visco", "visco in bag", "visco wash")), nil},
		{"no maintainer", with("", full("visco", "visco in bag", "visco wash")), []string{
			said + "OVD injection, OVD before lens, OVD wash [order/missing-step]"}},
		{"aphakic", with("lens: {site: aphakic}\n", full("visco in bag", "iol", "dialling")), nil},
	})
}

// A step that is mostly over before the recording starts is not missed, even where
// every case has it. The vocabulary has none that is both, so draping is made one.
func TestMissingStepsOffVideo(t *testing.T) {
	c := resolve(t, folder(t, "case", with("", full("draping"))))
	p := *c.Procedure
	p.Steps = slices.Clone(p.Steps)
	c.Procedure = &p
	const said = "case/recording.txt: note: expected and not named: Draping and speculum [order/missing-step]"
	if diff := cmp.Diff([]string{said}, only(rules.Check(c), "order/missing-step")); diff != "" {
		t.Errorf("on the video (-want +got):\n%s", diff)
	}
	for i := range p.Steps {
		p.Steps[i].OffVideo = p.Steps[i].OffVideo || p.Steps[i].ID == "draping"
	}
	if got := only(rules.Check(c), "order/missing-step"); len(got) != 0 {
		t.Errorf("before the video: %v, want nothing", got)
	}
}

// The nucleus is sculpted or chopped; one of them is expected, either will do.
func TestMissingStepOfAGroup(t *testing.T) {
	list := func(names ...string) map[string]string {
		return map[string]string{"case.yaml": phacoHead, "recording.txt": ticks(names...)}
	}
	for _, tt := range []struct {
		name  string
		files map[string]string
		want  bool
	}{
		{"neither", list("rhexis", "quadrant removal"), true},
		{"sculpt", list("rhexis", "sculpt", "quadrant removal"), false},
		{"chop", list("rhexis", "chop", "quadrant removal"), false},
	} {
		got := only(found(t, tt.files), "order/missing-step")
		if len(got) != 1 || strings.Contains(got[0], "Sculpting / trenching or Chopping") != tt.want {
			t.Errorf("%s: %v; want the group named: %v", tt.name, got, tt.want)
		}
	}
}
