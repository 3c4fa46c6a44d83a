package placing

import (
	"slices"
	"strings"
)

// How far a label agreement counts as one moment, by what it rests on. Our own
// choice; only the order of the numbers is argued for.
const (
	amongOne  = 0.6 // one is sure, the other names it among others
	sameText  = 0.5 // no id on either side, the same words
	amongBoth = 0.4 // both are unsure and share a candidate
	unlike    = 0
)

// likeness says how far a stamp and a chapter name the same thing, times the
// confidence of both labels, and what that thing is.
func likeness(s Stamp, c Chapter, vocab Vocabulary) (float64, string) {
	sure := sureness(s.Confidence) * sureness(c.Confidence)
	switch {
	case s.Step != "" && c.Step != "":
		return kinship(s.Step, c.Step, vocab) * sure, c.Step
	case s.Step != "" && slices.Contains(c.Candidates, s.Step):
		return amongOne * sure, s.Step
	case c.Step != "" && slices.Contains(s.Candidates, c.Step):
		return amongOne * sure, c.Step
	case s.Step != "" || c.Step != "":
		return unlike, ""
	}
	var shared []string
	for _, id := range s.Candidates {
		if slices.Contains(c.Candidates, id) && !slices.Contains(shared, id) {
			shared = append(shared, id)
		}
	}
	switch len(shared) {
	case 0:
	case 1:
		return amongBoth * sure, shared[0]
	default:
		return amongBoth * sure, ""
	}
	if text := folded(s.Text); text != "" && text == folded(c.Title) {
		return sameText, ""
	}
	return unlike, ""
}

func sureness(confidence float64) float64 {
	if confidence <= 0 {
		return 1
	}
	return min(confidence, 1)
}

// kinship is how far two names mean one step, by the vocabulary's own relations.
func kinship(a, b string, vocab Vocabulary) float64 {
	if r := related(a, b, vocab); r > akinMeaning {
		return r
	}
	return unlike
}

// folded is text without case and with single spaces.
func folded(text string) string {
	return strings.Join(strings.Fields(strings.ToLower(text)), " ")
}
