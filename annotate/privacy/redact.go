package privacy

import (
	"fmt"
	"strings"
)

// Redact returns text with each hit replaced by its class and where it stands,
// "[date, line 3]"; place gives the words for an offset and may be nil or return
// nothing, which leaves "[date]". hits are as Scan returns them for text.
func Redact(text string, hits []Hit, place func(offset int) string) string {
	var b strings.Builder
	at := 0
	for _, h := range hits {
		b.WriteString(text[at:h.Start])
		where := ""
		if place != nil {
			where = place(h.Start)
		}
		if where != "" {
			where = ", " + where
		}
		fmt.Fprintf(&b, "[%s%s]", h.Class, where)
		at = h.End
	}
	return b.String() + text[at:]
}

// Lines returns a place function for Redact that counts the lines of text, from
// first.
func Lines(text string, first int) func(offset int) string {
	return func(offset int) string {
		return fmt.Sprintf("line %d", first+strings.Count(text[:offset], "\n"))
	}
}

// Words returns the matched words themselves, each once, in order of
// appearance, for use as Options.PrivateWords on other text of the same case: a
// name found beside its label here is then found without one there. They are as
// private as what was scanned and belong in no output. A word of fewer than three
// letters or digits is left out, and of a name each part counts alone.
func Words(text string, hits []Hit) []string {
	var out []string
	seen := map[string]bool{}
	add := func(w string) {
		if key := strings.ToLower(w); len([]rune(w)) >= 3 && !seen[key] {
			seen[key] = true
			out = append(out, w)
		}
	}
	for _, h := range hits {
		found := strings.TrimSpace(text[h.Start:h.End])
		add(found)
		if h.Class != Name {
			continue
		}
		for _, w := range wordsIn(found) {
			if word := found[w[0]:w[1]]; !isTrade(word) {
				add(word)
			}
		}
	}
	return out
}
