package format

import (
	"math/big"
	"strconv"
	"strings"

	"sideport/timeline/timecode"
)

// maxOTIOSeconds bounds every time of an edit: some thirty years.
const maxOTIOSeconds = 1e9

// number reads a number of the text exactly. Numbers of absurd size or length, and
// everything that is no number, give false.
func number(n *node) (*big.Rat, bool) {
	if n == nil || n.kind != 'n' || len(n.text) > 40 {
		return nil, false
	}
	near, err := strconv.ParseFloat(n.text, 64)
	if err != nil || near > 1e18 || near < -1e18 || near != 0 && near < 1e-18 && near > -1e-18 {
		return nil, false
	}
	if near == 0 {
		return new(big.Rat), true // whatever its exponent
	}
	return new(big.Rat).SetString(n.text)
}

// frameRate is a number of frames a second as it is meant: a label such as 29.97 or
// the number nearest to 30000/1001 that fits a floating-point number stands for that
// fraction.
func frameRate(n *node) (*big.Rat, bool) {
	rate, ok := number(n)
	if !ok || rate.Sign() <= 0 {
		return nil, false
	}
	if rate.IsInt() {
		return rate, true
	}
	text := n.text
	if r, err := timecode.ParseRate(text); err == nil {
		return big.NewRat(r.Num, r.Den), true
	}
	for _, label := range []string{"23.976", "29.97", "47.952", "59.94", "119.88"} {
		named, err := timecode.ParseRate(label)
		if err != nil {
			named = timecode.Rate{Num: 120000, Den: 1001} // timecode has no such rate, cameras do
		}
		exact := big.NewRat(named.Num, named.Den)
		if off := new(big.Rat).Sub(rate, exact); off.Abs(off).Cmp(big.NewRat(1, 1000)) < 0 {
			return exact, true
		}
	}
	return rate, true
}

// rationalTime reads a RationalTime as seconds.
func rationalTime(n *node) (*big.Rat, bool) {
	if name, _, _ := strings.Cut(n.key("OTIO_SCHEMA").words(), "."); name != "RationalTime" {
		return nil, false
	}
	value, ok := number(n.key("value"))
	rate, sound := frameRate(n.key("rate"))
	if !ok || !sound {
		return nil, false
	}
	value.Quo(value, rate)
	size := new(big.Rat).Abs(value)
	return value, size.Cmp(new(big.Rat).SetInt64(maxOTIOSeconds)) < 0
}

// timeRange is a stretch in seconds.
type timeRange struct{ start, length *big.Rat }

// rangeOf reads a TimeRange with a length that is not below 0.
func rangeOf(n *node) (timeRange, bool) {
	start, ok := rationalTime(n.key("start_time"))
	length, sound := rationalTime(n.key("duration"))
	return timeRange{start, length}, ok && sound && length.Sign() >= 0
}

func isNull(n *node) bool { return n == nil || n.kind == '0' }

func plus(a, b *big.Rat) *big.Rat  { return new(big.Rat).Add(a, b) }
func minus(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
func by(a, b *big.Rat) *big.Rat    { return new(big.Rat).Mul(a, b) }
func over(a, b *big.Rat) *big.Rat  { return new(big.Rat).Quo(a, b) }

func least(a, b *big.Rat) *big.Rat {
	if a.Cmp(b) <= 0 {
		return a
	}
	return b
}

func most(a, b *big.Rat) *big.Rat {
	if a.Cmp(b) >= 0 {
		return a
	}
	return b
}
