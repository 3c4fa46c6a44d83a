package quantity

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
)

// In converts q exactly to another unit of its dimension. Per cent, ratios and
// fractions convert to and from concentrations as grams in 100 mL (weight in
// volume); everything else across dimensions is an error. A quantity without a unit
// cannot be converted. Over and Axis stay as they are.
func (q Quantity) In(to Unit) (Quantity, error) {
	if q.Unit == to {
		return q, nil
	}
	out := q
	out.Low, out.High, out.low, out.high, out.LowText, out.HighText = nil, nil, nil, nil, "", ""
	low, high := q.Ends()
	if low != nil {
		r, err := convert(low, q.Unit, to)
		if err != nil {
			return q, err
		}
		out.setLow(r, decimalText(r))
	}
	if high != nil {
		r, err := convert(high, q.Unit, to)
		if err != nil {
			return q, err
		}
		out.setHigh(r, decimalText(r))
	}
	out.Unit = to
	out.Kind = Number
	if to == RatioUnit {
		out.Kind = Ratio
	}
	if q.Kind == Pair {
		out.Kind = Pair
	}
	return out, nil
}

// Compatible reports whether a value in one unit can be converted to the other.
func Compatible(from, to Unit) bool {
	a, ok := unitNamed(from)
	b, ok2 := unitNamed(to)
	return ok && ok2 && (a.dimension == b.dimension || crosses(a.dimension, b.dimension))
}

// crosses allows proportion and concentration: 1 g/mL is the proportion 1, the
// weight-in-volume convention of per cent and 1:n on labels.
func crosses(a, b string) bool {
	return a == "proportion" && b == "concentration" || a == "concentration" && b == "proportion"
}

func convert(r *big.Rat, from, to Unit) (*big.Rat, error) {
	if from == to {
		return r, nil
	}
	if from == "" {
		return nil, fmt.Errorf("a value without a unit has no measure in %s", to)
	}
	a, ok := unitNamed(from)
	if !ok {
		return nil, fmt.Errorf("unknown unit %q", from)
	}
	b, ok := unitNamed(to)
	if !ok {
		return nil, fmt.Errorf("unknown unit %q", to)
	}
	if a.dimension != b.dimension && !crosses(a.dimension, b.dimension) {
		return nil, fmt.Errorf("%s is a unit of %s and %s one of %s", from, a.dimension, to, b.dimension)
	}
	out := new(big.Rat).Mul(r, a.factor)
	return out.Quo(out, b.factor), nil
}

// shortest is the fraction of the shortest decimal that reads back as f, which is
// what a person who set f meant.
func shortest(f float64, fallback *big.Rat) *big.Rat {
	if math.Abs(f) > 1e18 || f != 0 && math.Abs(f) < 1e-18 {
		return fallback
	}
	return ratio(strconv.FormatFloat(f, 'f', -1, 64))
}
