package rules

import (
	"fmt"
	"slices"
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
			"Every output of the case is withheld until the text is changed or the place is accepted with a reason.",
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
				scan(p, string(n.Text()), n.Pos(0), "", opt)
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
	src, words := p.Case.CaseFile, p.Case.File.PrivateWords
	if len(words) == 0 {
		return
	}
	text := string(src.Text())
	for _, h := range privacy.Scan(text, privacy.Options{PrivateWords: p.Case.PrivateWords()}) {
		listed := slices.ContainsFunc(words, func(w annotate.Text) bool {
			return w.Pos.Offset <= h.Start && h.Start <= w.Pos.Offset+len(w.Value)
		})
		if h.Class == privacy.PrivateWord && !listed {
			p.Report(identifier(h.Class, src.Pos(h.Start), "", "the text"))
		}
	}
}

func scan(p *rule.Pass, text string, at source.Pos, path string, opt privacy.Options) {
	for _, h := range privacy.Scan(text, opt) {
		p.Report(identifier(h.Class, locate(at, text, h.Start), path, "the text"))
	}
}

func identifier(class string, pos source.Pos, path, where string) source.Finding {
	f := source.Finding{
		Pos: pos, Path: path, Severity: source.Stop, Rule: "privacy/text",
		Hint: "change the text, or accept this place in waivers with its position, a reason and a code",
	}
	if class == privacy.PrivateWord {
		f.Message = where + " holds one of the case's private words; every output of the case is withheld"
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
