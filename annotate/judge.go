package annotate

import (
	"fmt"
	"slices"
	"strings"

	"sideport/annotate/quantity"
	"sideport/annotate/ranges"
	"sideport/timeline/source"
)

// The steps under which header groups are judged.
const (
	groupBefore = "before"
	groupDay1   = "day-1"
	groupWeek6  = "week-6"
	groupLens   = "lens"
	groupCase   = "case"
)

// values reads and judges every recorded value, first all readings and then all
// judgements: a condition may ask for a value that stands further down.
func (r *resolver) values() {
	f := r.c.File
	for _, g := range []struct {
		name string
		list []ValueKey
	}{{groupBefore, f.Before.List}, {groupDay1, f.Day1.List}, {groupWeek6, f.Week6.List}, {groupLens, f.Lens.List}, {groupCase, f.Values.List}} {
		for _, k := range g.list {
			if v, ok := r.value(k, g.name, judgedAt(g.name)); ok {
				r.c.Header = append(r.c.Header, v)
			}
		}
	}
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

// judgedAt is the step whose rows judge a header group.
func judgedAt(group string) string {
	switch group {
	case groupLens:
		return "iol-insertion"
	case groupCase:
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
			if shown := r.c.Map.ToVideo(at); len(shown) > 0 {
				v.AtVideo = &shown[0]
			}
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
	if hows := []string{"set", "measured", "estimated", "planned", "on-image"}; k.How.Set && !slices.Contains(hows, k.How.Value) {
		checkWord(k.How, hows, r.report)
	}
	if strings.HasPrefix(v.Parameter, "acuity.") {
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
			Message: fmt.Sprintf("%s is no value of %s in the vocabulary; it is kept and compared with nothing", p.Label, step),
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
			if v.Group == groupLens || v.Group == groupCase {
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
			if drug, ok := r.c.Table.ParameterByID("drug"); ok && facts["drug"] == nil && slices.Contains(drug.Words, s.Variant) {
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

// facts are what the case file says of the eye, the lens, the machine and the
// technique. What it does not say is left unknown.
func (r *resolver) facts() ranges.Facts {
	f := r.c.File
	facts := ranges.Facts{}
	for _, p := range r.names.vocabularies(r.converted) {
		facts["procedure"] = append(facts["procedure"], p.ID)
	}
	set := func(key string, list ...Text) {
		for _, t := range list {
			if t.Value == "none" && facts[key] == nil {
				facts[key] = []string{}
			} else if t.Value != "" && t.Value != "none" {
				facts[key] = append(facts[key], t.Value)
			}
		}
	}
	set("side", f.Patient.Eye)
	set("systemic", f.Patient.Systemic...)
	set("ocular", f.Patient.Ocular...)
	set("cataract", f.Patient.Cataract.Type...)
	for _, g := range f.Patient.Cataract.Grade {
		set("grade."+g.Scheme.Value, g.Value)
	}
	set("machine.infusion", f.Machine.Infusion)
	set("machine.pump", f.Machine.Pump)
	set("machine.height-from", f.Machine.HeightFrom)
	for _, v := range r.c.Header {
		switch v.Group {
		case groupLens:
			facts["lens."+v.Parameter] = []string{factValue(v.Quantity)}
		case groupBefore, groupCase:
			facts[v.Parameter] = []string{factValue(v.Quantity)}
		}
	}
	for _, s := range r.c.Steps {
		facts["step."+s.ID] = []string{"yes"}
		if s.Variant != "" {
			facts[s.ID+".variant"] = append(facts[s.ID+".variant"], s.Variant)
			if s.ID == "nucleus-delivery" || s.ID == "nucleus-fragmentation" {
				facts["delivery"] = append(facts["delivery"], s.Variant)
			}
		}
	}
	for _, e := range r.c.Events {
		facts["event."+e.ID] = []string{"yes"}
	}
	return facts
}

// withValues adds the values recorded beside the one judged: their words, and that
// they were given at all.
func withValues(facts ranges.Facts, values []Value) ranges.Facts {
	for _, v := range values {
		facts = facts.With("given."+v.Parameter, "yes")
		if v.Quantity.Kind == quantity.Word || v.Quantity.Kind == quantity.YesNo {
			facts = facts.With(v.Parameter, v.Quantity.Word)
		}
	}
	return facts
}

// factValue is a value as a condition compares it: a word, or the number alone.
func factValue(q quantity.Quantity) string {
	switch {
	case q.Word != "":
		return q.Word
	case q.LowText != "":
		return q.LowText
	}
	return q.HighText
}

// HasFact reports whether a fact of the case is known and holds the value. The
// facts are those that ranges ask for and, as the vocabulary names them,
// cataract-type and lens-site.
func (c *Case) HasFact(key, value string) bool {
	switch key {
	case "cataract-type":
		key = "cataract"
	case "lens-site":
		key = "lens.site"
	}
	r := resolver{c: c, names: newNamer(c.Procedure)}
	return slices.Contains(r.facts()[key], value)
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
