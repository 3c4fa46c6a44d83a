package ranges

import (
	"math/big"

	"sideport/annotate/quantity"
)

// level is where an end of a value lies.
type level int

const (
	inside level = iota
	outside
	far
)

// end is one stated end of a value against a row: its level, and the side it lies on
// when it is not inside (-1 below, 1 above).
type end struct {
	value *big.Rat
	text  string // as printed, without unit
	level level
	side  int
}

// verdict is a value against one row, in the row's unit.
type verdict struct {
	row   *Row
	value quantity.Quantity
	ends  []end // the stated ends; one when they are equal
	worst level
}

// judgeRow converts q to the row's unit and places its ends. The value is known to
// be compatible.
func judgeRow(r *Row, q quantity.Quantity, facts Facts) verdict {
	v := verdict{row: r.raised(facts), value: q}
	if q.Unit != r.Unit {
		if converted, err := q.In(r.Unit); err == nil {
			v.value = converted
		}
	}
	low, high := v.value.Ends()
	add := func(x *big.Rat, text string) {
		e := end{value: x, text: quantity.FormatEnd(x, text, r.Unit)}
		e.level, e.side = v.row.place(x)
		v.ends = append(v.ends, e)
		v.worst = max(v.worst, e.level)
	}
	if low != nil {
		add(low, v.value.LowText)
	}
	if high != nil && (low == nil || low.Cmp(high) != 0) {
		add(high, v.value.HighText)
	}
	return v
}

// raised is the row with the low end of its accepted band raised to the number of
// the fact named in AtLeast, when that is known and higher.
func (r *Row) raised(facts Facts) *Row {
	if r.AtLeast == "" {
		return r
	}
	values, _ := facts.lookup(r.AtLeast)
	if len(values) != 1 {
		return r
	}
	fact, ok := number(values[0])
	low, _ := r.Accept.Ends()
	if !ok || low == nil || fact.Cmp(low) <= 0 {
		return r
	}
	out := *r
	high := ""
	if _, h := r.Accept.Ends(); h != nil {
		high = quantity.FormatEnd(h, r.Accept.HighText, r.Unit)
	}
	out.Accept = quantity.Of(values[0], high, r.Unit)
	return &out
}

// place is the level of a number and its side.
func (r *Row) place(x *big.Rat) (level, int) {
	side := beyond(r.Accept, x)
	if r.Hard.Numeric() {
		if hard := beyond(r.Hard, x); hard != 0 {
			return far, hard
		}
	}
	if side != 0 {
		return outside, side
	}
	return inside, 0
}

// beyond is -1 below a band, 1 above it and 0 inside.
func beyond(b Band, x *big.Rat) int {
	low, high := b.Ends()
	if low != nil {
		if c := x.Cmp(low); c < 0 || c == 0 && b.Strict && high == nil {
			return -1
		}
	}
	if high != nil {
		if c := x.Cmp(high); c > 0 || c == 0 && b.Strict && low == nil {
			return 1
		}
	}
	return 0
}

// result is the word for a verdict: partly when one end is inside and none is far.
func (v verdict) result() Result {
	switch {
	case v.worst == inside:
		return Within
	case v.worst == far:
		return FarOutside
	case len(v.ends) == 2 && v.ends[0].level != v.ends[1].level:
		return Partly
	}
	return Outside
}

// slipFactors are tried in this order: decimal places, then milli and micro.
var slipFactors = []int64{10, 100, 1000}

// slip is the factor by which the far ends of a value miss the accepted band, with
// the direction; false when none of 10, 100, 1000 brings them in. Only a band with
// both ends above 0 can say so: into another, some power of ten brings any number.
func (v verdict) slip() (factor int64, tooLarge, ok bool) {
	low, high := v.row.Accept.Ends()
	if v.worst != far || low == nil || high == nil || low.Sign() <= 0 {
		return 0, false, false
	}
	for _, f := range slipFactors {
		for _, large := range []bool{true, false} {
			if v.scaled(f, large) {
				return f, large, true
			}
		}
	}
	return 0, false, false
}

// scaled reports whether every end that is not inside comes inside when it is
// divided (large) or multiplied by the factor.
func (v verdict) scaled(factor int64, large bool) bool {
	for _, e := range v.ends {
		if e.level == inside {
			continue
		}
		by := big.NewRat(factor, 1)
		if large {
			by.Inv(by)
		}
		if e.value.Sign() == 0 || beyond(v.row.Accept, by.Mul(by, e.value)) != 0 {
			return false
		}
	}
	return true
}
