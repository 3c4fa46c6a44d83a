package page

import (
	"html/template"

	"sideport/export/figure"
	"sideport/export/words"
)

// view is a page as the template sees it: every text ready to be printed, every
// choice made. The template only arranges.
type view struct {
	words words.Words

	Lang     string // of the interface text
	UserLang string // of the user's text, or empty when it is Lang
	Policy   string
	Style    template.CSS
	Script   template.JS

	Title       string
	ShortTitle  string // for the window and for lists of results
	Procedure   named
	Facts       []string
	Caution     string
	NotReviewed bool   // no speaker of the trade has read the names of the steps
	Release     string // consent in one line; empty when public
	// NotForRelease keeps the page out of search engines, should it be put up by
	// mistake.
	NotForRelease bool
	Summary       string
	Objectives    []string

	Video  *videoView
	Tracks []trackData
	Linked map[string]any

	HasTimes, HasVideoTimes, HasRecordingTimes bool
	EndsAssumed                                bool // of a step at least, whose end is then not printed

	Steps                     []stepView
	Eye                       *figure.Eye
	Key                       []figure.Item
	EyeCaption, RibbonCaption string
	Ribbon                    *figure.Ribbon
	BothClocks                bool // the ribbon shows a recording and a video
	RibbonRows                []ribbonRow
	Groups                    []groupView
	Events                    []eventView
	Proposals                 []proposalView
	Findings, Exceptions      []findingView
	Outcome                   string
	Questions                 []questionView
	Notes                     template.HTML
	Transcript                *transcriptView
	References                []reference
	Authors                   []string
	Disclosure                string
}

// named is a text that may be in another language than the interface.
type named struct {
	Text string
	Lang string // empty when it is the page's
}

type videoView struct{ Src string }

// moment is a link to a place in the video. Without a video Href is empty and the
// time stands alone.
type moment struct {
	Href, Text string
}

type stepView struct {
	ID            string
	Number        int
	Name          named
	Again         string // "(2)" for the second run of a step
	Variant       string
	Spans         string // seconds, pairs, for the script
	First         *moment
	Moments       []moment
	RecordingFrom string
	Recording     string
	Remarks       string
	NotShown      bool
	Untimed       bool
	Bare          bool // nothing but a name and times
	Reason, Note  string
	Tips          []string
	Notes         template.HTML
	valuesView
	Events               []eventView
	Proposals            []proposalView
	Findings, Exceptions []findingView
}

// valuesView is a table of values with the sources its ranges come from.
type valuesView struct {
	Caption string
	Values  []valueView
	Sources []reference
}

type valueView struct {
	Name, When       string
	Recorded, How    string
	Judged           bool
	Range, RangeNote string
	Refs             []int  // numbers of the sources
	Source           string // in words, where there is no reference or more than those
	Why              string // what lies behind the range, where the value is outside
	Evidence, Result string
	Outside          bool
}

type groupView struct {
	Heading string
	Facts   []fact
	valuesView
}

type fact struct{ Name, Text string }

type eventView struct {
	Name      named
	Kind      string
	Moment    *moment
	Recording string
	Note      string
}

type proposalView struct {
	Heard, Name, Value, Quote string
	Moment                    *moment
}

type findingView struct {
	Class, Weight, Message, Source, Hint, By string
}

type questionView struct {
	Ask            string
	Answers        []string
	Right, Because string
	At             *moment
}

type ribbonRow struct {
	Name             named
	Recording, Video string
}

type transcriptView struct {
	Lang  string
	Lines []spokenLine
}

type spokenLine struct {
	Moment moment
	Text   string
}

type reference struct {
	Number int
	Text   string
}

// trackData is a Track as the script reads it: cues are [from, to, text] with
// seconds.
type trackData struct {
	Kind     string `json:"kind"`
	Label    string `json:"label"`
	Language string `json:"language"`
	Edge     string `json:"edge"`
	Shown    bool   `json:"shown"`
	Cues     []any  `json:"cues"`
}

// say is the interface text of a key.
func (v *view) say(key string) string { return v.words.T(key) }

// uiLang is the interface's language where user text of another surrounds it.
func (v *view) uiLang() string {
	if v.UserLang == "" {
		return ""
	}
	return v.Lang
}
