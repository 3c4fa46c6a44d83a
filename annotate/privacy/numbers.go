package privacy

import (
	"regexp"
	"strings"
)

// link is what may stand between a label and its number; token is the number
// itself, letters and groups included.
const (
	link  = `\s*(?:is\b|was\b|:|=|#|-|–)?\s*`
	token = `([A-Za-z]{0,6}[-/ ]?\d[\dA-Za-z]*(?:[-/ ]\d[\dA-Za-z]*)*)`
	no    = `(?:no\b\.?|nos?\.|number|num\b\.?|nr\b\.?|id\b|#)`
)

func labelled(class, labels string, keep func(match) bool) pattern {
	return pattern{class, regexp.MustCompile(`(?i)\b(?:` + labels + `)` + link + token), 1, keep}
}

// digits keeps a labelled number of at least n digits that is no quantity.
func digits(n int) func(match) bool {
	return func(m match) bool {
		found := m.text[m.start:m.end]
		return countDigits(found) >= n && !sutureSize.MatchString(found) && !unitFollows(m.text, m.end)
	}
}

// sutureSize is 10-0 and its like, which "in this hospital no 10-0 nylon is
// used" puts behind what looks like a label.
var sutureSize = regexp.MustCompile(`^(?:\d{1,2}-0|\d{1,2}/0)\b`)

var recordPatterns = []pattern{
	{NationalID, regexp.MustCompile(`\d{3}-\d{2}-\d{4}`), 0, alone},
	labelled(NationalID, `ssn|social security(?: `+no+`)?|national (?:identity|id|insurance)(?: `+no+`)?|aadhaar(?: `+no+`)?|aadhar(?: `+no+`)?|pan `+no+`|voter id`, digits(4)),
	labelled(RecordNumber, `mrn|mrd(?: ?`+no+`)?|uhid|umrn|nhs(?: `+no+`)|(?:medical |health |hospital )record(?: ?`+no+`)?`, digits(3)),
	labelled(RecordNumber, `(?:hospital|hosp|i\.?p\.?d?\.?|o\.?p\.?d?\.?|c\.?r\.?|registration|regn?|chart|record|patient|pt|case sheet|admission|encounter|accession|ward|bed)\.? ?`+no, digits(3)),
	labelled(RecordNumber, `(?:case|file|visit|study|sample|specimen|biometry|theatre list|list)\.? ?`+no, digits(4)),
}

var ownerPatterns = []pattern{
	labelled(HealthPlan, `(?:policy|insurance|health ?plan|member|beneficiary|subscriber|scheme|claim)(?: card)? ?`+no, digits(4)),
	labelled(Account, `(?:account|a/c|acct|bank|invoice|bill|receipt|payment|iban)(?: ?`+no+`)?`, digits(4)),
	labelled(Licence, `(?:(?:driving |driver's |medical )?licen[cs]e|passport|certificate|council registration)(?: ?`+no+`)?`, digits(4)),
	labelled(Vehicle, `(?:vehicle|car|bike|number plate|registration plate|ambulance|bus)(?: ?`+no+`)?`, digits(3)),
}

// platePatterns are number plates in the groups two letters, two digits, two
// letters, four digits.
var platePatterns = []pattern{
	{Vehicle, regexp.MustCompile(`\b[A-Z]{2}[ -]?\d{2}[ -]?[A-Z]{2}[ -]?\d{4}\b`), 0, nil},
}

var devicePatterns = []pattern{
	{DeviceSerial, regexp.MustCompile(`(?i)\b(?:s/n|serial ?` + no + `|serial:|udi:?|imei|asset (?:no\.?|number|tag))` + link + `([A-Za-z0-9()][A-Za-z0-9()/-]{2,}\b)`), 1, digits(2)},
	{DeviceSerial, regexp.MustCompile(`\b(?:SN|S/N|Serial|serial)[ :#-]+([A-Za-z0-9][A-Za-z0-9-]{4,})`), 1, digits(3)},
	{DeviceSerial, regexp.MustCompile(`(?i)\b(?:lot|batch) ?(?:no\b\.?|number|#|code|:)` + link + `([A-Za-z0-9][A-Za-z0-9/-]{2,})`), 1, digits(2)},
	{DeviceSerial, regexp.MustCompile(`(?i)\b(?:lot|batch)\s+([A-Za-z]*\d[A-Za-z0-9/-]{3,})`), 1, digits(3)},
	{DeviceSerial, regexp.MustCompile(`\(01\)\d{14}(?:\(\d{2}\)[A-Za-z0-9-]+)*`), 0, nil}, // GS1 element string of a UDI
	{DeviceSerial, regexp.MustCompile(`(?i)\b[0-9a-f]{2}(?:[:-][0-9a-f]{2}){5}\b`), 0, nil},
}

const phoneNumber = `(\+?\(?\d[\d ().-]{4,18}\d)`

var calledPatterns = []pattern{
	{Fax, regexp.MustCompile(`(?i)\b(?:tele)?fax\b\.?(?: ` + no + `)?` + `(?:\s|:|=|is|at|-)*` + phoneNumber), 1, keepPhone},
	{Phone, regexp.MustCompile(`(?i)\b(?:tel(?:ephone)?|phone|ph|mobile|mob|contact|whatsapp|call|helpline|pager|emergency|cell(?: phone|:))\b\.?(?: ` + no + `)?` + `(?:\s|:|=|is|at|on|-)*` + phoneNumber), 1, keepPhone},
}

// phonePatterns are numbers whose form alone tells: international, three-three-
// four, five-five, and a trunk zero.
var phonePatterns = []pattern{
	{Phone, regexp.MustCompile(`\+\d{1,3}[ .-]?\(?\d{1,5}\)?(?:[ .-]?\d{2,5}){1,4}`), 0, keepLongPhone},
	{Phone, regexp.MustCompile(`(?:\([2-9]\d{2}\) ?|[2-9]\d{2}[.-])\d{3}[.-]\d{4}`), 0, keepLongPhone},
	{Phone, regexp.MustCompile(`[6-9]\d{4}[ -]?\d{5}`), 0, keepLongPhone},
	{Phone, regexp.MustCompile(`\(?0\d{2,4}\)?[ -]\d{3,4}[ -]?\d{3,4}`), 0, keepLongPhone},
}

func keepPhone(m match) bool {
	n := countDigits(m.text[m.start:m.end])
	// E.164 allows fifteen digits at most.
	return n >= 6 && n <= 15 && !unitFollows(m.text, m.end) && !isWord(after(m.text, m.end))
}

func keepLongPhone(m match) bool {
	if !keepPhone(m) || countDigits(m.text[m.start:m.end]) < 8 {
		return false
	}
	p, n := before(m.text, m.start), m.text[m.end:]
	if p == ' ' && isDigit(before(m.text, m.start-1)) {
		return false // digits in groups, 2 082 844 800
	}
	if isWord(p) || p == '.' || p == ':' || p == '/' || p == ',' && m.start > 1 && isDigit(before(m.text, m.start-1)) {
		return false
	}
	return !(len(n) > 1 && strings.ContainsRune(".,:/", rune(n[0])) && isDigit(rune(n[1])))
}

// numberPatterns find runs of six digits and more, with up to four letters before
// and two behind, that nothing marks as a quantity.
var numberPatterns = []pattern{
	{OtherNumber, regexp.MustCompile(`[A-Za-z]{0,4}\d{6,}[A-Za-z]{0,2}`), 0, keepLongNumber},
}

func keepLongNumber(m match) bool {
	p, n := before(m.text, m.start), after(m.text, m.end)
	if isWord(p) || isWord(n) {
		return false // a piece of something longer, such as a checksum
	}
	if strings.ContainsRune(".,:/", p) && m.start > 1 && isDigit(before(m.text, m.start-1)) {
		return false // 0.123456, 1:200000
	}
	if strings.ContainsRune(".,", n) && m.end+1 < len(m.text) && isDigit(after(m.text, m.end+1)) {
		return false
	}
	return !unitFollows(m.text, m.end) && !roundUnit.MatchString(m.text[m.start:m.end])
}

// roundUnit are a number glued to its unit, 200000IU, and a round number such as
// 2500000.
var roundUnit = regexp.MustCompile(`^(?:\d{6,}(?:IU|U|mm|ms|Hz|kB|MB|nm|µm|um|s)|[1-9]\d{0,2}0{4,})$`)
