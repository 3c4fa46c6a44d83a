package quantity

import (
	"errors"
	"fmt"
	"math/big"
	"strings"
	"unicode"
	"unicode/utf8"
)

// quantity reads
//
//	[about] [bound] value [unit] [range value [unit]] [about] [@ axis] [in value unit]
//
// and leaves p.i after what it used.
func (p *parser) quantity() (Quantity, error) {
	pre := p.prefix()
	first, err := p.value()
	if err != nil {
		return Quantity{}, err
	}
	firstUnit := p.unit()
	second, secondUnit, isRange, err := p.rangeEnd(pre.between)
	if err != nil {
		return Quantity{}, err
	}
	if pre.between && !isRange {
		return Quantity{}, errors.New("between and from name two ends, one is written")
	}
	if isRange && pre.bound != 0 {
		return Quantity{}, errors.New("a range and a bound such as ≥ are written together")
	}
	if firstUnit == "" && isRange {
		firstUnit = secondUnit
	}
	if secondUnit == "" {
		secondUnit = firstUnit
	}
	q, err := p.build(pre, first, second, firstUnit, secondUnit, isRange)
	if err != nil {
		return Quantity{}, err
	}
	return q, p.tail(&q)
}

// unit reads a unit after optional spaces or one hyphen (2.8-mm).
func (p *parser) unit() Unit {
	back := p.i
	p.spaces()
	if p.i == back && p.i < len(p.s) && p.s[p.i] == '-' {
		p.i++
	}
	if u, n := leadingUnit(p.s[p.i:]); u != nil {
		if p.assumed == Gauge && u.name == "g" {
			u, _ = unitNamed(Gauge)
		}
		if !p.loose || !weak(u.name, p.s[p.i:p.i+n]) {
			p.i += n
			return u.name
		}
	}
	p.i = back
	return ""
}

// weak spellings are read where a value stands alone and not in running text, in
// which they are too often something else.
func weak(name Unit, written string) bool {
	switch name {
	case Dioptre:
		return written == "d" || written == "ds"
	case "h", "L", Second:
		return written != strings.ToLower(written)
	case CountUnit, Proportion, "bar":
		return true
	}
	return false
}

// rangeEnd reads a separator and the second end. A separator that no number follows
// is left unread.
func (p *parser) rangeEnd(between bool) (value, Unit, bool, error) {
	back := p.i
	p.spaces()
	seps := []string{"...", "…", "..", "–", "—", "-", "to", "through", "until"}
	if between {
		seps = append(seps, "and")
	}
	if p.accept("±", "+/-", "+-") != "" {
		return value{}, "", false, errors.New("plus-minus does not state two ends; both ends are written out, or the value alone")
	}
	if p.accept(seps...) == "" {
		p.i = back
		return value{}, "", false, nil
	}
	p.accept(aboutWords...)
	v, err := p.value()
	if err != nil {
		p.i = back
		if errStart := strings.TrimSpace(p.s[back:]); !p.loose && startsNumber(errStart) {
			return value{}, "", false, err
		}
		return value{}, "", false, nil
	}
	return v, p.unit(), true, nil
}

// startsNumber reports whether a digit follows the separator text begins with.
func startsNumber(text string) bool {
	text = strings.TrimLeft(text, "-–—.… ")
	r, _ := utf8.DecodeRuneInString(text)
	return unicode.IsDigit(r)
}

// build settles units and kinds and puts the ends in order.
func (p *parser) build(pre prefix, first, second value, u1, u2 Unit, isRange bool) (Quantity, error) {
	if !isRange {
		second = first
	}
	kind, u1, err := p.kindOf(first, u1)
	if err != nil {
		return Quantity{}, err
	}
	kind2, u2, err := p.kindOf(second, u2)
	if err != nil {
		return Quantity{}, err
	}
	if isRange && kind != kind2 {
		return Quantity{}, fmt.Errorf("the ends do not match: one is a %s, the other a %s", kind, kind2)
	}
	if isRange && kind == Pair {
		return Quantity{}, errors.New("two pairs make no range")
	}
	if kind == Pair {
		return p.pair(first, u1)
	}
	q := Quantity{Kind: kind, Unit: u2, Approximate: pre.about}
	if first.number, err = first.settle(u1); err != nil {
		return Quantity{}, err
	}
	if second.number, err = second.settle(u2); err != nil {
		return Quantity{}, err
	}
	low, lowText := first.rat(), first.shown()
	if u1 != u2 {
		if low, err = convert(low, u1, u2); err != nil {
			return Quantity{}, fmt.Errorf("the ends are in units that do not match: %w", err)
		}
		lowText = decimalText(low)
	}
	high, highText := second.rat(), second.shown()
	if low.Cmp(high) > 0 {
		if kind != Ratio {
			return Quantity{}, fmt.Errorf("the range runs from high to low (%s to %s)", first.shown(), second.shown())
		}
		low, high, lowText, highText = high, low, highText, lowText
	}
	if pre.bound != '<' && pre.bound != 'l' {
		q.setLow(low, lowText)
	}
	if pre.bound != '>' && pre.bound != 'g' {
		q.setHigh(high, highText)
	}
	q.Strict = pre.bound == '<' || pre.bound == '>'
	return q, nil
}

// kindOf is the kind of a value with its unit, and the unit to keep.
func (p *parser) kindOf(v value, u Unit) (Kind, Unit, error) {
	if u == "" && v.kind == Number {
		u = p.assumed
	}
	switch v.kind {
	case Ratio:
		if u != "" && u != RatioUnit {
			return 0, "", fmt.Errorf("a ratio 1:n takes no unit, found %q", u)
		}
		return Ratio, RatioUnit, nil
	case Size:
		return Size, USP, nil
	case Fraction:
		switch {
		case u == "" && Dimension(p.assumed) == "pressure":
			return Pair, p.assumed, nil
		case u == "" || u == Proportion:
			return Fraction, Proportion, nil
		case Dimension(u) == "pressure":
			return Pair, u, nil
		case u == Gauge || u == Clock || u == Cells || u == CountUnit:
			return 0, "", fmt.Errorf("%s takes a whole number, found %q", u, v.text)
		}
		return Number, u, nil
	}
	switch u {
	case Gauge, USP:
		if v.negative || !v.number.value.IsInt() {
			if u != USP || v.text != strings.TrimSuffix(v.text, ".0")+".0" {
				return 0, "", fmt.Errorf("a size is a whole number, found %q", v.written)
			}
		}
		return Size, u, nil
	case Clock:
		if h := v.number.value; v.negative || h.Cmp(ratio("1/2")) < 0 || h.Cmp(ratio("12")) > 0 {
			return 0, "", fmt.Errorf("a clock face has the hours 1 to 12, found %s", v.shown())
		}
		return Place, u, nil
	}
	return Number, u, nil
}

func (p *parser) pair(v value, u Unit) (Quantity, error) {
	q := Quantity{Kind: Pair, Unit: u}
	q.setLow(v.top, v.top.RatString())
	q.setHigh(v.top, v.top.RatString())
	over := Quantity{Unit: u}
	over.setLow(v.low, v.low.RatString())
	over.setHigh(v.low, v.low.RatString())
	over.Text = over.String()
	q.Over = &over
	return q, nil
}

// tail reads what may follow a value: about, an axis, a second quantity, a thread.
func (p *parser) tail(q *Quantity) error {
	back := p.i
	p.spaces()
	if p.accept("approximately", "approx.", "approx", "(approx.)", "(approx)", "or so") != "" {
		q.Approximate = true
		back = p.i
	}
	if q.Unit == Dioptre || q.Unit == "" {
		if done, err := p.axis(q); done || err != nil {
			return err
		}
	}
	if q.Unit == USP {
		if q.Word = p.material(); q.Word != "" {
			back = p.i
		}
	}
	if done, err := p.over(q); done || err != nil {
		return err
	}
	p.i = back
	if !p.loose {
		p.spaces()
	} else {
		p.i = len(strings.TrimRightFunc(p.s[:p.i], unicode.IsSpace))
	}
	return nil
}

func (p *parser) axis(q *Quantity) (bool, error) {
	back := p.i
	if p.accept("@", "axis", "at", "×", "x") == "" {
		return false, nil
	}
	n, err := scanNumber(p.s[p.i:], false)
	if err != nil {
		p.i = back
		return false, nil //nolint:nilerr // what follows is read as something else
	}
	p.i += n.size
	if u := p.unit(); u != "" && u != Degree {
		p.i = back
		return false, nil
	}
	deg, _ := n.value.Float64()
	if deg > 180 {
		return false, fmt.Errorf("the axis %s is above 180 degrees", n.text)
	}
	if deg == 0 {
		deg = 180
	}
	q.Axis = &deg
	return true, nil
}

// over reads the second half of "0.5 mg / 0.1 mL" and "0.1 mL of 0.5 %".
func (p *parser) over(q *Quantity) (bool, error) {
	back := p.i
	join := p.accept("/", "in", "per", "of")
	if join == "" {
		return false, nil
	}
	inner := parser{s: p.s, i: p.i, loose: p.loose}
	v, err := inner.value()
	if err != nil {
		p.i = back
		return false, nil //nolint:nilerr // what follows is read as something else
	}
	u := inner.unit()
	if q.Unit == "" && q.LowText == "1" && q.Single() && join == "in" && u == "" { // "1 in 10,000"
		return p.oneIn(q, v, inner.i)
	}
	second, err := inner.build(prefix{}, v, v, u, u, false)
	if err != nil {
		p.i = back
		return false, nil //nolint:nilerr // what follows is read as something else
	}
	massInVolume := Dimension(q.Unit) == "mass" && Dimension(second.Unit) == "volume" && join != "of"
	volumeOf := Dimension(q.Unit) == "volume" && join == "of" && (Dimension(second.Unit) == "proportion" || Dimension(second.Unit) == "concentration")
	if !massInVolume && !volumeOf {
		p.i = back
		return false, nil
	}
	second.Text = second.String()
	q.Over, p.i = &second, inner.i
	return true, nil
}

func (p *parser) oneIn(q *Quantity, v value, end int) (bool, error) {
	n, err := v.settle(RatioUnit)
	if err != nil {
		return false, err
	}
	if n.value.Sign() <= 0 {
		return false, errors.New("a ratio 1 in n has n above 0")
	}
	r := new(big.Rat).Inv(n.value)
	q.Kind, q.Unit = Ratio, RatioUnit
	q.setLow(r, "1:"+n.text)
	q.setHigh(r, "1:"+n.text)
	p.i = end
	return true, nil
}
