package format

import (
	"math/big"

	"sideport/timeline"
	"sideport/timeline/source"
)

// maxOTIODepth bounds how deep tracks and stacks may lie in each other.
const maxOTIODepth = 32

// item lays one child of a track or stack flat. False means that its length is not
// known, which has been reported: nothing behind it on the track has a place.
func (r *otioReading) item(n *node, depth int) ([]stretch, bool) {
	if depth > maxOTIODepth {
		r.fault(n.at, "tracks and stacks lie more than %d deep in each other here; what follows is not read", maxOTIODepth)
		return nil, false
	}
	var list []stretch
	ok := true
	switch schema(n) {
	case "Clip":
		list, ok = r.clip(n)
	case "Stack", "Track":
		list, ok = r.composition(n, depth)
	case "Gap":
		var span timeRange
		if span, ok = rangeOf(n.key("source_range")); !ok {
			r.fault(n.key("source_range").place(n), "the gap has no length that can be read; what follows on its track is not read")
			return nil, false
		}
		list = []stretch{nothing(n.at, span.length)}
	case "Marker": // marks a time and takes none
		r.unknown.add(r.src.Pos(n.at))
	default:
		span, known := rangeOf(n.key("source_range"))
		if !known {
			r.fault(n.key("source_range").place(n), "the object is of a schema that is not read here and has no length that can be read; what follows on its track is not read")
			return nil, false
		}
		r.unknown.add(r.src.Pos(n.at))
		list = []stretch{nothing(n.at, span.length)} // it fills its time all the same
	}
	if enabled := n.key("enabled"); enabled != nil && enabled.kind == 'f' {
		return []stretch{nothing(n.at, total(list))}, ok
	}
	return list, ok
}

// place is where a value stands, or where what it is missing from does.
func (n *node) place(parent *node) int {
	if n == nil {
		return parent.at
	}
	return n.at
}

func nothing(at int, length *big.Rat) stretch { return stretch{at: at, length: length, gap: true} }

func total(list []stretch) *big.Rat {
	sum := new(big.Rat)
	for _, s := range list {
		sum = bounded(plus(sum, s.length))
	}
	return sum
}

// clip reads a clip: source_range, else all of its medium. A change of speed leaves
// its length and changes how much of the source is used.
func (r *otioReading) clip(n *node) ([]stretch, bool) {
	medium := mediumOf(n)
	available, known := rangeOf(medium.key("available_range"))
	span := available
	if given := n.key("source_range"); !isNull(given) {
		var ok bool
		if span, ok = rangeOf(given); !ok {
			r.fault(given.at, "the range of the clip cannot be read; what follows on its track is not read")
			return nil, false
		}
	} else if !known {
		r.fault(n.at, "neither the clip nor its medium says how long it is; what follows on its track is not read")
		return nil, false
	}
	s := stretch{at: n.at, length: span.length, source: span.start, clip: n.key("name").words(), reel: reelOf(medium)}
	if known {
		s.fileStart = available.start
	}
	if s.speed, s.shows = r.speed(n); schema(medium) == "GeneratorReference" {
		return []stretch{nothing(n.at, span.length)}, true // a picture of no source
	}
	return []stretch{s}, true
}

// mediumOf is the media reference of a clip that counts, or nil.
func mediumOf(n *node) *node {
	if several := n.key("media_references"); several != nil {
		key := n.key("active_media_reference_key").words()
		if key == "" {
			key = "DEFAULT_MEDIA"
		}
		return several.key(key)
	}
	return n.key("media_reference")
}

func reelOf(medium *node) string {
	if url := medium.key("target_url").words(); url != "" {
		return url
	}
	if base := medium.key("target_url_base").words(); base != "" {
		return base + medium.key("name_prefix").words()
	}
	return medium.key("name").words()
}

// maxScalar bounds a change of speed.
const maxScalar = 1000

// speed multiplies the changes of speed among the effects of an item.
func (r *otioReading) speed(n *node) (*big.Rat, timeline.Shows) {
	speed := big.NewRat(1, 1)
	for _, effect := range n.key("effects").items() {
		if on := effect.key("enabled"); on != nil && on.kind == 'f' {
			continue
		}
		switch schema(effect) {
		case "FreezeFrame":
			speed.SetInt64(0)
		case "LinearTimeWarp":
			scalar, ok := number(effect.key("time_scalar"))
			if ok {
				scalar = by(speed, scalar)
				ok = new(big.Rat).Abs(scalar).Cmp(big.NewRat(maxScalar, 1)) <= 0
			}
			if !ok {
				r.fault(effect.key("time_scalar").place(effect), "the change of speed cannot be read; it is left out")
				continue
			}
			speed = scalar
		case "TimeEffect":
			r.unknown.add(r.src.Pos(effect.at))
		}
	}
	return speed, showsAt(speed)
}

// showsAt is what a clip shows that is played at a speed.
func showsAt(speed *big.Rat) timeline.Shows {
	switch speed.Sign() {
	case 0:
		return timeline.Freeze
	case -1:
		return timeline.Reverse
	}
	return timeline.Clip
}

// composition lays a track or a stack flat, cut to its own range and at its own
// speed.
func (r *otioReading) composition(n *node, depth int) ([]stretch, bool) {
	lay := r.stack
	if schema(n) == "Track" {
		lay = r.track
	}
	list, ok := lay(n, depth)
	span := timeRange{new(big.Rat), total(list)}
	speed, shows := r.speed(n)
	if given := n.key("source_range"); !isNull(given) {
		whole, sound := rangeOf(given)
		if !sound {
			r.fault(given.at, "the range of the track or stack cannot be read; what follows on its track is not read")
			return nil, false
		}
		span, ok = whole, true // its own length is known again
	}
	switch shows {
	case timeline.Freeze, timeline.Reverse:
		r.sourceless = true
		return []stretch{{at: n.at, length: span.length, shows: shows, source: new(big.Rat), speed: speed, clip: n.key("name").words()}}, ok
	}
	list = trim(list, span.start, by(span.length, speed), n.at)
	if speed.Cmp(big.NewRat(1, 1)) != 0 {
		for i := range list {
			list[i].length = bounded(over(list[i].length, speed))
			if list[i].speed != nil {
				list[i].speed = bounded(by(list[i].speed, speed))
			}
		}
	}
	return list, ok
}

// trim is [from, from+length) of a list; what lies outside the list is a gap.
func trim(list []stretch, from, length *big.Rat, at int) []stretch {
	var out []stretch
	end, pos := plus(from, length), new(big.Rat)
	if from.Sign() < 0 {
		out = append(out, nothing(at, minus(least(end, pos), from)))
	}
	for _, s := range list {
		next := bounded(plus(pos, s.length))
		if a, b := most(pos, from), least(next, end); a.Cmp(b) < 0 {
			part := s
			part.length = minus(b, a)
			if part.source != nil && part.shows == timeline.Clip {
				part.source = bounded(plus(s.source, by(minus(a, pos), s.speed)))
			}
			out = append(out, part)
		}
		pos = next
	}
	if rest := most(pos, from); rest.Cmp(end) < 0 {
		out = append(out, nothing(at, minus(end, rest)))
	}
	return out
}

// stack is the first child with a picture; the others are noted. It lasts as long as
// its longest child, sound included.
func (r *otioReading) stack(n *node, depth int) ([]stretch, bool) {
	var found []*node
	for _, c := range n.key("children").items() {
		if on := c.key("enabled"); on != nil && on.kind == 'f' {
			continue
		}
		switch kind := c.key("kind").words(); schema(c) {
		case "Track":
			if (kind == "" || kind == "Video") && len(c.key("children").items()) > 0 {
				found = append(found, c)
			}
		case "Clip", "Stack":
			found = append(found, c)
		case "Gap":
		default:
			r.unknown.add(r.src.Pos(c.at))
		}
	}
	if len(found) == 0 {
		return nil, true
	}
	for _, c := range found[1:] {
		r.tracks.add(r.src.Pos(c.at))
	}
	list, ok := r.item(found[0], depth+1)
	quiet := &otioReading{src: r.src, report: func(source.Finding) {}}
	longest, length := total(list), total(list)
	for _, c := range n.key("children").items() {
		if c != found[0] {
			other, _ := quiet.item(c, depth+1)
			longest = most(longest, total(other))
		}
	}
	if longest.Cmp(length) > 0 {
		list = append(list, nothing(n.at, minus(longest, length)))
	}
	return list, ok
}

// track lays the children of a track behind each other. The item behind a transition
// begins earlier by the transition's in_offset, at the cost of the one ahead of it.
func (r *otioReading) track(n *node, depth int) ([]stretch, bool) {
	var out []stretch
	earlier := new(big.Rat)
	for _, c := range n.key("children").items() {
		if schema(c) == "Transition" {
			offset, ok := rationalTime(c.key("in_offset"))
			if !ok || offset.Sign() < 0 {
				r.fault(c.key("in_offset").place(c), "the transition has no length ahead of the cut that can be read; it is taken for a cut")
				continue
			}
			earlier = offset
			continue
		}
		list, ok := r.item(c, depth+1)
		if len(list) > 0 && len(out) > 0 && earlier.Sign() > 0 {
			taken := extend(&list[0], least(earlier, out[len(out)-1].length))
			out[len(out)-1].length = minus(out[len(out)-1].length, taken)
		}
		out = append(out, list...)
		earlier = new(big.Rat)
		if !ok {
			return out, false
		}
	}
	return out, true
}

// extend lets a stretch begin earlier, as far as its medium goes back, and returns by
// how much.
func extend(s *stretch, earlier *big.Rat) *big.Rat {
	if s.source != nil && s.shows == timeline.Clip {
		if s.fileStart != nil {
			earlier = least(earlier, most(over(minus(s.source, s.fileStart), s.speed), new(big.Rat)))
		}
		s.source = minus(s.source, by(earlier, s.speed))
	}
	s.length = plus(s.length, earlier)
	return earlier
}
