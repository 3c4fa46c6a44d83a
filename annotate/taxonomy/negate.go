package taxonomy

import "slices"

// dropNegated leaves out the names a text says did not happen: "no leak", "PCR:
// none", "without suture", "to avoid iris prolapse".
func dropNegated(tokens []token, hits []hit) []hit {
	negated := make([]bool, len(hits))
	for i, h := range hits {
		negated[i] = deniedAfter(tokens, h) || deniedBefore(tokens, h)
		if i > 0 && negated[i-1] && hits[i-1].kind == h.kind && onlyConnectors(tokens[hits[i-1].to:h.from]) {
			negated[i] = true // "no PC rupture or vitreous loss"
		}
	}
	var out []hit
	for i, h := range hits {
		if !negated[i] {
			out = append(out, h)
		}
	}
	return out
}

// deniedBefore looks back from a name to a negation in the same clause, over words
// that qualify what is denied.
func deniedBefore(tokens []token, h hit) bool {
	if h.name.denied() {
		return false
	}
	spare := 0
	if h.kind == KindComplication {
		spare = 1 // "no posterior leak"
	}
	for i := h.from; i > 0 && !tokens[i].brk; i-- {
		word := tokens[i-1].text
		switch {
		case isNegation(word), h.kind == KindComplication && isForesight(word):
			return true
		case isQualifier(word):
		case spare > 0 && !isClauseWord(word):
			spare--
		default:
			return false
		}
	}
	return false
}

// denied reports whether the name is itself a negation, as "Seidel negative" is.
func (n *name) denied() bool {
	return slices.ContainsFunc(n.tokens, func(t token) bool { return t.text == "negative" })
}

// deniedAfter looks at the words after a name: "leak: none", "suture not needed".
func deniedAfter(tokens []token, h hit) bool {
	rest := tokens[h.to:]
	for len(rest) > 0 && (rest[0].text == "was" || rest[0].text == "is" || rest[0].text == "were") {
		rest = rest[1:]
	}
	if len(rest) == 0 {
		return false
	}
	switch rest[0].text {
	case "none", "nil", "omitted", "skipped", "deferred":
		return true
	case "absent", "negative", "neg", "excluded", "avoided", "averted":
		return h.kind == KindComplication
	case "ve":
		return h.kind == KindComplication && rest[0].glue == '-' // leak -ve
	case "ruled":
		return len(rest) > 1 && rest[1].text == "out"
	case "no", "0":
		return len(rest) == 1
	case "not":
		if len(rest) == 1 {
			return false
		}
		switch rest[1].text {
		case "needed", "required", "done", "used", "given", "necessary", "taken":
			return true
		}
		return h.kind == KindComplication
	}
	return false
}

func onlyConnectors(tokens []token) bool {
	return len(tokens) > 0 && !slices.ContainsFunc(tokens, func(t token) bool {
		return t.text != "or" && t.text != "and" && t.text != "nor"
	})
}

// negatedAt reports whether one of the two tokens before i denies it.
func negatedAt(tokens []token, i int) bool {
	for k := i; k > max(0, i-2) && !tokens[k].brk; k-- {
		if isNegation(tokens[k-1].text) {
			return true
		}
	}
	return false
}

func isNegation(word string) bool {
	switch word {
	case "no", "not", "nil", "without", "wo", "never", "nor", "none", "neither", "didnt", "wasnt", "isnt", "couldnt", "cannot", "cant",
		"absence", "instead", "wait", "waiting", "awaiting", "await":
		return true
	}
	return false
}

// isForesight are the words before a complication that was looked for or guarded
// against and not recorded.
func isForesight(word string) bool {
	switch word {
	case "avoid", "avoids", "avoided", "avoiding", "prevent", "prevents", "prevented", "preventing", "risk", "against", "if", "beware",
		"check", "checked", "checking", "look", "looking", "watch", "watching", "rule", "exclude", "excluded":
		return true
	}
	return false
}

// isQualifier are the words that may stand between a negation and what it denies.
func isQualifier(word string) bool {
	switch word {
	case "more", "further", "need", "needed", "for", "of", "any", "sign", "signs", "evidence", "obvious", "visible", "yet", "new", "other",
		"to", "do", "did", "frank", "significant", "major", "active", "gross", "real", "see", "seen", "have", "had", "there", "was",
		"out", "possible", "from", "real-time", "wound", "definite":
		return true
	}
	return false
}

// isClauseWord are the words a negation does not reach across.
func isClauseWord(word string) bool {
	switch word {
	case "so", "but", "then", "because", "as", "since", "due", "after", "before", "until", "while", "during", "therefore", "hence", "and",
		"with", "in", "on", "at", "by":
		return true
	}
	return false
}

// subordinate reports whether a name follows a preposition, so that the text is
// about something else: "under visco", "before rhexis", "with Simcoe".
func subordinate(tokens []token, h hit, found []hit) bool {
	for i := h.from; i > max(0, h.from-2) && !tokens[i].brk; i-- {
		if slices.ContainsFunc(found, func(o hit) bool { return o.to == i }) {
			return false // the preposition belongs to the name between
		}
		switch tokens[i-1].text {
		case "under", "with", "using", "via", "through", "before", "after", "during", "for", "by", "from", "over", "behind", "of",
			"into", "near", "above", "below", "while", "in", "on", "at", "inside", "w":
			return true
		}
	}
	return false
}
