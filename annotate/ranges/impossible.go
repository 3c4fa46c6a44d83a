package ranges

import (
	"fmt"
	"math/big"
	"slices"

	"sideport/annotate/quantity"
	"sideport/timeline/source"
)

// impossible is the finding for a number that its dimension cannot have, whatever
// the technique: a length of 0 or less, or a volume, time, mass, flow or pressure
// below 0. Refraction and other signed measures are not asked.
func impossible(p Parameter, q quantity.Quantity) (source.Finding, bool) {
	dimension := quantity.Dimension(q.Unit)
	if !slices.Contains([]string{"length", "volume", "time", "mass", "flow", "pressure"}, dimension) {
		return source.Finding{}, false
	}
	low, high := q.Ends()
	for _, end := range []*big.Rat{low, high} {
		if end == nil || end.Sign() > 0 || end.Sign() == 0 && dimension != "length" {
			continue
		}
		bound := "below 0"
		if dimension == "length" {
			bound = "not above 0"
		}
		return source.Finding{
			Severity: source.Stop, Rule: "range/" + p.ID,
			Message: fmt.Sprintf("%s is %s, which no %s is", subject(p, q, q), bound, dimension),
			Value:   ptr(bounds(q)), Evidence: Derived, Source: "arithmetic: what a " + dimension + " can be",
			Hint: "the sign and the digits of the entry",
		}, true
	}
	return source.Finding{}, false
}
