package figure

import (
	"fmt"
	"io"
	"math"
	"strings"
)

// UnitsPerMM is the scale of every eye drawing: user units a millimetre. The
// corneal centre is the origin of the drawing's coordinates.
const UnitsPerMM = 40.0

// View is from where the eye is seen.
type View int

// The views. SurgeonView, the default, turns the eye so that the surgeon's seat is
// at the lower edge, as through the microscope: at the head, or at the temporal
// side for an incision there. FacingView has superior at the upper edge.
const (
	SurgeonView View = iota
	FacingView
)

// Labels is how the parts are named in the drawing.
type Labels int

// The ways to label: numbers that a key beside the drawing explains (see
// [Eye.Parts]), words in the drawing itself, or nothing.
const (
	Numbers Labels = iota
	Words
	NoLabels
)

// Options of a drawing. The zero Options draw a complete, numbered eye for an HTML
// page.
type Options struct {
	Width      int    // pixels, with the height to match; 0 leaves the size to the page
	Stage      Stage  // which moment; everything when zero
	View       View   // of the eye
	Labels     Labels // of the eye
	NoKey      bool   // leave out the key of line styles
	IDPrefix   string // makes the ids of one page differ; letters, digits, hyphens
	Title      string // of the drawing, for people who do not see it; a default when empty
	Desc       string // what it shows in words and numbers; made from the parts when empty
	Standalone bool   // a document of its own, with attributes in the place of classes
	Colours    Colours
}

// EyeSVG writes the schematic eye to scale. A part without a size is left out;
// line styles tell recorded from estimated, derived and assumed.
//
// The only errors are those of w.
func EyeSVG(w io.Writer, e Eye, opt Options) error {
	whole := opt
	whole.Stage = Stage{}
	s := compose(e, whole, box{})
	if opt.Stage.Show != 0 {
		// Every stage of one eye fills the same frame, so that pictures of a
		// build-up lie on each other.
		full := s
		s = compose(e, opt, full.core)
		s.coverBox(full.box)
	}
	title, desc := opt.Title, opt.Desc
	if title == "" {
		title = e.title(opt.View)
	}
	if desc == "" {
		desc = s.describe(e.Parts(opt.Stage))
	}
	return s.write(w, opt, "drawing eye", title, desc)
}

// compose draws the eye at a stage; around is what the drawing covers in any case.
func compose(e Eye, opt Options, around box) *eyeScene {
	s := &eyeScene{drawing: newDrawing(), eye: e.complete(), opt: opt, items: map[Part]Item{}}
	s.coverBox(around)
	parts := e.Parts(opt.Stage)
	for _, it := range parts {
		s.items[it.Part] = it
	}
	s.orient()
	s.anatomy()
	s.nucleus()
	s.implant()
	s.rhexis()
	s.tunnel()
	s.incision()
	s.ports()
	s.sutures()
	s.core = s.box
	s.callouts()
	s.compass()
	s.foot(parts)
	return s
}

// eyeScene draws one eye. Positions are polar about the corneal centre in
// millimetres and axis degrees until they are put on paper.
type eyeScene struct {
	*drawing
	eye   Eye
	opt   Options
	items map[Part]Item
	turn  float64 // added to an axis angle gives the angle on paper
	seat  float64 // axis angle of the surgeon's seat
	calls []callout
	core  box // what the eye itself covers, without labels
	// highest and lowest label at the left and at the right edge
	highest, lowest [2]float64
}

// callout is a number or a name with a line to the place it means.
type callout struct {
	item Item
	x, y float64
}

// orient finds the surgeon's seat: the temporal side when the incision lies
// within 45 degrees of it, the head otherwise.
func (s *eyeScene) orient() {
	s.seat = 90
	temporal := map[Side]float64{Left: 0, Right: 180}
	if t, ok := temporal[s.eye.Side]; ok && s.eye.Incision.Length.Known() {
		if off := math.Abs(math.Mod(s.eye.Incision.Site.normal()-t+540, 360) - 180); off < 45 {
			s.seat = t
		}
	}
	if s.opt.View == SurgeonView {
		s.turn = 270 - s.seat
	}
}

// at puts a polar place on paper.
func (s *eyeScene) at(mm, axis float64) (x, y float64) {
	a := (axis + s.turn) * math.Pi / 180
	return mm * UnitsPerMM * math.Cos(a), -mm * UnitsPerMM * math.Sin(a)
}

// local puts a place on paper that is given along and across the radius at site:
// r outward from the centre, t at right angles to it.
func (s *eyeScene) local(site, r, t float64) (x, y float64) {
	return s.at(math.Hypot(r, t), site+math.Atan2(t, r)*180/math.Pi)
}

// show reports whether a part is drawn at this stage, with its item and weight.
func (s *eyeScene) show(p Part) (it Item, weight float64, ok bool) {
	it, ok = s.items[p]
	weight = normal
	if s.opt.Stage.Current&p != 0 {
		weight = heavy
	}
	return it, weight, ok
}

func (s *eyeScene) call(it Item, x, y float64) {
	s.calls = append(s.calls, callout{item: it, x: x, y: y})
}

// away is a place seen from the side opposite the seat: callouts of the round
// parts lie there, clear of the incision. Negative degrees go to the right of a
// surgeon.
func (s *eyeScene) away(mm, off float64) (x, y float64) { return s.at(mm, s.seat+180+off) }

func (s *eyeScene) anatomy() {
	r := s.eye.WhiteToWhite.MM / 2
	if it, weight, ok := s.show(Limbus); ok {
		s.group("limbus", it.Basis.String(), circle(0, 0, r*UnitsPerMM).filled(tint).line(ink, min(weight, fine+0.5), it.Basis))
		x, y := s.away(r, -62)
		s.call(it, x, y)
	}
	if it, weight, ok := s.show(Pupil); ok {
		p := s.eye.Pupil.MM / 2
		s.group("pupil", it.Basis.String(), circle(0, 0, p*UnitsPerMM).filled(paper).line(ink, min(weight, fine), it.Basis))
		x, y := s.away(p, 62)
		s.call(it, x, y)
	}
	for _, x := range []float64{-r - 0.3, r + 0.3} {
		s.cover(x*UnitsPerMM, 0)
		s.cover(0, x*UnitsPerMM)
	}
}

func (s *eyeScene) nucleus() {
	it, weight, ok := s.show(NucleusOutline)
	if !ok {
		return
	}
	x, y := 0.0, 0.0
	site := s.eye.Incision.Site.normal()
	switch s.opt.Stage.Nucleus {
	case InChamber:
		x, y = s.at(0.4, site)
	case InTunnel:
		x, y = s.at(s.eye.WhiteToWhite.MM/2-1, site)
	}
	r := s.eye.Nucleus.MM / 2 * UnitsPerMM
	s.group("nucleus", it.Basis.String(), circle(x, y, r).line(soft, weight, it.Basis))
	// Its way out is part of the frame at every stage.
	outX, outY := s.at(s.eye.WhiteToWhite.MM/2-1, site)
	for _, c := range [][2]float64{{x, y}, {outX, outY}} {
		s.cover(c[0]-r, c[1]-r)
		s.cover(c[0]+r, c[1]+r)
	}
	ax, ay := s.away(s.eye.Nucleus.MM/2, 26)
	s.call(it, x+ax, y+ay)
}

func (s *eyeScene) implant() {
	it, weight, ok := s.show(Implant)
	if !ok {
		return
	}
	a, b := s.eye.Lens.Optic.MM/2, s.eye.Lens.Overall.MM/2
	marks := []mark{circle(0, 0, a*UnitsPerMM).line(ink, weight, it.Basis)}
	for _, turned := range []float64{0, 180} {
		marks = append(marks, path(s.haptic(a, b, turned+s.seat-60)).line(soft, fine, it.Basis))
	}
	s.group("implant", it.Basis.String(), marks...)
	x, y := s.away(a, -24)
	s.call(it, x, y)
	for _, off := range []float64{0, 90, 180, 270} {
		s.cover(s.at(b, off))
	}
}

// haptic is the course of one open loop: off the optic's edge, out to the overall
// radius and along it. Its form is general, not that of a make.
func (s *eyeScene) haptic(a, b, turned float64) string {
	const join, end = 52, 4 // degrees between which the loop lies on the overall radius
	var d strings.Builder
	x, y := s.at(a, turned+84)
	fmt.Fprintf(&d, "M%s %s", num(x), num(y))
	// The second control point lies on the tangent at the join, which keeps the
	// course smooth there.
	for i, p := range [][2]float64{
		{a + (b-a)*0.6, 92},
		{b * math.Hypot(1, 0.42), join + math.Atan(0.42)*180/math.Pi},
		{b, join},
	} {
		x, y = s.at(p[0], turned+p[1])
		fmt.Fprintf(&d, "%s%s %s", [...]string{"C", " ", " "}[i], num(x), num(y))
	}
	x, y = s.at(b, turned+end)
	fmt.Fprintf(&d, "A%s %s 0 0 1 %s %s", num(b*UnitsPerMM), num(b*UnitsPerMM), num(x), num(y))
	return d.String()
}

func (s *eyeScene) rhexis() {
	it, weight, ok := s.show(CapsuleOpening)
	if !ok {
		return
	}
	r := s.eye.Rhexis.Diameter.MM / 2
	m := circle(0, 0, r*UnitsPerMM)
	var nicks []mark
	switch s.eye.Rhexis.Kind {
	case "can-opener":
		nicks = append(nicks, path(s.nicks(r)).line(accent, hair, Measured))
	case "envelope":
		x1, y1 := s.at(r, s.seat+90)
		x2, y2 := s.at(r, s.seat-90)
		m = segment(x1, y1, x2, y2)
	case "v-shaped":
		x1, y1 := s.at(r, s.seat+60)
		x2, y2 := s.at(r, s.seat+180)
		x3, y3 := s.at(r, s.seat-60)
		m = path(fmt.Sprintf("M%s %sL%s %sL%s %s", num(x1), num(y1), num(x2), num(y2), num(x3), num(y3)))
	}
	s.group("rhexis", it.Basis.String(), append(nicks, m.line(accent, weight, it.Basis))...)
	off := -96.0
	if s.eye.Rhexis.Kind == "envelope" {
		off = -90
	}
	x, y := s.away(r, off)
	s.call(it, x, y)
}

// nicks are the small cuts a can-opener opening is made of, inside the recorded
// diameter.
func (s *eyeScene) nicks(r float64) string {
	n := s.eye.Rhexis.Nicks
	if n <= 0 {
		n = defaultNicks
	}
	n = max(8, min(n, maxNicks))
	var d strings.Builder
	for i := range n {
		x1, y1 := s.at(r, float64(i)*360/float64(n))
		x2, y2 := s.at(r-0.22, (float64(i)+0.3)*360/float64(n))
		fmt.Fprintf(&d, "M%s %sL%s %s", num(x1), num(y1), num(x2), num(y2))
	}
	return d.String()
}
