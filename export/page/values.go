package page

import (
	"slices"
	"strings"

	"sideport/annotate"
	"sideport/annotate/quantity"
	"sideport/annotate/ranges"
	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// values is a table of values with the sources of its ranges.
func (b *builder) values(caption string, list []annotate.Value) valuesView {
	out := valuesView{Caption: caption}
	cited := map[int]bool{}
	for _, val := range list {
		row := b.value(val)
		for _, n := range row.Refs {
			if !cited[n] {
				cited[n] = true
				out.Sources = append(out.Sources, reference{Number: n, Text: b.refs[n-1]})
			}
		}
		out.Values = append(out.Values, row)
	}
	return out
}

func (b *builder) value(val annotate.Value) valueView {
	j := val.Judgement
	out := valueView{Name: b.parameter(val.Parameter), Result: string(j.Result)}
	out.Recorded, out.How = b.recorded(val)
	if val.Reading {
		out.When = b.reading(val)
	}
	if key := "result." + string(j.Result); b.v.words.Has(key) {
		out.Result = b.v.words.T(key)
	}
	switch j.Result {
	case ranges.Partly, ranges.Outside, ranges.FarOutside:
		out.Outside = true
	}
	out.Range = rangeText(j.Accepted, val.Quantity.Kind)
	if j.Row != nil && out.Range == "" {
		out.Range = b.wordsText(j.Row.Words)
	}
	if out.Range == "" {
		return out
	}
	out.Judged = true
	var about []string
	if j.Row != nil {
		about = add(about, j.Row.For)
		if j.Row.Local != "" {
			about = append(about, b.v.say("table.local"))
		}
		if out.Outside {
			out.Why = j.Row.Why
		}
	}
	if j.Union {
		about = append(about, b.v.say("table.whichever"))
	}
	out.RangeNote = strings.Join(about, ", ")
	if key := "evidence." + j.Evidence; b.v.words.Has(key) {
		out.Evidence = b.v.words.T(key)
	}
	out.Source, out.Refs = b.byWhom(j)
	return out
}

// byWhom numbers the references a range rests on. Where the evidence is not theirs
// alone it says so; without references it gives the source in words.
func (b *builder) byWhom(j ranges.Judgement) (text string, refs []int) {
	for id := range strings.SplitSeq(j.SourceID, ", ") {
		if b.c.Table == nil || id == "" {
			continue
		}
		if full, ok := b.c.Table.Source(id); ok {
			refs = append(refs, b.ref(full))
		}
	}
	slices.Sort(refs)
	refs = slices.Compact(refs)
	switch {
	case len(refs) > 0 && j.Evidence != ranges.Confirmed && j.Evidence != ranges.Derived:
		return b.v.say("table.in-part"), refs
	case len(refs) > 0:
		return "", refs
	case j.SourceID != "":
		return "", []int{b.ref(j.Source)}
	case j.Evidence != ranges.Confirmed && j.Evidence != ranges.Derived && (j.Row == nil || j.Row.Local == ""):
		return b.v.say("table.no-source"), nil
	}
	return j.Source, nil
}

// recorded is the value in the unit of its range, with what was written where the
// two differ, and how it was come by.
func (b *builder) recorded(val annotate.Value) (value, how string) {
	value = printed(val.Quantity.String())
	switch {
	case value == "":
		value = val.Text
	case val.Quantity.Kind == quantity.Word:
		value = b.spaced(value)
	}
	if unit := val.Judgement.Accepted.Unit; unit != "" && val.Quantity.Unit != "" && val.Quantity.Unit != unit {
		if q, err := val.Quantity.In(unit); err == nil && printed(q.String()) != value {
			how = b.v.say("table.written") + " " + val.Text
			value = printed(q.String())
		}
	}
	if key := "how." + val.How; val.How != "" && b.v.words.Has(key) {
		how = strings.TrimSuffix(b.v.words.T(key)+"; "+how, "; ")
	}
	return value, how
}

func (b *builder) reading(val annotate.Value) string {
	switch {
	case val.At != nil:
		return b.v.say("time.recording") + " " + timecode.FormatShort(*val.At)
	case val.AtVideo != nil:
		return b.v.say("time.video") + " " + timecode.FormatShort(*val.AtVideo)
	}
	return ""
}

// rangeText prints bounds as a value of the same kind is printed.
func rangeText(r source.Bounds, kind quantity.Kind) string {
	if r.Low == nil && r.High == nil {
		return ""
	}
	switch kind {
	case quantity.Ratio, quantity.Size, quantity.Fraction:
	default:
		kind = quantity.Number
	}
	return printed(quantity.Quantity{Kind: kind, Low: r.Low, High: r.High, Unit: r.Unit}.String())
}

// wordsText prints the accepted words of a row.
func (b *builder) wordsText(words []string) string {
	var list []string
	for _, w := range words {
		list = append(list, b.spaced(w))
	}
	return strings.Join(list, ", ")
}

// parameter is the name of a parameter for readers.
func (b *builder) parameter(id string) string {
	if label := b.labels[id]; label != "" {
		return label
	}
	return b.spaced(id)
}

// groups are the values and facts of the case beside its steps.
func (b *builder) groups() {
	f := b.c.File
	var who []fact
	say := b.v.say
	put := func(name string, values ...annotate.Text) {
		var list []string
		for _, t := range values {
			list = add(list, b.spaced(t.Value))
		}
		if len(list) > 0 {
			who = append(who, fact{Name: name, Text: strings.Join(list, ", ")})
		}
	}
	put(say("page.sex"), f.Patient.Sex)
	put(say("page.systemic"), f.Patient.Systemic...)
	put(say("page.ocular"), f.Patient.Ocular...)
	put(say("page.surgeon"), f.Team.SurgeonRole)
	if n := f.Team.CasesBefore.Value; n != "" {
		who = append(who, fact{Name: say("page.cases-before"), Text: strings.ReplaceAll(n, "-", "–")})
	}
	switch f.Team.Supervised.Value {
	case "true":
		who = append(who, fact{Name: say("page.supervised"), Text: say("page.yes")})
	case "false":
		who = append(who, fact{Name: say("page.supervised"), Text: say("page.no")})
	}
	put(say("page.infusion"), f.Machine.Infusion)
	put(say("page.pump"), f.Machine.Pump)
	put(say("page.height-from"), f.Machine.HeightFrom)

	for _, g := range []struct{ group, key string }{
		{"", "page.about"},
		{annotate.GroupBefore, "page.before"},
		{annotate.GroupLens, "page.lens"},
		{annotate.GroupCase, "page.values-of-the-case"},
		{annotate.GroupDay1, "page.day-1"},
		{annotate.GroupWeek6, "page.week-6"},
	} {
		out := groupView{Heading: say(g.key)}
		if g.group == "" {
			out.Facts = who
		} else {
			var list []annotate.Value
			for _, val := range b.c.Header {
				if val.Group == g.group {
					list = append(list, val)
				}
			}
			out.valuesView = b.values(out.Heading, list)
		}
		if len(out.Facts) > 0 || len(out.Values) > 0 {
			b.v.Groups = append(b.v.Groups, out)
		}
	}
}

// spans prints stretches of one clock.
func spans(list []timeline.Span) string {
	var out []string
	for _, s := range list {
		if s.To > s.From {
			out = append(out, timecode.FormatShort(s.From)+"–"+timecode.FormatShort(s.To))
		} else {
			out = append(out, timecode.FormatShort(s.From))
		}
	}
	if len(out) == 0 {
		return "–"
	}
	return strings.Join(out, ", ")
}
