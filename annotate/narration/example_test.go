package narration_test

import (
	"fmt"

	"sideport/annotate/narration"
)

func ExampleValues() {
	text := "I usually stop at five millimetres. Here the rhexis is six and a half millimetres, vacuum 300 mmHg."
	for _, s := range narration.Values(text, narration.Options{Step: "capsulotomy"}) {
		fmt.Printf("%s: %s (%q, bytes %d to %d)\n", s.Parameter, s.Quantity, s.Quote, s.Start, s.End)
	}
	// Output:
	// rhexis-diameter: 6.5 mm ("six and a half millimetres", bytes 55 to 81)
	// vacuum: 300 mmHg ("300 mmHg", bytes 90 to 98)
}
