package ranges

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"sideport/annotate/quantity"
	"sideport/timeline/source"
)

// judgeUnion judges a value for which several techniques are possible: against the
// joined bands, and with a note when only some of them hold it.
func judgeUnion(p Parameter, rows []*Row, q quantity.Quantity, facts Facts) Judgement {
	var vs []verdict
	var missing []string
	for _, r := range rows {
		if !r.Accept.Numeric() || p.Dose && r.Evidence.Accept == FromMemory {
			continue
		}
		vs = append(vs, judgeRow(r, q, facts))
		_, keys := r.applies(facts)
		for _, k := range keys {
			if !slices.Contains(missing, k) {
				missing = append(missing, k)
			}
		}
	}
	switch len(vs) {
	case 0:
		return Judgement{Result: NoRange}
	case 1:
		return judgeOne(p, vs[0].row, q, facts, missing)
	}
	joined := join(vs)
	j := Judgement{Result: joined.result(), Accepted: unionBounds(vs), Union: true}
	j.Evidence, j.Source, j.SourceID = unionSource(vs, joined.worst == far)
	if joined.worst == far {
		for _, v := range vs {
			if f, ok := misread(p, v, q); ok {
				j.Result, j.Findings = FarOutside, []source.Finding{f}
				return j
			}
		}
	}
	f := source.Finding{
		Rule: "range/" + p.ID, Value: ptr(bounds(joined.value)), Accepted: ptr(j.Accepted),
		Evidence: j.Evidence, Source: j.Source, SourceID: j.SourceID,
	}
	text := strings.Join(pieces(vs), " or ")
	all := !slices.ContainsFunc(vs, func(v verdict) bool { return v.worst != inside })
	switch {
	case all:
		return j
	case joined.worst == inside:
		f.Severity, f.Rule = source.Note, "range/which"
		f.Message = fmt.Sprintf("%s is inside the range of some techniques and not of others (%s)",
			subject(p, q, joined.value), strings.Join(separate(vs), ", "))
		f.Hint = "the rows of both procedures apply after a conversion"
		if len(missing) > 0 {
			f.Message += "; not recorded: " + names(missing)
			f.Hint = "what is not recorded decides which range applies"
		}
	default:
		f.Severity = unionSeverity(vs, joined.worst == far, j.Evidence)
		f.Message = subject(p, q, joined.value) + " " + relation(joined.ends, text, vs[0].row.Unit) + ", whichever technique"
		f.Hint = hint(joined.worst == far, vs[0].row)
	}
	j.Findings = []source.Finding{f}
	return j
}

// join takes for each end the best level any row gives it.
func join(vs []verdict) verdict {
	out := verdict{row: vs[0].row, value: vs[0].value, ends: slices.Clone(vs[0].ends)}
	for i := range out.ends {
		for _, v := range vs[1:] {
			if v.ends[i].level < out.ends[i].level {
				out.ends[i].level, out.ends[i].side = v.ends[i].level, v.ends[i].side
			}
		}
		out.worst = max(out.worst, out.ends[i].level)
	}
	return out
}

// unionSeverity is the lightest of the rows' severities, since the technique may be
// the most tolerant one; but what lies far outside all of them weighs as the
// heaviest says, as far as the joined evidence bears it.
func unionSeverity(vs []verdict, isFar bool, evidence string) source.Severity {
	s := vs[0].row.severity(isFar)
	for _, v := range vs[1:] {
		if isFar {
			s = max(s, v.row.severity(true))
		} else {
			s = min(s, v.row.severity(false))
		}
	}
	if weak(evidence) {
		return min(s, source.Caution)
	}
	return s
}

// unionSource is the weakest tag of the rows and all their references, each once.
func unionSource(vs []verdict, isFar bool) (evidence, text, ids string) {
	var all Row
	var idList []string
	for _, v := range vs {
		tag := v.row.Evidence.Accept
		if isFar && v.row.Evidence.Hard != "" {
			tag = v.row.Evidence.Hard
		}
		if slices.Index(evidenceOrder, tag) > slices.Index(evidenceOrder, evidence) {
			evidence = tag
		}
		for id := range strings.SplitSeq(v.row.SourceID, ", ") {
			if id != "" && !slices.Contains(idList, id) {
				idList = append(idList, id)
			}
		}
		for _, reference := range v.row.References {
			if !slices.Contains(all.References, reference) {
				all.References = append(all.References, reference)
			}
		}
	}
	all.Source = strings.Join(all.References, "; ")
	return evidence, all.sourceText(evidence), strings.Join(idList, ", ")
}

// separate lists the bands as they are, without doubles, in row order.
func separate(vs []verdict) []string {
	var out []string
	for _, v := range vs {
		if text := shown(v.row.Accept); !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}

// pieces are the joined bands: those that touch or overlap made one, from low to high.
func pieces(vs []verdict) []string {
	bands := make([]Band, len(vs))
	for i, v := range vs {
		bands[i] = inUnit(v.row.Accept, vs[0].row.Unit)
	}
	slices.SortStableFunc(bands, compareLow)
	merged := bands[:1]
	for _, b := range bands[1:] {
		last := &merged[len(merged)-1]
		_, lastHigh := last.Ends()
		low, high := b.Ends()
		if lastHigh != nil && low != nil && low.Cmp(lastHigh) > 0 {
			merged = append(merged, b)
			continue
		}
		if lastHigh != nil && (high == nil || high.Cmp(lastHigh) > 0) {
			lo, _ := last.Ends()
			*last = quantity.Of(endText(lo, last.LowText, b.Unit), endText(high, b.HighText, b.Unit), b.Unit)
		}
	}
	out := make([]string, len(merged))
	for i, b := range merged {
		out[i] = bandText(b)
	}
	return out
}

// inUnit is a band in the unit of another row that judges the same value.
func inUnit(b Band, u quantity.Unit) Band {
	if converted, err := b.In(u); err == nil {
		return converted
	}
	return b
}

// endText is an end as a decimal that Of reads; sizes and ratios are rebuilt from the
// exact number.
func endText(r *big.Rat, text string, u quantity.Unit) string {
	if r == nil {
		return ""
	}
	if u == quantity.USP || u == quantity.RatioUnit || text == "" || strings.ContainsAny(text, "/:") {
		return r.RatString()
	}
	return text
}

func compareLow(a, b Band) int {
	x, _ := a.Ends()
	y, _ := b.Ends()
	switch {
	case x == nil && y == nil:
		return 0
	case x == nil:
		return -1
	case y == nil:
		return 1
	}
	return x.Cmp(y)
}

// unionBounds are the outer ends of all bands; an open one is open.
func unionBounds(vs []verdict) source.Bounds {
	out := bounds(vs[0].row.Accept)
	for _, v := range vs[1:] {
		b := inUnit(v.row.Accept, out.Unit)
		if out.Low != nil && (b.Low == nil || *b.Low < *out.Low) {
			out.Low = b.Low
		}
		if out.High != nil && (b.High == nil || *b.High > *out.High) {
			out.High = b.High
		}
	}
	return out
}
