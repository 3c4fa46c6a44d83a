package narration

// Named is an event or a complication that a text names.
type Named struct {
	Event      string
	Start, End int    // of the stretch in the text
	Quote      string // the stretch
}

// Events looks for events in each stretch between full stops and commas: match says
// what a stretch names. One that is negated is not shown to it, nor one of a
// sentence that plans, asks or tells of what is usual. An event is named once, by
// the first stretch that names it. lex may be nil, which is English.
func Events(text string, lex *Lexicon, match func(stretch string) (event string, ok bool)) []Named {
	if lex == nil {
		lex = English()
	}
	r := reading{lex: lex, spoken: spoken{text: text}}
	r.words, r.questions = splitWords(text)
	r.mark()
	var out []Named
	seen := map[string]bool{}
	for i := 0; i < len(r.words); {
		j := i + 1
		for j < len(r.words) && r.words[j].sentence == r.words[i].sentence && r.words[j].segment == r.words[i].segment {
			j++
		}
		start, end := r.words[i].start, r.words[j-1].end
		if !r.silenced(i) {
			if id, ok := match(text[start:end]); ok && !seen[id] {
				seen[id] = true
				out = append(out, Named{id, start, end, text[start:end]})
			}
		}
		i = j
	}
	return out
}
