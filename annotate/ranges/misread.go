package ranges

import (
	"fmt"
	"math/big"
	"slices"

	"sideport/annotate/quantity"
	"sideport/timeline/source"
)

// misread is the finding for a value far outside that lies inside the accepted band
// when its unit or its decimal point is read otherwise: range/unit-unlikely or
// range/slip.
//
// A value written in a unit other than the row's is first tried in the row's; then
// the decimal point; then, for a pressure, the other units of pressure but for
// centimetres of water, which are so near that any value a little outside fits.
func misread(p Parameter, v verdict, q quantity.Quantity) (source.Finding, bool) {
	if v.worst != far || p.Kind == KindCount || p.Kind == KindSize { // whole numbers without a unit to slip
		return source.Finding{}, false
	}
	j := Judgement{Evidence: v.row.Evidence.Accept, SourceID: v.row.SourceID}
	j.Source = v.row.sourceText(j.Evidence)
	if q.Unit != v.row.Unit && slices.Contains([]string{"pressure", "time", "angle"}, quantity.Dimension(q.Unit)) {
		if insideAs(v.row, q, v.row.Unit) {
			return unitFinding(p, v, q, v.row.Unit, j), true
		}
	}
	if factor, tooLarge, ok := v.slip(); ok {
		how := map[int64]string{10: "a tenth of", 100: "a hundredth of", 1000: "a thousandth of"}[factor]
		if tooLarge {
			how = fmt.Sprintf("%d times", factor)
		}
		f := finding(v, source.Stop, "range/slip", fmt.Sprintf("%s is %s a value inside %s", subject(p, q, v.value), how, bandText(v.row.Accept)), j)
		f.Hint = "the decimal point and the unit of the entry"
		return f, true
	}
	if q.Unit == v.row.Unit && quantity.Dimension(q.Unit) == "pressure" {
		for _, other := range []quantity.Unit{quantity.KPa, quantity.MMHg, "inHg", "psi"} {
			if other != q.Unit && insideAs(v.row, q, other) {
				return unitFinding(p, v, q, other, j), true
			}
		}
	}
	return source.Finding{}, false
}

// insideAs reports whether the stated ends, read as numbers in another unit, lie
// inside the accepted band, which is closed.
func insideAs(r *Row, q quantity.Quantity, as quantity.Unit) bool {
	if r.Accept.Low == nil || r.Accept.High == nil {
		return false
	}
	q.Unit = as
	converted, err := q.In(r.Unit)
	if err != nil {
		return false
	}
	low, high := converted.Ends()
	return (low == nil || beyond(r.Accept, low) == 0) && (high == nil || beyond(r.Accept, high) == 0)
}

func unitFinding(p Parameter, v verdict, q quantity.Quantity, as quantity.Unit, j Judgement) source.Finding {
	f := finding(v, source.Stop, "range/unit-unlikely", fmt.Sprintf("%s %s; the same number in %s lies inside",
		subject(p, q, v.value), relation(v.ends, bandText(v.row.Accept), v.row.Unit), as), j)
	f.Hint = "the unit of the entry"
	return f
}

// doseTolerance is how far a dose may lie from concentration times volume.
//
// Source: planning default of the accepted ranges, 20 per cent (assumption).
var doseTolerance = big.NewRat(1, 5)

// JudgeDose compares a recorded dose with concentration times volume. It reports
// range/dose when they differ by more than a fifth, and nothing when one of the three
// cannot be converted or has no single value.
func JudgeDose(dose, concentration, volume quantity.Quantity) []source.Finding {
	d, err1 := dose.In(quantity.MG)
	c, err2 := concentration.In(quantity.MGPerML)
	v, err3 := volume.In(quantity.ML)
	if err1 != nil || err2 != nil || err3 != nil || !d.Single() || !c.Single() || !v.Single() {
		return nil
	}
	dr, _ := d.Ends()
	cr, _ := c.Ends()
	vr, _ := v.Ends()
	product := new(big.Rat).Mul(cr, vr)
	difference := new(big.Rat).Sub(dr, product)
	if difference.Abs(difference).Cmp(new(big.Rat).Mul(product, doseTolerance)) <= 0 {
		return nil
	}
	low := new(big.Rat).Mul(product, big.NewRat(4, 5))
	high := new(big.Rat).Mul(product, big.NewRat(6, 5))
	lowF, _ := low.Float64()
	highF, _ := high.Float64()
	dose.Over = nil
	return []source.Finding{{
		Severity: source.Stop, Rule: "range/dose",
		Message: fmt.Sprintf("dose %s is recorded, and %s times %s gives %s mg", dose, concentration, volume, quantity.FormatEnd(product, "", quantity.MG)),
		Value:   ptr(bounds(d)), Accepted: &source.Bounds{Low: &lowF, High: &highF, Unit: quantity.MG},
		Evidence: Derived, Source: "arithmetic: per cent is grams in 100 mL; a difference above 20 % is reported (assumption)",
		Hint: "the decimal point and the units of the three entries",
	}}
}
