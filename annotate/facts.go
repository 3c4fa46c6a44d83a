package annotate

import (
	"slices"
	"strings"

	"sideport/annotate/quantity"
	"sideport/annotate/ranges"
)

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
		key := v.Parameter
		switch scheme, graded := strings.CutPrefix(key, "grade-"); {
		case v.Group == GroupLens:
			key = "lens." + key
		case v.Group != GroupBefore && v.Group != GroupCase:
			continue
		case graded:
			key = "grade." + scheme
		}
		if value, ok := r.factValue(v); ok && facts[key] == nil {
			facts[key] = []string{value}
		}
	}
	for _, s := range r.c.Steps {
		facts["step."+s.ID] = []string{"yes"}
		for _, v := range s.Values {
			switch {
			case v.Quantity.Word != "":
				facts[s.ID+"."+v.Parameter] = append(facts[s.ID+"."+v.Parameter], v.Quantity.Word)
			case v.Parameter == "suture-count" && v.Quantity.Single() && v.Quantity.LowText == "0":
				facts["step."+s.ID] = []string{"no"} // a suture step that says there was none
			}
		}
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
	words := map[string][]string{}
	for _, v := range values {
		facts = facts.With("given."+v.Parameter, "yes")
		if v.Quantity.Kind == quantity.Word || v.Quantity.Kind == quantity.YesNo {
			words[v.Parameter] = append(words[v.Parameter], v.Quantity.Word)
			facts = facts.With(v.Parameter, words[v.Parameter]...)
		}
	}
	return facts
}

// factValue is a value as a condition compares it: a word, or the number in the
// parameter's own unit. A range has no one number and is not known.
func (r *resolver) factValue(v Value) (string, bool) {
	q := v.Quantity
	if q.Word != "" {
		return q.Word, true
	}
	p, ok := r.c.Table.ParameterByID(v.Parameter)
	if ok && q.Unit != "" && p.Unit != "" {
		converted, err := q.In(p.Unit)
		if err != nil {
			return "", false
		}
		q = converted
	}
	return q.LowText, q.Single()
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
	r := resolver{c: c, names: newNamer(c.Procedure), converted: c.converted}
	return slices.Contains(r.facts()[key], value)
}
