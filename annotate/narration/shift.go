package narration

import (
	"cmp"
	"slices"

	"sideport/timeline"
)

// Left is a cue that has no place on the video.
type Left struct {
	Index  int // in the cues given
	Cue    timeline.Cue
	Reason string
}

// Shift carries spoken cues from the recording's clock to the video's.
//
// A cue that lies in removed material is in left. A cue across a cut is clipped
// to what the video shows of it: where that is several pieces, or the edit repeats
// a stretch, to the longest of them, the first on a tie, so that the words stand
// once. kept is sorted by its times on the video, cues of one moment in the order
// given. The zero map leaves every cue.
func Shift(cues []timeline.Cue, m timeline.Map) (kept []timeline.Cue, left []Left) {
	for i, cue := range cues {
		if cue.To <= cue.From {
			left = append(left, Left{i, cue, "the cue has no length"})
			continue
		}
		pieces := m.SpanToVideo(timeline.Span{From: cue.From, To: cue.To})
		if len(pieces) == 0 {
			reason := "the material is not in the video"
			if m.IsZero() {
				reason = "the place of the recording on the video is not known"
			}
			left = append(left, Left{i, cue, reason})
			continue
		}
		longest := pieces[0]
		for _, p := range pieces[1:] {
			if p.Len() > longest.Len() {
				longest = p
			}
		}
		cue.From, cue.To = longest.From, longest.To
		kept = append(kept, cue)
	}
	slices.SortStableFunc(kept, func(a, b timeline.Cue) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To))
	})
	return kept, left
}
