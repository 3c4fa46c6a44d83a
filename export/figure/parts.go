package figure

import (
	"fmt"
	"strconv"
	"strings"
)

// Part is a set of things a schematic eye can show.
type Part uint16

// The parts, in the order they are numbered.
const (
	Limbus Part = 1 << iota
	Pupil
	ExternalIncision
	TunnelPocket
	SidePortOpenings
	CapsuleOpening
	NucleusOutline
	Implant
	Stitches

	anatomy = Limbus | Pupil
	allPart = Stitches<<1 - 1
)

// NucleusPlace is where a stage draws the nucleus.
type NucleusPlace int

// The places of the nucleus.
const (
	InBag NucleusPlace = iota
	InChamber
	InTunnel
)

// Stage is a moment of the operation: what is there to be seen, and what the step
// at that moment is about. The zero Stage shows everything the case records,
// one thing over the other, as a finished drawing does.
type Stage struct {
	Show    Part
	Current Part // drawn heavier
	Nucleus NucleusPlace
}

func (s Stage) shows(p Part) bool { return s.Show == 0 || s.Show&p != 0 }

// After returns the Stage of an eye on which the steps of the given ids have been
// done, in that order; the last one is the current step. Ids without a trace in
// the drawing change nothing but the current part.
func After(steps ...string) Stage {
	s := Stage{Show: anatomy}
	for _, id := range steps {
		s.Current = 0
		switch id {
		case "scleral-groove", "main-incision":
			s.add(ExternalIncision)
		case "tunnel-dissection", "ac-entry", "entry-extension":
			s.add(ExternalIncision | TunnelPocket)
			s.Current = TunnelPocket
		case "side-port", "acm-insertion":
			s.add(SidePortOpenings)
		case "capsulotomy", "relaxing-cuts":
			s.add(CapsuleOpening)
			s.Show |= NucleusOutline
		case "hydroprocedure", "hydrodissection", "hydrodelineation":
			s.add(NucleusOutline)
		case "nucleus-prolapse":
			s.add(NucleusOutline)
			s.Nucleus = InChamber
		case "nucleus-sculpt", "nucleus-chop", "nucleus-fragmentation":
			s.add(NucleusOutline)
		case "nucleus-delivery":
			s.add(NucleusOutline)
			s.Nucleus = InTunnel
			continue
		case "iol-insertion", "iol-dialling":
			s.add(Implant)
		case "wound-suture":
			s.add(Stitches)
		}
		if s.Nucleus == InTunnel || id == "fragment-removal" || id == "cortex-aspiration" {
			s.Show &^= NucleusOutline // it has left the eye
			s.Nucleus = InBag
		}
	}
	return s
}

func (s *Stage) add(p Part) { s.Show |= p; s.Current = p }

// Item is one line of a drawing's key.
type Item struct {
	Number int // as the drawing prints it
	Part   Part
	Name   string
	Size   string
	Basis  Basis
	// Assumed tells what else of the part the case does not record, or is empty.
	Assumed string
}

// Parts is the key of the drawing of e at a stage: what is shown, how large it is
// and how that is known, in the order of the numbers on the drawing. Every part
// keeps its number through all stages of one eye.
func (e Eye) Parts(stage Stage) []Item {
	e = e.complete()
	var all []Item
	add := func(p Part, basis Basis, name, assumed, size string, args ...any) {
		all = append(all, Item{
			Number: len(all) + 1, Part: p, Name: name, Basis: basis, Assumed: assumed, Size: fmt.Sprintf(size, args...),
		})
	}
	add(Limbus, e.WhiteToWhite.Basis, "limbus", "", "%s mm white to white", trim(e.WhiteToWhite.MM))
	add(Pupil, e.Pupil.Basis, "pupil", "", "%s mm", trim(e.Pupil.MM))
	if i := e.Incision; i.Length.Known() {
		name, size := e.incisionWords()
		add(ExternalIncision, i.Length.Basis, name, e.incisionAssumed(), "%s", size)
	}
	if t := e.Tunnel; e.hasTunnel() {
		add(TunnelPocket, t.Length.Basis, "tunnel", basisNote("width of the inner opening", t.Inner.Basis),
			"%s mm long, inner opening %s mm along its curve", trim(t.Length.MM), trim(t.Inner.MM))
	}
	if n := len(e.SidePorts); n > 0 {
		add(SidePortOpenings, e.SidePorts[0].Width.Basis, plural(n, "side port", "side ports"), e.portsAssumed(), "%s", e.portWords())
	}
	if r := e.Rhexis; r.Diameter.Known() {
		add(CapsuleOpening, r.Diameter.Basis, "capsule opening", r.assumed(), "%s", r.words())
	}
	if e.Nucleus.Known() {
		add(NucleusOutline, e.Nucleus.Basis, "nucleus", "", "%s mm across", trim(e.Nucleus.MM))
	}
	if l := e.Lens; l.Optic.Known() {
		add(Implant, l.Optic.Basis, "implant", l.assumed(), "optic %s mm, overall %s mm", trim(l.Optic.MM), trim(l.Overall.MM))
	}
	if s := e.Sutures; s.Count > 0 && e.Incision.Length.Known() {
		add(Stitches, s.Basis, plural(s.Count, "suture", "sutures"), "their places", "%d", s.Count)
	}
	var shown []Item
	for _, it := range all {
		if stage.shows(it.Part) {
			shown = append(shown, it)
		}
	}
	return shown
}

// complete returns e with the usual proportions in the place of what is unknown.
func (e Eye) complete() Eye {
	e.WhiteToWhite = e.WhiteToWhite.Or(defaultWhiteToWhiteMM)
	e.Pupil = e.Pupil.Or(defaultPupilMM)
	if e.Tunnel.Length.Known() {
		e.Tunnel.Inner = e.Tunnel.Inner.Or(e.Incision.Length.MM + innerWiderMM)
		if e.Incision.AtLimbus && e.Tunnel.Inner.Basis == Assumed {
			e.Tunnel.Inner.MM = e.Incision.Length.MM // a corneal tunnel has parallel sides
		}
	}
	e.SidePorts = append([]SidePort(nil), e.SidePorts[:min(len(e.SidePorts), maxPorts)]...)
	for i := range e.SidePorts {
		e.SidePorts[i].Width = e.SidePorts[i].Width.Or(defaultSidePortMM)
	}
	if e.Lens.Optic.Known() {
		e.Lens.Overall = e.Lens.Overall.Or(defaultOverallMM)
	}
	e.Sutures.Count = min(e.Sutures.Count, maxSutures)
	return e
}

func (e Eye) hasTunnel() bool { return e.Tunnel.Length.Known() && e.Incision.Length.Known() }

// knownShape is the incision's shape as it will be drawn.
func (i Incision) knownShape() (shape string, known bool) {
	switch i.Shape {
	case "frown", "straight", "chevron", "smile", "side-cut":
		return i.Shape, true
	}
	return "straight", false
}

func (e Eye) incisionWords() (name, size string) {
	i := e.Incision
	shape, known := i.knownShape()
	name = "incision"
	if known {
		name = shape + " incision"
		if shape == "side-cut" {
			name = "straight incision with side cuts"
		}
	}
	size = trim(i.Length.MM) + " mm"
	if path := i.PathLength(e.WhiteToWhite.MM); path-i.Length.MM > 0.05 {
		size = fmt.Sprintf("%s mm from end to end, %s mm along the cut", trim(i.Length.MM), trim(path))
	}
	if i.AtLimbus {
		size += ", at the limbus"
	} else {
		size += fmt.Sprintf(", %s mm behind the limbus", trim(i.behind()))
	}
	size += fmt.Sprintf(", at %s°", degrees(i.Site.normal()))
	return name, size
}

func (e Eye) incisionAssumed() string {
	i := e.Incision
	var list []string
	shape, known := i.knownShape()
	if !known {
		list = append(list, "shape")
	}
	if (shape == "frown" || shape == "chevron") && !i.Rise.Known() {
		list = append(list, "rise of the ends")
	}
	if !i.AtLimbus && (!i.FromLimbus.Known() || i.FromLimbus.Basis == Assumed) {
		list = append(list, "distance from the limbus")
	}
	if i.Site.Basis == Assumed {
		list = append(list, "place")
	}
	return strings.Join(list, ", ")
}

func (e Eye) portWords() string {
	var list []string
	for _, p := range e.SidePorts {
		list = append(list, fmt.Sprintf("%s mm at %s°", trim(p.Width.MM), degrees(p.Site.normal())))
	}
	return strings.Join(list, "; ")
}

func (e Eye) portsAssumed() string {
	for _, p := range e.SidePorts {
		if p.Site.Basis == Assumed {
			return "place"
		}
	}
	return ""
}

func (r Rhexis) words() string {
	switch r.Kind {
	case "can-opener":
		return fmt.Sprintf("can-opener, %s mm", trim(r.Diameter.MM))
	case "envelope":
		return fmt.Sprintf("envelope, %s mm", trim(r.Diameter.MM))
	case "v-shaped":
		return fmt.Sprintf("v-shaped, %s mm", trim(r.Diameter.MM))
	}
	return fmt.Sprintf("%s mm across", trim(r.Diameter.MM))
}

func (r Rhexis) assumed() string {
	if r.Kind == "can-opener" && r.Nicks <= 0 {
		return "number of nicks"
	}
	return ""
}

func (l Lens) assumed() string {
	list := []string{"form of the haptics"}
	if l.Overall.Basis == Assumed {
		list = append(list, "overall diameter")
	}
	return strings.Join(list, ", ")
}

func basisNote(what string, b Basis) string {
	if b == Assumed {
		return what
	}
	return ""
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// trim prints millimetres with two decimals, a closing zero dropped down to one.
func trim(mm float64) string {
	s := strconv.FormatFloat(mm, 'f', 2, 64)
	return strings.TrimSuffix(s, "0")
}

func degrees(d float64) string { return strconv.FormatFloat(d, 'f', 0, 64) }
