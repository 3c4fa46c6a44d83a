package page

import (
	"math"
	"slices"
	"time"

	"sideport/annotate"
	"sideport/annotate/quantity"
	"sideport/export/figure"
	"sideport/timeline"
)

// EyeOf draws together what a case records of the eye and its wounds. ok is false
// when there is nothing of the operation to draw. Of a range the middle is taken;
// of a value recorded several times the last.
func EyeOf(c *annotate.Case) (eye figure.Eye, ok bool) {
	r := recordedSizes{c}
	switch c.File.Patient.Eye.Value {
	case "left":
		eye.Side = figure.Left
	case "right":
		eye.Side = figure.Right
	}
	eye.WhiteToWhite = r.length("white-to-white")
	eye.Pupil = r.length("pupil")
	eye.Incision = r.incision()
	eye.Tunnel = r.tunnel()
	eye.SidePorts = r.ports(eye.Incision.Site)
	eye.Rhexis = figure.Rhexis{Kind: r.variant("capsulotomy"), Diameter: r.length("rhexis-diameter"), Nicks: r.count("capsulotomy-nicks")}
	eye.Nucleus = r.length("nucleus-diameter")
	eye.Lens = figure.Lens{Optic: r.length("optic-diameter"), Overall: r.length("overall-diameter")}
	eye.Sutures = figure.Sutures{Count: r.count("suture-count"), Kind: r.variant("wound-suture"), Basis: figure.Recorded}
	ok = eye.Incision.Length.Known() || eye.Rhexis.Diameter.Known() || eye.Lens.Optic.Known() || eye.Nucleus.Known()
	return eye, ok
}

// recordedSizes looks values up in a case.
type recordedSizes struct{ c *annotate.Case }

func (r recordedSizes) find(parameter string) (found *annotate.Value) {
	for i := range r.c.Header {
		if v := &r.c.Header[i]; v.Parameter == parameter && v.Group != annotate.GroupDay1 && v.Group != annotate.GroupWeek6 {
			found = v
		}
	}
	for i := range r.c.Steps {
		for k := range r.c.Steps[i].Values {
			if v := &r.c.Steps[i].Values[k]; v.Parameter == parameter {
				found = v
			}
		}
	}
	return found
}

func (r recordedSizes) length(parameters ...string) figure.Length {
	for _, p := range parameters {
		v := r.find(p)
		if v == nil {
			continue
		}
		if mm, ok := middle(v.Quantity, "mm"); ok {
			return figure.Length{MM: mm, Basis: basis(v)}
		}
	}
	return figure.Length{}
}

func (r recordedSizes) count(parameter string) int {
	v := r.find(parameter)
	if v == nil || v.Quantity.Low == nil {
		return 0
	}
	n := *v.Quantity.Low
	if !(n > 0 && n < 1000) {
		return 0
	}
	return int(n)
}

func (r recordedSizes) variant(step string) string {
	for _, s := range r.c.Steps {
		if s.ID == step && s.Variant != "" {
			return s.Variant
		}
	}
	return ""
}

func (r recordedSizes) has(step string) bool {
	for _, s := range r.c.Steps {
		if s.ID == step {
			return true
		}
	}
	return false
}

func (r recordedSizes) incision() figure.Incision {
	i := figure.Incision{Length: r.length("external-incision-length"), FromLimbus: r.length("distance-from-limbus")}
	i.Shape = r.variant("scleral-groove")
	if i.Shape == "blumenthal-side-cut" {
		i.Shape = "side-cut"
	}
	if !i.Length.Known() {
		i.Length = r.length("main-incision-width")
		i.Shape, i.AtLimbus = "straight", true
	}
	i.Site = figure.Angle{Degrees: 90}
	if v := r.find("incision-site"); v != nil {
		if deg, err := quantity.Meridian(v.Quantity, r.c.File.Patient.Eye.Value); err == nil {
			i.Site = figure.Angle{Degrees: deg, Basis: basis(v)}
		}
	}
	return i
}

// tunnel is recorded as a whole, or follows from its two parts.
func (r recordedSizes) tunnel() figure.Tunnel {
	t := figure.Tunnel{Length: r.length("tunnel-length", "corneal-tunnel-length"), Inner: r.length("inner-incision-length")}
	behind, advance := r.length("distance-from-limbus"), r.length("corneal-advance")
	if !t.Length.Known() && behind.Known() && advance.Known() {
		t.Length = figure.Length{MM: behind.MM + advance.MM, Basis: figure.Derived}
	}
	pocket, outer := r.length("side-pocket"), r.length("external-incision-length")
	if !t.Inner.Known() && pocket.Known() && outer.Known() {
		t.Inner = figure.Length{MM: outer.MM + 2*pocket.MM, Basis: figure.Derived}
	}
	return t
}

// ports: the offset from the main incision is recorded without a direction, so the
// place of a single port is assumed even when its distance is known.
func (r recordedSizes) ports(main figure.Angle) []figure.SidePort {
	width := r.length("side-port-width")
	n := r.count("side-port-count")
	if n == 0 && (width.Known() || r.has("side-port")) {
		n = 1
	}
	offset := 90.0
	known := figure.Assumed
	if v := r.find("side-port-offset"); v != nil {
		if deg, ok := middle(v.Quantity, "°"); ok {
			offset = deg
			if n == 2 {
				known = basis(v)
			}
		}
	}
	var out []figure.SidePort
	for i := range min(n, 3) {
		at := [...]float64{-1, 1, 2}[i] * offset
		out = append(out, figure.SidePort{Width: width, Site: figure.Angle{Degrees: main.Degrees + at, Basis: known}})
	}
	return out
}

// middle is the middle of a stated range in a unit, or its one stated end.
func middle(q quantity.Quantity, unit quantity.Unit) (float64, bool) {
	if q.Unit == "" {
		return 0, false
	}
	in, err := q.In(unit)
	switch {
	case err != nil || in.Low == nil && in.High == nil:
		return 0, false
	case in.Low == nil:
		return *in.High, true
	case in.High == nil:
		return *in.Low, true
	}
	m := (*in.Low + *in.High) / 2
	return m, !math.IsNaN(m) && !math.IsInf(m, 0)
}

func basis(v *annotate.Value) figure.Basis {
	switch {
	case v.How == "estimated" || v.Quantity.Approximate:
		return figure.Estimated
	case v.Quantity.Low != nil && v.Quantity.High != nil && !v.Quantity.Single(): // the middle of what was recorded
		return figure.Derived
	case v.How == "measured" || v.How == "on-image":
		return figure.Measured
	}
	return figure.Recorded
}

// figures are the two drawings with what stands beside them.
func (b *builder) figures() {
	if eye, ok := EyeOf(b.c); ok {
		b.v.Eye, b.v.Key = &eye, eye.Parts(figure.Stage{})
		b.v.EyeCaption = b.v.say("figure.eye-caption")
	}
	r := ribbonOf(b.c)
	if len(r.Steps) < 2 {
		return
	}
	b.v.Ribbon, b.v.BothClocks = &r, r.Recording > 0 && r.Video > 0
	b.v.RibbonCaption = b.v.say("figure.ribbon-caption")
	for _, c := range b.c.Cuts {
		if c.Source == "inferred" {
			b.v.RibbonCaption += " " + b.v.say("figure.inferred")
			break
		}
	}
	b.ribbonRows(r)
}

func ribbonOf(c *annotate.Case) figure.Ribbon {
	r := figure.Ribbon{}
	var end time.Duration
	for _, p := range c.Map.Pieces {
		end = max(end, p.Recording.To)
	}
	for i, s := range c.Steps {
		if s.Recording == nil && len(s.Video) == 0 {
			continue
		}
		r.Steps = append(r.Steps, figure.RibbonStep{Number: i + 1, Recording: s.Recording, Video: s.Video})
		if s.Recording != nil {
			end = max(end, s.Recording.To)
		}
	}
	r.Recording = end
	if c.HasVideoClock {
		r.Video, r.Kept = c.VideoLength, c.Map.Pieces
	}
	return r
}

func (b *builder) ribbonRows(r figure.Ribbon) {
	row := func(name named, recording, video []timeline.Span) {
		b.v.RibbonRows = append(b.v.RibbonRows, ribbonRow{Name: name, Recording: spans(recording), Video: spans(video)})
	}
	for i, s := range b.c.Steps {
		var rec []timeline.Span
		video := slices.Clone(s.Video)
		if s.Recording != nil {
			rec = []timeline.Span{*s.Recording}
		}
		if s.EndAssumed { // only beginnings are printed
			for _, list := range [][]timeline.Span{rec, video} {
				if n := len(list); n > 0 {
					list[n-1].To = list[n-1].From
				}
			}
		}
		name := b.v.Steps[i].Name
		if b.v.Steps[i].Again != "" {
			name.Text += " " + b.v.Steps[i].Again
		}
		row(name, rec, video)
	}
	for _, s := range r.Removed() {
		row(named{Text: b.v.say("time.removed")}, []timeline.Span{s}, nil)
	}
	for _, s := range r.Inserted() {
		row(named{Text: b.v.say("time.inserted")}, nil, []timeline.Span{s})
	}
}
