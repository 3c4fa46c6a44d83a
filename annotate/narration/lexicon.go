package narration

import (
	"embed"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"sideport/annotate/quantity"
	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"
)

//go:embed lexicon/*.yaml
var lexiconFiles embed.FS

// Lexicon holds the words of one language. It is read-only once made.
type Lexicon struct {
	Language  string
	entries   []entry
	phrases   map[string][]int // phrase -> entries; others have an empty list
	negations map[string]bool  // false for a phrase that only looks like one
	plans     map[string]bool  // likewise
	longest   int              // words of the longest phrase of any list
}

// entry ties words to a parameter: to one everywhere, or to one at each of some
// steps.
type entry struct {
	parameter string
	steps     map[string]string
	unit      quantity.Unit
}

// at is the parameter the entry means at a step, or empty.
func (e entry) at(step string) string {
	if e.parameter != "" {
		return e.parameter
	}
	return e.steps[step]
}

// English is the built-in lexicon.
func English() *Lexicon { return english() }

var english = sync.OnceValue(func() *Lexicon {
	raw, err := lexiconFiles.ReadFile("lexicon/en.yaml")
	if err != nil {
		panic("narration: " + err.Error())
	}
	return ReadLexicon(source.New("lexicon/en.yaml", raw), func(f source.Finding) {
		panic("narration: " + f.String())
	})
})

type lexiconFile struct {
	Language   yamldoc.Text `yaml:"language"`
	Parameters []struct {
		Words     []yamldoc.Text          `yaml:"words"`
		Unit      yamldoc.Text            `yaml:"unit"`
		Parameter yamldoc.Text            `yaml:"parameter"`
		Steps     map[string]yamldoc.Text `yaml:"steps"`
	} `yaml:"parameters"`
	Others    []yamldoc.Text `yaml:"others"`
	Negations []yamldoc.Text `yaml:"negations"`
	Plans     []yamldoc.Text `yaml:"plans"`
	Harmless  []yamldoc.Text `yaml:"harmless"`
}

// ReadLexicon reads a lexicon file. An entry without words, without a parameter or
// with an unknown unit is reported as read/lexicon and left out.
func ReadLexicon(src *source.Source, report source.Report) *Lexicon {
	var file lexiconFile
	yamldoc.Decode(src, &file, report)
	l := &Lexicon{
		Language: file.Language.Value,
		phrases:  map[string][]int{}, negations: map[string]bool{}, plans: map[string]bool{},
	}
	for i, p := range file.Parameters {
		unit, known := quantity.ParseUnit(p.Unit.Value)
		fault := ""
		switch {
		case len(p.Words) == 0:
			fault = "the entry has no words"
		case (p.Parameter.Value == "") == (len(p.Steps) == 0):
			fault = "the entry has not exactly one of parameter and steps"
		case !known:
			fault = fmt.Sprintf("unknown unit %q", p.Unit.Value)
		}
		if fault != "" {
			pos := p.Unit.Pos
			if len(p.Words) > 0 {
				pos = p.Words[0].Pos
			}
			report(source.Finding{Pos: pos, Path: fmt.Sprintf("parameters[%d]", i), Severity: source.Error, Rule: "read/lexicon", Message: fault})
			continue
		}
		e := entry{parameter: p.Parameter.Value, unit: unit, steps: map[string]string{}}
		for step, id := range p.Steps {
			e.steps[step] = id.Value
		}
		l.entries = append(l.entries, e)
		for _, w := range p.Words {
			key := l.phrase(w.Value)
			l.phrases[key] = append(l.phrases[key], len(l.entries)-1)
		}
	}
	for _, w := range file.Others {
		if key := l.phrase(w.Value); l.phrases[key] == nil {
			l.phrases[key] = []int{}
		}
	}
	for _, w := range file.Negations {
		l.negations[l.phrase(w.Value)] = true
	}
	for _, w := range file.Plans {
		l.plans[l.phrase(w.Value)] = true
	}
	for _, w := range file.Harmless {
		key := l.phrase(w.Value)
		l.negations[key], l.plans[key] = false, false
	}
	return l
}

// phrase is the key of some words: lower case, single spaces.
func (l *Lexicon) phrase(text string) string {
	words := strings.Fields(strings.ToLower(strings.ReplaceAll(text, "-", " ")))
	l.longest = max(l.longest, len(words))
	return strings.Join(words, " ")
}

// Parameters lists the parameter ids the lexicon can name, sorted, for a check
// against the ranges.
func (l *Lexicon) Parameters() []string { return slices.Sorted(maps.Keys(l.Units())) }

// Units lists the units the lexicon ties to each parameter, in file order.
func (l *Lexicon) Units() map[string][]quantity.Unit {
	out := map[string][]quantity.Unit{}
	for _, e := range l.entries {
		ids := slices.Sorted(maps.Values(e.steps))
		if e.parameter != "" {
			ids = append(ids, e.parameter)
		}
		for _, id := range ids {
			if !slices.Contains(out[id], e.unit) {
				out[id] = append(out[id], e.unit)
			}
		}
	}
	return out
}
