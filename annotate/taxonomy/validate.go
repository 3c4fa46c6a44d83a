package taxonomy

import (
	"fmt"
	"slices"
	"strings"
)

// Validate lists what is wrong with the data of p, and nothing when it is sound:
// ids twice or unknown, a name that two things claim without a declared collision,
// a cycle in the hard order, windows and repeats out of order, a step without
// label or reason.
func Validate(p *Procedure) []string {
	v := validator{p: p}
	v.ids()
	v.names()
	v.references()
	v.order()
	for _, s := range p.Steps {
		v.step(s)
	}
	for _, e := range p.Events {
		v.event(e)
	}
	return v.out
}

type validator struct {
	p   *Procedure
	out []string
}

func (v *validator) fault(format string, args ...any) {
	v.out = append(v.out, v.p.ID+": "+fmt.Sprintf(format, args...))
}

func (v *validator) ids() {
	seen := map[string]bool{}
	once := func(id string) {
		if id == "" || strings.Trim(id, "abcdefghijklmnopqrstuvwxyz0123456789-+") != "" {
			v.fault("%q is no id", id)
		}
		if seen[id] {
			v.fault("the id %s stands twice", id)
		}
		seen[id] = true
	}
	for _, s := range v.p.Steps {
		once(s.ID)
		variants := map[string]bool{}
		for _, w := range s.Variants {
			if variants[w.ID] {
				v.fault("%s has the variant %s twice", s.ID, w.ID)
			}
			variants[w.ID] = true
		}
	}
	for _, e := range v.p.Events {
		once(e.ID)
	}
}

func (v *validator) names() {
	collisions := map[string]bool{}
	for _, c := range v.p.Collisions {
		collisions[key(tokenise(c.Text), true)] = true
		if len(c.Readings) < 2 {
			v.fault("the collision %q has one reading", c.Text)
		}
	}
	claims := map[string]name{}
	for _, n := range v.p.names() {
		other, taken := claims[n.key]
		switch {
		case !taken:
			claims[n.key] = n
		case other.target.id != n.target.id && !collisions[n.key]:
			v.fault("%q names %s and, as %q, %s", n.text, n.id, other.text, other.id)
		case other.target != n.target && !other.canonical && other.variant != "" && n.variant != "":
			v.fault("%q names the variants %s and %s of %s", n.text, other.variant, n.variant, n.id)
		}
	}
}

func (v *validator) references() {
	known := func(what, id string, kinds ...Kind) {
		if !slices.Contains(kinds, v.p.Kind(id)) {
			v.fault("%s names %q, which is no %s", what, id, kinds[0])
		}
	}
	for _, o := range v.p.Order {
		known("an order", o.Before, KindStep)
		known("an order", o.After, KindStep)
		if o.Source == "" || o.Evidence == "" {
			v.fault("the order %s before %s has no source", o.Before, o.After)
		}
	}
	for _, group := range slices.Concat(v.p.MaySwap, v.p.OneOf) {
		if len(group) < 2 {
			v.fault("a group of steps has one member")
		}
		for _, id := range group {
			known("a group of steps", id, KindStep)
		}
	}
	for _, a := range v.p.Absences {
		for _, id := range a.Steps {
			known("an absence", id, KindStep)
		}
		for _, c := range a.When {
			v.condition(c)
		}
	}
	for _, c := range v.p.Collisions {
		for _, r := range c.Readings {
			v.reading(c, r)
		}
	}
	for _, l := range v.p.DataLabels {
		for _, id := range l.Covers {
			known("the class "+l.Class, id, KindStep)
		}
		if l.Step != "" && !slices.Contains(l.Covers, l.Step) {
			v.fault("the class %s does not cover its step %s", l.Class, l.Step)
		}
	}
}

func (v *validator) condition(c Condition) {
	if c.Step == "" {
		if c.Fact == "" || c.Value == "" {
			v.fault("an absence has a condition without step and fact")
		}
		return
	}
	v.variant("an absence", c.Step, c.Variant)
}

func (v *validator) reading(c Collision, r Reading) {
	switch {
	case r.ID == "" && r.Meaning == "":
		v.fault("a reading of %q has neither id nor meaning", c.Text)
	case r.ID != "" && v.p.Kind(r.ID) == "":
		v.fault("a reading of %q names the unknown %s", c.Text, r.ID)
	case r.Variant != "":
		v.variant(fmt.Sprintf("a reading of %q", c.Text), r.ID, r.Variant)
	}
}

func (v *validator) variant(what, step, variant string) {
	s, ok := v.p.Step(step)
	if !ok {
		v.fault("%s names the unknown step %s", what, step)
		return
	}
	if _, ok := s.Variant(variant); !ok && variant != "" {
		v.fault("%s names the unknown variant %s of %s", what, variant, step)
	}
}

func (v *validator) step(s Step) {
	if s.Label == "" || s.Label == s.ID {
		v.fault("%s has no label", s.ID)
	}
	if s.Why == "" {
		v.fault("%s has no reason", s.ID)
	}
	if w := s.Window; w.Expert < 1 || w.Trainee <= w.Expert || w.Trainee > 900 || w.Source == "" || w.Evidence == "" {
		v.fault("%s has the window %d to %d s from %q (%s)", s.ID, w.Expert, w.Trainee, w.Source, w.Evidence)
	}
	if s.WindowS != [2]int{s.Window.Expert, s.Window.Trainee} || s.WindowSource != s.Window.Source {
		v.fault("%s has two windows", s.ID)
	}
	if r := s.Repeats; r != (Repeats{}) && (r.Low < 1 || r.High < r.Low || !s.Repeat || r.Source == "" || r.Evidence == "") {
		v.fault("%s repeats %d to %d times from %q", s.ID, r.Low, r.High, r.Source)
	}
	for _, id := range s.Complications {
		if v.p.Kind(id) != KindComplication {
			v.fault("%s offers %q, which is no complication", s.ID, id)
		}
	}
}

func (v *validator) event(e Event) {
	if e.Label == "" || e.Label == e.ID {
		v.fault("%s has no label", e.ID)
	}
	if e.Complication != (e.Severity != "") || e.Complication && e.Evidence == "" {
		v.fault("%s has the severity %q (%s)", e.ID, e.Severity, e.Evidence)
	}
	for _, s := range []string{e.Severity, e.AtEnd} {
		if s != "" && s != "note" && s != "caution" && s != "stop" {
			v.fault("%s has the severity %q", e.ID, s)
		}
	}
	for _, id := range e.Steps {
		if v.p.Kind(id) != KindStep {
			v.fault("%s belongs to %q, which is no step", e.ID, id)
		}
	}
}

// order looks for cycles in the hard order, once per step that lies on one.
func (v *validator) order() {
	for _, s := range v.p.Steps {
		seen := map[string]bool{}
		var reaches func(id string) bool
		reaches = func(id string) bool {
			for _, o := range v.p.Order {
				if !o.Hard || o.Before != id {
					continue
				}
				if o.After == s.ID {
					return true
				}
				if !seen[o.After] {
					seen[o.After] = true
					if reaches(o.After) {
						return true
					}
				}
			}
			return false
		}
		if reaches(s.ID) {
			v.fault("the hard order has a cycle through %s", s.ID)
		}
	}
}
