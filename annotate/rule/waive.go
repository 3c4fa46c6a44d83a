package rule

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sideport/annotate"
	"sideport/annotate/quantity"
	"sideport/timeline/source"
)

// Waive marks the findings that waivers name as listed exceptions and returns all
// of them, with a note for each waiver that does nothing. The slice given is not
// changed, and no finding is dropped.
//
// A waiver names rule, step and occurrence (1 when none is written) and the value
// it was given for. When the finding now has another value the waiver has lapsed:
// read/waiver-lapsed. One that names no finding is read/waiver-unused, one with
// an empty reason or code, or without the value where the finding has one,
// read/waiver-incomplete. Errors and privacy stops are not set aside this way:
// read/waiver-refused; a single privacy stop is accepted by a waiver whose value is
// its exact position, as in "notes.md:3:12", the place a finding prints. One of the
// case's private words is accepted at no place.
func Waive(findings []source.Finding, waivers []annotate.Waiver) []source.Finding {
	out := slices.Clone(findings)
	for i := range waivers {
		if note, ok := apply(out, waivers[i]); ok {
			out = append(out, note)
		}
	}
	return out
}

// apply marks what w names in findings; note says why when that is nothing.
func apply(findings []source.Finding, w annotate.Waiver) (note source.Finding, ok bool) {
	say := func(rule, format string, args ...any) (source.Finding, bool) {
		n := source.Finding{
			Pos: w.Rule.Pos, Path: strings.TrimSuffix(w.Rule.Path, ".rule"), Severity: source.Note, Rule: rule,
			Message: fmt.Sprintf(format, args...), Step: w.Step.Value,
		}
		if w.Step.Value != "" {
			n.Nth = occurrence(w)
		}
		return n, true
	}
	if empty, unwritten := lacking(w); unwritten {
		return source.Finding{}, false // the reader has said so
	} else if len(empty) > 0 {
		return say("read/waiver-incomplete", "the waiver lacks %s and sets nothing aside", strings.Join(empty, " and "))
	}
	var near []int
	waived, refused := false, ""
	for i, f := range findings {
		if !names(w, f) {
			continue
		}
		if why := untouchable(w, f); why != "" {
			if refused != neverExported { // what is said of the very place goes first
				refused = why
			}
			continue
		}
		if !sameValue(w, f) {
			near = append(near, i)
			continue
		}
		if privacyStop(f) && (waived || f.Waived) {
			continue // one at a time, though several may stand in one name
		}
		if f.Waived { // by another waiver for the same value
			waived = true
			continue
		}
		findings[i].Waived = true
		findings[i].WaivedBy = w.By.Value + ": " + w.Reason.Value
		waived = true
	}
	switch {
	case waived:
		return source.Finding{}, false
	case refused != "":
		return say("read/waiver-refused", "the waiver for %s sets nothing aside: %s", about(w), refused)
	case len(near) > 0:
		f := findings[near[0]]
		if w.Value.Value == "" {
			return say("read/waiver-incomplete", "the waiver for %s names no value; recorded is %s", about(w), recorded(f))
		}
		return say("read/waiver-lapsed", "the waiver for %s was given for %s; recorded is %s", about(w), w.Value.Value, recorded(f))
	}
	return say("read/waiver-unused", "the waiver for %s matches no finding%s", about(w), elsewhere(findings, w))
}

// lacking lists the keys that are empty where a waiver has to have them; unwritten
// tells that one is not there at all.
func lacking(w annotate.Waiver) (empty []string, unwritten bool) {
	for _, key := range []struct {
		name string
		text annotate.Text
	}{{"rule", w.Rule}, {"reason", w.Reason}, {"by", w.By}} {
		if strings.TrimSpace(key.text.Value) == "" {
			empty = append(empty, key.name)
			unwritten = unwritten || !key.text.Set
		}
	}
	return empty, unwritten
}

// names reports whether w speaks of f, values aside.
func names(w annotate.Waiver, f source.Finding) bool {
	if f.Rule != w.Rule.Value {
		return false
	}
	if privacyStop(f) {
		return true // by its position, in untouchable
	}
	return f.Step == w.Step.Value && (f.Step == "" || max(f.Nth, 1) == occurrence(w))
}

func privacyStop(f source.Finding) bool { return f.Group() == "privacy" && f.Severity == source.Stop }

const neverExported = "a private word is never exported"

// untouchable says why f is not set aside by w, or nothing.
func untouchable(w annotate.Waiver, f source.Finding) string {
	switch {
	case f.Severity == source.Error:
		return "material that cannot be read is no exception"
	case privacyStop(f) && !samePlace(w.Value.Value, f.Pos):
		return "a privacy stop is accepted by its exact position only"
	case f.Final:
		return neverExported
	}
	return ""
}

// samePlace reports whether place is how pos prints, or its end from a folder on:
// findings print the way to a file, a case file knows its own folder.
func samePlace(place string, pos source.Pos) bool {
	shown := pos.String()
	return pos.Source != nil && place != "" && (place == shown || strings.HasSuffix(shown, "/"+place))
}

// occurrence is which run of its step a waiver speaks of. What is no whole number
// names none.
func occurrence(w annotate.Waiver) int {
	if w.Nth.Value == "" {
		return 1
	}
	n, err := strconv.Atoi(w.Nth.Value)
	if err != nil {
		return -1
	}
	return n
}

func about(w annotate.Waiver) string {
	if w.Step.Value == "" {
		return w.Rule.Value
	}
	return fmt.Sprintf("%s at %s %d", w.Rule.Value, w.Step.Value, occurrence(w))
}

// elsewhere names the places at which the rule did speak.
func elsewhere(findings []source.Finding, w annotate.Waiver) string {
	var places []string
	for _, f := range findings {
		if f.Rule != w.Rule.Value {
			continue
		}
		place := "the whole case"
		if f.Step != "" {
			place = fmt.Sprintf("%s %d", f.Step, max(f.Nth, 1))
		}
		if !slices.Contains(places, place) {
			places = append(places, place)
		}
	}
	if len(places) == 0 {
		return ""
	}
	return "; the rule speaks of " + strings.Join(places, ", ")
}

// sameValue reports whether f still has the value w was given for. A finding with
// bounds is compared by them, in its unit; one without by its message, which says
// what is recorded.
func sameValue(w annotate.Waiver, f source.Finding) bool {
	text := strings.TrimSpace(w.Value.Value)
	if privacyStop(f) {
		return true // the position stood for it
	}
	if f.Value == nil {
		return text == "" || mentions(f.Message, text)
	}
	if text == "" {
		return false
	}
	q, err := quantity.Parse(text)
	if err != nil {
		return false
	}
	// A count or a size states its unit by its parameter: "3" is 3 stitches.
	if q.Unit != f.Value.Unit && !(q.Unit == "" && unitless(f.Value.Unit)) {
		if q.Unit == "" || f.Value.Unit == "" {
			return false
		}
		if q, err = q.In(f.Value.Unit); err != nil {
			return false
		}
	}
	return sameEnd(q.Low, f.Value.Low) && sameEnd(q.High, f.Value.High)
}

func unitless(unit string) bool { return unit == quantity.CountUnit || unit == quantity.USP }

// sameEnd compares two ends; converted to another unit a decimal may differ in its
// last binary digit.
func sameEnd(a, b *float64) bool {
	if a == nil || b == nil {
		return a == b
	}
	return math.Abs(*a-*b) <= 1e-9*max(math.Abs(*a), math.Abs(*b))
}

func mentions(message, text string) bool {
	return regexp.MustCompile(`(?i)(?:^|[^\pL\d])` + regexp.QuoteMeta(text) + `(?:[^\pL\d]|$)`).MatchString(message)
}

// recorded is the value a finding carries, in words.
func recorded(f source.Finding) string {
	if f.Value == nil {
		return "another value"
	}
	number := func(v *float64) string { return strconv.FormatFloat(*v, 'f', -1, 64) }
	var text string
	switch low, high := f.Value.Low, f.Value.High; {
	case low == nil && high == nil:
		return "no number"
	case low == nil:
		text = "≤ " + number(high)
	case high == nil:
		text = "≥ " + number(low)
	case *low == *high:
		text = number(low)
	default:
		text = number(low) + "–" + number(high)
	}
	if u := f.Value.Unit; u != "" && u != quantity.CountUnit {
		text += " " + u
	}
	return text
}
