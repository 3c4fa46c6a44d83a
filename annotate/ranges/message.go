package ranges

import (
	"fmt"
	"strings"

	"sideport/annotate/quantity"
	"sideport/timeline/source"
)

// subject is the parameter and its value: "rhexis diameter about 5.2 mm", with the
// converted value behind a value in another unit.
func subject(p Parameter, q, converted quantity.Quantity) string {
	text := p.Label + " " + shown(q)
	if q.Unit == "" || q.Unit == converted.Unit {
		return text
	}
	converted.Axis, converted.Over, converted.Approximate = nil, nil, false
	return text + " (" + converted.String() + ")"
}

// shown is a quantity in a message: a count without the word count.
func shown(q quantity.Quantity) string {
	if q.Unit == quantity.CountUnit {
		q.Unit = ""
	}
	return q.String()
}

// bandText is a band in a message: "5.5–7.5 mm", or its one end, "6.0 mm".
func bandText(b Band) string {
	if b.Low != nil && b.High != nil {
		return shown(b)
	}
	return strings.TrimLeft(shown(b), "≥≤<> ")
}

// relation is "below", or "far above"; a size is thicker or thinner, for its number
// falls as the thread or needle grows.
func (e end) relation(u quantity.Unit) string {
	words := [2]string{"below", "above"}
	if u == quantity.Gauge || u == quantity.USP {
		words = [2]string{"thicker than", "thinner than"}
	}
	word := words[(e.side+1)/2]
	if e.level == far {
		return "far " + word
	}
	return word
}

// relation says how the ends of a value lie to a band.
func relation(ends []end, band string, unit quantity.Unit) string {
	first := ends[0]
	if len(ends) == 1 || ends[0].level == ends[1].level && ends[0].side == ends[1].side {
		return "is " + first.relation(unit) + " " + band
	}
	second := ends[1]
	if unit == quantity.CountUnit {
		unit = ""
	}
	shown := func(e end) string { return strings.TrimSpace(e.text + " " + quantity.UnitShown(unit)) }
	switch {
	case second.level == inside:
		return fmt.Sprintf("is partly outside %s: %s is %s", band, shown(first), first.relation(unit))
	case first.level == inside:
		return fmt.Sprintf("is partly outside %s: %s is %s", band, shown(second), second.relation(unit))
	case first.side == second.side:
		worse := first
		if second.level > first.level {
			worse = second
		}
		base := end{level: outside, side: first.side}
		return fmt.Sprintf("is %s %s, %s %s", base.relation(unit), band, shown(worse), worse.relation(unit))
	}
	return "reaches beyond both ends of " + band
}

// outsideFinding is the finding for a value that is not inside its row.
func outsideFinding(p Parameter, v verdict, q quantity.Quantity, j Judgement, missing []string) source.Finding {
	r, band := v.row, v.row.Accept
	isFar := v.worst == far
	if isFar && (r.Physical || !band.Numeric()) {
		band = r.Hard
	}
	ends := v.ends
	if r.Physical && isFar {
		ends = []end{{level: outside, side: farSide(v.ends)}}
	}
	message := subject(p, q, v.value) + " " + relation(ends, bandText(band), r.Unit)
	severity := r.severity(isFar)
	switch {
	case r.Physical && isFar && r.Says != "":
		message += ", " + r.Says
	case r.Also && r.For != "":
		message += " (" + r.For + ")"
	}
	if r.Local != "" {
		message += ", the range of " + r.Local
	}
	if len(missing) > 0 {
		message += ", a range that holds only for " + r.condition() + "; not recorded: " + names(missing)
		severity = source.Note
	}
	f := finding(v, severity, "range/"+p.ID, message, j)
	f.Accepted = ptr(bounds(band))
	f.Hint = hint(isFar, r)
	return f
}

func farSide(ends []end) int {
	for _, e := range ends {
		if e.level == far {
			return e.side
		}
	}
	return 0
}

// condition is what a row is for, in words.
func (r *Row) condition() string {
	if r.For != "" {
		return r.For
	}
	parts := make([]string, len(r.Conditions))
	for i, c := range r.Conditions {
		parts[i] = c.String()
	}
	return strings.Join(parts, " and ")
}

func names(keys []string) string {
	out := make([]string, len(keys))
	for i, k := range keys {
		out[i] = factName(k)
	}
	return strings.Join(out, ", ")
}

func hint(isFar bool, r *Row) string {
	first := ""
	if isFar {
		first = "the entry first: decimal point, unit, technique"
	}
	if r.Why == "" {
		return first
	}
	if first != "" {
		return first + "; behind the range: " + r.Why
	}
	return "behind the range: " + r.Why
}

func finding(v verdict, severity source.Severity, rule, message string, j Judgement) source.Finding {
	return source.Finding{
		Severity: severity, Rule: rule, Message: message,
		Value: ptr(bounds(v.value)), Accepted: ptr(bounds(v.row.Accept)),
		Evidence: j.Evidence, Source: j.Source, SourceID: j.SourceID,
	}
}

func ptr[T any](v T) *T { return &v }

func unitMissing(p Parameter, q quantity.Quantity) source.Finding {
	return source.Finding{
		Severity: source.Caution, Rule: "range/unit-missing",
		Message: fmt.Sprintf("%s %s is recorded without a unit; the range is quoted in %s", p.Label, q, p.Unit),
		Value:   ptr(bounds(q)), Hint: "the unit behind the number",
	}
}

// unitUnlikely is the finding for a unit that does not measure the parameter.
func unitUnlikely(p Parameter, q quantity.Quantity) source.Finding {
	want := "as a plain number"
	if p.Unit != "" {
		want = "in " + p.Unit
	}
	return source.Finding{
		Severity: source.Stop, Rule: "range/unit-unlikely",
		Message: fmt.Sprintf("%s %s is recorded in a unit of %s; it is quoted %s", p.Label, q, quantity.Dimension(q.Unit), want),
		Value:   ptr(bounds(q)), Hint: "the unit of the entry, and whether the number belongs to this field",
	}
}
