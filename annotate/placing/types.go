package placing

import (
	"time"

	"sideport/timeline"
	"sideport/timeline/source"
)

// Stamp is one entry of the list of times, its label already looked up. The zero
// Confidence means none was stated and counts as 1. Stamps may come in any order.
type Stamp struct {
	At         time.Duration // from recording zero
	Half       time.Duration // half the unit At is written to; 0 is half a second
	Step       string        // the step, event or complication id; "" when not known
	Confidence float64       // of Step
	Text       string
	Kind       string   // step, event, complication or remark
	Candidates []string // the ids it could be, when Step is ""
	Likely     []Share  // what else the words may mean; nil when nothing was asked
}

// Share is how likely a text means an id. The shares of a text add up to at most 1.
type Share struct {
	ID    string
	Share float64
}

// Chapter is one chapter of the video, its title already looked up, as for Stamp.
type Chapter struct {
	From       time.Duration
	To         time.Duration // only when HasTo
	HasTo      bool
	Step       string
	Confidence float64
	Title      string
	Kind       string
	Candidates []string
	Likely     []Share
}

// Vocabulary is what Place asks about steps. A nil Vocabulary knows nothing; a
// taxonomy's procedure satisfies it.
type Vocabulary interface {
	Rank(id string) int              // place in the usual order, -1 when unknown
	MayRepeat(id string) bool        // may occur more than once in a case
	Parent(id string) (string, bool) // the wider step of which id is a part
	Akin(a, b string) bool           // often named alike
}

// Pin is a correspondence made by hand; it is exact.
type Pin struct{ Recording, Video time.Duration }

// Options is what is known beside the marks. A zero length is unknown.
type Options struct {
	VideoLength     time.Duration
	RecordingLength time.Duration
	Pins            []Pin
	Cuts            *timeline.Map // an exact edit list; it decides
	Partial         bool          // not all of the edit list could be read
	Identity        bool          // the video is the recording
	MaxRate         float64       // largest accepted |Rate-1|; 0 is 0.002
	// ZeroAssumed says that recording zero is only the first time that is known. The
	// recording may then have begun before it, and what the video shows before the first
	// match is taken for no card unless the chapters call it one.
	ZeroAssumed bool
}

// Where a place comes from. Identity counts as an edit list without a cut.
const (
	Matched      = "matched"
	Interpolated = "interpolated"
	EditList     = "edit-list"
	Pinned       = "pinned"
)

// Pair is a stamp and a chapter taken for the same moment. Residual is the video
// time of the chapter less that of the line through its stretch of the map: how
// far the two marks are from what their neighbours say.
type Pair struct {
	Stamp, Chapter int
	Step           string // "" when they agree by text only
	Residual       time.Duration
	Confidence     float64
}

// StampPlace is where a stamp lies in the video; Video is nil and Placed empty
// when that is not known or the moment was removed. Within bounds the error: half
// the unit that the stamps it rests on are written to, at the least; where the map is
// exact, 0 unless the stamp is written to more than the second.
type StampPlace struct {
	Video  *time.Duration
	Placed string
	Within time.Duration
}

// ChapterPlace is where a chapter lies in the recording, as for StampPlace.
type ChapterPlace struct {
	Recording *time.Duration
	Placed    string
	Within    time.Duration
}

// Cut is a stretch of the recording that the video leaves out. From an edit list
// the stretch is [RecordingFrom, RecordingTo). Inferred, they are the earliest and
// latest moments it can touch and Removed is how much of that is gone, in one or
// more parts. Video is the moment of the video at which the stretch is missing; of
// an inferred one the earliest that it can be, which is RecordingFrom's own.
type Cut struct {
	Removed                    time.Duration
	RecordingFrom, RecordingTo time.Duration
	Video                      time.Duration
	Source                     string // inferred or edit-list
}

// Insert is a stretch of the video that is not in the recording. Before the first
// anchor it is what the recording since a known zero cannot fill, or what the chapters
// call a title, an introduction or the like and no step. Between two
// anchors its length is known and its place is not; it stands directly before the
// second.
type Insert struct {
	From, To time.Duration
	Kind     string // before-first, between or after-last
}

// Finding is a source.Finding without a position: the indices name what it is
// about, -1 for none.
type Finding struct {
	source.Finding
	Stamp, Chapter, Pin int
}

// Result is everything Place finds out. Stamps and Chapters have the lengths of
// the input. Pairs increase in recording time; on the video two of them may stand the
// other way round where marks were set within seconds of each other.
type Result struct {
	Map            timeline.Map
	Rate           float64
	MedianResidual time.Duration // of the absolute residuals of Pairs
	Pairs          []Pair
	Stamps         []StampPlace
	Chapters       []ChapterPlace
	Cuts           []Cut
	Inserts        []Insert
	Findings       []Finding
}
