package rule

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"sideport/annotate"
	"sideport/timeline/source"
)

// Rule looks at one thing. Name is group/rule; the part after the slash may be in
// angle brackets for a rule whose findings are named by what they speak of, such
// as range/<parameter>. Doc is shown to users.
type Rule struct {
	Name     string
	Doc      string
	Severity source.Severity
	Run      func(*Pass)
}

// Pass is what a rule is given. Report receives its findings; each carries its own
// rule name, place and severity.
type Pass struct {
	Case   *annotate.Case
	Report source.Report
}

// Groups is the closed list of what may stand before the slash of a rule's name,
// in the order lists show them.
func Groups() []string {
	return []string{"read", "time", "step", "order", "range", "cross", "speech", "privacy", "reporting", "media"}
}

var nameForm = regexp.MustCompile(`^([a-z]+)/(?:[a-z0-9]+(?:-[a-z0-9]+)*|<[a-z]+(?:-[a-z]+)*>)$`)

// Validate says what is wrong with a list of rules, in its order: a name of
// another form or group, a name that stands twice, a missing text or function. A
// sound list gives nothing.
func Validate(rules []Rule) []string {
	var faults []string
	seen := map[string]bool{}
	for i, r := range rules {
		fault := func(format string, args ...any) {
			faults = append(faults, fmt.Sprintf("rule %d %q: %s", i, r.Name, fmt.Sprintf(format, args...)))
		}
		switch m := nameForm.FindStringSubmatch(r.Name); {
		case m == nil:
			fault("the name is not group/rule in lower case with hyphens")
		case !slices.Contains(Groups(), m[1]):
			fault("the group is none of %s", strings.Join(Groups(), ", "))
		}
		if seen[r.Name] {
			fault("the name stands twice")
		}
		seen[r.Name] = true
		switch doc := strings.TrimSpace(r.Doc); {
		case doc == "":
			fault("there is no text")
		case doc != r.Doc:
			fault("the text begins or ends in space")
		}
		if r.Severity < source.Note || r.Severity > source.Error {
			fault("the severity is none of the four")
		}
		if r.Run == nil {
			fault("there is no function")
		}
	}
	return faults
}

// SourceText is what a finding prints as its source: the reference, or what stands
// in its place for evidence that has none.
func SourceText(reference, evidence string) string {
	if reference != "" {
		return reference
	}
	switch evidence {
	case "common-practice":
		return "common practice, no source"
	case "from-memory":
		return "from memory, unconfirmed"
	case "assumption":
		return "our sanity limit (assumption)"
	}
	return ""
}

// banned are words that tell the surgeon what to do; a message says what is
// recorded and what the source says.
var banned = regexp.MustCompile(`(?i)\b(?:should|must|consider|why not|prefer|avoid|need|needs|needed)\b`)

// quoted is a stretch of the user's own words, whose wording is not ours.
var quoted = regexp.MustCompile(`"(?:[^"\\]|\\.)*"`)

// Wording says what is wrong with a message by the rules for messages: lower case
// at the start, no full stop at the end, no verb addressed to the surgeon. It is for
// tests. A message that begins with a quotation, a number or an abbreviation in
// capitals begins well; what stands in quotation marks is not looked at.
func Wording(message string) []string {
	var faults []string
	if message == "" {
		return []string{"the message is empty"}
	}
	message = quoted.ReplaceAllString(message, `""`)
	word, _, _ := strings.Cut(message, " ")
	if word != strings.ToLower(word) && word != strings.ToUpper(word) {
		faults = append(faults, fmt.Sprintf("it begins with %q", word))
	}
	if strings.HasSuffix(message, ".") || strings.HasSuffix(message, "!") {
		faults = append(faults, "it ends in a full stop")
	}
	if w := banned.FindString(message); w != "" {
		faults = append(faults, fmt.Sprintf("it holds %q", w))
	}
	return faults
}
