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
// [Place] works in five moves. What the words of a mark may mean is a share a step:
// its name in the vocabulary, and the guess that its words alone allow. Each stamp and
// chapter that may be the same moment is a node; the cheapest chain through the nodes,
// in time order on both clocks, is the matching (package align), where a price is how
// much less likely an account of the two lists is: the words of the pair, the distance
// to the pair before on both clocks, a removal, the rarer insert, a named stamp passed
// over in kept material. Of long lists only the pairs whose words have something in
// common are looked at first, then those whose times fit. What a match weighs is what
// the chain would lose without it, turned into the chance that it is right; a tie is
// left open and said, and times without a name connect no clocks. The rate between the
// clocks comes from gaps without a cut, and stays 1 unless the marks prove otherwise.
// Matches and pins are the anchors from which the map is laid.
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
// Sources: the matching is a cheapest-chain dynamic program over package align, its
// prices logarithms of odds; the slope after Theil 1950 and Sen 1968 (see there). The
// prices, tolerances and the confidence curve are our own choice, tried on made cases
// with phase orders digitised from a figure of Ghamsarian et al., Scientific Data 2024,
// s41597-024-03193-4 (CC BY 4.0).
package placing
