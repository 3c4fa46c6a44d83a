package quantity

import (
	"math/big"
	"strconv"
	"strings"
)

// String is q in a form that Parse reads back as an equal quantity: "about 6.2–6.8
// mm", "≥ 6 mm", "43.00 D @ 180", "0.5 mg in 0.1 mL", "1:10,000", "10-0 nylon".
// Ends that no short decimal states are rounded to six digits.
func (q Quantity) String() string {
	if q.Kind == YesNo || q.Kind == Word {
		return q.Word
	}
	var b strings.Builder
	if q.Approximate {
		b.WriteString("about ")
	}
	b.WriteString(q.ends())
	switch {
	case q.Kind == Pair && q.Over != nil:
		b.WriteString("/" + q.Over.low1() + " " + q.Unit)
	case q.Kind == Ratio || q.Kind == Fraction || q.Unit == USP || q.Unit == "":
	default:
		b.WriteString(" " + UnitShown(q.Unit))
	}
	if q.Unit == USP && q.Word != "" {
		b.WriteString(" " + q.Word)
	}
	if q.Axis != nil {
		b.WriteString(" @ " + strconv.FormatFloat(*q.Axis, 'f', -1, 64))
	}
	if q.Over != nil && q.Kind != Pair {
		join := " in "
		if Dimension(q.Unit) == "volume" {
			join = " of "
		}
		b.WriteString(join + q.Over.String())
	}
	return b.String()
}

func (q Quantity) low1() string {
	low, _ := q.Ends()
	return FormatEnd(low, q.LowText, q.Unit)
}

func (q Quantity) ends() string {
	low, high := q.Ends()
	lowText, highText := FormatEnd(low, q.LowText, q.Unit), FormatEnd(high, q.HighText, q.Unit)
	switch {
	case low == nil && high == nil:
		return ""
	case low == nil && q.Strict:
		return "< " + highText
	case low == nil:
		return "≤ " + highText
	case high == nil && q.Strict:
		return "> " + lowText
	case high == nil:
		return "≥ " + lowText
	case low.Cmp(high) == 0:
		return lowText
	case q.Unit == RatioUnit: // 1:400,000 is the low proportion and is written first as it stands
		return lowText + " to " + highText
	case high.Sign() < 0 || q.Unit == USP:
		return lowText + " to " + highText
	}
	return lowText + "–" + highText
}

// FormatEnd prints one end in a unit, without the unit's name: its text when that
// still states it, the token of a size, 1:n of a ratio, else a trimmed decimal.
func FormatEnd(r *big.Rat, text string, u Unit) string {
	if r == nil {
		return ""
	}
	switch u {
	case USP:
		return r.RatString() + "-0"
	case RatioUnit:
		return ratioText(r)
	case Proportion:
		if strings.Contains(text, "/") {
			return r.Num().String() + "/" + r.Denom().String()
		}
	}
	if text != "" && !strings.ContainsAny(text, "/:") {
		if stated, ok := new(big.Rat).SetString(text); ok && stated.Cmp(r) == 0 {
			return text
		}
	}
	return decimalText(r)
}

func ratioText(r *big.Rat) string {
	if r.Sign() <= 0 {
		return decimalText(r)
	}
	n := new(big.Rat).Inv(r)
	text := decimalText(n)
	if n.IsInt() {
		text = n.Num().String()
		for i := len(text) - 3; i > 0; i -= 3 {
			text = text[:i] + "," + text[i:]
		}
	}
	return "1:" + text
}

// decimalText is r as a decimal without trailing zeros: exact when at most twelve
// decimals state it, else rounded to six significant digits.
func decimalText(r *big.Rat) string {
	if text, ok := shortDecimal(r); ok {
		return text
	}
	f, _ := r.Float64()
	text := strconv.FormatFloat(f, 'g', 6, 64)
	if strings.Contains(text, "e") {
		text = strconv.FormatFloat(f, 'f', -1, 64)
	}
	return trimZeros(text)
}

func shortDecimal(r *big.Rat) (string, bool) {
	if r.IsInt() {
		return r.Num().String(), true
	}
	digits, exact := r.FloatPrec()
	if !exact || digits > 12 {
		return "", false
	}
	return r.FloatString(digits), true
}

// UnitShown is the unit as it stands after a number: "mm", and "of thickness" for a
// plain fraction.
func UnitShown(u Unit) string {
	if u == Proportion {
		return "of thickness"
	}
	return u
}
