package ranges

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
)

// Truth is the answer to a condition: the facts may be silent.
type Truth int

// The answers.
const (
	Unknown Truth = iota
	True
	False
)

// Term is one comparison of a fact with values. Op is =, >=, <=, > or <; = holds when
// any of the fact's values is any of Values.
type Term struct {
	Key    string
	Op     string
	Values []string
}

// Condition holds when any of its terms does; with Not, when none does.
type Condition struct {
	Not   bool
	Terms []Term
}

// ParseCondition reads "variant = ccc | femto", "grade.locs3-no >= 5",
// "cataract = brown | black or grade.locs3-no >= 5", and any of them after "unless ".
func ParseCondition(text string) (Condition, error) {
	rest, not := strings.CutPrefix(strings.TrimSpace(text), "unless ")
	c := Condition{Not: not}
	for part := range strings.SplitSeq(rest, " or ") {
		t, err := parseTerm(part)
		if err != nil {
			return Condition{}, err
		}
		c.Terms = append(c.Terms, t)
	}
	return c, nil
}

func parseTerm(text string) (Term, error) {
	for _, op := range []string{">=", "<=", "=", ">", "<"} {
		key, values, ok := strings.Cut(text, op)
		if !ok {
			continue
		}
		t := Term{Key: strings.TrimSpace(key), Op: op}
		for v := range strings.SplitSeq(values, "|") {
			t.Values = append(t.Values, strings.TrimSpace(v))
		}
		if t.Key == "" || slices.Contains(t.Values, "") {
			break
		}
		if _, isNumber := number(t.Values[0]); op != "=" && (!isNumber || len(t.Values) > 1) {
			return Term{}, fmt.Errorf("the condition %q compares with one number", strings.TrimSpace(text))
		}
		return t, nil
	}
	return Term{}, fmt.Errorf("cannot read the condition %q; it is written fact = value, fact = value | value or fact >= number", strings.TrimSpace(text))
}

// String is c in the form ParseCondition reads.
func (c Condition) String() string {
	terms := make([]string, len(c.Terms))
	for i, t := range c.Terms {
		terms[i] = t.Key + " " + t.Op + " " + strings.Join(t.Values, " | ")
	}
	text := strings.Join(terms, " or ")
	if c.Not {
		return "unless " + text
	}
	return text
}

// holds evaluates c.
func (c Condition) holds(facts Facts) Truth {
	answer := False
	for _, t := range c.Terms {
		switch t.holds(facts) {
		case True:
			answer = True
		case Unknown:
			if answer == False {
				answer = Unknown
			}
		}
	}
	if c.Not && answer != Unknown {
		return True + False - answer
	}
	return answer
}

func (t Term) holds(facts Facts) Truth {
	values, known := facts.lookup(t.Key)
	if !known {
		return Unknown
	}
	for _, v := range values {
		if t.Op == "=" {
			if slices.ContainsFunc(t.Values, func(want string) bool { return same(v, want) }) {
				return True
			}
			continue
		}
		got, ok := number(v)
		if !ok {
			return Unknown
		}
		want, _ := number(t.Values[0])
		cmp := got.Cmp(want)
		if t.Op == ">=" && cmp >= 0 || t.Op == "<=" && cmp <= 0 || t.Op == ">" && cmp > 0 || t.Op == "<" && cmp < 0 {
			return True
		}
	}
	return False
}

func same(a, b string) bool {
	if a == b {
		return true
	}
	x, ok := number(a)
	y, ok2 := number(b)
	return ok && ok2 && x.Cmp(y) == 0
}

func number(text string) (*big.Rat, bool) {
	if text == "" || text[0] != '-' && (text[0] < '0' || text[0] > '9') || strings.ContainsAny(text, "/eE") {
		return nil, false
	}
	return new(big.Rat).SetString(text)
}

// missing lists the facts that keep c from being known, in the order of its terms.
func (c Condition) missing(facts Facts) []string {
	var keys []string
	for _, t := range c.Terms {
		if t.holds(facts) == Unknown && !slices.Contains(keys, t.Key) {
			keys = append(keys, t.Key)
		}
	}
	return keys
}
