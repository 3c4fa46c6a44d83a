package privacy

import (
	"regexp"
	"strings"
)

const (
	// capWord is a word that begins with a capital, or an initial.
	capWord = `(?:\p{Lu}[\p{L}\p{M}'’-]+|\p{Lu}\b\.?)`
	capName = `(` + capWord + `(?:[ .]{1,2}` + capWord + `){0,3})`
	anyName = `([\p{L}\p{M}][\p{L}\p{M}.'’-]*(?:[ ]+[\p{L}\p{M}][\p{L}\p{M}.'’-]*){0,3})`
)

// namePatterns find a name after a label. A word of the trade is nobody's name.
var namePatterns = []pattern{
	// A label with a mark takes what follows in any case; without one, "the
	// patient's name is Asha Rao", only capitals are a name.
	{Name, regexp.MustCompile(`(?i)\b(?:(?:patient|pt|full|first|last|given|family|father|mother|husband|wife|guardian|attendant|next of kin)(?:'s|’s)?\.? ?name|name of (?:the )?(?:patient|father|mother|husband|wife)|surname|initials|next of kin|attendant|guardian)\s*[:=–-]+\s*` + anyName), 1, keepLabelledName},
	{Name, regexp.MustCompile(`\b(?i:(?:patient|pt)(?:'s|’s)?\.? name|name of (?:the )?patient|surname)\s+(?:is |was )?` + capName), 1, keepName},
	{Name, regexp.MustCompile(`(?im)^\s*name\s*[:=–-]+\s*(?-i:` + capName + `)`), 1, keepFullName},
}

// titlePatterns find a name after a title, or after the short forms of son of and
// its like.
var titlePatterns = []pattern{
	{Name, regexp.MustCompile(`\b(?:Mr|Mrs|Ms|MRS|Smt|SMT|Shri|SHRI|Shrimati|Sri|Kum|Kumari|Miss|Mx|Sh|B/[oO]|[SDWC]/[oO])\b\.?:?\s+` + capName), 1, keepName},
	{Name, regexp.MustCompile(`(?i)\b(?:mister|missus|missis|mrs\.|mr\.)\s+(\p{L}+)`), 1, keepName},
}

// relationPatterns find a name by whose relative it is.
var relationPatterns = []pattern{
	{Name, regexp.MustCompile(`\b(?i:son|daughter|wife|husband|mother|father|brother|sister|baby|grandson|granddaughter|widow) of (?:(?:late|Late|Mr|Mrs|Shri|Smt)\.? )?` + capName), 1, keepName},
	{Name, regexp.MustCompile(`\b(?i:his|her|their|patient's|patient’s) (?i:son|daughter|wife|husband|mother|father|brother|sister),? ` + capName), 1, keepName},
}

// patientPatterns find a name after the word patient itself.
var patientPatterns = []pattern{
	{Name, regexp.MustCompile(`\b(?i:patient|pt|px)\b\.?\s*[:=–-]+\s*` + capName), 1, keepFullName},
	{Name, regexp.MustCompile(`\b(?:patient|pt)\b\.? ` + capName), 1, keepFullName},
	{Name, regexp.MustCompile(`\b(?i:patient|pt|man|woman|lady|gentleman|boy|girl|farmer|teacher|child|person)\b,? (?:named|called|by the name of) ` + capName), 1, keepName},
}

// nameAgePatterns find a name before age and sex: "Lakshmi Devi, 58/F".
var nameAgePatterns = []pattern{
	{Name, regexp.MustCompile(capName + `,? \(?\d{2}(?: ?(?:/|-) ?[MF]\b|[MF]\b|,? ?(?:yrs?|years?|y)\.? ?(?:old)? ?[/,]? ?(?:M\b|F\b|male|female))`), 1, keepFullName},
}

// withheld are the words that say a name was left out.
var withheld = regexp.MustCompile(`(?i)^(?:not|none|no|nil|withheld|removed|hidden|redacted|masked|blurred|anonymous|anonymi[sz]ed|unknown|confidential|deleted|blank|empty|n/?a|xx+|left out|see|and|or|is|in|on|the|as|to|was|field)\b`)

func keepLabelledName(m match) bool {
	return !withheld.MatchString(m.text[m.start:m.end]) && keepName(m)
}

// keepName keeps a candidate whose first word, initials aside, is no word of the
// trade.
func keepName(m match) bool {
	found := m.text[m.start:m.end]
	if withheld.MatchString(found) {
		return false
	}
	for _, w := range wordsIn(found) {
		if word := found[w[0]:w[1]]; len(word) > 1 {
			return !isTrade(word)
		}
	}
	return found != "" && found != "A" && found != "I"
}

// keepFullName keeps two words and more of which none is a word of the trade or
// written in capitals as abbreviations are; initials count beside one word.
func keepFullName(m match) bool {
	found := m.text[m.start:m.end]
	words, long := wordsIn(found), 0
	for _, w := range words {
		word := found[w[0]:w[1]]
		if isTrade(word) || len(word) > 1 && len(word) < 5 && word == strings.ToUpper(word) {
			return false
		}
		if len(word) > 1 {
			long++
		}
	}
	return len(words) >= 2 && long >= 1
}
