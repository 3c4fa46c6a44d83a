package annotate

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sideport/annotate/taxonomy"
	"sideport/timeline/source"
)

// conversion is the event after which both vocabularies apply.
const conversion = "conversion"

// namer looks up what stamps and chapter titles name. After a conversion the
// vocabulary of the other procedure applies as well.
type namer struct {
	main   *taxonomy.Procedure
	others []*taxonomy.Procedure
}

func newNamer(p *taxonomy.Procedure) namer {
	n := namer{main: p}
	for _, o := range taxonomy.All() {
		if o.ID != p.ID {
			n.others = append(n.others, o)
		}
	}
	return n
}

// labelled is one text to be named.
type labelled struct {
	text string
	pos  source.Pos
}

// name looks up a list of texts in order. A first pass without context names what
// is plain; a second lets the named neighbours settle the abbreviations that mean
// different things at different moments.
func (n namer) name(list []labelled, converted bool) []taxonomy.Match {
	out := make([]taxonomy.Match, len(list))
	for i, l := range list {
		out[i] = n.match(l.text, taxonomy.Context{}, converted)
		converted = converted || out[i].ID == conversion
	}
	for i, l := range list {
		if len(out[i].Candidates) < 2 || out[i].ID != "" {
			continue
		}
		ctx := taxonomy.Context{Previous: neighbour(out, i, -1), Next: neighbour(out, i, 1)}
		out[i] = n.match(l.text, ctx, converted)
	}
	return out
}

func neighbour(matches []taxonomy.Match, i, step int) string {
	for j := i + step; j >= 0 && j < len(matches); j += step {
		if matches[j].Kind == taxonomy.KindStep && matches[j].ID != "" {
			return matches[j].ID
		}
	}
	return ""
}

func (n namer) match(text string, ctx taxonomy.Context, converted bool) taxonomy.Match {
	m := n.main.Match(text, ctx)
	if m.Kind != taxonomy.KindRemark || !converted {
		return m
	}
	for _, o := range n.others {
		if other := o.Match(text, ctx); other.Kind != taxonomy.KindRemark {
			return other
		}
	}
	return m
}

// step finds a step id in the vocabularies that apply. The id that comes back is
// the vocabulary's own: hydrodissection in a vocabulary that has only
// hydroprocedure is hydroprocedure.
func (n namer) step(id string, converted bool) (string, *taxonomy.Procedure, *taxonomy.Step) {
	for _, p := range n.vocabularies(converted) {
		if own, ok := p.Resolve(plainID(id)); ok {
			s, _ := p.Step(own)
			return own, p, s
		}
	}
	return id, n.main, nil
}

func (n namer) event(id string, converted bool) (*taxonomy.Event, bool) {
	for _, p := range n.vocabularies(converted) {
		if e, ok := p.Event(plainID(id)); ok {
			return e, true
		}
	}
	return nil, false
}

func (n namer) vocabularies(converted bool) []*taxonomy.Procedure {
	if converted {
		return append([]*taxonomy.Procedure{n.main}, n.others...)
	}
	return []*taxonomy.Procedure{n.main}
}

// stepIDs are the ids known, for the nearest one to be named.
func (n namer) stepIDs() []string {
	var ids []string
	for _, s := range n.main.Steps {
		ids = append(ids, s.ID)
	}
	return ids
}

func (n namer) eventIDs() []string {
	var ids []string
	for _, e := range n.main.Events {
		ids = append(ids, e.ID)
	}
	return ids
}

// sure is the confidence from which a name is taken without saying so: an exact
// name, a name inside a longer text, or one that the neighbours settle.
const sure = 0.8

// reportNames tells what the lookup left open or guessed.
func reportNames(list []labelled, matches []taxonomy.Match, p *taxonomy.Procedure, report source.Report) {
	for i, m := range matches {
		f := source.Finding{Pos: list[i].pos}
		switch {
		case len(m.Candidates) > 1 && m.ID == "":
			f.Severity, f.Rule = source.Caution, "step/ambiguous"
			f.Message = fmt.Sprintf("%q could name %s; it is left open", short(list[i].text), candidates(m.Candidates))
			f.Hint = "a longer name, or an entry with at: in case.yaml, settles it"
		case m.Kind == taxonomy.KindRemark && strings.TrimSpace(list[i].text) != "":
			f.Severity, f.Rule = source.Note, "step/not-named"
			f.Message = fmt.Sprintf("%q names no step, event or complication of the vocabulary; it is kept as a remark", short(list[i].text))
		case m.Kind == taxonomy.KindRemark:
			f.Severity, f.Rule = source.Note, "step/not-named"
			f.Message = "a time without words; it is kept as a remark"
		case m.Confidence < sure:
			label, _ := taxonomy.Label(p, m.ID, "en")
			f.Severity, f.Rule = source.Note, "step/guessed"
			f.Message = fmt.Sprintf("%q is read as %s", short(list[i].text), label)
		default:
			continue
		}
		report(f)
	}
}

func candidates(list []taxonomy.Candidate) string {
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b taxonomy.Candidate) int { return cmp.Compare(b.Score, a.Score) })
	var names []string
	for _, c := range sorted {
		if name := cmp.Or(c.ID, c.Meaning); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(names) == 1 {
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}

// short is a text cut to what a message can hold.
func short(text string) string {
	runes := []rune(strings.Join(strings.Fields(text), " "))
	if len(runes) <= 60 {
		return string(runes)
	}
	return string(runes[:57]) + "..."
}
