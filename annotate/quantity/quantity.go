package quantity

import (
	"math/big"
	"strings"
)

// Kind says how a value was written.
type Kind int

// The kinds. A Number may be a range; a Pair is two values of one unit such as
// 130/80 mmHg, the second in Over.
const (
	Number   Kind = iota
	Fraction      // 1/3; Unit is "fraction"
	Ratio         // 1:10,000; Unit is "ratio", the ends are proportions
	Size          // 10-0 or 23 G; Unit is "USP" or "G"
	Place         // 12 o'clock; Unit is "o'clock"
	Pair
	YesNo // Word is "yes" or "no"
	Word  // Word is the text in lower case with hyphens
)

var kindNames = [...]string{"number", "fraction", "ratio", "size", "place", "pair", "yes-no", "word"}

// String is the kind's name in lower case.
func (k Kind) String() string { return kindNames[k] }

// Quantity is one value as a clinician wrote it: a range whose ends may be equal,
// or one of them open (nil).
//
// Low and High are the nearest float64 to the exact ends, for display and JSON;
// comparisons go through Ends. The zero Quantity holds nothing.
type Quantity struct {
	Text              string // as written
	Kind              Kind
	Low, High         *float64
	LowText, HighText string // the ends with a decimal point, as many digits as written
	Unit              Unit   // canonical; "" when none was written
	Approximate       bool   // about, ~, ca.
	Strict            bool   // the one stated end was written with < or >
	Axis              *float64
	Over              *Quantity // the 0.1 mL of 0.5 mg in 0.1 mL, the 0.5 % of 0.1 mL of 0.5 %, the 80 of 130/80
	Word              string    // of kinds Word and YesNo; for a suture size its material

	low, high *big.Rat
}

// Of makes the single value or range in a unit that decimal texts such as "5.5"
// state; an empty text is an open end. It panics on a text that is no number, so it
// is for values a program knows.
func Of(low, high string, u Unit) Quantity {
	q := Quantity{Unit: u}
	if low != "" {
		q.setLow(ratio(low), low)
	}
	if high != "" {
		q.setHigh(ratio(high), high)
	}
	q.Text = q.String()
	return q
}

func (q *Quantity) setLow(r *big.Rat, text string) {
	f, _ := r.Float64()
	q.low, q.Low, q.LowText = r, &f, text
}

func (q *Quantity) setHigh(r *big.Rat, text string) {
	f, _ := r.Float64()
	q.high, q.High, q.HighText = r, &f, text
}

// Ends are the exact ends in the quantity's own unit; nil is open. The caller may
// change the numbers returned.
func (q Quantity) Ends() (low, high *big.Rat) { return exact(q.low, q.Low), exact(q.high, q.High) }

// exact prefers the fraction read from text and falls back to the float a caller
// has set by hand.
func exact(r *big.Rat, f *float64) *big.Rat {
	if f == nil {
		return nil
	}
	if r != nil {
		if near, _ := r.Float64(); near == *f {
			return new(big.Rat).Set(r)
		}
	}
	out := new(big.Rat)
	if out.SetFloat64(*f) == nil {
		return nil
	}
	return shortest(*f, out)
}

// Numeric reports whether the quantity has at least one end.
func (q Quantity) Numeric() bool { return q.Low != nil || q.High != nil }

// Single reports whether both ends are stated and equal.
func (q Quantity) Single() bool {
	low, high := q.Ends()
	return low != nil && high != nil && low.Cmp(high) == 0
}

// Yes reports whether a yes-or-no value is yes.
func (q Quantity) Yes() bool { return q.Kind == YesNo && q.Word == "yes" }

// Equal reports whether two quantities say the same in the same unit. The texts
// they were read from do not count.
func (q Quantity) Equal(o Quantity) bool {
	ql, qh := q.Ends()
	ol, oh := o.Ends()
	return q.Kind == o.Kind && q.Unit == o.Unit && q.Word == o.Word &&
		q.Approximate == o.Approximate && q.Strict == o.Strict &&
		sameRat(ql, ol) && sameRat(qh, oh) && sameFloat(q.Axis, o.Axis) &&
		(q.Over == nil) == (o.Over == nil) && (q.Over == nil || q.Over.Equal(*o.Over))
}

func sameRat(a, b *big.Rat) bool {
	return (a == nil) == (b == nil) && (a == nil || a.Cmp(b) == 0)
}

func sameFloat(a, b *float64) bool { return (a == nil) == (b == nil) && (a == nil || *a == *b) }

// hyphenated is text in lower case, words joined by single hyphens.
func hyphenated(text string) string {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == ' ' || r == '-' || r == '_' || r == '\t' || r == '\u00a0' })
	return strings.Join(words, "-")
}
