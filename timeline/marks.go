package timeline

import (
	"time"

	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// Span is a stretch of time on one clock, half-open [From, To).
type Span = source.Span

// Stamp is one entry of a list of times: what the recording's clock said and
// what was noted beside it. The clock's kind is a matter of the whole list, so
// the reading is kept as written; timecode.Clock turns it into a duration.
type Stamp struct {
	At   timecode.Reading
	End  *timecode.Reading // the end, when the list states one
	Text string
	Pos  source.Pos // of the time
	// Rate is what the list says of the rate its frames count at; zero for nothing.
	Rate timecode.Rate
	// TextPos is the place of the first character of Text.
	TextPos source.Pos
}

// Chapter is one entry of a chapter file, on the video clock.
type Chapter struct {
	ID     string
	From   time.Duration
	To     time.Duration // only when HasTo
	HasTo  bool
	Level  int // 0 for a top-level chapter, 1 for its children, and so on
	Title  string
	Pos    source.Pos // of the time
	TitleP source.Pos // of the title
	// Members are what a JSON file says of the entry beside its times and title, in
	// file order; nil in every other format.
	Members []Member
}

// Member is a name and value of a JSON object that is carried along as it was
// written, so that a file can be written again with it.
type Member struct {
	Name string
	JSON string // the value, valid JSON
	Pos  source.Pos
}

// Cue is one timed text. Text has LF line ends and is as the format carries it,
// markup and character references included; Settings are the cue settings kept
// by the format's rules, in source order.
type Cue struct {
	ID       string
	From, To time.Duration
	Text     string
	Settings string
	Pos      source.Pos // of the first line of the cue's block: its id or its times
	TextPos  source.Pos
}
