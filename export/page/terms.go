package page

import "strings"

// spaced turns an id or a closed word into words for readers: mature-white into
// "mature white", and abbreviations of the trade into the form they have in print.
func spaced(id string) string {
	fields := strings.FieldsFunc(id, func(r rune) bool { return r == '-' || r == ' ' || r == '_' })
	for i, f := range fields {
		word, comma := strings.CutSuffix(f, ",")
		if printed, ok := printedAs(word); ok {
			word = printed
		}
		if comma {
			word += ","
		}
		fields[i] = strings.Replace(word, ".", ", ", 1)
	}
	return strings.Join(fields, " ")
}

// printedAs is how an abbreviation stands in print.
func printedAs(word string) (string, bool) {
	switch word {
	case "ac", "acm", "bss", "ccc", "copd", "hpmc", "iol", "ovd", "pc", "pmma", "poag", "pxf":
		return strings.ToUpper(word), true
	case "ihd":
		return "ischaemic heart disease", true
	case "psc":
		return "posterior subcapsular", true
	case "ns":
		return "nuclear", true
	}
	return "", false
}

// printed joins the degree sign to its number, and a count has no unit for readers.
func printed(quantity string) string {
	return strings.TrimSuffix(strings.ReplaceAll(quantity, " °", "°"), " count")
}
