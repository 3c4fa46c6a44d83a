package ranges

import (
	"slices"
	"strings"

	"sideport/annotate/quantity"
	"sideport/timeline/source"
)

// The words of evidence, from strongest to weakest.
const (
	Confirmed      = "confirmed"
	Derived        = "derived"
	CommonPractice = "common-practice"
	FromMemory     = "from-memory"
	Assumption     = "assumption"
)

var evidenceOrder = []string{Confirmed, Derived, CommonPractice, FromMemory, Assumption}

// AnyStep stands for every step in Row.Step.
const AnyStep = "*"

// Band is an accepted or outer range in the row's unit. A nil end is open; Strict
// means that the one stated end itself lies outside. The zero Band is no band.
type Band = quantity.Quantity

// Row is one accepted range: what a source says of one parameter in one step when
// the conditions hold.
//
// A row judges numbers (Accept, Hard), or words (Words accepted, Against not), or it
// speaks against any number at all (Says with neither).
type Row struct {
	Parameter  string
	Step       string // a step id, before, day-1, week-6, "" for the whole case, "*" for every step
	Procedure  string // a procedure id; "" for every one
	Conditions []Condition
	For        string // the conditions in a few words
	Unit       quantity.Unit
	Accept     Band
	Hard       Band
	AtLeast    string   // fact whose number raises the low end of Accept
	Words      []string // accepted words
	Against    []string // words the source speaks against
	Says       string   // what it says of them
	Severity   [2]source.Severity
	Evidence   struct{ Accept, Hard string }
	Quoted     string   // the figures as published, in our words, each with its source id
	Source     string   // full references, "; " between
	SourceID   string   // their ids, ", " between
	References []string // the full references one by one
	Why        string
	Also       bool   // judged beside the row that was selected
	Physical   bool   // beyond Hard is impossible, whatever the evidence
	Local      string // whose range, "" for a built-in row
}

// count is how specific a row is: its conditions and its procedure.
func (r *Row) count() int {
	if r.Procedure != "" {
		return len(r.Conditions) + 1
	}
	return len(r.Conditions)
}

// key identifies the case a row is for: two rows with one key are the same row in
// two versions.
func (r *Row) key() string {
	conditions := make([]string, len(r.Conditions))
	for i, c := range r.Conditions {
		conditions[i] = c.String()
	}
	slices.Sort(conditions)
	also := ""
	if r.Also {
		also = "also"
	}
	return strings.Join([]string{r.Parameter, r.Step, r.Procedure, quantity.Dimension(r.Unit), also, strings.Join(conditions, "\x01")}, "\x00")
}

// severity is how much crossing a bound weighs: a bound that no source states gives
// at most a caution, unless what lies beyond it cannot be.
func (r *Row) severity(far bool) source.Severity {
	s, evidence := r.Severity[0], r.Evidence.Accept
	if far {
		s, evidence = r.Severity[1], r.Evidence.Hard
		if r.Physical {
			return s
		}
	}
	if weak(evidence) {
		return min(s, source.Caution)
	}
	return s
}

// weak reports whether a tag names no source read.
func weak(evidence string) bool { return evidence != Confirmed && evidence != Derived }

// sourceText is what a finding prints as its source for a bound with this evidence.
func (r *Row) sourceText(evidence string) string {
	none := map[string]string{
		CommonPractice: "common practice, no source",
		FromMemory:     "from memory, unconfirmed",
		Assumption:     "our sanity limit (assumption)",
	}[evidence]
	switch {
	case r.Local != "" && r.Source == "":
		return "range of " + r.Local
	case r.Source == "" && none == "":
		return "physical limit" // a test holds that every other row that claims a source names it
	case r.Source == "":
		return none
	case evidence == CommonPractice:
		return "common practice; in part " + r.Source
	case none != "":
		return none + "; in part " + r.Source
	}
	return r.Source
}
