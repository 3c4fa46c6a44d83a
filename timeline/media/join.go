package media

import (
	"cmp"
	"slices"
	"time"

	"sideport/timeline/timecode"
)

// Part is one file of a recording that was kept in several.
type Part struct {
	Name  string // of the file; numbers in it give an order where nothing better does
	Facts Facts
	// Stated is what the recording's clock said at the file's time 0, when a person
	// says so, on a scale that all parts share; nil otherwise.
	Stated *time.Duration
}

// Basis is what the order and the offsets of the parts rest on, the best first.
type Basis int

// The bases. ByCode takes the running timecode, ByCreation the creation times,
// ByName the numbers in the names and ByList the order given; the last two let each
// file begin where the one before it ends.
const (
	NoBasis Basis = iota
	ByStatement
	ByCode
	ByCreation
	ByName
	ByList
)

// Joined says where each file lies in the recording.
type Joined struct {
	Basis  Basis
	Parts  []Placed // in the order of the recording
	Joints []Joint  // between neighbours that both have a known place
	Notes  []Remark
	// Zero is what the clock said at recording zero, worked out from a statement;
	// nil without one.
	Zero *time.Duration
}

// Placed is a part with its place.
type Placed struct {
	Part   int           // index into what was given
	Offset time.Duration // from recording zero to the file's time 0
	Known  bool          // whether Offset could be found
	Length time.Duration // from the file's time 0 to the end of its picture; 0 if unknown
}

// Joint is where one file ends and the next begins.
type Joint struct {
	Before, After int           // indices into what was given
	Gap           time.Duration // from the last picture to the next one; below zero an overlap
	Frames        int64         // Gap in frames of Rate, rounded to the nearest
	Rate          timecode.Rate // zero when no file states it
	// Odd says that the gap or overlap is more than a frame, or more than what the
	// basis can tell: creation times and statements are known to the second.
	Odd bool
}

// Topic is what a Remark is about.
type Topic int

// The topics. Those about a basis say why it does not count, or how it is read.
const (
	CodeRestarts    Topic = iota // the timecodes cannot be one count that runs on
	CreationMixed                // the creation times stand in different fields
	CreationCrowded              // the creation times lie closer together than the files are long
	CreationSeconds              // creation times are known to the second
	CreationIsEnd                // they fit the ends of the files, not the starts
	CreationUnclear              // they fit neither
	LengthUnknown                // Part has no length, so the next has no place
	OrderDiffers                 // Basis puts the files in another order
	PlaceDiffers                 // Basis puts Part By later than it was put
)

// Remark is something that a reader of the result has to know.
type Remark struct {
	Topic Topic
	Basis Basis
	Part  int // index into what was given, of LengthUnknown and PlaceDiffers
	By    time.Duration
}

// toSecond is how far apart two times known to the second may lie and be one.
const toSecond = time.Second

// closing is how far a creation time may be from the moment it stands for, beyond
// its rounding: recorders write it when they open or close the file. Our own limit.
const closing = 2 * time.Second

// Join finds the order and the place of the parts of one recording: by a running
// timecode when all have one at one known rate, else by their creation times, else
// by the numbers in their names and their exact lengths. A statement goes before
// all of these for its part, and the parts behind it follow it. It looks at nothing
// but its arguments and changes none of them. Cost is that of sorting the parts.
func Join(parts []Part) Joined {
	j := joiner{parts: parts}
	for _, p := range parts {
		starts, picture := pictureOf(p.Facts)
		j.starts = append(j.starts, starts)
		length := time.Duration(0)
		if !picture.IsZero() {
			length = starts + picture.Duration()
		}
		j.lengths = append(j.lengths, length)
	}
	code, created, named := j.byCode(), j.byCreation(), j.byName()
	base := named
	for _, l := range []layout{created, code} {
		if l.basis != NoBasis {
			base = l
		}
	}
	chosen := j.stated(base)
	out := Joined{Basis: chosen.basis, Zero: j.zero(chosen)}
	for _, p := range chosen.order {
		out.Parts = append(out.Parts, Placed{Part: p, Offset: chosen.at[p], Known: chosen.known[p], Length: j.lengths[p]})
	}
	j.joints(&out)
	j.compare(chosen, code, created, named)
	for i := range out.Parts {
		if i > 0 && !out.Parts[i].Known && out.Parts[i-1].Length == 0 {
			j.note(Remark{Topic: LengthUnknown, Basis: out.Basis, Part: out.Parts[i-1].Part})
		}
	}
	for _, n := range j.notes {
		switch n.Topic { // how creation times are read says nothing where nothing rests on them
		case CreationSeconds, CreationIsEnd, CreationUnclear:
			if out.Basis != ByCreation {
				continue
			}
		case CreationCrowded, CreationMixed:
			if out.Basis < ByCreation {
				continue
			}
		}
		out.Notes = append(out.Notes, n)
	}
	return out
}

// joiner carries the state of one Join. Its slices go by the index of the part.
type joiner struct {
	parts   []Part
	starts  []time.Duration // from time 0 to the first picture
	lengths []time.Duration // from time 0 to the end of the picture; 0 is unknown
	notes   []Remark
}

func (j *joiner) note(r Remark) { j.notes = append(j.notes, r) }

// layout is an order and places by one basis; at and known go by the part's index.
type layout struct {
	basis Basis
	order []int
	at    []time.Duration
	known []bool
}

// pictureOf is when the first picture of a file is shown and how long the picture
// lasts. It counts from the file's time 0 as players do: the moment the first of its
// tracks begins, also where a recorder lets its time stamps run on from file to file.
// Sound often runs on for a few hundredths of a second; counting it would open a gap
// at every joint.
func pictureOf(f Facts) (starts time.Duration, length Exact) {
	zero := time.Duration(-1)
	for _, t := range f.Tracks {
		if (t.Kind == "video" || t.Kind == "audio") && (zero < 0 || t.Starts < zero) {
			zero = t.Starts
		}
	}
	for _, t := range f.Tracks {
		if t.Kind == "video" && !t.Exact.IsZero() {
			return t.Starts - zero, t.Exact
		}
	}
	return 0, f.Exact
}

// stated lets statements go before the base, and the parts behind a statement
// follow it.
func (j *joiner) stated(base layout) layout {
	has := func(p int) bool { return j.parts[p].Stated != nil }
	all, any := true, false
	for p := range j.parts {
		all, any = all && has(p), any || has(p)
	}
	if !any {
		return base
	}
	out := layout{basis: base.basis, order: slices.Clone(base.order), at: make([]time.Duration, len(j.parts)), known: make([]bool, len(j.parts))}
	if all {
		out.basis = ByStatement
		slices.SortStableFunc(out.order, func(a, b int) int { return cmp.Compare(*j.parts[a].Stated, *j.parts[b].Stated) })
	}
	first := slices.IndexFunc(out.order, has)
	anchor := out.order[first]
	// without a way from the first part to the first statement nothing before it has
	// a place, and recording zero is there
	linked := base.known[anchor]
	zero := *j.parts[anchor].Stated
	if linked && !all {
		zero -= base.at[anchor] - base.at[out.order[0]]
	}
	from := -1 // the last statement passed
	for i, p := range out.order {
		switch {
		case has(p):
			from = p
			out.at[p], out.known[p] = *j.parts[p].Stated-zero, true
		case i < first:
			out.at[p], out.known[p] = base.at[p]-base.at[out.order[0]], linked && base.known[p]
		case base.known[p] && base.known[from]:
			out.at[p], out.known[p] = out.at[from]+base.at[p]-base.at[from], true
		default:
			out.at[p], out.known[p] = j.after(out, i)
		}
	}
	return out
}

// after is the place of the i-th part when its picture follows on the one before it.
func (j *joiner) after(l layout, i int) (time.Duration, bool) {
	prev, next := l.order[i-1], l.order[i]
	return l.at[prev] + j.lengths[prev] - j.starts[next], l.known[prev] && j.lengths[prev] > 0
}

// zero is what the clock said at recording zero.
func (j *joiner) zero(l layout) *time.Duration {
	for _, p := range l.order {
		if s := j.parts[p].Stated; s != nil && l.known[p] {
			zero := *s - l.at[p]
			return &zero
		}
	}
	return nil
}

// joints measures what lies between neighbours.
func (j *joiner) joints(out *Joined) {
	for i := 1; i < len(out.Parts); i++ {
		a, b := out.Parts[i-1], out.Parts[i]
		if !a.Known || !b.Known || a.Length == 0 {
			continue
		}
		joint := Joint{Before: a.Part, After: b.Part, Gap: b.Offset + j.starts[b.Part] - a.Offset - a.Length}
		joint.Rate = j.parts[a.Part].Facts.Rate()
		if joint.Rate.IsZero() {
			joint.Rate = j.parts[b.Part].Facts.Rate()
		}
		frame := time.Duration(0)
		size := max(joint.Gap, -joint.Gap)
		if !joint.Rate.IsZero() {
			frame = joint.Rate.Duration(1)
			joint.Frames = joint.Rate.FrameAt(size)
			if joint.Gap < 0 {
				joint.Frames = -joint.Frames
			}
		}
		slack := time.Millisecond // the resolution of most Matroska files
		if out.Basis == ByCreation || j.parts[a.Part].Stated != nil || j.parts[b.Part].Stated != nil {
			slack = toSecond
		}
		joint.Odd = size > frame+slack
		out.Joints = append(out.Joints, joint)
	}
}

// compare says where the other bases put the files elsewhere. What a basis leaves
// between two files is a joint and is not said again.
func (j *joiner) compare(chosen, code, created, named layout) {
	against := []layout{code, created}
	if named.basis == ByName {
		against = append(against, named)
	}
	for _, l := range against {
		if l.basis == NoBasis {
			continue
		}
		if !slices.Equal(l.order, chosen.order) {
			j.note(Remark{Topic: OrderDiffers, Basis: l.basis})
			continue
		}
		if l.basis == ByName {
			continue
		}
		for i := 1; i < len(l.order); i++ {
			a, b := l.order[i-1], l.order[i]
			if !chosen.known[a] || !chosen.known[b] {
				continue
			}
			by := (l.at[b] - l.at[a]) - (chosen.at[b] - chosen.at[a])
			if by > closing || by < -closing {
				j.note(Remark{Topic: PlaceDiffers, Basis: l.basis, Part: b, By: by})
			}
		}
	}
	if listed := identity(len(j.parts)); chosen.basis != ByList && !slices.Equal(chosen.order, listed) {
		j.note(Remark{Topic: OrderDiffers, Basis: ByList})
	}
}

func identity(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}
