package privacy

import (
	"regexp"
	"strconv"
	"strings"
)

const (
	months    = `jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?`
	fullNames = `January|February|March|April|May|June|July|August|September|October|November|December`
	ordinals  = `first|second|third|fourth|fifth|sixth|seventh|eighth|ninth|tenth|eleventh|twelfth|thirteenth|fourteenth|fifteenth|sixteenth|seventeenth|eighteenth|nineteenth|twentieth|twenty[ -]first|twenty[ -]second|twenty[ -]third|twenty[ -]fourth|twenty[ -]fifth|twenty[ -]sixth|twenty[ -]seventh|twenty[ -]eighth|twenty[ -]ninth|thirtieth|thirty[ -]first`
	clockTail = `(?:[T_ ]+\d{1,2}[:.-]?\d{2}(?:[:.-]?\d{2}(?:[.,]\d+)?)?(?:Z|[+-]\d\d:?\d\d)?\b)?`
)

// datePatterns are the written forms of a date with more than its year.
// ISO 8601 and EXIF put the year first, RFC 3339 adds the time.
var datePatterns = []pattern{
	{Date, regexp.MustCompile(`((?:19|20)\d\d)([-/._:])(\d{1,2})([-/._:])(\d{1,2})` + clockTail), 0, keepYearFirst},
	{Date, regexp.MustCompile(`(?:19|20)\d\d-?W[0-5]\d(?:-?[1-7])?`), 0, alone},
	{Date, regexp.MustCompile(`(\d{1,2})([-/._])(\d{1,2})([-/._])((?:19|20)?\d\d)`), 0, keepYearLast},
	{Date, regexp.MustCompile(`(\d{8})` + clockTail), 0, keepCompact},
	{Date, regexp.MustCompile(`(\d{1,2})[/.-]((?:19|20)\d\d)`), 0, keepMonthYear},
}

// monthPatterns are dates with the name of a month.
var monthPatterns = []pattern{
	{Date, regexp.MustCompile(`(?i)(\d{1,2})(st|nd|rd|th)?( of)?[ \-./]{0,2}(?:the )?(` + months + `)\b(?:[ ,.\-/]{1,2}((?:19|20)\d\d)\b|[-/']'?(\d\d)\b)?`), 0, keepDayMonth},
	{Date, regexp.MustCompile(`(?i)\b(` + months + `)\.?[ \-](?:the )?(\d{1,2})(st|nd|rd|th)?\b(?:,?[ \-]+((?:19|20)\d\d)\b)?`), 0, keepMonthDay},
	{Date, regexp.MustCompile(`(?i)\b(` + months + `)(?:\.?,?[ \-/]+(?:of )?((?:19|20)\d\d)|[-' ]'(\d\d)|-(\d\d))\b`), 0, keepNamedMonthYear},
	{Date, regexp.MustCompile(`(?i)\b(?:` + ordinals + `)(?: day)?(?: of)? (` + months + `)\b`), 0, keepOrdinalMonth},
	{Date, regexp.MustCompile(`(?i)\b(` + months + `) (?:the )?(?:` + ordinals + `)\b`), 0, keepMonthOrdinal},
	{Date, regexp.MustCompile(`\b(?i:in|since|during|last|until|till|by|from|early|late|mid|of|after|on)[ -](?:` + fullNames + `)\b`), 0, nil},
}

// labelledDatePatterns are what counts as a date beside a label only: 3/4 after
// "date of surgery", a bare year after "born".
var labelledDatePatterns = []pattern{
	{Date, regexp.MustCompile(`(?i)\b(?:date(?: of [a-z]+)?|dated|d\.?o\.?[basd]\.?|admitted(?: on)?|discharged(?: on)?|died on|born(?: on)?)\s*(?:is|was|:|=|-)?\s*(\d{1,2}[-/.]\d{1,2}(?:[-/.]\d{2,4})?)`), 1, alone},
	{Date, regexp.MustCompile(`(?i)\b(?:born(?: in| around)?|birth[ -]?year|year[ -]of[ -]birth|y\.?o\.?b\.?|d\.?o\.?b\.?)\s*(?:is|was|:|=|-)?\s*((?:19|20)\d\d)`), 1, alone},
}

var yearPatterns = []pattern{
	{Date, regexp.MustCompile(`(?i)\b(?:in|since|during|year|until|till|early|late|mid)[ :-]+((?:199|20[0-4])\d)`), 1,
		func(m match) bool { return alone(m) && !unitFollows(m.text, m.end) }},
}

// clockPatterns are times of day. Three fields that begin below six hours may
// count from the start of a recording and are left.
var clockPatterns = []pattern{
	{WallClock, regexp.MustCompile(`(?i)(?:[01]?\d|2[0-3])(?:[:.][0-5]\d){0,2} ?(?:a\.m\.|p\.m\.|am\b|pm\b)`), 0,
		func(m match) bool { return !isWord(before(m.text, m.start)) && before(m.text, m.start) != '.' }},
	{WallClock, regexp.MustCompile(`(?:[01]?\d|2[0-3])[:.]?[0-5]\d(?:[:.][0-5]\d)? ?(?:hrs|IST|UTC|GMT)\b`), 0,
		func(m match) bool { return !isWord(before(m.text, m.start)) && before(m.text, m.start) != '.' }},
	{WallClock, regexp.MustCompile(`(?:0[6-9]|1\d|2[0-3]):[0-5]\d:[0-5]\d(?:[.,]\d+)?`), 0,
		func(m match) bool { return standsAlone(m.text, m.start, m.end) }},
}

func alone(m match) bool { return standsAlone(m.text, m.start, m.end) }

// apart is alone for forms that may stand between underscores or letters, as in
// file names, but not inside a longer number.
func apart(m match) bool {
	p, n := before(m.text, m.start), after(m.text, m.end)
	if isDigit(p) || isDigit(n) {
		return false
	}
	if (p == '.' || p == ',') && m.start > 1 && isDigit(before(m.text, m.start-1)) {
		return false
	}
	return !((n == '.' || n == ',') && m.end+1 < len(m.text) && isDigit(after(m.text, m.end+1)))
}

func number(s string) int {
	n, err := strconv.Atoi(s)
	if err != nil {
		return -1
	}
	return n
}

func isDay(s string) bool   { n := number(s); return n >= 1 && n <= 31 }
func isMonth(s string) bool { n := number(s); return n >= 1 && n <= 12 }

func keepYearFirst(m match) bool {
	return m.group(2) == m.group(4) && apart(m) && isMonth(m.group(3)) && isDay(m.group(5))
}

func keepYearLast(m match) bool {
	a, sep, b, year := m.group(1), m.group(2), m.group(3), m.group(5)
	if sep != m.group(4) || !standsAlone(m.text, m.start, m.end) {
		return false
	}
	if !(isDay(a) && isMonth(b) || isMonth(a) && isDay(b)) {
		return false
	}
	// 5-10-15 and 1.2.10 are lists and headings more often than dates.
	if len(year) == 2 && sep != "/" && (len(a) < 2 || len(b) < 2) {
		return false
	}
	return len(year) == 4 || !unitFollows(m.text, m.end)
}

func keepCompact(m match) bool {
	d := m.group(1)
	yearFirst := (d[:2] == "19" || d[:2] == "20") && isMonth(d[4:6]) && isDay(d[6:])
	yearLast := (d[4:6] == "19" || d[4:6] == "20") && (isDay(d[:2]) && isMonth(d[2:4]) || isMonth(d[:2]) && isDay(d[2:4]))
	return (yearFirst || yearLast) && apart(m) && !unitFollows(m.text, m.end)
}

func keepMonthYear(m match) bool {
	y := number(m.group(2))
	// 1/2000 is a dilution.
	return isMonth(m.group(1)) && y >= 1920 && y < 2100 && y%1000 != 0 && alone(m) && !strings.Contains(m.text[m.start:m.end], ".")
}

// monthly judges the name of a month by how it is written: may and march are
// verbs, and OCT and MAR are trade terms, so these count only beside a year, an
// ordinal or an "of".
func monthly(name string, certain bool) bool {
	if certain {
		return true
	}
	switch name {
	case "may", "march", "mar", "oct", "dec", "sep", "jan", "OCT", "MAR", "MAY":
		return false
	}
	return true
}

func keepDayMonth(m match) bool {
	if p := before(m.text, m.start); isWord(p) || p == '.' || p == ':' || p == '/' {
		return false
	}
	certain := m.group(3) != "" || m.group(5) != "" || m.group(6) != "" || m.group(2) != "" && !strings.EqualFold(m.group(4), "oct")
	if r := after(m.text, m.end); isDigit(r) {
		return false
	}
	return isDay(m.group(1)) && monthly(m.group(4), certain)
}

func keepMonthDay(m match) bool {
	rest := m.text[m.end:]
	if len(rest) > 1 && strings.ContainsRune(".:/,-", rune(rest[0])) && isDigit(rune(rest[1])) {
		return false
	}
	if !isDay(m.group(2)) || unitFollows(m.text, m.end) {
		return false
	}
	certain := m.group(3) != "" && !strings.EqualFold(m.group(1), "oct") || m.group(4) != ""
	return monthly(m.group(1), certain)
}

func keepNamedMonthYear(m match) bool {
	if unitFollows(m.text, m.end) {
		return false
	}
	// "may 2000" is a verb before a number; OCT 2024 and Mar '24 are dates.
	name := m.group(1)
	if name == strings.ToLower(name) && (name == "may" || name == "mar" || name == "march" || name == "oct") {
		return false
	}
	return m.group(4) == "" || name != strings.ToUpper(name)
}

func keepOrdinalMonth(m match) bool {
	of := strings.Contains(strings.ToLower(m.text[m.start:m.end]), " of ")
	return of && len(m.group(1)) >= 3 && !strings.EqualFold(m.group(1), "oct") || monthly(m.group(1), false) && len(m.group(1)) > 3
}

func keepMonthOrdinal(m match) bool {
	return monthly(m.group(1), false) && len(m.group(1)) > 3 || m.group(1) == "May"
}
