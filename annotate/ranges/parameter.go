package ranges

import (
	"fmt"
	"slices"
	"strings"

	"sideport/annotate/quantity"
)

// Kind says what the value of a parameter is.
type Kind string

// The kinds.
const (
	KindQuantity Kind = "quantity" // number or range with a unit
	KindNumber   Kind = "number"   // number or range without a unit, such as a grade
	KindCount    Kind = "count"
	KindSize     Kind = "size" // 10-0, 23 G
	KindWord     Kind = "word" // of a closed list
	KindYesNo    Kind = "yes-no"
	KindPlace    Kind = "place" // degrees, clock hour or name
)

// Parameter is one thing that can be recorded of a step, the eye or the case.
type Parameter struct {
	ID, Label    string
	Kind         Kind
	Unit         quantity.Unit // of a value written without one, where UnitOptional; of messages elsewhere
	UnitOptional bool
	Steps        []string // steps it belongs to; "" is the whole case, before, day-1 and week-6 the header
	Words        []string // the closed list of a word; of another kind, words taken beside its values
	Secondary    bool     // never the likely meaning of a bare value
	Seldom       []string // steps in which it is not the likely meaning of a bare value
	Signed       bool     // a difference, which may be below 0
	Dose         bool     // a range of it that is from memory is not judged
	Doc          string
}

// In reports whether the parameter belongs to a step.
func (p Parameter) In(step string) bool {
	return slices.Contains(p.Steps, step) || slices.Contains(p.Steps, AnyStep)
}

// Parse reads a value of the parameter: it assumes the unit where none has to be
// written and holds words to the closed list. The error is lower case.
func (p Parameter) Parse(text string) (quantity.Quantity, error) {
	assumed := ""
	if p.UnitOptional || p.Kind == KindCount || p.Kind == KindSize {
		assumed = p.Unit
	}
	q, err := quantity.ParseIn(text, assumed)
	if err != nil {
		return q, err
	}
	switch p.Kind {
	case KindYesNo:
		if q.Kind != quantity.YesNo {
			return q, fmt.Errorf("expected yes or no, found %q", text)
		}
		return q, nil
	case KindWord:
		if word, ok := p.word(q); ok {
			return quantity.Quantity{Text: q.Text, Kind: quantity.Word, Word: word}, nil
		}
		return q, fmt.Errorf("expected one of %s, found %q", strings.Join(p.Words, ", "), text)
	case KindPlace:
		if q.Kind == quantity.Word || q.Kind == quantity.Place || q.Unit == quantity.Degree || q.Unit == "" && q.Numeric() {
			return q, nil
		}
		return q, fmt.Errorf("expected degrees, a clock hour or a place on the limbus, found %q", text)
	}
	if word, ok := p.word(q); ok {
		return quantity.Quantity{Text: q.Text, Kind: quantity.Word, Word: word}, nil
	}
	if !q.Numeric() {
		return q, fmt.Errorf("expected a number, found %q", text)
	}
	return q, nil
}

// word is the word of the closed list that q is; common spellings count.
func (p Parameter) word(q quantity.Quantity) (string, bool) {
	word := q.Word
	if q.Kind == quantity.Size {
		return "", false
	}
	if word == "" {
		word = strings.ToLower(q.Text)
	}
	if i := slices.Index(p.Words, word); i >= 0 {
		return p.Words[i], true
	}
	alias := map[string]string{
		"balanced-salt-solution": "bss", "ringer-lactate": "ringer", "ringers-lactate": "ringer", "rl": "ringer", "normal-saline": "saline",
		"ha": "hyaluronate", "sodium-hyaluronate": "hyaluronate", "hydroxypropyl-methylcellulose": "hpmc", "methylcellulose": "hpmc",
		"moxi": "moxifloxacin", "lignocaine": "lidocaine", "epinephrine": "adrenaline", "genta": "gentamicin", "dexa": "dexamethasone",
		"blue-white": "middle", "grey-line": "posterior",
	}[word]
	if slices.Contains(p.Words, alias) {
		return alias, true
	}
	return "", false
}
