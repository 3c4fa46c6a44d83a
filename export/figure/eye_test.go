package figure_test

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"sideport/export/figure"
)

// recorded is a length as a case records it.
func recorded(mm float64) figure.Length { return figure.Length{MM: mm, Basis: figure.Recorded} }

// wholeEye has every part.
func wholeEye() figure.Eye {
	return figure.Eye{
		Side: figure.Left, WhiteToWhite: recorded(11.6), Pupil: recorded(7.5),
		Incision: figure.Incision{
			Shape: "frown", Length: figure.Length{MM: 6, Basis: figure.Measured}, FromLimbus: figure.Length{MM: 2, Basis: figure.Measured},
			Rise: recorded(1.5), Site: figure.Angle{Degrees: 90, Basis: figure.Recorded},
		},
		Tunnel:    figure.Tunnel{Length: figure.Length{MM: 3.5, Basis: figure.Derived}, Inner: recorded(8)},
		SidePorts: []figure.SidePort{{Width: recorded(1.2), Site: figure.Angle{Degrees: 0, Basis: figure.Recorded}}},
		Rhexis:    figure.Rhexis{Kind: "ccc", Diameter: figure.Length{MM: 6.2, Basis: figure.Estimated}},
		Nucleus:   figure.Length{MM: 7.2, Basis: figure.Estimated},
		Lens:      figure.Lens{Optic: recorded(6), Overall: recorded(12.5)},
		Sutures:   figure.Sutures{Count: 1, Kind: "x", Basis: figure.Recorded},
	}
}

func eyeSVG(t testing.TB, e figure.Eye, opt figure.Options) string {
	t.Helper()
	var b bytes.Buffer
	if err := figure.EyeSVG(&b, e, opt); err != nil {
		t.Fatalf("EyeSVG: %v", err)
	}
	return b.String()
}

// of lists the elements of one part by name.
func of(all []element, part, name string) (out []element) {
	for _, e := range all {
		if e.part == part && e.name == name {
			out = append(out, e)
		}
	}
	return out
}

func near(got, want, tolerance float64) bool { return math.Abs(got-want) <= tolerance }

// The values are elementary geometry, calculated apart from this code: a frown of
// chord 6 and rise 1.5 lies on a circle of 3.75; a chord equal to the diameter has
// an arc of half the circumference.
func TestArcsAndChords(t *testing.T) {
	tests := []struct {
		name      string
		got, want float64
	}{
		{"ArcFromChord(5.855, 6.5)", figure.ArcFromChord(5.855, 6.5), 6.891},
		{"ArcFromChord(5, 10)", figure.ArcFromChord(5, 10), 5 * math.Pi},
		{"ChordFromArc(5.855, 6.5)", figure.ChordFromArc(5.855, 6.5), 6.171},
		{"Sagitta(5.855, 6.5)", figure.Sagitta(5.855, 6.5), 0.985},
		{"Sagitta(5, 10)", figure.Sagitta(5, 10), 5},
		{"FrownRadius(6, 1.5)", figure.FrownRadius(6, 1.5), 3.75},
		{"FrownRadius(8, 2)", figure.FrownRadius(8, 2), 5},
		{"frown 6/1.5", figure.Incision{Shape: "frown", Length: recorded(6), Rise: recorded(1.5)}.PathLength(11.71), 6.9547},
		{"frown 8/2", figure.Incision{Shape: "frown", Length: recorded(8), Rise: recorded(2)}.PathLength(11.71), 9.2730},
		{"chevron 6/1.5", figure.Incision{Shape: "chevron", Length: recorded(6), Rise: recorded(1.5)}.PathLength(11.71), 6.7082},
		{"straight 6", figure.Incision{Shape: "straight", Length: recorded(6)}.PathLength(11.71), 6},
		{"smile 6.5 at the limbus", figure.Incision{Shape: "smile", Length: recorded(6.5), AtLimbus: true}.PathLength(11.71), 6.891},
		{"unknown length", figure.Incision{Shape: "frown"}.PathLength(11.71), 0},
	}
	for _, tt := range tests {
		if !near(tt.got, tt.want, 0.0005) {
			t.Errorf("%s = %.4f, want %.4f", tt.name, tt.got, tt.want)
		}
	}
}

// What is drawn is measured with a ruler: distances between coordinates, against
// the scale bar of the same drawing.
func TestDrawnToScale(t *testing.T) {
	for _, tt := range []struct {
		name    string
		eye     func(*figure.Eye)
		view    figure.View
		middle  float64 // millimetres from the corneal centre to the incision's middle
		chord   float64
		radius  float64 // of the incision's arc, 0 for none
		atEnds  float64 // millimetres from the limbus-parallel line of the middle to the ends, outward
		corners int
	}{
		{"frown", func(e *figure.Eye) {}, figure.SurgeonView, 7.8, 6, 3.75, 1.5, 2},
		{"frown seen facing", func(e *figure.Eye) {}, figure.FacingView, 7.8, 6, 3.75, 1.5, 2},
		{"chevron", func(e *figure.Eye) { e.Incision.Shape = "chevron" }, figure.SurgeonView, 7.8, 6, 0, 1.5, 3},
		{"straight", func(e *figure.Eye) { e.Incision.Shape = "straight" }, figure.SurgeonView, 7.8, 6, 0, 0, 2},
		{"smile", func(e *figure.Eye) { e.Incision.Shape = "smile" }, figure.SurgeonView, 7.8, 6, 7.8, math.Sqrt(7.8*7.8-9) - 7.8, 2},
		{"temporal", func(e *figure.Eye) { e.Incision.Site.Degrees = 10 }, figure.SurgeonView, 7.8, 6, 3.75, 1.5, 2},
		{"corneal", func(e *figure.Eye) {
			e.Incision = figure.Incision{Shape: "straight", Length: recorded(2.4), AtLimbus: true, Site: figure.Angle{Degrees: 200}}
			e.Tunnel = figure.Tunnel{Length: recorded(1.75)}
		}, figure.SurgeonView, 5.8, 2.4, 0, 0, 2},
	} {
		t.Run(tt.name, func(t *testing.T) {
			e := wholeEye()
			tt.eye(&e)
			all := parse(t, eyeSVG(t, e, figure.Options{Standalone: true, View: tt.view}))

			bar, _ := of(all, "scale", "path")[0].points(t)
			last := len(bar) - 1
			perMM := (bar[last][0] - bar[last-1][0]) / 5
			if !near(perMM, figure.UnitsPerMM, figure.UnitsPerMM*0.005) {
				t.Errorf("scale bar: %.3f units a millimetre, want %v", perMM, figure.UnitsPerMM)
			}
			mm := func(what string, got, want float64) {
				t.Helper()
				if !near(got/perMM, want, want*0.005+0.001) {
					t.Errorf("%s = %.3f mm, want %.3f", what, got/perMM, want)
				}
			}
			for part, diameter := range map[string]float64{"limbus": 11.6, "pupil": 7.5, "rhexis": 6.2, "nucleus": 7.2, "implant": 6} {
				mm(part, 2*of(all, part, "circle")[0].number(t, "r"), diameter)
			}
			ends, radii := of(all, "incision", "path")[0].points(t)
			if len(ends) != tt.corners {
				t.Fatalf("the incision has %d corners, want %d", len(ends), tt.corners)
			}
			a, b := ends[0], ends[len(ends)-1]
			mm("chord", math.Hypot(a[0]-b[0], a[1]-b[1]), tt.chord)
			// The chord's middle lies on the radius of the site.
			mm("chord from the centre", math.Hypot((a[0]+b[0])/2, (a[1]+b[1])/2), tt.middle+tt.atEnds)
			if tt.radius > 0 {
				mm("radius", radii[0], tt.radius)
				x, y := arcMiddle(a, b, radii[0], of(all, "incision", "path")[0].attr["d"])
				mm("middle of the arc", math.Hypot(x, y), tt.middle)
			}
			if tt.corners == 3 {
				mm("apex", math.Hypot(ends[1][0], ends[1][1]), tt.middle)
			}
			port, _ := of(all, "side-ports", "path")[0].points(t)
			mm("side port", math.Hypot(port[0][0]-port[1][0], port[0][1]-port[1][1]), 1.2)
			haptic, outer := of(all, "implant", "path")[0].points(t)
			mm("overall diameter", 2*outer[0], 12.5)
			mm("end of the haptic", 2*math.Hypot(haptic[2][0], haptic[2][1]), 12.5)
			if marks := of(all, "tunnel", "path"); tt.name == "frown" {
				inner, r := marks[3].points(t)
				mm("inner opening from the centre", r[0], 7.8-3.5)
				chord := math.Hypot(inner[0][0]-inner[1][0], inner[0][1]-inner[1][1])
				mm("inner opening along its curve", figure.ArcFromChord(r[0], chord), 8)
			}
		})
	}
}

// arcMiddle is the middle of the small arc from a to b, by the sweep flag's meaning
// in SVG: 1 runs clockwise, y pointing down, so the arc bulges to the left of the
// way from a to b.
func arcMiddle(a, b [2]float64, r float64, path string) (x, y float64) {
	dx, dy := b[0]-a[0], b[1]-a[1]
	c := math.Hypot(dx, dy)
	h := figure.Sagitta(r, c)
	if strings.Contains(path, " 0 0 0 ") {
		h = -h
	}
	return (a[0]+b[0])/2 + dy/c*h, (a[1]+b[1])/2 - dx/c*h
}

// Axis notation: 0 at the right of an observer who faces the patient, counter-
// clockwise, for both eyes (the notation of spectacle prescriptions). The temple
// of a left eye is then at 0, that of a right eye at 180.
func TestSitesFollowTheAxisNotation(t *testing.T) {
	tests := []struct {
		name   string
		side   figure.Side
		view   figure.View
		site   float64
		wantX  float64 // direction of the incision on paper, y downwards
		wantY  float64
		letter string // the letter at the right end of the compass
	}{
		{"superior, facing", figure.Left, figure.FacingView, 90, 0, -1, "T"},
		{"right of the observer, facing", figure.Left, figure.FacingView, 0, 1, 0, "T"},
		{"right eye, facing", figure.Right, figure.FacingView, 180, -1, 0, "N"},
		{"superior, from the head", figure.Left, figure.SurgeonView, 90, 0, 1, "N"},
		{"superotemporal of a right eye, from the head", figure.Right, figure.SurgeonView, 135, math.Sqrt2 / 2, math.Sqrt2 / 2, "T"},
		{"temporal of a left eye, from the temple", figure.Left, figure.SurgeonView, 0, 0, 1, "S"},
		{"temporal of a right eye, from the temple", figure.Right, figure.SurgeonView, 180, 0, 1, "I"},
		{"negative degrees", figure.Left, figure.FacingView, -90, 0, 1, "T"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			e := wholeEye()
			e.Side, e.Incision.Site.Degrees = tt.side, tt.site
			all := parse(t, eyeSVG(t, e, figure.Options{View: tt.view}))
			ends, _ := of(all, "incision", "path")[0].points(t)
			x, y := ends[0][0]+ends[1][0], ends[0][1]+ends[1][1]
			r := math.Hypot(x, y)
			if !near(x/r, tt.wantX, 0.001) || !near(y/r, tt.wantY, 0.001) {
				t.Errorf("incision at (%.2f, %.2f), want (%.2f, %.2f)", x/r, y/r, tt.wantX, tt.wantY)
			}
			rightmost, letter := math.Inf(-1), ""
			for _, e := range of(all, "directions", "text") {
				if x := e.number(t, "x"); x > rightmost {
					rightmost, letter = x, e.text
				}
			}
			if letter != tt.letter {
				t.Errorf("right end of the compass = %q, want %q", letter, tt.letter)
			}
		})
	}
}

func TestLineStylesTellHowASizeIsKnown(t *testing.T) {
	styles := map[figure.Basis]string{
		figure.Measured: "", figure.Recorded: "", figure.Estimated: "13 8", figure.Derived: "13 8", figure.Assumed: "0.1 7",
	}
	for basis, dash := range styles {
		e := figure.Eye{Nucleus: figure.Length{MM: 7, Basis: basis}}
		all := parse(t, eyeSVG(t, e, figure.Options{}))
		if got := of(all, "nucleus", "circle")[0].attr["stroke-dasharray"]; got != dash {
			t.Errorf("line of a nucleus that is %s = %q, want %q", basis, got, dash)
		}
	}
	var words []string
	for _, e := range of(parse(t, eyeSVG(t, wholeEye(), figure.Options{})), "key", "text") {
		words = append(words, e.text)
	}
	if got, want := strings.Join(words, "|"), "recorded or measured|estimated or derived"; got != want {
		t.Errorf("key of an eye without assumptions = %q, want %q", got, want)
	}
}

func TestHostileTextStaysText(t *testing.T) {
	hostile := "\"'><script>alert(1)</script>\x00\x01\x1b & ]]> \ufffe é"
	for _, standalone := range []bool{false, true} {
		svg := eyeSVG(t, wholeEye(), figure.Options{
			Standalone: standalone, Title: hostile, Desc: hostile, IDPrefix: "a\" onload=\"alert(1)",
			Colours: figure.Colours{Ink: "red\" onclick=\"x", Paper: "url(//x)"},
		})
		for _, e := range parse(t, svg) {
			if e.name == "script" {
				t.Errorf("standalone %v: a script element came through", standalone)
			}
			for name := range e.attr {
				if strings.HasPrefix(name, "on") || name == "style" {
					t.Errorf("standalone %v: attribute %s on <%s>", standalone, name, e.name)
				}
			}
		}
		if strings.Contains(svg, "url(") {
			t.Errorf("standalone %v: a colour that is none came through", standalone)
		}
	}
}

func TestHostileNumbersGiveADrawing(t *testing.T) {
	for _, v := range []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1), 1e308, 1e-9, 39.99, 1000} {
		l := figure.Length{MM: v, Basis: figure.Measured}
		a := figure.Angle{Degrees: v, Basis: figure.Measured}
		e := figure.Eye{
			WhiteToWhite: l, Pupil: l, Incision: figure.Incision{Shape: "frown", Length: l, FromLimbus: l, Rise: l, Site: a},
			Tunnel: figure.Tunnel{Length: l, Inner: l}, SidePorts: make([]figure.SidePort, 1000),
			Rhexis: figure.Rhexis{Kind: "can-opener", Diameter: l, Nicks: 1 << 40}, Nucleus: l,
			Lens: figure.Lens{Optic: l, Overall: l}, Sutures: figure.Sutures{Count: 1 << 40},
		}
		e.SidePorts[0] = figure.SidePort{Width: l, Site: a}
		svg := eyeSVG(t, e, figure.Options{Standalone: true, Width: 500})
		if strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") || len(svg) > 100_000 {
			t.Errorf("with %v everywhere: %d bytes, NaN or Inf inside", v, len(svg))
		}
		parse(t, svg)
	}
}

func TestStandaloneCarriesItsColours(t *testing.T) {
	alone := eyeSVG(t, wholeEye(), figure.Options{Standalone: true, Width: 640, Colours: figure.Colours{Accent: "#AB12ef"}})
	if strings.Contains(alone, "class=") || !strings.HasPrefix(alone, `<svg xmlns="http://www.w3.org/2000/svg"`) || !strings.Contains(alone, `stroke="#AB12ef"`) {
		t.Errorf("standalone drawing:\n%.300s", alone)
	}
	inline := eyeSVG(t, wholeEye(), figure.Options{IDPrefix: "one"})
	if !strings.Contains(inline, `aria-labelledby="one-title one-desc"`) || !strings.Contains(inline, `id="one-title"`) || strings.Contains(inline, "style=") {
		t.Errorf("inline drawing:\n%.300s", inline)
	}
	for _, e := range parse(t, inline) {
		for class := range strings.FieldsSeq(e.attr["class"]) {
			if !strings.Contains(figure.CSS(), "."+class+" ") && e.name != "svg" {
				t.Errorf("class %s of <%s> is not in CSS", class, e.name)
			}
		}
	}
}

func TestNumbersDoNotCollide(t *testing.T) {
	for site := 0.0; site < 360; site += 15 {
		for _, view := range []figure.View{figure.SurgeonView, figure.FacingView} {
			e := wholeEye()
			e.Incision.Site.Degrees = site
			e.SidePorts[0].Site.Degrees = site + 90
			circles := of(parse(t, eyeSVG(t, e, figure.Options{View: view})), "labels", "circle")
			var markers []element
			for _, c := range circles {
				if c.number(t, "r") > 10 {
					markers = append(markers, c)
				}
			}
			if len(markers) != 9 {
				t.Fatalf("site %v: %d numbers, want 9", site, len(markers))
			}
			for i, a := range markers {
				for _, b := range markers[:i] {
					dx, dy := a.number(t, "cx")-b.number(t, "cx"), a.number(t, "cy")-b.number(t, "cy")
					if math.Hypot(dx, dy) < 2*a.number(t, "r") {
						t.Errorf("site %v, view %v: two numbers overlap", site, view)
					}
				}
			}
		}
	}
}
