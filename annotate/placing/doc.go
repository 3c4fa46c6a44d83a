// Package placing puts the stamps of a recording and the chapters of its edited
// video beside each other: which stamp belongs to which chapter, how the clocks
// run, what the editor removed and put in, and where every stamp lies in the
// video.
//
// The model: the video shows stretches of the recording in order and at nearly
// the same speed. Parts were cut out, so a gap in the video may be shorter than in
// the recording; a card may have been put in front or between, so it may be
// longer. A chapter may have no stamp and a stamp no chapter.
//
// [Place] works in four moves. Each stamp and chapter that could be the same
// moment is a node whose worth is how well the labels agree, by step or, where the
// vocabulary knows neither, by [Likeness]; the cheapest chain
// through the nodes, in time order on both clocks, is the matching, where a
// removal between two nodes costs little and an insert more (package align).
// What a match weighs is what the chain would lose without it; a tie is left
// open and said. The rate between the clocks comes from gaps without a cut, and
// stays 1 unless the marks prove otherwise. Matches and pins are the anchors from
// which the map is laid.
//
// An edit list decides where there is one, then the statement that the video is
// the recording, then pins, then the matching.
//
// The package refuses to give a place it cannot bound: before the first and after
// the last anchor, and between anchors with material removed, a stamp without a
// chapter has none unless its two possible extremes lie within [Bounded]. Where
// between two anchors a removed stretch lies is not known from times alone; the
// map lays it directly before the second anchor and the Cut says from when to
// when it can be. The map still covers what is left of the video at both ends, for
// spans that begin at a placed mark.
//
//	quantity     unit
//	recording    time.Duration from recording zero
//	video        time.Duration from the first frame
//	Rate         video seconds a recording second within kept material
//	Confidence   0 to 1
//	index        position in the slices given to Place, from 0
//
// Read [Place] and [Options] first.
//
// Sources: the matching is a longest-chain dynamic program over package align; the
// slope after Theil 1950 and Sen 1968 (see there). The costs, tolerances and the
// confidence curve are our own choice, tried on generated material and on phase
// orders digitised from a figure of Ghamsarian et al., Scientific Data 2024,
// s41597-024-03193-4 (CC BY 4.0).
package placing
