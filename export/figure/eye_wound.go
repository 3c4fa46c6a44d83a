package figure

import (
	"fmt"
	"math"
)

// apex is the distance of the incision's middle from the corneal centre.
func (s *eyeScene) apex() float64 {
	return s.eye.WhiteToWhite.MM/2 + s.eye.Incision.behind()
}

// depth is how far from the corneal centre, along the radius of the site, the
// incision runs at t millimetres beside its middle.
func (s *eyeScene) depth(t float64) float64 {
	i, r := s.eye.Incision, s.apex()
	c, h := i.Length.MM, i.rise()
	switch i.Shape {
	case "frown":
		q := FrownRadius(c, h)
		return r + q - math.Sqrt(max(0, q*q-t*t))
	case "chevron":
		return r + h*math.Abs(t)/(c/2)
	case "smile":
		return math.Sqrt(max(0, r*r-t*t))
	}
	return r
}

// course is the incision as a path, from its negative end to its positive; edge
// leaves out side cuts, which do not border the tunnel.
func (s *eyeScene) course(edge bool) string {
	i, site := s.eye.Incision, s.eye.Incision.Site.normal()
	half := i.Length.MM / 2
	x1, y1 := s.local(site, s.depth(-half), -half)
	x2, y2 := s.local(site, s.depth(half), half)
	ends := func(mid string) string {
		return fmt.Sprintf("M%s %s%s%s %s", num(x1), num(y1), mid, num(x2), num(y2))
	}
	switch i.Shape {
	case "frown":
		q := num(FrownRadius(i.Length.MM, i.rise()) * UnitsPerMM)
		return ends(fmt.Sprintf("A%s %s 0 0 1 ", q, q))
	case "smile":
		q := num(s.apex() * UnitsPerMM)
		return ends(fmt.Sprintf("A%s %s 0 0 0 ", q, q))
	case "chevron":
		x, y := s.local(site, s.apex(), 0)
		return ends(fmt.Sprintf("L%s %sL", num(x), num(y)))
	case "side-cut":
		if edge {
			break
		}
		x0, y0 := s.local(site, s.apex()+sideCutMM*math.Sqrt2/2, -half-sideCutMM*math.Sqrt2/2)
		x3, y3 := s.local(site, s.apex()+sideCutMM*math.Sqrt2/2, half+sideCutMM*math.Sqrt2/2)
		return fmt.Sprintf("M%s %sL%s %sL%s %sL%s %s", num(x0), num(y0), num(x1), num(y1), num(x2), num(y2), num(x3), num(y3))
	}
	return ends("L")
}

func (s *eyeScene) incision() {
	it, weight, ok := s.show(ExternalIncision)
	if !ok {
		return
	}
	// The place weighs as much as the length: when it is not recorded, the line
	// is that of an assumption.
	s.group("incision", it.Basis.String(), path(s.course(false)).line(accent, max(weight, normal+1), it.Basis))
	site, half := s.eye.Incision.Site.normal(), s.eye.Incision.Length.MM/2
	for _, t := range []float64{-half - sideCutMM, half + sideCutMM} {
		s.cover(s.local(site, s.depth(half)+0.5, t))
	}
	at := half * 0.72 // on the right of a surgeon in his own view
	if s.rightOf(site) < 0 {
		at = -at
	}
	x, y := s.local(site, s.depth(at), at)
	s.call(it, x, y)
}

// rightOf says on which side of the paper the positive end of the incision lies.
func (s *eyeScene) rightOf(site float64) float64 {
	x1, _ := s.local(site, s.apex(), 1)
	x2, _ := s.local(site, s.apex(), -1)
	return x1 - x2
}

// tunnel is the pocket seen through its roof: sides from the ends of the incision
// to the ends of the inner opening, which runs parallel to the limbus and has its
// length along that curve.
func (s *eyeScene) tunnel() {
	it, weight, ok := s.show(TunnelPocket)
	if !ok {
		return
	}
	site, half := s.eye.Incision.Site.normal(), s.eye.Incision.Length.MM/2
	r := s.apex() - s.eye.Tunnel.Length.MM
	angle := s.eye.Tunnel.Inner.MM / 2 / r // radians to each side
	if r < 1 || angle > 1.4 {
		return // past the centre, or most of the way round it: no drawing of a tunnel
	}
	x1, y1 := s.local(site, s.depth(-half), -half)
	x2, y2 := s.local(site, s.depth(half), half)
	xi, yi := s.at(r, site-angle*180/math.Pi)
	xj, yj := s.at(r, site+angle*180/math.Pi)
	q := num(r * UnitsPerMM)
	opening := fmt.Sprintf("M%s %sA%s %s 0 0 1 %s %s", num(xj), num(yj), q, q, num(xi), num(yi))
	area := fmt.Sprintf("%sL%s %sA%s %s 0 0 1 %s %sZ", s.course(true), num(xj), num(yj), q, q, num(xi), num(yi))
	s.group("tunnel", it.Basis.String(),
		path(area).filled(accent).opacity(0.1),
		segment(x1, y1, xi, yi).line(accent, fine, it.Basis),
		segment(x2, y2, xj, yj).line(accent, fine, it.Basis),
		path(opening).line(accent, weight-1, s.eye.Tunnel.Inner.Basis))
	if s.rightOf(site) < 0 {
		x1, y1, xi, yi = x2, y2, xj, yj
	}
	s.call(it, (x1+xi)/2, (y1+yi)/2)
}

// ports are short cuts across the limbus, drawn as wide as recorded.
func (s *eyeScene) ports() {
	it, weight, ok := s.show(SidePortOpenings)
	if !ok {
		return
	}
	var marks []mark
	r := s.eye.WhiteToWhite.MM/2 - 0.25
	for _, p := range s.eye.SidePorts {
		site, half := p.Site.normal(), p.Width.MM/2
		x1, y1 := s.local(site, r, -half)
		x2, y2 := s.local(site, r, half)
		marks = append(marks, segment(x1, y1, x2, y2).line(accent, max(weight, normal+1), p.Width.Basis))
	}
	s.group("side-ports", it.Basis.String(), marks...)
	x, y := s.at(r, s.eye.SidePorts[0].Site.normal())
	s.call(it, x, y)
}

// sutures are spread evenly over the incision; their places are a convention.
func (s *eyeScene) sutures() {
	it, weight, ok := s.show(Stitches)
	if !ok {
		return
	}
	var marks []mark
	site, c, n := s.eye.Incision.Site.normal(), s.eye.Incision.Length.MM, s.eye.Sutures.Count
	bite := func(t1, t2, out1, out2 float64) {
		middle := s.depth((t1 + t2) / 2)
		x1, y1 := s.local(site, middle+out1, t1)
		x2, y2 := s.local(site, middle+out2, t2)
		marks = append(marks, segment(x1, y1, x2, y2).line(ink, max(fine, weight-1), it.Basis))
	}
	for i := range n {
		t := c * ((float64(i)+0.5)/float64(n) - 0.5)
		switch s.eye.Sutures.Kind {
		case "x", "infinity":
			bite(t-0.5, t+0.5, -0.6, 0.6)
			bite(t+0.5, t-0.5, -0.6, 0.6)
		case "mattress":
			bite(t-0.45, t-0.45, -0.6, 0.6)
			bite(t+0.45, t+0.45, -0.6, 0.6)
		default:
			bite(t, t, -0.6, 0.6)
		}
	}
	s.group("sutures", it.Basis.String(), marks...)
	t := c * (0.5/float64(n) - 0.5)
	if s.rightOf(site) < 0 {
		t = -t
	}
	x, y := s.local(site, s.depth(t), t)
	s.call(it, x, y)
}
