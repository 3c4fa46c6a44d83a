package figure_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sideport/export/figure"
)

func TestPartsSayHowEachSizeIsKnown(t *testing.T) {
	e := figure.Eye{
		Incision: figure.Incision{Shape: "frown", Length: figure.Length{MM: 6, Basis: figure.Measured}},
		Tunnel:   figure.Tunnel{Length: figure.Length{MM: 3.5, Basis: figure.Derived}},
		Rhexis:   figure.Rhexis{Kind: "can-opener", Diameter: figure.Length{MM: 6.55, Basis: figure.Estimated}},
	}
	want := []figure.Item{
		{Number: 1, Part: figure.Limbus, Name: "limbus", Size: "11.7 mm white to white", Basis: figure.Assumed},
		{Number: 2, Part: figure.Pupil, Name: "pupil", Size: "7.0 mm", Basis: figure.Assumed},
		{Number: 3, Part: figure.ExternalIncision, Name: "frown incision", Size: "6.0 mm from end to end, 6.95 mm along the cut, 2.0 mm behind the limbus, at 0°",
			Basis: figure.Measured, Assumed: "rise of the ends, distance from the limbus, place"},
		{Number: 4, Part: figure.TunnelPocket, Name: "tunnel", Size: "3.5 mm long, inner opening 8.0 mm along its curve", Basis: figure.Derived, Assumed: "width of the inner opening"},
		{Number: 5, Part: figure.CapsuleOpening, Name: "capsule opening", Size: "can-opener, 6.55 mm", Basis: figure.Estimated, Assumed: "number of nicks"},
	}
	if diff := cmp.Diff(want, e.Parts(figure.Stage{})); diff != "" {
		t.Errorf("Parts (-want +got):\n%s", diff)
	}
}

func TestAnEyeWithNothingDoneHasNoWound(t *testing.T) {
	svg := eyeSVG(t, figure.Eye{}, figure.Options{})
	for _, part := range []string{"incision", "tunnel", "rhexis", "nucleus", "implant", "sutures", "side-ports"} {
		if strings.Contains(svg, fmt.Sprintf("data-part=%q", part)) {
			t.Errorf("the zero Eye shows %s", part)
		}
	}
}

func TestStagesBuildUpInTheOrderOfTheSteps(t *testing.T) {
	numbers := func(steps ...string) string {
		var out []string
		for _, it := range wholeEye().Parts(figure.After(steps...)) {
			out = append(out, fmt.Sprint(it.Number, " ", it.Name))
		}
		return strings.Join(out, ", ")
	}
	tests := []struct {
		steps []string
		want  string
	}{
		{nil, "1 limbus, 2 pupil"},
		{[]string{"antisepsis", "draping"}, "1 limbus, 2 pupil"},
		{[]string{"scleral-groove"}, "1 limbus, 2 pupil, 3 frown incision"},
		{[]string{"scleral-groove", "tunnel-dissection", "side-port"}, "1 limbus, 2 pupil, 3 frown incision, 4 tunnel, 5 side port"},
		{[]string{"side-port", "capsulotomy"}, "1 limbus, 2 pupil, 5 side port, 6 capsule opening, 7 nucleus"},
		{[]string{"scleral-groove", "capsulotomy", "nucleus-prolapse", "nucleus-delivery"}, "1 limbus, 2 pupil, 3 frown incision, 6 capsule opening, 7 nucleus"},
		{[]string{"scleral-groove", "capsulotomy", "nucleus-delivery", "cortex-aspiration"}, "1 limbus, 2 pupil, 3 frown incision, 6 capsule opening"},
		{[]string{"scleral-groove", "capsulotomy", "nucleus-delivery", "iol-insertion", "wound-suture"}, "1 limbus, 2 pupil, 3 frown incision, 6 capsule opening, 8 implant, 9 suture"},
	}
	for _, tt := range tests {
		if got := numbers(tt.steps...); got != tt.want {
			t.Errorf("After(%q) shows %s, want %s", tt.steps, got, tt.want)
		}
	}
	delivery := figure.After("nucleus-prolapse", "nucleus-delivery")
	if delivery.Nucleus != figure.InTunnel || delivery.Current != figure.NucleusOutline {
		t.Errorf("After(nucleus-delivery) = %+v, want the nucleus in the tunnel", delivery)
	}
}

func TestEveryStageFillsTheSameFrame(t *testing.T) {
	frame := func(steps ...string) string {
		opt := figure.Options{Standalone: true, Width: 800}
		if steps != nil {
			opt.Stage = figure.After(steps...)
		}
		return parse(t, eyeSVG(t, wholeEye(), opt))[0].attr["viewBox"]
	}
	whole := frame()
	for _, steps := range [][]string{{}, {"scleral-groove"}, {"scleral-groove", "capsulotomy", "nucleus-delivery"}, {"iol-insertion"}} {
		if got := frame(steps...); got != whole {
			t.Errorf("frame after %q = %s, want %s", steps, got, whole)
		}
	}
}
