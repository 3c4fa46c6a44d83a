package taxonomy

import (
	"slices"
	"strings"
)

// target is what a name stands for.
type target struct {
	kind        Kind
	id, variant string
}

// name is one way of writing a target.
type name struct {
	target
	text      string
	tokens    []token
	key       string
	canonical bool       // an id or a label
	common    bool       // counts only as the whole text
	collision *Collision // several targets; target is then the first reading's
}

// index finds names by their key. A name's key is unique in exact; stems that two
// targets share are left out.
type index struct {
	exact, stems, commonStems map[string]*name
	beside                    map[string]map[string]string // step id, key, variant id
	near                      map[byte][]*name             // by first letter, for the edit distance
	plain                     map[string]bool              // English words that are no slip of a name
}

// names lists every way of writing the ids of p, canonical ones first.
func (p *Procedure) names() []name {
	var out []name
	add := func(t target, text string, canonical, common bool) {
		tokens := tokenise(text)
		if len(tokens) > 0 {
			out = append(out, name{target: t, text: text, tokens: tokens, key: key(tokens, true), canonical: canonical, common: common})
		}
	}
	all := func(t target, texts []string, common bool) {
		for _, text := range texts {
			add(t, text, false, common)
		}
	}
	for _, s := range p.Steps {
		t := target{kind: KindStep, id: s.ID}
		add(t, s.ID, true, false)
		add(t, s.Label, true, false)
		all(t, s.Synonyms, false)
		all(t, s.Words, true)
		for _, v := range s.Variants {
			t.variant = v.ID
			all(t, v.Synonyms, false)
			all(t, v.Words, true)
		}
	}
	for _, e := range p.Events {
		t := target{kind: e.Kind(), id: e.ID}
		add(t, e.ID, true, e.CommonLabel)
		add(t, e.Label, true, e.CommonLabel)
		all(t, e.Synonyms, false)
		all(t, e.Words, true)
	}
	for _, l := range p.DataLabels {
		if l.Step != "" {
			add(target{kind: KindStep, id: l.Step}, l.Class, false, true)
		}
	}
	return out
}

// lookup is the index of p, kept where p was read from the embedded files.
func (p *Procedure) lookup() *index {
	if p.index == nil {
		return newIndex(p)
	}
	return p.index()
}

func newIndex(p *Procedure) *index {
	x := &index{
		exact: map[string]*name{}, stems: map[string]*name{}, commonStems: map[string]*name{},
		beside: map[string]map[string]string{}, near: map[byte][]*name{}, plain: plainWords(),
	}
	known := stemmer{}
	for _, s := range p.Steps {
		x.beside[s.ID] = besideKeys(s)
	}
	for i := range p.Collisions {
		c := &p.Collisions[i]
		n := &name{text: c.Text, tokens: tokenise(c.Text), collision: c, common: c.Common}
		r := c.Readings[0]
		n.key, n.target = key(n.tokens, true), target{kind: p.readingKind(r), id: r.ID, variant: r.Variant}
		x.exact[n.key] = n
		x.addInexact(n, known)
	}
	names := p.names()
	for i := range names {
		n := &names[i]
		if _, taken := x.exact[n.key]; taken {
			continue
		}
		x.exact[n.key] = n
		x.addInexact(n, known)
	}
	for _, stems := range []map[string]*name{x.stems, x.commonStems} {
		for k, n := range stems {
			if n == nil { // two targets
				delete(stems, k)
			}
		}
	}
	return x
}

// addInexact enters a name for its stems and, when it is long enough and no
// abbreviation, for the edit distance.
func (x *index) addInexact(n *name, known stemmer) {
	known.add(n.tokens)
	stem := stemKey(n.tokens)
	if len(stem) < 4 || words(n.tokens) < len(n.tokens) || n.text == strings.ToUpper(n.text) {
		return
	}
	stems := x.stems
	if n.common {
		stems = x.commonStems
	}
	if other, taken := stems[stem]; taken {
		if other != nil && other.target != n.target {
			stems[stem] = nil
		}
	} else {
		stems[stem] = n
	}
	if !n.common && len(n.key) > 4 {
		x.near[n.key[0]] = append(x.near[n.key[0]], n)
	}
}

// besideKeys are the words that name a variant beside its step: those listed and
// the variant's id.
func besideKeys(s Step) map[string]string {
	keys := map[string]string{}
	put := func(id string, texts ...string) {
		for _, text := range texts {
			if k := key(tokenise(text), true); k != "" && keys[k] == "" {
				keys[k] = id
			}
		}
	}
	for _, v := range s.Variants {
		put(v.ID, slices.Concat(v.Beside, v.Words, v.Synonyms)...)
	}
	for _, v := range s.Variants {
		if v.ID != "none" && v.ID != "without" {
			put(v.ID, v.ID)
		}
	}
	return keys
}

func (p *Procedure) readingKind(r Reading) Kind {
	if r.ID == "" {
		return KindRemark
	}
	return p.Kind(r.ID)
}

// plainWords are the English words within the edit distance of a name.
func plainWords() map[string]bool {
	text, err := files.ReadFile("data/plain.txt")
	if err != nil {
		panic("taxonomy: " + err.Error())
	}
	out := map[string]bool{}
	for line := range strings.Lines(string(text)) {
		if word := strings.TrimSpace(line); word != "" && word[0] != '#' {
			out[spell(word)] = true
		}
	}
	return out
}
