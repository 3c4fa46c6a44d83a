package taxonomy

import (
	"embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"
)

//go:embed data
var files embed.FS

type (
	procedureFile struct {
		ID            string         `yaml:"id"`
		Window        cited          `yaml:"window"`
		Steps         []stepEntry    `yaml:"steps"`
		Order         []chainEntry   `yaml:"order"`
		OrderSource   string         `yaml:"order-source"`
		OrderEvidence string         `yaml:"order-evidence"`
		MaySwap       []list         `yaml:"may-swap"`
		OneOf         []list         `yaml:"one-of"`
		Absences      []absenceEntry `yaml:"absences"`
		Opens         []string       `yaml:"opens"`
	}
	stepEntry struct {
		ID            string         `yaml:"id"`
		Like          string         `yaml:"like"` // the procedure whose step of this id is taken over
		Required      bool           `yaml:"required"`
		Repeat        bool           `yaml:"repeat"`
		OffVideo      bool           `yaml:"off-video"`
		Repeats       *repeatEntry   `yaml:"repeats"`
		Synonyms      []string       `yaml:"synonyms"`
		Words         []string       `yaml:"words"`
		Variants      []variantEntry `yaml:"variants"`
		Complications []string       `yaml:"complications"`
		Instruments   []string       `yaml:"instruments"`
		Window        []int          `yaml:"window"`
		WindowSource  string         `yaml:"window-source"`
		Why           string         `yaml:"why"`
	}
	variantEntry struct {
		ID       string   `yaml:"id"`
		Synonyms []string `yaml:"synonyms"`
		Words    []string `yaml:"words"`
		Beside   []string `yaml:"beside"`
	}
	repeatEntry struct {
		Times    []int  `yaml:"times"`
		Source   string `yaml:"source"`
		Evidence string `yaml:"evidence"`
	}
	chainEntry struct {
		Chain  []string `yaml:"chain"`
		Hard   bool     `yaml:"hard"`
		OrSame bool     `yaml:"or-same"`
	}
	absenceEntry struct {
		When  []conditionEntry `yaml:"when"`
		Steps []string         `yaml:"steps"`
		Why   string           `yaml:"why"`
	}
	conditionEntry struct {
		Step    string `yaml:"step"`
		Variant string `yaml:"variant"`
		Fact    string `yaml:"fact"`
		Value   string `yaml:"value"`
	}
	cited struct {
		Source   string `yaml:"source"`
		Evidence string `yaml:"evidence"`
	}
	eventEntry struct {
		ID       string   `yaml:"id"`
		Common   bool     `yaml:"common"` // id and label are common words
		Severity string   `yaml:"severity"`
		AtEnd    string   `yaml:"at-end"`
		Synonyms []string `yaml:"synonyms"`
		Words    []string `yaml:"words"`
		Steps    []string `yaml:"steps"`
	}
	collisionEntry struct {
		Text     string         `yaml:"text"`
		Default  bool           `yaml:"default"`
		Common   bool           `yaml:"common"`
		Readings []readingEntry `yaml:"readings"`
	}
	readingEntry struct {
		ID       string `yaml:"id"`
		Variant  string `yaml:"variant"`
		Meaning  string `yaml:"meaning"`
		Handicap int    `yaml:"handicap"`
	}
	dataSetEntry struct {
		Source    string       `yaml:"source"`
		Procedure string       `yaml:"procedure"`
		Classes   []classEntry `yaml:"classes"`
	}
	classEntry struct {
		Class  string   `yaml:"class"`
		Step   string   `yaml:"step"`
		Covers []string `yaml:"covers"`
		Note   string   `yaml:"note"`
	}
)

// list is a sequence inside a sequence.
type list []string

// UnmarshalNode reads a sequence of texts.
func (l *list) UnmarshalNode(n yamldoc.Node, _ source.Report) {
	for _, item := range n.Items() {
		*l = append(*l, item.Value())
	}
}

// read decodes an embedded file. A fault in it is a programmer's, so it panics.
func read(name string, into any) {
	text, err := files.ReadFile("data/" + name)
	if err != nil {
		panic("taxonomy: " + err.Error())
	}
	yamldoc.Decode(source.New(name, text), into, func(f source.Finding) {
		panic("taxonomy: " + f.String())
	})
}

func load() []*Procedure {
	var (
		events, complications []eventEntry
		collisions            []collisionEntry
		sets                  map[string]dataSetEntry
	)
	read("events.yaml", &events)
	read("complications.yaml", &complications)
	read("collisions.yaml", &collisions)
	read("datasets.yaml", &sets)

	var out []*Procedure
	for _, name := range []string{"msics.yaml", "phaco.yaml"} {
		var file procedureFile
		read(name, &file)
		p := &Procedure{ID: file.ID, MaySwap: texts(file.MaySwap), OneOf: texts(file.OneOf), Opens: file.Opens}
		p.Label, _ = Label(nil, p.ID, reference)
		for _, e := range file.Steps {
			p.Steps = append(p.Steps, file.step(e, out))
		}
		for _, e := range events {
			p.Events = append(p.Events, p.event(e, false))
		}
		for _, e := range complications {
			p.Events = append(p.Events, p.event(e, true))
		}
		p.Order = file.order()
		p.Absences = file.absences()
		p.addCollisions(collisions)
		p.addDataLabels(sets)
		p.index = sync.OnceValue(func() *index { return newIndex(p) })
		p.guess = sync.OnceValue(func() *guess { return newGuess(p) })
		out = append(out, p)
	}
	return out
}

func (f *procedureFile) step(e stepEntry, done []*Procedure) Step {
	s := Step{}
	if e.Like != "" {
		i := slices.IndexFunc(done, func(p *Procedure) bool { return p.ID == e.Like })
		base, ok := done[i].Step(e.ID)
		if !ok {
			panic(fmt.Sprintf("taxonomy: %s is like no step of %s", e.ID, e.Like))
		}
		s = *base
		s.Synonyms, s.Words, s.Variants = slices.Clone(s.Synonyms), slices.Clone(s.Words), slices.Clone(s.Variants)
		s.DataLabels = nil
	}
	s.ID, s.Required, s.Repeat, s.OffVideo = e.ID, e.Required, e.Repeat, e.OffVideo
	s.Label, _ = Label(&Procedure{ID: f.ID}, e.ID, reference)
	s.Synonyms = append(s.Synonyms, e.Synonyms...)
	s.Words = append(s.Words, e.Words...)
	if e.Variants != nil {
		s.Variants = nil
		for _, v := range e.Variants {
			s.Variants = append(s.Variants, Variant(v))
		}
	}
	if e.Complications != nil {
		s.Complications = e.Complications
	}
	if e.Instruments != nil {
		s.Instruments = e.Instruments
	}
	if e.Why != "" {
		s.Why = strings.TrimSpace(e.Why)
	}
	if len(e.Window) == 2 {
		s.Window = Window{Expert: e.Window[0], Trainee: e.Window[1], Source: f.Window.Source, Evidence: f.Window.Evidence}
		if e.WindowSource != "" {
			s.Window.Source = strings.TrimSpace(e.WindowSource)
		}
		s.WindowS, s.WindowSource = [2]int{s.Window.Expert, s.Window.Trainee}, s.Window.Source
	}
	if r := e.Repeats; r != nil && len(r.Times) == 2 {
		s.Repeats = Repeats{Low: r.Times[0], High: r.Times[1], Source: r.Source, Evidence: r.Evidence}
	}
	return s
}

// event keeps the entry's steps that p has and adds those that offer it.
func (p *Procedure) event(e eventEntry, complication bool) Event {
	ev := Event{
		ID: e.ID, Complication: complication, Severity: e.Severity, AtEnd: e.AtEnd,
		Synonyms: e.Synonyms, Words: e.Words, CommonLabel: e.Common,
	}
	ev.Label, _ = Label(p, e.ID, reference)
	if complication {
		ev.Evidence = "assumption"
	}
	for _, id := range e.Steps {
		if _, ok := p.Step(id); ok {
			ev.Steps = append(ev.Steps, id)
		}
	}
	for _, s := range p.Steps {
		if slices.Contains(s.Complications, e.ID) && !slices.Contains(ev.Steps, s.ID) {
			ev.Steps = append(ev.Steps, s.ID)
		}
	}
	return ev
}

func (f *procedureFile) order() []Order {
	var out []Order
	for _, c := range f.Order {
		for i := 1; i < len(c.Chain); i++ {
			out = append(out, Order{
				Before: c.Chain[i-1], After: c.Chain[i], Hard: c.Hard, OrSame: c.OrSame,
				Source: f.OrderSource, Evidence: f.OrderEvidence,
			})
		}
	}
	return out
}

func (f *procedureFile) absences() []Absence {
	var out []Absence
	for _, a := range f.Absences {
		conditions := make([]Condition, len(a.When))
		for i, w := range a.When {
			conditions[i] = Condition(w)
		}
		out = append(out, Absence{When: conditions, Steps: a.Steps, Why: a.Why})
	}
	return out
}

// addCollisions keeps the readings p has. A text with one reading left becomes a
// synonym of it.
func (p *Procedure) addCollisions(entries []collisionEntry) {
	for _, e := range entries {
		c := Collision{Text: e.Text, Default: e.Default, Common: e.Common}
		for _, r := range e.Readings {
			if r.ID == "" || p.Kind(r.ID) != "" {
				c.Readings = append(c.Readings, Reading(r))
			}
		}
		if len(c.Readings) > 1 {
			p.Collisions = append(p.Collisions, c)
			continue
		}
		for _, r := range c.Readings {
			p.addSynonym(r, c.Text)
		}
	}
}

func (p *Procedure) addSynonym(r Reading, text string) {
	if e, ok := p.Event(r.ID); ok {
		e.Synonyms = append(slices.Clone(e.Synonyms), text)
		return
	}
	s, ok := p.Step(r.ID)
	if !ok {
		return
	}
	if v, ok := s.Variant(r.Variant); ok {
		v.Synonyms = append(slices.Clone(v.Synonyms), text)
		return
	}
	s.Synonyms = append(s.Synonyms, text)
}

func (p *Procedure) addDataLabels(sets map[string]dataSetEntry) {
	var names []string
	for name := range sets {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		set := sets[name]
		if set.Procedure != p.ID {
			continue
		}
		for _, c := range set.Classes {
			l := DataLabel{Set: name, Class: c.Class, Step: c.Step, Covers: c.Covers, Note: c.Note, Source: set.Source}
			if l.Covers == nil && l.Step != "" {
				l.Covers = []string{l.Step}
			}
			p.DataLabels = append(p.DataLabels, l)
			if s, ok := p.Step(c.Step); ok {
				if s.DataLabels == nil {
					s.DataLabels = map[string][]string{}
				}
				s.DataLabels[name] = append(s.DataLabels[name], c.Class)
			}
		}
	}
}

func texts(lists []list) [][]string {
	var out [][]string
	for _, l := range lists {
		out = append(out, l)
	}
	return out
}
