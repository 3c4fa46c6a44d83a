package agreement_test

import (
	"fmt"
	"time"

	"sideport/annotate/agreement"
)

// The surgeon's list and the scrub nurse's of the same three steps, invented: the
// nurse wrote the second down 2 s early and the third 1 s late.
func Example() {
	surgeon := row("rhexis", 10, "hydrodissection", 10, "delivery", 10)
	nurse := row("rhexis", 8, "hydrodissection", 13, "delivery", 9)

	c := agreement.Bins(surgeon, nurse, span(0, 30), time.Second)
	observed, _ := c.Observed()
	kappa, _ := c.Kappa()
	fmt.Printf("the same step in %.0f %% of the seconds, kappa %.2f\n", 100*observed, kappa)

	for _, least := range []int{50, 90} {
		f1, _ := agreement.F1(surgeon, nurse, least).F1()
		fmt.Printf("steps found with at least %d %% in common: F1 %.1f\n", least, f1)
	}
	mean, _ := agreement.Boundaries(surgeon, nurse).Mean()
	fmt.Printf("order %.0f of 100; changes %v apart on average\n", agreement.Edit(surgeon, nurse), mean)
	// Output:
	// the same step in 90 % of the seconds, kappa 0.85
	// steps found with at least 50 % in common: F1 100.0
	// steps found with at least 90 % in common: F1 33.3
	// order 100 of 100; changes 1.5s apart on average
}
