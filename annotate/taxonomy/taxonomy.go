package taxonomy

import (
	"slices"
	"sync"
)

// Kind says what a text or an id names.
type Kind string

// The kinds. A Remark names nothing of the vocabulary.
const (
	KindStep         Kind = "step"
	KindEvent        Kind = "event"
	KindComplication Kind = "complication"
	KindRemark       Kind = "remark"
)

// Order says that the first occurrence of Before stands ahead of the first
// occurrence of After, in a case that has both. Hard is the trade's fixed order;
// the rest is custom. OrSame allows the two to fall together.
type Order struct {
	Before, After    string
	Hard, OrSame     bool
	Source, Evidence string
}

// Variant is one way of doing a step. Synonyms name the variant and so its step
// wherever they stand, Words only where they are the whole text, Beside only
// beside the step ("in the bag" beside "IOL").
type Variant struct {
	ID       string
	Synonyms []string
	Words    []string
	Beside   []string
}

// Window is how long a step takes, in seconds: Expert is the least and Trainee
// the most that raises no question.
type Window struct {
	Expert, Trainee  int
	Source, Evidence string
}

// Repeats is how often a step occurs in one case; the zero value is unknown.
type Repeats struct {
	Low, High        int
	Source, Evidence string
}

// Step is one step of a procedure.
type Step struct {
	ID, Label string
	Required  bool // expected in every case, save the procedure's Absences
	Repeat    bool // may occur more than once
	OffVideo  bool // often done before the recording starts
	// Synonyms are the step's names besides Label; Words are names that are common
	// words too and count only where they are the whole text.
	Synonyms, Words []string
	Variants        []Variant
	Complications   []string // ids, those to offer first
	Instruments     []string
	WindowS         [2]int // expert..trainee, seconds; the same as Window
	WindowSource    string // the same as Window.Source
	Window          Window
	Repeats         Repeats
	// DataLabels are the class names of open label sets that resolve to the step,
	// by data set.
	DataLabels map[string][]string
	Why        string // why the step matters, one or two sentences
}

// Event is what may happen at any step: an intended act outside the order of
// steps, or a complication. Severity is note, caution or stop, our own default;
// AtEnd is the severity when it is recorded at the end of the case, where that
// differs.
type Event struct {
	ID, Label       string
	Complication    bool
	Severity, AtEnd string
	Evidence        string // of the severity; empty for an event
	Synonyms, Words []string
	CommonLabel     bool     // id and label are common words and count as Words do
	Steps           []string // ids of the steps it usually belongs to
}

// Kind is KindEvent or KindComplication.
func (e *Event) Kind() Kind {
	if e.Complication {
		return KindComplication
	}
	return KindEvent
}

// Condition is a fact of a case under which a step may be absent: Step was done,
// or was done as Variant; or, with Step empty, the case's Fact has the Value.
type Condition struct {
	Step, Variant string
	Fact, Value   string
}

// Absence lists steps whose absence is normal when any of the conditions holds.
type Absence struct {
	When  []Condition
	Steps []string
	Why   string
}

// DataLabel maps one class name of an open label set to the step it starts with.
// Covers lists every step the class may show, Step among them.
type DataLabel struct {
	Set, Class string
	Step       string // empty for a class that names no step
	Covers     []string
	Note       string
	Source     string // of the label set
}

// Reading is one meaning of a text that has several: a step, event or
// complication, or, with an empty ID, a Meaning outside the vocabulary. Handicap
// is how many places of the step order the reading yields to the others.
type Reading struct {
	ID, Variant, Meaning string
	Handicap             int
}

// Collision is a text that several readings claim. With Default the first of them
// holds where the neighbours do not decide; a Common text counts only as the whole.
type Collision struct {
	Text     string
	Default  bool
	Common   bool
	Readings []Reading
}

// Procedure is the vocabulary of one operation. Steps stand in the usual order.
// The value is shared: it is not to be changed.
type Procedure struct {
	ID, Label  string
	Steps      []Step
	Events     []Event
	Order      []Order
	MaySwap    [][]string
	OneOf      [][]string // of each group at least one step is expected
	Absences   []Absence
	Opens      []string // steps of other vocabularies that a conversion opens
	DataLabels []DataLabel
	Collisions []Collision

	index func() *index // built at the first Match
	guess func() *guess // built at the first Likely
}

var all = sync.OnceValue(load)

// All returns the built-in procedures in a fixed order. Cost is a few
// milliseconds at the first call and nothing afterwards.
func All() []*Procedure { return slices.Clone(all()) }

// ByID returns the procedure with the id.
func ByID(id string) (*Procedure, bool) {
	for _, p := range all() {
		if p.ID == id {
			return p, true
		}
	}
	return nil, false
}

// Step returns the step with the id.
func (p *Procedure) Step(id string) (*Step, bool) {
	i := slices.IndexFunc(p.Steps, func(s Step) bool { return s.ID == id })
	if i < 0 {
		return nil, false
	}
	return &p.Steps[i], true
}

// Event returns the event or complication with the id.
func (p *Procedure) Event(id string) (*Event, bool) {
	i := slices.IndexFunc(p.Events, func(e Event) bool { return e.ID == id })
	if i < 0 {
		return nil, false
	}
	return &p.Events[i], true
}

// Kind says what the id names in p, and is empty for an unknown id.
func (p *Procedure) Kind(id string) Kind {
	if _, ok := p.Step(id); ok {
		return KindStep
	}
	if e, ok := p.Event(id); ok {
		return e.Kind()
	}
	return ""
}

// Rank is the place of a step in the usual order, from 0, and -1 for an id that
// is no step of p. A narrower id has the rank of its parent and the reverse, as
// Resolve says.
func (p *Procedure) Rank(id string) int {
	id, _ = p.Resolve(id)
	return slices.IndexFunc(p.Steps, func(s Step) bool { return s.ID == id })
}

// MayRepeat reports whether the step may occur more than once in a case.
func (p *Procedure) MayRepeat(id string) bool {
	id, _ = p.Resolve(id)
	s, ok := p.Step(id)
	return ok && s.Repeat
}

// Instruments are the instruments of a step, nil for an unknown id.
func (p *Procedure) Instruments(id string) []string {
	if s, ok := p.Step(id); ok {
		return s.Instruments
	}
	return nil
}

// Variant returns the variant of a step with the id.
func (s *Step) Variant(id string) (*Variant, bool) {
	i := slices.IndexFunc(s.Variants, func(v Variant) bool { return v.ID == id })
	if i < 0 {
		return nil, false
	}
	return &s.Variants[i], true
}

// Names are the step's names besides its label: synonyms, common words and the
// names of its variants, in that order.
func (s *Step) Names() []string {
	out := slices.Concat(s.Synonyms, s.Words)
	for _, v := range s.Variants {
		out = append(out, slices.Concat(v.Synonyms, v.Words)...)
	}
	return out
}

// Before lists the steps that id stands ahead of by an order constraint, hard or
// soft, in the usual order.
func (p *Procedure) Before(id string) []string {
	var out []string
	for _, o := range p.Order {
		if o.Before == id && !slices.Contains(out, o.After) {
			out = append(out, o.After)
		}
	}
	slices.SortStableFunc(out, func(a, b string) int { return p.Rank(a) - p.Rank(b) })
	return out
}

// SwapsWith lists the steps that may stand on either side of id.
func (p *Procedure) SwapsWith(id string) []string {
	var out []string
	for _, group := range p.MaySwap {
		if !slices.Contains(group, id) {
			continue
		}
		for _, other := range group {
			if other != id && !slices.Contains(out, other) {
				out = append(out, other)
			}
		}
	}
	return out
}

// Parent is the wider step of which id is a part: hydroprocedure for
// hydrodissection and hydrodelineation. It returns false for every other id.
func Parent(id string) (string, bool) {
	switch id {
	case "hydrodissection", "hydrodelineation":
		return "hydroprocedure", true
	}
	return "", false
}

// Parent is the package's Parent, here beside the other questions about a step.
func (p *Procedure) Parent(id string) (string, bool) { return Parent(id) }

// Akin reports whether some open label set has one class for both steps, so that a
// text for the one may well mean the other.
func (p *Procedure) Akin(a, b string) bool {
	return a != b && slices.ContainsFunc(p.DataLabels, func(l DataLabel) bool {
		return slices.Contains(l.Covers, a) && slices.Contains(l.Covers, b)
	})
}

// Resolve finds the step of p that stands for id: id itself, else its parent,
// else the first step of p whose parent is id. An id that is no step in any of
// these ways comes back unchanged with false.
func (p *Procedure) Resolve(id string) (string, bool) {
	if _, ok := p.Step(id); ok {
		return id, true
	}
	if parent, ok := Parent(id); ok {
		if _, ok := p.Step(parent); ok {
			return parent, true
		}
	}
	for i := range p.Steps {
		if parent, ok := Parent(p.Steps[i].ID); ok && parent == id {
			return p.Steps[i].ID, true
		}
	}
	return id, false
}

// DataLabel returns what the mapping says of a class name, as the set spells it.
func (p *Procedure) DataLabel(set, class string) (DataLabel, bool) {
	for _, l := range p.DataLabels {
		if l.Set == set && l.Class == class {
			return l, true
		}
	}
	return DataLabel{}, false
}
