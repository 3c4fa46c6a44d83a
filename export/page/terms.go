package page

import (
	"strings"

	"sideport/timeline/source"
)

// spaced turns an id or a closed word into words for readers: mature-white into
// "mature white", and abbreviations of the trade into the form they have in print.
func (b *builder) spaced(id string) string {
	fields := strings.FieldsFunc(source.Printable(id), func(r rune) bool { return r == '-' || r == ' ' || r == '_' })
	for i, f := range fields {
		word, comma := strings.CutSuffix(f, ",")
		if printed, ok := b.printedAs(word); ok {
			word = printed
		}
		if comma {
			word += ","
		}
		fields[i] = strings.Replace(word, ".", ", ", 1)
	}
	return strings.Join(fields, " ")
}

// printedAs is how an abbreviation stands in print: in capitals where readers know
// it so, written out where they may not.
func (b *builder) printedAs(word string) (string, bool) {
	switch word {
	case "ac", "acm", "bss", "ccc", "copd", "hpmc", "iol", "ovd", "pc", "pmma", "poag", "pxf":
		return strings.ToUpper(word), true
	}
	if key := "term." + word; b.v.words.Has(key) {
		return b.v.say(key), true
	}
	return "", false
}

// printed joins the degree sign to its number, and a count has no unit for readers.
func printed(quantity string) string {
	return strings.TrimSuffix(strings.ReplaceAll(quantity, " °", "°"), " count")
}
