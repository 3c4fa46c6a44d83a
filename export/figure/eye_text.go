package figure

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

const (
	letterSize = 28.0 // user units
	markerR    = 19.0
	rowHeight  = 40.0
	wordWidth  = 15.0 // a generous mean letter at letterSize, for the box only
)

// callouts puts the numbers or names at the left and right edge, in the order of
// the places they mean, with hairlines to them.
func (s *eyeScene) callouts() {
	if s.opt.Labels == NoLabels {
		return
	}
	edge := max(-s.minX, s.maxX) + 36
	var left, right []callout
	for _, c := range s.calls {
		if c.x < 0 {
			left = append(left, c)
		} else {
			right = append(right, c)
		}
	}
	var marks []mark
	for i, side := range [][]callout{left, right} {
		x := edge * float64(2*i-1)
		slices.SortStableFunc(side, func(a, b callout) int { return cmp.Compare(a.y, b.y) })
		for k, y := range spread(side) {
			marks = append(marks, s.callout(side[k], x, y)...)
			s.highest[i], s.lowest[i] = min(s.highest[i], y), max(s.lowest[i], y)
		}
	}
	s.group("labels", "", marks...)
}

// spread moves labels down, then up, until none is closer to the next than a row.
func spread(side []callout) []float64 {
	gap := 2*markerR + 8
	ys := make([]float64, len(side))
	for i, c := range side {
		ys[i] = c.y
		if i > 0 {
			ys[i] = max(ys[i], ys[i-1]+gap)
		}
	}
	for i := len(ys) - 2; i >= 0; i-- { // share the displacement
		if over := ys[i+1] - side[i+1].y; over > 0 && ys[i]-side[i].y >= 0 {
			lower := side[i].y - over/2
			if i > 0 {
				lower = max(lower, ys[i-1]+gap)
			}
			ys[i] = min(ys[i], max(lower, ys[i+1]-2*gap))
			if ys[i+1]-ys[i] < gap {
				ys[i] = ys[i+1] - gap
			}
		}
	}
	return ys
}

func (s *eyeScene) callout(c callout, x, y float64) []mark {
	dot := circle(c.x, c.y, 4).filled(ink)
	s.cover(x-markerR, y-markerR)
	s.cover(x+markerR, y+markerR)
	if s.opt.Labels == Numbers {
		return []mark{
			segment(x, y, c.x, c.y).line(soft, hair, Measured), dot,
			circle(x, y, markerR).filled(paper).line(soft, hair, Measured),
			text(x, y+letterSize*0.36, letterSize, "middle", ink, fmt.Sprint(c.item.Number)),
		}
	}
	anchor, dir := "start", 1.0
	if x < 0 {
		anchor, dir = "end", -1
	}
	name := c.item.Name
	s.cover(x+dir*(float64(len(name))*wordWidth+12), y)
	return []mark{
		segment(x-dir*8, y, c.x, c.y).line(soft, hair, Measured), dot,
		text(x, y+letterSize*0.34, letterSize, anchor, ink, name),
	}
}

// compass tells directions by their initials, in the corner away from the seat.
func (s *eyeScene) compass() {
	const reach, around = 26.0, 26 + 28 + markerR + 6
	x, y := min(s.minX+reach+24, -200), min(s.minY+reach+16, s.highest[0]-around)
	if s.opt.View == FacingView && s.seat == 90 {
		x, y = max(s.maxX-reach-24, 200), max(s.maxY-reach-16, s.lowest[1]+around)
	}
	names := map[float64]string{90: "S", 270: "I"}
	switch s.eye.Side {
	case Left:
		names[0], names[180] = "T", "N"
	case Right:
		names[0], names[180] = "N", "T"
	}
	var marks []mark
	for _, axis := range []float64{0, 90, 180, 270} {
		name, ok := names[axis]
		if !ok {
			continue
		}
		ux, uy := s.at(1/UnitsPerMM, axis)
		marks = append(marks, segment(x, y, x+ux*reach, y+uy*reach).line(soft, hair, Measured),
			text(x+ux*(reach+15), y+uy*(reach+15)+8, 24, "middle", soft, name))
	}
	s.group("directions", "", marks...)
	s.cover(x-reach-28, y-reach-28)
	s.cover(x+reach+28, y+reach+28)
}

// foot is the scale bar and the key of line styles, of those that occur.
func (s *eyeScene) foot(parts []Item) {
	x, y := s.minX+6, s.maxY+34
	const bar = 5
	d := ""
	for i := range bar + 1 {
		tick := 6.0
		if i%bar == 0 {
			tick = 11
		}
		at := x + float64(i)*UnitsPerMM
		d += fmt.Sprintf("M%s %sL%s %s", num(at), num(y-tick), num(at), num(y))
	}
	d += fmt.Sprintf("M%s %sL%s %s", num(x), num(y), num(x+bar*UnitsPerMM), num(y))
	s.group("scale", "", path(d).line(ink, fine, Measured),
		text(x+bar*UnitsPerMM+14, y+8, letterSize, "start", ink, fmt.Sprintf("%d mm", bar)))
	s.cover(x, y+16)
	if !s.opt.NoKey {
		var marks []mark
		for _, row := range lineKey(parts) {
			y += rowHeight
			marks = append(marks, segment(x, y-8, x+88, y-8).line(ink, normal, row.basis),
				text(x+102, y, letterSize*0.93, "start", ink, row.words))
			s.cover(x+102+float64(len(row.words))*wordWidth*0.85, y+14)
		}
		s.group("key", "", marks...)
	}
	s.minX, s.maxX = s.minX-6, s.maxX+6
	s.minY -= 6
}

type keyRow struct {
	basis Basis
	words string
}

// lineKey lists the line styles that occur among the parts.
func lineKey(parts []Item) []keyRow {
	has := map[Basis]bool{}
	for _, it := range parts {
		has[it.Basis] = true
		if it.Assumed != "" && it.Part == TunnelPocket {
			has[Assumed] = true
		}
	}
	var rows []keyRow
	if has[Recorded] || has[Measured] {
		rows = append(rows, keyRow{Measured, "recorded or measured"})
	}
	switch {
	case has[Estimated] && has[Derived]:
		rows = append(rows, keyRow{Derived, "estimated or derived"})
	case has[Estimated]:
		rows = append(rows, keyRow{Derived, "estimated"})
	case has[Derived]:
		rows = append(rows, keyRow{Derived, "derived from other values"})
	}
	if has[Assumed] {
		rows = append(rows, keyRow{Assumed, "assumed: not in the case"})
	}
	return rows
}

func (e Eye) title(v View) string {
	eye := "the eye"
	if side := e.Side.String(); side != "" {
		eye = "the " + side + " eye"
	}
	if v == FacingView {
		return "Schematic drawing of " + eye + ", seen by an observer who faces the patient"
	}
	return "Schematic drawing of " + eye + ", as the surgeon sees it through the microscope"
}

// describe says in words what the drawing shows.
func (s *eyeScene) describe(parts []Item) string {
	var b strings.Builder
	if s.opt.View == SurgeonView {
		at := "at the head of the patient"
		if s.seat != 90 {
			at = "at the temporal side"
		}
		fmt.Fprintf(&b, "Drawn to scale and laid flat, the surgeon's seat, %s, at the lower edge.", at)
	} else {
		b.WriteString("Drawn to scale and laid flat, superior at the upper edge.")
	}
	for _, it := range parts {
		fmt.Fprintf(&b, " %s: %s, %s", strings.ToUpper(it.Name[:1])+it.Name[1:], it.Size, it.Basis)
		if it.Assumed != "" {
			fmt.Fprintf(&b, "; assumed: %s", it.Assumed)
		}
		b.WriteString(".")
	}
	return b.String()
}
