package source

import (
	"fmt"
	"strings"
	"time"
)

// Severity says how much a Finding weighs.
type Severity int

// The severities, from lightest to heaviest. Error means the material could not
// be read at that place and cannot be configured away; the other three are about
// what was read.
const (
	Note Severity = iota
	Caution
	Stop
	Error
)

var severityNames = [...]string{"note", "caution", "stop", "error"}

// String is note, caution, stop or error.
func (s Severity) String() string { return severityNames[s] }

// ParseSeverity is the inverse of String.
func ParseSeverity(name string) (Severity, bool) {
	for i, n := range severityNames {
		if n == name {
			return Severity(i), true
		}
	}
	return 0, false
}

// Span is a stretch of time on one clock, half-open [From, To).
type Span struct{ From, To time.Duration }

// Len is the length of the span.
func (s Span) Len() time.Duration { return s.To - s.From }

// Bounds is a closed range with a unit; a nil end is open.
type Bounds struct {
	Low  *float64 `json:"low"`
	High *float64 `json:"high"`
	Unit string   `json:"unit"`
}

// Related is another place that belongs to a Finding.
type Related struct {
	Pos     Pos
	Message string
}

// Fix is one edit that would settle a Finding: the bytes in [From, To) become
// Text. Of several fixes at most one is applied.
type Fix struct {
	Message  string
	From, To Pos
	Text     string
}

// Finding says one thing about the user's material.
//
// Message is lower case without a full stop: what is recorded, then what the
// source of the rule says, with no verb addressed to the surgeon. Hint says what
// to look at.
type Finding struct {
	Pos, End         Pos    // where in the text; End is exclusive and optional
	Recording, Video *Span  // where in time, when tied to it
	Path             string // where in the case: "steps[0].values.rhexis-diameter", index from 0
	Severity         Severity
	Rule             string // "group/rule"
	Message          string
	Hint             string // optional
	Step             string // step id, or empty
	Nth              int    // which occurrence of Step, from 1
	Value, Accepted  *Bounds
	Evidence         string // confirmed, derived, common-practice, from-memory, assumption
	Source, SourceID string
	Final            bool // no waiver sets it aside
	Waived           bool
	WaivedBy         string // role or code and the reason, when Waived
	Related          []Related
	Fixes            []Fix
}

// Report receives findings as they are made.
type Report func(Finding)

// Group is the part of the rule before the slash.
func (f Finding) Group() string {
	group, _, _ := strings.Cut(f.Rule, "/")
	return group
}

// String is the first line of a finding's printed form:
//
//	file:line:col: severity: message [group/rule]
func (f Finding) String() string {
	waived := ""
	if f.Waived {
		waived = " (listed exception)"
	}
	return fmt.Sprintf("%s: %s: %s [%s]%s", oneLine(f.Pos.String()), f.Severity, oneLine(f.Message), oneLine(f.Rule), waived)
}

// Text is String with the source, hint, waiver and related places on lines of
// their own, each indented by four spaces. It ends in a line end and has no
// others than those: what a user wrote cannot pass for a finding.
func (f Finding) Text() string {
	var b strings.Builder
	b.WriteString(f.String() + "\n")
	if f.Source != "" {
		fmt.Fprintf(&b, "    source: %s\n", oneLine(f.Source))
	}
	if f.Hint != "" {
		fmt.Fprintf(&b, "    hint: %s\n", oneLine(f.Hint))
	}
	if f.WaivedBy != "" {
		fmt.Fprintf(&b, "    exception: %s\n", oneLine(f.WaivedBy))
	}
	for _, r := range f.Related {
		fmt.Fprintf(&b, "    see %s: %s\n", oneLine(r.Pos.String()), oneLine(r.Message))
	}
	return b.String()
}

// oneLine is Printable with a space for each line end: LF, CRLF, a lone CR and the
// separators of lines and paragraphs.
func oneLine(text string) string { return lineEnds.Replace(Printable(text)) }

var lineEnds = strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ", "\u2028", " ", "\u2029", " ")
