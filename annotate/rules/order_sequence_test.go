package rules_test

import (
	"slices"
	"testing"

	"sideport/annotate/rules"
	"sideport/annotate/taxonomy"
	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
)

// The orders are those of a table of constraints that is common practice and has no
// source: a fixed order weighs as look again, a custom as information.
func TestOrderOfSteps(t *testing.T) {
	expect(t, "order/sequence", []sample{
		{"usual", with("", ticks("peritomy", "scleral groove", "tunnel", "side port", "rhexis", "hydro", "nucleus delivery", "cortical wash")), nil},
		{"fixed", with("", ticks("rhexis", "trypan")), []string{
			"case/recording.txt:1:1: stop: anterior capsulotomy at 0:00.0 comes before capsule staining at 1:00.0; the usual order is capsule staining first [order/sequence]"}},
		{"custom", with("", ticks("rhexis", "side port")), []string{
			"case/recording.txt:1:1: note: anterior capsulotomy at 0:00.0 comes before side port at 1:00.0; the usual order is side port first [order/sequence]"}},
		{"either way", with("", ticks("keratome entry", "rhexis")), nil},
		{"either way, reversed", with("", ticks("rhexis", "keratome entry")), nil},
		{"tunnel before or behind the side port", with("", ticks("side port", "scleral groove", "tunnel")), nil},
		{"at one time", with("", "1:00 rhexis\n1:00 trypan\n"), nil},
		{"first occurrences only", with("", ticks("hydro", "nucleus delivery", "hydro", "nucleus delivery", "cortical wash", "iol", "cortical wash")), nil},
		{"the second occurrence is late, the first is not", with("", ticks("iol", "cortical wash", "iol")), []string{
			"case/recording.txt:1:1: stop: IOL implantation at 0:00.0 comes before cortical wash at 1:00.0; the usual order is cortical wash first [order/sequence]"}},
		{"only one of the two", with("", ticks("rhexis", "hydro")), nil},
		{"no times at all", with("steps: [{step: capsulotomy}, {step: capsule-stain}]\n", ""), nil},
		{"one of the two has no time", with("steps: [{step: capsule-stain}]\n", ticks("rhexis")), nil},
		{"times of case.yaml count", with("steps: [{step: capsule-stain, at: \"5:00\"}]\n", ticks("rhexis")), []string{
			"case/recording.txt:1:1: stop: anterior capsulotomy at 0:00.0 comes before capsule staining at 5:00.0; the usual order is capsule staining first [order/sequence]"}},
		{"chapters alone, on the video clock", map[string]string{"case.yaml": head, "chapters.vtt": titles("Title", "Rhexis", "Trypan")}, []string{
			"case/chapters.vtt:6:1: stop: anterior capsulotomy at 1:00.0 comes before capsule staining at 2:00.0; the usual order is capsule staining first [order/sequence]"}},
		{"a voice names steps in any order", map[string]string{
			"case.yaml":     head + "video: {shows: recording, duration: \"5:00\"}\nsteps: [{step: capsule-stain}, {step: capsulotomy}]\n",
			"narration.srt": "1\n00:00:01,000 --> 00:00:04,000\nNow the rhexis.\n\n2\n00:00:05,000 --> 00:00:09,000\nThis was the capsule staining.\n",
		}, nil},
	})
}

// What chains of fixed orders come to: draping < peritomy < groove says that the
// groove comes behind draping too.
func TestOrderOverStepsThatAreNotThere(t *testing.T) {
	const sooner = "case/recording.txt:1:1: stop: IOL implantation at 0:00.0 comes before "
	expect(t, "order/sequence", []sample{
		{"the step between is not there", with("", ticks("iol", "rhexis")), []string{
			sooner + "anterior capsulotomy at 1:00.0; the usual order is anterior capsulotomy first [order/sequence]"}},
		{"one step in the wrong place is said once", with("", ticks("iol", "rhexis", "hydro", "nucleus prolapse", "nucleus delivery", "cortical wash", "visco wash")), []string{
			sooner + "cortical wash at 5:00.0; the usual order is cortical wash first [order/sequence]"}},
		{"also where two orders say the same", with("", ticks("visco wash", "iol", "dialling")), []string{
			"case/recording.txt:1:1: stop: OVD wash at 0:00.0 comes before IOL positioning at 2:00.0; the usual order is IOL positioning first [order/sequence]"}},
		{"a custom does not add up", with("", ticks("hydro", "side port")), nil},
	})
}

// The vocabulary has no fixed order that was read in a source, so the case is given
// some. A fixed order weighs the same whatever stands behind it, and says what does;
// the evidence of a way over several orders is the weakest on it.
func TestOrderNamesEvidence(t *testing.T) {
	c := resolve(t, folder(t, "case", with("", ticks("hydro", "rhexis", "trypan"))))
	const ref = "A reference, page 3"
	order := func(before, after, evidence, source string) taxonomy.Order {
		return taxonomy.Order{Before: before, After: after, Hard: true, Evidence: evidence, Source: source}
	}
	tests := []struct {
		name     string
		order    []taxonomy.Order
		maySwap  [][]string
		severity source.Severity
		evidence string
		source   string
	}{
		{"confirmed", []taxonomy.Order{order("capsulotomy", "hydroprocedure", "confirmed", ref)}, nil, source.Stop, "confirmed", ref},
		{"derived", []taxonomy.Order{order("capsulotomy", "hydroprocedure", "derived", ref)}, nil, source.Stop, "derived", ref},
		{"common practice", []taxonomy.Order{order("capsulotomy", "hydroprocedure", "common-practice", "")}, nil, source.Stop, "common-practice", "common practice, no source"},
		{"from memory", []taxonomy.Order{order("capsulotomy", "hydroprocedure", "from-memory", "")}, nil, source.Stop, "from-memory", "from memory, unconfirmed"},
		{"the weakest of the way", []taxonomy.Order{order("capsulotomy", "relaxing-cuts", "confirmed", ref), order("relaxing-cuts", "hydroprocedure", "from-memory", "B")}, nil,
			source.Stop, "from-memory", ref + "; B"},
		{"the shortest way", []taxonomy.Order{order("capsulotomy", "relaxing-cuts", "from-memory", "B"), order("relaxing-cuts", "hydroprocedure", "from-memory", "B"),
			order("capsulotomy", "hydroprocedure", "confirmed", ref)}, nil, source.Stop, "confirmed", ref},
		{"a pair that may swap", []taxonomy.Order{order("capsulotomy", "hydroprocedure", "confirmed", ref)}, [][]string{{"hydroprocedure", "capsulotomy"}}, 0, "", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := *c.Procedure
			p.Order, p.MaySwap = tt.order, tt.maySwap
			other := *c
			other.Procedure = &p
			list := slices.DeleteFunc(rules.Check(&other), func(f source.Finding) bool { return f.Rule != "order/sequence" })
			if tt.evidence == "" {
				if len(list) != 0 {
					t.Errorf("findings = %v, want none", list)
				}
				return
			}
			if len(list) != 1 {
				t.Fatalf("findings = %v, want one", list)
			}
			f := list[0]
			got := []any{f.Severity, f.Evidence, f.Source, f.Step, f.Nth, f.Recording.From.Seconds(), f.Related[0].Pos.String()}
			want := []any{tt.severity, tt.evidence, tt.source, "hydroprocedure", 1, 0.0, "case/recording.txt:2:1"}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("severity, evidence, source, step, nth, recording, related (-want +got):\n%s", diff)
			}
		})
	}
}

// Two steps that may fall together, as dialling and washing behind the lens do.
func TestOrderOrSame(t *testing.T) {
	expect(t, "order/sequence", []sample{
		{"together", with("", "1:00 iol\n2:00 dialling\n2:00 visco wash\n"), nil},
		{"together, written the other way", with("", "1:00 iol\n2:00 visco wash\n2:00 dialling\n"), nil},
		{"reversed", with("", "1:00 iol\n2:00 visco wash\n2:01 dialling\n"), []string{
			"case/recording.txt:2:1: stop: OVD wash at 2:00.0 comes before IOL positioning at 2:01.0; the usual order is IOL positioning first [order/sequence]"}},
	})
}
