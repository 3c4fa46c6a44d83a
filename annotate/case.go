package annotate

import (
	"time"

	"sideport/annotate/placing"
	"sideport/annotate/quantity"
	"sideport/annotate/ranges"
	"sideport/annotate/taxonomy"
	"sideport/timeline"
	"sideport/timeline/media"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// Material is what Load found in a case folder, read but not yet interpreted.
type Material struct {
	Name       string // the folder's base name
	Shown      string // the folder as findings name it
	File       *File
	CaseFile   *source.Source
	Sources    []*source.Source // every text read, case.yaml first
	Stamps     []timeline.Stamp // of all recording lists, in file order
	Parts      []RecordingPart  // as recording.files, in file order
	Chapters   []timeline.Chapter
	Cues       []timeline.Cue      // the narration, on its own clock
	plain      func(string) string // a cue without its format's markup
	Notes      *source.Source      // notes.md, or nil
	Ranges     *source.Source      // the case's own ranges, or nil
	Lexicon    *source.Source      // the case's own lexicon, or nil
	VideoFile  string              // name inside the folder, or empty
	Media      *media.Facts        // container facts of VideoFile, or nil
	TagsUnread bool                // not everything of the container could be examined
	EditList   bool                // an edit list is there
	Edit       *timeline.Edit      // what it says, or nil when nothing could be read
	Findings   []source.Finding
	lists      []stampList        // which stamps come from which list, in file order
	scale      []timecode.Reading // of another list, whose clock dated times count by; empty for their own
}

// Case is one operation, resolved: what the exporters draw from.
type Case struct {
	*Material
	Findings   []source.Finding // those of the material, and what resolving found
	Procedure  *taxonomy.Procedure
	Languages  []string
	Purpose    string // channel, conference, curriculum or review
	ShowOnPage string // none, explained or all: page.findings
	Consent    ConsentScope

	Clock              Clock
	Map                timeline.Map
	Rate               float64 // video seconds a recording second within kept material
	MedianResidual     time.Duration
	VideoLength        time.Duration // 0 when unknown
	VideoLengthAssumed bool
	HasVideoClock      bool // video times exist: tracks and chapters can be written

	Marks     []Mark  // the stamps, resolved and placed
	Titles    []Title // the chapters, resolved and placed
	Pairs     []placing.Pair
	Cuts      []placing.Cut
	Inserts   []placing.Insert
	Speech    []timeline.Cue // the narration on the video clock
	Steps     []Step
	Events    []Event
	Header    []Value // before, day-1, week-6, lens and whole-case values, with Group
	Proposals []Proposal
	Table     *ranges.Table

	converted bool // the operation was converted: both vocabularies apply
	clock     recordingClock
	end       *time.Duration // where the recording or its part ends, where that is known
}

// ConsentScope is the consent block, interpreted.
type ConsentScope struct {
	Scope    string // none, local, course or public
	Recorded bool
	Sound    string // commentary, theatre or none; empty when not said
}

// Clock is the recording's clock.
type Clock struct {
	Kind   timecode.Kind
	Why    string        // in words, for the note that tells the choice
	Zero   string        // stated, file, clock or first-stamp
	Offset time.Duration // what the clock says at recording zero
}

// Mark is one stamp whose time could be read, resolved.
type Mark struct {
	timeline.Stamp
	Match     taxonomy.Match
	Recording time.Duration
	EndAt     *time.Duration
	Video     *time.Duration
	Placed    string // matched, interpolated, edit-list, pinned, or empty
	Within    time.Duration
	// Step and Nth tie a mark of kind step to Case.Steps.
	Step string
	Nth  int
}

// Title is one chapter, resolved.
type Title struct {
	timeline.Chapter
	Match     taxonomy.Match
	Recording *time.Duration
	Placed    string
}

// Step is one run of a step.
//
// Recording is nil when the recording time is unknown; Video has no entry, one or
// several. EndAssumed marks an end taken from the next step, which enters no
// statistic and no finding.
type Step struct {
	ID         string
	Nth        int // which run of this id, from 1
	Procedure  *taxonomy.Procedure
	Info       *taxonomy.Step // nil for an id the vocabulary does not hold
	Variant    string
	Recording  *timeline.Span
	EndAssumed bool
	Video      []timeline.Span
	From       string // case, stamp, chapter, narration; empty when untimed
	Placed     string // matched, interpolated, edit-list, pinned, spoken; empty when not on the video
	Confidence float64
	Values     []Value
	Reason     string
	Note       string
	Tips       []string
	Shown      bool
	HasEntry   bool // case.yaml has an entry for this run
	Index      int  // of that entry in File.Steps
	Pos        source.Pos
}

// Value is one recorded value.
type Value struct {
	Group     string // "", or before, day-1, week-6, lens, case
	Parameter string
	Text      string // as written
	Quantity  quantity.Quantity
	How       string         // set, measured, estimated, planned, on-image; empty when not said
	At        *time.Duration // recording time of a reading
	AtVideo   *time.Duration
	Judgement ranges.Judgement
	Reading   bool
	Path      string
	Pos       source.Pos
}

// Event is an event or complication that case.yaml records.
type Event struct {
	ID        string
	Info      *taxonomy.Event
	Recording *time.Duration
	Video     *time.Duration
	Note      string
	Pos       source.Pos
}

// Proposal is something noted in a stamp or a chapter title, or spoken, that
// case.yaml does not state. Pages show it as such and nothing is judged by it.
type Proposal struct {
	Kind      string // value or event
	Heard     string // "as noted" or "as spoken"
	Parameter string // of a value
	Event     string // of an event: its id
	Step      string // the step it belongs to, when known
	Nth       int
	Quote     string
	Quantity  quantity.Quantity
	Recording *time.Duration
	Video     *time.Duration
	Pos       source.Pos
}
