package rules

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"sideport/annotate"
	"sideport/annotate/privacy"
	"sideport/annotate/rule"
	"sideport/timeline/source"
)

// privacyText looks through every text that an export could carry. A message never
// repeats what it found.
func privacyText() rule.Rule {
	return rule.Rule{
		Name:     "privacy/text",
		Severity: source.Stop,
		Doc: "A text of the case holds something of a class that could identify the patient, or one of the case's private words. " +
			"Every output of the case is withheld until the text is changed or the place is accepted with a reason. A private word is not accepted anywhere. " +
			"The notes are read twice: as they are written and as Markdown shows them.",
		Run: func(p *rule.Pass) {
			opt := privacy.Options{PrivateWords: p.Case.PrivateWords(), AllowYear: true}
			p = once(p)
			for _, t := range p.Case.File.FreeTexts() {
				o := opt
				o.Published = strings.HasPrefix(t.Path, "references[")
				scan(p, t.Value, t.Pos, t.Path, o)
			}
			privateInCaseFile(p)
			for _, t := range p.Case.File.Authors { // public names; a private word is none
				for _, h := range privacy.Scan(t.Value, opt) {
					if h.Class == privacy.PrivateWord {
						p.Report(identifier(h.Class, locate(t.Pos, t.Value, h.Start), t.Path, "the text"))
					}
				}
			}
			for _, s := range p.Case.Marks { // not what recording.part leaves out: it goes nowhere
				scan(p, s.Text, s.TextPos, "", opt)
			}
			for _, t := range p.Case.Material.Chapters {
				scan(p, t.Title, t.TitleP, "", opt)
			}
			for _, c := range p.Case.Cues {
				scan(p, c.ID, c.Pos, "", opt) // captions keep it
				scan(p, p.Case.PlainCue(c), c.TextPos, "", opt)
			}
			if n := p.Case.Notes; n != nil {
				scanMarkdown(p, n, opt)
			}
			if own := p.Case.Ranges; own != nil { // findings quote whose ranges they are
				opt.Published = true
				scan(p, string(own.Text()), own.Pos(0), "", opt)
			}
		},
	}
}

// once is the pass with one finding a place: a private word of the case file is seen
// as a word of the file and as part of a text.
func once(p *rule.Pass) *rule.Pass {
	seen := map[string]bool{}
	return &rule.Pass{Case: p.Case, Report: func(f source.Finding) {
		if key := f.Pos.String() + f.Message; !seen[key] {
			seen[key] = true
			p.Report(f)
		}
	}}
}

// privateInCaseFile looks for private words anywhere in case.yaml, keys and remarks
// included, but where they are listed.
func privateInCaseFile(p *rule.Pass) {
	for _, offset := range privateOffsets(p.Case) {
		p.Report(identifier(privacy.PrivateWord, p.Case.CaseFile.Pos(offset), "", "the text"))
	}
}

// privateOffsets is where private words stand in case.yaml, but where they are listed.
func privateOffsets(c *annotate.Case) []int {
	words := c.File.PrivateWords
	if len(words) == 0 {
		return nil
	}
	var out []int
	for _, h := range privacy.Scan(string(c.CaseFile.Text()), privacy.Options{PrivateWords: c.PrivateWords()}) {
		listed := slices.ContainsFunc(words, func(w annotate.Text) bool {
			return w.Pos.Offset <= h.Start && h.Start <= w.Pos.Offset+len(w.Value)
		})
		if h.Class == privacy.PrivateWord && !listed {
			out = append(out, h.Start)
		}
	}
	return out
}

func scan(p *rule.Pass, text string, at source.Pos, path string, opt privacy.Options) {
	for _, h := range privacy.Scan(text, opt) {
		p.Report(identifier(h.Class, locate(at, text, h.Start), path, "the text"))
	}
}

// scanMarkdown looks through a text as it is written, and then as it is shown: marks
// and character references may part a word that the page puts together again.
func scanMarkdown(p *rule.Pass, src *source.Source, opt privacy.Options) {
	text := string(src.Text())
	written := privacy.Scan(text, opt)
	for _, h := range written {
		p.Report(identifier(h.Class, src.Pos(h.Start), "", "the text"))
	}
	plain, at := plainMarkdown(text)
	for _, h := range privacy.Scan(plain, opt) {
		if first, last := at[h.Start], at[h.End-1]; !alreadyFound(written, h.Class, first, last) {
			p.Report(identifier(h.Class, src.Pos(first), "", "the text"))
		}
	}
}

// alreadyFound reports whether hits, sorted and apart, say the same of what begins
// and ends with the bytes first and last: a hit of its class, or a private word, at
// either end, or any hit over all of it. Nothing but a private word stands for one.
func alreadyFound(hits []privacy.Hit, class string, first, last int) bool {
	at := func(offset int) (i int, ok bool) {
		i = sort.Search(len(hits), func(i int) bool { return hits[i].End > offset })
		return i, i < len(hits) && hits[i].Start <= offset
	}
	i, atFirst := at(first)
	j, atLast := at(last)
	same := func(i int) bool { return hits[i].Class == class || hits[i].Class == privacy.PrivateWord }
	if atFirst && same(i) || atLast && same(j) {
		return true
	}
	return atFirst && atLast && i == j && class != privacy.PrivateWord
}

func identifier(class string, pos source.Pos, path, where string) source.Finding {
	f := source.Finding{
		Pos: pos, Path: path, Severity: source.Stop, Rule: "privacy/text",
		Hint: "change the text, or accept this place in waivers with its position, a reason and a code",
	}
	if class == privacy.PrivateWord {
		f.Final, f.Message = true, where+" holds one of the case's private words; every output of the case is withheld"
		f.Hint = "change the text; no waiver accepts a private word"
		return f
	}
	label := class
	for _, c := range privacy.Classes() {
		if c.ID == class {
			label = c.Label
		}
	}
	label = strings.TrimPrefix(label, "other ")
	article := "a"
	if strings.ContainsRune("aeio", rune(label[0])) {
		article = "an"
	}
	f.Message = fmt.Sprintf("%s reads like %s %s; every output of the case is withheld", where, article, label)
	f.Evidence, f.Source, f.SourceID = "confirmed", "45 CFR 164.514(b)(2)(i), classes of identifiers", "45CFR164.514"
	return f
}
