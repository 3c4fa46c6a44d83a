package ranges

import (
	"fmt"
	"math/big"
	"slices"

	"sideport/annotate/quantity"
	"sideport/timeline/source"
)

// impossible is the finding for a number that its dimension cannot have, whatever
// the technique: a length, volume, time, mass, flow or pressure below 0. Differences
// and other signed measures are not asked.
func impossible(p Parameter, q quantity.Quantity) (source.Finding, bool) {
	dimension := quantity.Dimension(q.Unit)
	if !slices.Contains([]string{"length", "volume", "time", "mass", "flow", "pressure"}, dimension) {
		return source.Finding{}, false
	}
	low, high := q.Ends()
	for _, end := range []*big.Rat{low, high} {
		if end == nil || end.Sign() >= 0 || p.Signed {
			continue
		}
		return source.Finding{
			Severity: source.Stop, Rule: "range/" + p.ID,
			Message: fmt.Sprintf("%s is below 0, which no %s is", subject(p, q, q), dimension),
			Value:   ptr(bounds(q)), Evidence: Derived, Source: "arithmetic: what a " + dimension + " can be",
			Hint: "the sign and the digits of the entry",
		}, true
	}
	return source.Finding{}, false
}
