package privacy

import (
	"regexp"
	"strings"
)

// placePatterns find a place by its label and a spot by its coordinates.
var placePatterns = []pattern{
	{Place, regexp.MustCompile(`(?i)\b(?:hospital|clinic|institute|institution|centre|center)(?: name)?\s*[:=]\s*(\p{L}[^,;\n|]*)`), 1, keepLabelledPlace},
	{Place, regexp.MustCompile(`(?i)\b(?:name of (?:the )?(?:hospital|clinic|institution)|city|town|village|district|taluk|tehsil|county|suburb|(?:home |postal |street |residential )?address|residence)\s*[:=]\s*([\p{L}\d][^;\n|]*)`), 1, keepLabelledPlace},
	{Place, regexp.MustCompile(`\b(?i:resident of|residing at|residing in|lives in|lives at|living in|native of|hails from|travelled from|village of|town of|city of|district of)\s+(?:the )?` + capName), 1, keepPlaceName},
	{Place, regexp.MustCompile(`\b(?:from|in|near|at|of) ` + capName + `,? (?i:village|district|taluk|tehsil|town|city|county|suburb)\b`), 1, keepPlaceName},
}

// coordinatePatterns find postal codes and coordinates.
var coordinatePatterns = []pattern{
	{Place, regexp.MustCompile(`(?i)\b(?:zip|pin|pincode|postal|postcode|post)(?: ?code)?\s*(?:is|:|=|-)?\s*(\d{3}[ -]?\d{2,3}(?:-\d{4})?)\b`), 1, func(m match) bool { return !unitFollows(m.text, m.end) }},
	{Place, regexp.MustCompile(`(?i)\bpost(?:al )?code\s*(?:is|:|=)?\s*([A-Z]{1,2}\d[A-Z\d]? ?\d[A-Z]{2})\b`), 1, nil},
	{Place, regexp.MustCompile(`[+-]?\d{1,2}\.\d{2,}°? ?[NS][,; ]+[+-]?\d{1,3}\.\d{2,}°? ?[EW]\b`), 0, nil},
	{Place, regexp.MustCompile(`[+-]?\d{1,2}\.\d{5,}[,; ]+[+-]?\d{1,3}\.\d{5,}`), 0, func(m match) bool { return !isWord(before(m.text, m.start)) }},
	{Place, regexp.MustCompile(`\d{1,3}° ?\d{1,2}['′] ?(?:\d{1,2}(?:\.\d+)?["″]?)? ?[NSEW]\b`), 0, nil},
	{Place, regexp.MustCompile(`(?i)\b(?:lat(?:itude)?|long?(?:itude)?)\s*[:=]?\s*([+-]?\d{1,3}\.\d{3,})`), 1, nil},
	// ISO 6709 as containers carry it.
	{Place, regexp.MustCompile(`[+-]\d{2,6}(?:\.\d+)?[+-]\d{3,7}(?:\.\d+)?(?:[+-]\d+(?:\.\d+)?)?(?:CRS[\w:]+)?/`), 0, nil},
}

// keepPlaceName keeps a name of which some word is not of the trade: Upper
// Tolmere counts, the Right Eye does not.
func keepPlaceName(m match) bool { return !allTrade(m.text[m.start:m.end]) }

func keepLabelledPlace(m match) bool {
	value := strings.TrimSpace(m.text[m.start:m.end])
	words := wordsIn(value)
	if len(words) == 0 || withheld.MatchString(value) {
		return false
	}
	for _, w := range words {
		word := value[w[0]:w[1]]
		if (capital(word) || isDigit(rune(word[0]))) && !isTrade(word) && countDigits(word) < len(word) {
			return true
		}
	}
	return false
}

// facility are the words that end the name of a place of care.
var facility = regexp.MustCompile(`\b(?:Hospitals?|HOSPITAL|Clinics?|CLINIC|Infirmary|Polyclinic|Netralaya|Nethralaya|Nursing Home|Medical Colleges?|Medical Cent(?:re|er)|Eye Institute|Eye Cent(?:re|er)|Eye Foundation|Eye Care|Eye Bank|Health Cent(?:re|er)|Dispensary|Institute|University|Trust|hospital|clinic|infirmary)\b`)

// beyond is what may follow: "Hospital of Springfield", "Hospital, Springfield".
var beyond = regexp.MustCompile(`^(?: of |, ?| at | in )` + capName)

// scanFacilities finds named hospitals: a word for a place of care beside a word
// with a capital that is neither of the trade nor generic ("District General
// Hospital" names none).
func scanFacilities(text string, add func(string, int, int)) {
	for _, loc := range facility.FindAllStringIndex(text, -1) {
		start, end := nameBefore(text, loc[0], capital(text[loc[0]:])), loc[1]
		if capital(text[loc[0]:]) {
			if b := beyond.FindStringSubmatchIndex(text[end:]); b != nil && !allTrade(text[end+b[2]:end+b[3]]) {
				if start < 0 && !strings.HasPrefix(text[end:], ",") {
					start = loc[0]
				}
				if start >= 0 {
					end += b[3]
				}
			}
		}
		if start >= 0 {
			add(Place, start, end)
		}
	}
}

const maxPlaceName = 120 // bytes

// nameBefore walks back from a facility word over words with capitals and the
// small words between them, and returns where the name begins, or -1. Before a
// lower-case facility word the name is the one or two words beside it, not at
// the start of a sentence.
func nameBefore(text string, at int, proper bool) int {
	text = text[:at]
	// No name of a place of care is longer; a cut rune is no letter.
	skipped := max(0, at-maxPlaceName)
	text, at = text[skipped:], at-skipped
	from := strings.LastIndexAny(text, ".;:!?\n\t(|,") + 1
	for from >= 2 && text[from-1] == '.' && abbreviated(text[:from-1]) { // St. Mary's, S. N. Hospital
		from = strings.LastIndexAny(text[:from-1], ".;:!?\n\t(|,") + 1
	}
	words := wordsIn(text[from:at])
	start := -1
	for i := len(words) - 1; i >= 0 && len(words)-i <= 6; i-- {
		word := text[from+words[i][0] : from+words[i][1]]
		small := word == "of" || word == "and" || word == "&" || word == "the"
		if !capital(word) && !small {
			if !proper && (word == "eye" || word == "general") {
				continue
			}
			break
		}
		named := !small && !isTrade(word) && len(word) > 1 && (proper || i > 0)
		if named || start >= 0 && saint(word) {
			start = skipped + from + words[i][0]
		}
		if !proper && len(words)-i >= 3 {
			break
		}
	}
	return start
}

// abbreviated reports whether s ends in a short title or an initial.
func abbreviated(s string) bool {
	i := strings.LastIndexAny(s, " .\n\t(") + 1
	w := s[i:]
	return len(w) == 1 || saint(w)
}

func saint(word string) bool {
	return word == "St" || word == "Mt" || word == "Dr" || word == "Sri" || word == "Shri"
}

func allTrade(name string) bool {
	for _, w := range wordsIn(name) {
		if !isTrade(name[w[0]:w[1]]) {
			return false
		}
	}
	return true
}
