package rules

import (
	"strings"

	"sideport/annotate"
	"sideport/annotate/rule"
	"sideport/timeline/source"
)

// All lists the rules in the order they run.
func All() []rule.Rule {
	return []rule.Rule{
		orderSequence(),
		orderRepeat(),
		orderMissing(),
		stepVariant(),
		timeWindow(),
		rangeValues(),
		privacyText(),
		privacyFileName(),
		privacyTags(),
		privacySound(),
		privacyConsent(),
		privacyAuthors(),
	}
}

// Check runs every rule over a case.
func Check(c *annotate.Case) []source.Finding {
	var out []source.Finding
	pass := &rule.Pass{Case: c, Report: func(f source.Finding) { out = append(out, f) }}
	for _, r := range All() {
		r.Run(pass)
	}
	return out
}

// CheckPrivacy runs the rules of group privacy alone. They ask nothing of a
// procedure, so that they hold for a case that could not be resolved.
func CheckPrivacy(c *annotate.Case) []source.Finding {
	var out []source.Finding
	pass := &rule.Pass{Case: c, Report: func(f source.Finding) { out = append(out, f) }}
	for _, r := range All() {
		if strings.HasPrefix(r.Name, "privacy/") {
			r.Run(pass)
		}
	}
	return out
}

// Waive applies the case's waivers to all of its findings.
func Waive(findings []source.Finding, c *annotate.Case) []source.Finding {
	return rule.Waive(findings, c.File.Waivers)
}
