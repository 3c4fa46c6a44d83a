package annotate_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// What a list of times says beside the steps: design section 5, point 5. A
// complication belongs to the step going on, the last one too.
func TestProposalsOfAList(t *testing.T) {
	tests := []struct {
		name, keys, list string
		want             []string
	}{
		{"behind the last step", "", "0:10 rhexis\n0:30 PC rupture\n", []string{"pc-rupture of capsulotomy 1 as noted at 30/-"}},
		{"behind a last step that ended", "", "0:10-0:20 rhexis\n0:30 PC rupture\n", []string{"pc-rupture of no step as noted at 30/-"}},
		{"before the first step", "", "0:10 PC rupture\n0:30 rhexis\n", []string{"pc-rupture of no step as noted at 10/-"}},
		{"two at once", "", "0:10 cortex\n0:30 PC rupture with vitreous loss\n",
			[]string{"pc-rupture of cortex-aspiration 1 as noted at 30/-", "vitreous-loss of cortex-aspiration 1 as noted at 30/-"}},
		{"in the step that it names", "", "0:10 cortex\n0:50 IOL in\n0:55 PC rupture during cortex\n", []string{"pc-rupture of cortex-aspiration 1 as noted at 55/-"}},
		{"said again later in the step", "", "0:10 cortex\n0:30 PC rupture\n0:35 PC rent\n", []string{"pc-rupture of cortex-aspiration 1 as noted at 30/-"}},
		{"again in another step", "", "0:10 cortex\n0:30 vitreous loss\n0:50 IOL in\n0:55 vitreous loss\n",
			[]string{"vitreous-loss of cortex-aspiration 1 as noted at 30/-", "vitreous-loss of iol-insertion 1 as noted at 55/-"}},
		{"denied", "", "0:10 cortex\n0:30 no PC rupture\n0:40 PC intact\n", nil},
		{"confirmed", "events: [{event: PC rupture}]\n", "0:10 cortex\n0:30 PC rupture\n", nil},
		{"a value", "", "0:10 cortex, bottle 70 cm\n", []string{"bottle-height 70 cm of cortex-aspiration 1 as noted at 10/-"}},
		{"a value at its own moment", "", "0:10 cortex\n0:15 bottle 70 cm\n", []string{"bottle-height 70 cm of cortex-aspiration 1 as noted at 15/-"}},
		{"a bare number for the one parameter of the step", "", "0:10 rhexis 5.5\n", []string{"rhexis-diameter 5.5 of capsulotomy 1 as noted at 10/-"}},
		{"a bare number that could be several", "", "0:10 cortex 5.5\n", nil},
		{"confirmed", "steps: [{step: capsulotomy, values: {rhexis-diameter: 5.5 mm}}]\n", "0:10 rhexis 5.5 mm\n", nil},
		{"confirmed in another unit", "steps: [{step: capsulotomy, values: {rhexis-diameter: 0.55 cm}}]\n", "0:10 rhexis 5.5 mm\n", nil},
		{"confirmed as one of a range", "steps: [{step: capsulotomy, values: {rhexis-diameter: 5-6 mm}}]\n", "0:10 rhexis 5.5 mm\n", nil},
		{"without a unit, confirmed with one", "steps: [{step: capsulotomy, values: {rhexis-diameter: 5.5 mm}}]\n", "0:10 rhexis 5.5\n", nil},
		{"another number in case.yaml", "steps: [{step: capsulotomy, values: {rhexis-diameter: 7 mm}}]\n", "0:10 rhexis 5.5 mm\n",
			[]string{"rhexis-diameter 5.5 mm of capsulotomy 1 as noted at 10/-"}},
		{"confirmed as a reading", "steps: [{step: cortex-aspiration, readings: [{at: \"0:12\", bottle-height: 70 cm}]}]\n", "0:10 cortex, bottle 70 cm\n", nil},
		{"confirmed for another occurrence", "steps: [{step: capsulotomy, nth: 2, values: {rhexis-diameter: 5.6 mm}}]\n", "0:10 rhexis 5.5 mm\n0:20 hydrodissection\n0:30 rhexis 5.6 mm\n",
			[]string{"rhexis-diameter 5.5 mm of capsulotomy 1 as noted at 10/-"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := resolve(t, map[string]string{"case.yaml": head + tt.keys, "recording.txt": tt.list})
			if diff := cmp.Diff(tt.want, proposalLines(c)); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// A proposal is never judged and is no fact: the values of the case stay those of
// case.yaml, and so does what chooses the ranges.
func TestProposalsAreNoFacts(t *testing.T) {
	c := resolve(t, map[string]string{"case.yaml": head, "recording.txt": "0:10 can-opener capsulotomy 3 mm\n0:20 zonular dialysis\n"})
	if got := proposalLines(c); len(got) != 2 {
		t.Fatalf("proposals = %v, want 2", got)
	}
	if len(c.Steps) != 1 || c.Steps[0].Variant != "" || len(c.Steps[0].Values) != 0 || len(c.Events) != 0 {
		t.Errorf("steps = %+v, events = %+v", c.Steps, c.Events)
	}
	if c.HasFact("event.zonular-dialysis", "yes") || c.HasFact("capsulotomy.variant", "can-opener") {
		t.Error("what a stamp says is taken for a fact")
	}
	for _, f := range c.Findings {
		if strings.HasPrefix(f.Rule, "range/") {
			t.Errorf("a proposal is judged: %s", f)
		}
	}
}
