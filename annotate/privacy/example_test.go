package privacy_test

import (
	"fmt"

	"sideport/annotate/privacy"
)

func Example() {
	note := "92-year-old, operated 2026-03-01.\nRhexis 6.2 mm, K 44.25, vision 6/18."
	hits := privacy.Scan(note, privacy.Options{})
	for _, h := range hits {
		fmt.Println(h.Class, h.Start, h.End)
	}
	fmt.Println(privacy.Redact(note, hits, privacy.Lines(note, 1)))
	// Output:
	// age-over-89 0 2
	// date 22 32
	// [age-over-89, line 1]-year-old, operated [date, line 1].
	// Rhexis 6.2 mm, K 44.25, vision 6/18.
}
