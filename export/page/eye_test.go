package page_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"sideport/annotate"
	"sideport/export/figure"
	"sideport/export/page"
)

func TestTheEyeIsDrawnFromTheCasesOwnValues(t *testing.T) {
	c := exampleCase(t)
	got, ok := page.EyeOf(c)
	if !ok {
		t.Fatal("EyeOf: nothing to draw")
	}
	want := figure.Eye{
		Side: figure.Left, Pupil: figure.Length{MM: 7, Basis: figure.Recorded},
		Incision: figure.Incision{
			Shape: "frown", Length: figure.Length{MM: 6.5, Basis: figure.Measured}, FromLimbus: figure.Length{MM: 2, Basis: figure.Measured},
			Site: figure.Angle{Degrees: 90, Basis: figure.Recorded}, // 12 o'clock
		},
		// 2.0 mm behind the limbus and about 1.5 mm into the cornea.
		Tunnel:    figure.Tunnel{Length: figure.Length{MM: 3.5, Basis: figure.Derived}},
		SidePorts: []figure.SidePort{{}},
		Rhexis:    figure.Rhexis{Kind: "can-opener", Diameter: figure.Length{MM: 6.5, Basis: figure.Estimated}, Nicks: 14},
		Nucleus:   figure.Length{MM: 7.5, Basis: figure.Estimated},
		Lens:      figure.Lens{Optic: figure.Length{MM: 6, Basis: figure.Recorded}, Overall: figure.Length{MM: 13.5, Basis: figure.Recorded}},
		Sutures:   figure.Sutures{Basis: figure.Recorded},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("EyeOf (-want +got):\n%s", diff)
	}
}

func TestACornealIncisionLiesAtTheLimbus(t *testing.T) {
	c := exampleCase(t)
	c.File.Patient.Eye = text("right")
	c.Steps = []annotate.Step{{ID: "main-incision", Nth: 1, Values: []annotate.Value{
		value(t, "main-incision-width", "2400 µm", "", "within", 2.2, 2.8, "mm", "confirmed", review, "S1"),
		value(t, "incision-site", "temporal", "", "not-judged", 0, 0, "", "", "", ""),
	}}}
	got, _ := page.EyeOf(c)
	want := figure.Incision{
		Shape: "straight", Length: figure.Length{MM: 2.4, Basis: figure.Recorded}, AtLimbus: true,
		Site: figure.Angle{Degrees: 180, Basis: figure.Recorded}, // the temple of a right eye
	}
	if diff := cmp.Diff(want, got.Incision); diff != "" {
		t.Errorf("incision (-want +got):\n%s", diff)
	}
}

func TestNothingRecordedGivesNoDrawing(t *testing.T) {
	c := exampleCase(t)
	c.Steps, c.Header = nil, nil
	if _, ok := page.EyeOf(c); ok {
		t.Error("EyeOf draws an eye of which nothing is recorded")
	}
}
