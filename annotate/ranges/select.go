package ranges

import (
	"slices"
	"strings"
)

// selection is what the conditions leave of the rows for one value.
type selection struct {
	chosen   *Row   // the applying row with most conditions, nil when none applies
	tied     []*Row // applying rows of as many conditions with another band, as after a conversion
	possible []*Row // rows no condition excludes and some fact leaves open; empty when one applies
	also     []*Row // applying rows judged in addition
	schemes  []string
}

// selectRows sorts rows by their conditions. Of applying rows the one with most
// conditions is chosen; on a tie a local row, then the first in file order. Built-in
// rows of equal count that say different things apply together only after a
// conversion, when the rows of both procedures do (a test holds the rest apart): they
// are tied.
func selectRows(rows []*Row, facts Facts) selection {
	var s selection
	for _, r := range rows {
		truth, missing := r.applies(facts)
		for _, key := range missing {
			if scheme, ok := strings.CutPrefix(key, "grade."); ok && truth == Unknown && !slices.Contains(s.schemes, scheme) {
				s.schemes = append(s.schemes, scheme)
			}
		}
		switch {
		case truth == False:
		case r.Also:
			if truth == True {
				s.also = append(s.also, r)
			}
		case truth == Unknown:
			s.possible = append(s.possible, r)
		case s.chosen == nil || r.count() > s.chosen.count() || r.count() == s.chosen.count() && r.Local != "" && s.chosen.Local == "":
			s.chosen, s.tied = r, nil
		case r.count() == s.chosen.count() && (r.Local != "") == (s.chosen.Local != "") && !r.Accept.Equal(s.chosen.Accept):
			s.tied = append(s.tied, r)
		}
	}
	if s.chosen != nil {
		s.possible = nil
	}
	return s
}

// applies is whether a row's procedure and conditions hold, and the facts that keep
// it from being known.
func (r *Row) applies(facts Facts) (Truth, []string) {
	truth := True
	var missing []string
	conditions := r.Conditions
	if r.Procedure != "" {
		conditions = append([]Condition{{Terms: []Term{{Key: "procedure", Op: "=", Values: []string{r.Procedure}}}}}, conditions...)
	}
	for _, c := range conditions {
		switch c.holds(facts) {
		case False:
			return False, nil
		case Unknown:
			truth = Unknown
			for _, key := range c.missing(facts) {
				if !slices.Contains(missing, key) {
					missing = append(missing, key)
				}
			}
		}
	}
	return truth, missing
}
