package annotate

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sideport/annotate/quantity"
	"sideport/annotate/ranges"
	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"
)

// The groups of Value.Group.
const (
	GroupBefore = "before"
	GroupDay1   = "day-1"
	GroupWeek6  = "week-6"
	GroupLens   = "lens"
	GroupCase   = "case"
)

// values reads and judges every recorded value, first all readings and then all
// judgements: a condition may ask for a value that stands further down.
func (r *resolver) values() {
	f := r.c.File
	for _, g := range []struct {
		name string
		list []ValueKey
	}{{GroupBefore, f.Before.List}, {GroupDay1, f.Day1.List}, {GroupWeek6, f.Week6.List}, {GroupLens, f.Lens.List}, {GroupCase, f.Values.List}} {
		for _, k := range g.list {
			if v, ok := r.value(k, g.name, judgedAt(g.name)); ok {
				r.c.Header = append(r.c.Header, v)
			}
		}
	}
	r.grades()
	for i := range r.c.Steps {
		s := &r.c.Steps[i]
		if !s.HasEntry {
			continue
		}
		keys := f.Steps[s.Index]
		for _, k := range keys.Values.List {
			if v, ok := r.value(k, "", s.ID); ok {
				s.Values = append(s.Values, v)
			}
		}
		for _, reading := range keys.Readings {
			r.readings(s, reading)
		}
	}
	r.judge()
}

// grades makes the grades of the cataract values like the others found before the
// operation, so that one off its scale is seen.
func (r *resolver) grades() {
	for _, g := range r.c.File.Patient.Cataract.Grade {
		id := "grade-" + g.Scheme.Value
		if _, known := r.c.Table.Parameter(GroupBefore, id); !known {
			continue // the scheme is none of the list, which has been said
		}
		said := func(v Value) bool { return v.Group == GroupBefore && v.Parameter == id }
		if _, err := strconv.ParseFloat(g.Value.Value, 64); err != nil || slices.ContainsFunc(r.c.Header, said) {
			continue
		}
		key := ValueKey{Parameter: Text{Value: id, Set: true, Pos: g.Scheme.Pos, Path: g.Value.Path}, Value: g.Value}
		if v, ok := r.value(key, GroupBefore, GroupBefore); ok {
			r.c.Header = append(r.c.Header, v)
		}
	}
}

// judgedAt is the step whose rows judge a header group.
func judgedAt(group string) string {
	switch group {
	case GroupLens:
		return "iol-insertion"
	case GroupCase:
		return ""
	}
	return group
}

// readings are settings read at a moment of the step.
func (r *resolver) readings(s *Step, keys ValueKeys) {
	at, timed := r.clock.when(keys.At, r.report)
	for _, k := range keys.List {
		v, ok := r.value(k, "", s.ID)
		if !ok {
			continue
		}
		v.Reading = true
		if timed {
			v.At = &at
			v.AtVideo = r.onVideo(at)
		}
		s.Values = append(s.Values, v)
	}
}

// value reads one value as its parameter's kind says.
func (r *resolver) value(k ValueKey, group, step string) (Value, bool) {
	v := Value{Group: group, Parameter: k.Parameter.Value, Text: k.Value.Value, How: k.How.Value, Path: k.Parameter.Path, Pos: k.Value.Pos}
	if !k.Value.Set {
		return v, false
	}
	hows := []string{"set", "measured", "estimated", "planned", "on-image"}
	if v.How = canonical(k.How.Value, hows); k.How.Set && !slices.Contains(hows, v.How) {
		checkWord(k.How, hows, r.report)
		v.How = ""
	}
	if kind, ok := strings.CutPrefix(v.Parameter, "acuity."); ok {
		if known := []string{"corrected", "uncorrected", "pinhole"}; !slices.Contains(known, kind) {
			r.report(yamldoc.UnknownKey(Text{Value: kind, Pos: k.Parameter.Pos, Path: k.Parameter.Path}, known))
			return v, false
		}
		v.Quantity = quantity.Quantity{Text: v.Text, Kind: quantity.Word, Word: v.Text}
		v.Judgement = ranges.Judgement{Result: ranges.NotJudged}
		return v, true
	}
	p, ok := r.c.Table.Parameter(step, v.Parameter)
	if !ok {
		if p, ok = r.c.Table.ParameterByID(v.Parameter); !ok {
			r.unknownParameter(k, step)
			return v, false
		}
		r.report(source.Finding{
			Pos: k.Parameter.Pos, Path: k.Parameter.Path, Severity: source.Note, Rule: "step/value-elsewhere", Step: step,
			Message: fmt.Sprintf("%s is no value of %s in the vocabulary; it is kept and compared with nothing", p.Label, placeName(group, step)),
		})
	}
	q, err := p.Parse(v.Text)
	if err != nil {
		fault(k.Value, r.report, "read/value", "%s: %v", p.Label, err)
		return v, false
	}
	v.Quantity = q
	return v, true
}

// placeName is where a value stands, in words.
func placeName(group, step string) string {
	switch group {
	case GroupCase:
		return "the whole case"
	case GroupBefore:
		return "the findings before surgery"
	case GroupDay1, GroupWeek6:
		return "the findings of " + strings.ReplaceAll(group, "-", " ")
	case GroupLens:
		return "the lens"
	}
	return step
}

func (r *resolver) unknownParameter(k ValueKey, step string) {
	var known []string
	for _, p := range r.c.Table.Parameters() {
		if p.In(step) {
			known = append(known, p.ID)
		}
	}
	f := source.Finding{
		Pos: k.Parameter.Pos, Path: k.Parameter.Path, Severity: source.Error, Rule: "read/unknown-key",
		Message: fmt.Sprintf("unknown value %q%s", k.Parameter.Value, nearest(k.Parameter.Value, known)),
		Hint:    "known here: " + strings.Join(known, ", "),
	}
	r.report(f)
}

// judge compares every value with the range that the facts of the case select.
func (r *resolver) judge() {
	base := r.facts()
	for i := range r.c.Header {
		v := &r.c.Header[i]
		if v.Judgement.Result == "" {
			facts := base
			if v.Group == GroupLens || v.Group == GroupCase {
				facts = withValues(base, r.group(v.Group))
			}
			v.Judgement = r.compare(v, judgedAt(v.Group), facts)
		}
	}
	for i := range r.c.Steps {
		s := &r.c.Steps[i]
		facts := withValues(base, s.Values)
		if s.Variant != "" {
			facts = facts.With("variant", s.Variant)
			drug, ok := r.c.Table.ParameterByID("drug")
			if ok && !recorded(s.Values, "drug") && slices.Contains(drug.Words, s.Variant) {
				facts = facts.With("drug", s.Variant)
			}
		}
		for k := range s.Values {
			v := &s.Values[k]
			v.Judgement = r.compare(v, s.ID, facts)
		}
		judgeDose(s.Values)
	}
}

func recorded(values []Value, parameter string) bool {
	return slices.ContainsFunc(values, func(v Value) bool { return v.Parameter == parameter })
}

// judgeDose holds a dose against its concentration and volume.
func judgeDose(values []Value) {
	of := func(parameter string) *Value {
		i := slices.IndexFunc(values, func(v Value) bool { return v.Parameter == parameter })
		if i < 0 {
			return nil
		}
		return &values[i]
	}
	dose, strength, volume := of("dose"), of("drug-concentration"), of("volume")
	if dose == nil || strength == nil || volume == nil {
		return
	}
	if slices.ContainsFunc(dose.Judgement.Findings, func(f source.Finding) bool { return f.Rule == "range/slip" }) {
		return // one fact, one finding
	}
	dose.Judgement.Findings = append(dose.Judgement.Findings, ranges.JudgeDose(dose.Quantity, strength.Quantity, volume.Quantity)...)
}

// compare judges one value. A word that no row speaks of has no range to be unknown.
func (r *resolver) compare(v *Value, step string, facts ranges.Facts) ranges.Judgement {
	j := r.c.Table.Judge(v.Parameter, step, v.Quantity, facts)
	if j.Result == ranges.NoRange && !v.Quantity.Numeric() {
		j.Result = ranges.NotJudged
	}
	return j
}

func (r *resolver) group(name string) []Value {
	var out []Value
	for _, v := range r.c.Header {
		if v.Group == name {
			out = append(out, v)
		}
	}
	return out
}

// ParameterLabel is the English name of a value's parameter, in lower case.
func (c *Case) ParameterLabel(v Value) string {
	if p, ok := c.Table.ParameterByID(v.Parameter); ok {
		return p.Label
	}
	return strings.ReplaceAll(strings.ReplaceAll(v.Parameter, ".", ", "), "-", " ")
}

// Shown is the value for people: as a quantity where it is one, an estimate
// marked as such.
func (v Value) Shown() string {
	text := v.Quantity.String()
	switch {
	case v.Quantity.Kind == quantity.Word:
		text = strings.ReplaceAll(v.Quantity.Word, "-", " ")
	case v.Quantity.Unit == quantity.CountUnit:
		text = strings.TrimSuffix(text, " "+quantity.CountUnit)
	case v.Quantity.Unit == quantity.Degree:
		text = strings.ReplaceAll(text, " °", "°")
	}
	if v.How == "estimated" {
		text += " (estimated)"
	}
	return text
}
