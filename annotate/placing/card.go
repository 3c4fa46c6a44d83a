package placing

import (
	"slices"
	"strings"
	"time"
)

// cardWords are what editors call a chapter that shows no recording: a title, an
// introduction, slides. Common practice, no source.
func cardWords() []string {
	return []string{
		"title", "titles", "intro", "introduction", "opening", "card", "slide", "slides", "credits",
		"disclosure", "disclosures", "welcome", "logo", "overview", "presentation", "history",
	}
}

// opensWithCard reports whether everything the chapters say of the video before
// the moment first is that it is an opening card: the chapters there name no step,
// and the first of them is called by a word for a card.
func (p *placer) opensWithCard(first time.Duration) bool {
	leading := 0
	for _, j := range p.chapterOrder {
		c := p.chapters[j]
		if c.From >= first {
			break
		}
		if c.Kind != kindRemark || len(c.Candidates) > 0 || leading == 0 && !calledCard(c.Title) {
			return false
		}
		leading++
	}
	return leading > 0
}

func calledCard(title string) bool {
	words := strings.FieldsFunc(strings.ToLower(title), func(r rune) bool { return r < 'a' || r > 'z' })
	return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(cardWords(), w) })
}
