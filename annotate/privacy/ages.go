package privacy

import (
	"regexp"
	"strings"
)

const (
	overAge   = `(9\d|1[01]\d)`
	ageWords  = `(?:ninety(?:[ -](?:one|two|three|four|five|six|seven|eight|nine))?|(?:a |one )?hundred(?: and [a-z]+)?)`
	sexLetter = `[MFmf]`
)

// agePatterns are ages of 90 and more. 90+, "90 or older" and "over 90" are the
// one category the regulation allows and stay.
var agePatterns = []pattern{
	{AgeOver89, regexp.MustCompile(`(?i)` + overAge + `[ -]?(?:years?|yrs?|y)[ .-]*(?:old|o\b|aged|of age)`), 1, keepAge},
	{AgeOver89, regexp.MustCompile(`(?i)` + overAge + `[ -]?(?:y/o|yo\b|y\.o\.)`), 1, keepAge},
	{AgeOver89, regexp.MustCompile(`(?i)\b(?:aged?|age is|age was|age of|ages)(?:[ :=-]|years)*` + overAge), 1, keepAge},
	{AgeOver89, regexp.MustCompile(overAge + `(?i: ?(?:years?|yrs?|y))? ?/ ?` + sexLetter + `\b`), 1, keepAge},
	{AgeOver89, regexp.MustCompile(overAge + `[MF]\b`), 1, keepAge},
	{AgeOver89, regexp.MustCompile(`(?i)` + overAge + `[ -]?(?:years?|yrs?|y)[ ,-]*(?:male|female|man|woman|lady|gentleman|patient)\b`), 1, keepAge},
}

// ageWordPatterns are the same in words.
var ageWordPatterns = []pattern{
	{AgeOver89, regexp.MustCompile(`(?i)\b(` + ageWords + `)[ -]years?[ -](?:old|of age)\b`), 1, keepAge},
	{AgeOver89, regexp.MustCompile(`(?i)\b(?:aged|age of) (` + ageWords + `)\b`), 1, keepAge},
	{AgeOver89, regexp.MustCompile(`(?i)\bcentenarian\b`), 0, nil},
}

var (
	openBefore = regexp.MustCompile(`(?i)(?:>=?|≥|\bover|\babove|\bolder than|\bmore than|\bat least|\bbeyond)\s*$`)
	openAfter  = regexp.MustCompile(`(?i)^[ -]?(?:\+|plus\b|(?:years? |yrs? |of age )*(?:or|and) (?:older|over|above|more)\b)`)
)

func keepAge(m match) bool {
	if p := before(m.text, m.start); isWord(p) || p == '.' || p == '/' || p == ':' {
		return false
	}
	if isDigit(after(m.text, m.end)) || strings.HasPrefix(m.text[m.end:], ".") && len(m.text) > m.end+1 && isDigit(after(m.text, m.end+1)) {
		return false
	}
	if openBefore.MatchString(m.text[max(0, m.start-24):m.start]) {
		return false
	}
	// "92 years or older" opens after the unit, "92+ years" before it.
	return !openAfter.MatchString(m.text[m.end:]) && !openAfter.MatchString(m.text[m.loc[1]:]) && !quantityAhead(m)
}

// quantityAhead tells "aged 94" from "averaged 94 %": a unit other than a year
// behind the number makes it something else.
func quantityAhead(m match) bool {
	return m.end == m.loc[1] && unitFollows(m.text, m.end)
}
