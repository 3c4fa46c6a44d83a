package figure

import "math"

// Basis says how a drawn size is known. The zero Basis is Assumed, so that
// nothing claims to be recorded by oversight.
type Basis int

// The ways a size can be known. Recorded and Measured sizes are drawn with a
// full line, Estimated and Derived ones dashed, Assumed ones dotted.
const (
	Assumed   Basis = iota // no value in the case: a usual proportion
	Estimated              // a value judged by eye
	Derived                // calculated from other values of the case
	Recorded               // a value in the case, how it was obtained not said, or set or planned
	Measured               // a value in the case, measured
)

var basisNames = [...]string{"assumed", "estimated", "derived", "recorded", "measured"}

// String is the word keys and tables print.
func (b Basis) String() string {
	if b < 0 || int(b) >= len(basisNames) {
		return basisNames[Assumed]
	}
	return basisNames[b]
}

// Side is which eye; the zero Side is not stated.
type Side int

// The sides.
const (
	SideUnknown Side = iota
	Left
	Right
)

// String is left, right or empty.
func (s Side) String() string {
	switch s {
	case Left:
		return "left"
	case Right:
		return "right"
	}
	return ""
}

// Length is one size in millimetres. MM 0 means the case does not say.
type Length struct {
	MM    float64
	Basis Basis
}

// Known reports whether the length can be drawn: above 0, finite and below 40 mm,
// which is more than an eye measures.
func (l Length) Known() bool { return l.MM > 0 && l.MM < 40 }

// Or returns l when it is known, else the default as an assumption.
func (l Length) Or(mm float64) Length {
	if l.Known() {
		return l
	}
	return Length{MM: mm}
}

// Angle is a direction from the corneal centre in degrees of the axis notation.
type Angle struct {
	Degrees float64
	Basis   Basis
}

func (a Angle) normal() float64 {
	if math.IsNaN(a.Degrees) || math.IsInf(a.Degrees, 0) {
		return 90
	}
	return math.Mod(math.Mod(a.Degrees, 360)+360, 360)
}

// Incision is the external incision. It is drawn when its length is known.
type Incision struct {
	// Shape is frown, straight, chevron, smile or side-cut; another word is drawn
	// straight and said to be assumed.
	Shape string
	// Length is the chord between the two ends, as a caliper spans it.
	Length Length
	// FromLimbus is the distance of the middle of the incision behind the limbus;
	// the middle of a frown and the apex of a chevron are its nearest points. A
	// clear corneal incision has none: set AtLimbus.
	FromLimbus Length
	AtLimbus   bool
	// Rise is how far the ends of a frown or chevron lie behind its middle.
	Rise Length
	Site Angle
}

// Tunnel is the pocket between the external incision and the inner opening.
type Tunnel struct {
	Length Length // along the tunnel, from the incision to the inner opening
	Inner  Length // of the inner opening, along its curve
}

// SidePort is one stab opening at the limbus.
type SidePort struct {
	Width Length
	Site  Angle
}

// Rhexis is the opening in the anterior capsule.
type Rhexis struct {
	// Kind is ccc, can-opener, envelope or v-shaped; ccc when empty.
	Kind     string
	Diameter Length
	Nicks    int // of a can-opener; 0 when not counted
}

// Lens is the implant: an optic with two haptics of a general open-loop form.
type Lens struct{ Optic, Overall Length }

// Sutures are the stitches of the main incision.
type Sutures struct {
	Count int
	Kind  string // x, infinity, mattress or interrupted; interrupted when empty
	Basis Basis
}

// Eye is what the schematic eye is drawn from. The zero Eye is an eye of usual
// size with nothing done to it.
type Eye struct {
	Side         Side
	WhiteToWhite Length
	Pupil        Length
	Incision     Incision
	Tunnel       Tunnel
	SidePorts    []SidePort // at most maxPorts are drawn
	Rhexis       Rhexis
	Nucleus      Length
	Lens         Lens
	Sutures      Sutures
}

// ArcFromChord is the length of a circle's arc over a chord, both in the unit of
// the radius: 2R·asin(c/2R), for 0 < c <= 2R.
func ArcFromChord(radius, chord float64) float64 {
	return 2 * radius * math.Asin(chord/(2*radius))
}

// ChordFromArc is the inverse of ArcFromChord, for arcs up to half the circle.
func ChordFromArc(radius, arc float64) float64 {
	return 2 * radius * math.Sin(arc/(2*radius))
}

// Sagitta is the height of a circle's arc over its chord: R − √(R²−c²/4).
func Sagitta(radius, chord float64) float64 {
	return radius - math.Sqrt(radius*radius-chord*chord/4)
}

// FrownRadius is the radius of the arc with a given chord and rise:
// (c²/4+h²)/2h.
func FrownRadius(chord, rise float64) float64 {
	return (chord*chord/4 + rise*rise) / (2 * rise)
}

// PathLength is how long the cut is along its course, in millimetres: what the
// knife travels and what can open, against the chord that a caliper spans. It is
// 0 when the chord is unknown.
func (i Incision) PathLength(whiteToWhite float64) float64 {
	c := i.Length.MM
	if !i.Length.Known() {
		return 0
	}
	h := i.rise()
	switch i.Shape {
	case "frown":
		return ArcFromChord(FrownRadius(c, h), c)
	case "chevron":
		return 2 * math.Hypot(c/2, h)
	case "smile":
		r := whiteToWhite/2 + i.behind()
		return ArcFromChord(r, min(c, 2*r))
	case "side-cut":
		return c + 2*sideCutMM
	}
	return c
}

// rise is the recorded rise, or the usual proportion, kept below half the chord so
// that the arc stays less than half a circle.
func (i Incision) rise() float64 {
	return min(i.Rise.Or(i.Length.MM*riseOfChord).MM, i.Length.MM/2)
}

func (i Incision) behind() float64 {
	if i.AtLimbus {
		return 0
	}
	return i.FromLimbus.Or(defaultFromLimbusMM).MM
}
