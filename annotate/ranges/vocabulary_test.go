package ranges_test

import (
	"slices"
	"strings"
	"testing"

	"sideport/annotate/ranges"
	"sideport/annotate/taxonomy"
)

// Rows and parameters name steps, techniques and events of the vocabulary only; a
// misspelt one would never apply.
func TestRowsNameTheVocabulary(t *testing.T) {
	variants := map[string][]string{} // by step
	events := map[string]bool{}
	for _, p := range taxonomy.All() {
		for _, s := range p.Steps {
			variants[s.ID] = append(variants[s.ID], "")
			for _, v := range s.Variants {
				variants[s.ID] = append(variants[s.ID], v.ID)
			}
		}
		for _, e := range p.Events {
			events[e.ID] = true
			variants[e.ID] = append(variants[e.ID], "") // anterior-vitrectomy is an event with settings
		}
	}
	header := []string{"", ranges.AnyStep, "before", "day-1", "week-6"}
	for _, p := range ranges.Builtin().Parameters() {
		for _, s := range p.Steps {
			if variants[s] == nil && !slices.Contains(header, s) {
				t.Errorf("%s belongs to %q, which is no step", p.ID, s)
			}
		}
	}
	for _, r := range ranges.Builtin().Rows() {
		if _, ok := taxonomy.ByID(r.Procedure); r.Procedure != "" && !ok {
			t.Errorf("%s: unknown procedure %q", r.Parameter, r.Procedure)
		}
		for _, c := range r.Conditions {
			for _, term := range c.Terms {
				known := func(v string) bool { return true }
				switch step, isStep := strings.CutPrefix(term.Key, "step."); {
				case term.Key == "variant":
					known = func(v string) bool { return slices.Contains(variants[r.Step], v) }
				case term.Key == "delivery":
					known = func(v string) bool {
						return slices.Contains(variants["nucleus-delivery"], v) || slices.Contains(variants["nucleus-fragmentation"], v)
					}
				case isStep:
					known = func(string) bool { return variants[step] != nil }
				case strings.HasPrefix(term.Key, "event."):
					known = func(string) bool { return events[strings.TrimPrefix(term.Key, "event.")] }
				}
				for _, v := range term.Values {
					if !known(v) {
						t.Errorf("%s in %s: %s %s %s is not in the vocabulary", r.Parameter, r.Step, term.Key, term.Op, v)
					}
				}
			}
		}
	}
}
