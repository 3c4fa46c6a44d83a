package rules

import (
	"cmp"
	"path"
	"slices"
	"strings"

	"sideport/annotate"
	"sideport/annotate/privacy"
	"sideport/annotate/rule"
	"sideport/timeline/media"
	"sideport/timeline/source"
)

// privacyFileName looks at the names of the case's files and of its folder, which
// names the output.
func privacyFileName() rule.Rule {
	return rule.Rule{
		Name:     "privacy/file-name",
		Severity: source.Stop,
		Doc:      "The name of the case folder, or of a file in it, holds something that could identify the patient.",
		Run: func(p *rule.Pass) {
			c := p.Case
			opt := privacy.Options{PrivateWords: c.PrivateWords(), AllowYear: true}
			seen := map[string]bool{}
			inCaseFile := namesWithPrivateWord(c)
			report := func(name string, pos source.Pos, keyPath, where string) {
				for _, part := range nameParts(name) {
					if seen[part] {
						continue
					}
					seen[part] = true
					for _, h := range privacy.ScanFileName(part, opt) {
						if h.Class != privacy.PrivateWord || !inCaseFile[part] {
							p.Report(nameFinding(h.Class, pos, keyPath, where))
						}
					}
				}
			}
			report(c.Name, c.CaseFile.Whole(), "", "the name of the case folder")
			for _, s := range c.Sources {
				report(strings.TrimPrefix(s.Name(), path.Clean(c.Shown)+"/"), s.Whole(), "", "the name of a file")
			}
			report(c.VideoFile, c.CaseFile.Whole(), "", "the name of the video")
			for _, key := range fileKeys(c.File) { // findings name also what is not there or not read
				report(key.Value, key.Pos, key.Path, "the name of a file")
			}
		},
	}
}

// nameParts are the name and those of the folders it stands in, which are named too.
func nameParts(name string) []string {
	return strings.Split(strings.ReplaceAll(name, `\`, "/"), "/")
}

// namesWithPrivateWord are the names written in case.yaml in which privacy/text finds
// a private word: it is said there, where it has a line.
func namesWithPrivateWord(c *annotate.Case) map[string]bool {
	names, at := map[string]bool{}, privateOffsets(c)
	for _, key := range fileKeys(c.File) {
		end := key.Pos.Offset + len(key.Value)
		if !slices.ContainsFunc(at, func(offset int) bool { return key.Pos.Offset <= offset && offset <= end }) {
			continue
		}
		for _, part := range nameParts(key.Value) {
			names[part] = true
		}
	}
	return names
}

// nameFinding says what a name holds. Most names stand in no line of a file; a waiver
// then names the file itself.
func nameFinding(class string, pos source.Pos, keyPath, where string) source.Finding {
	f := identifier(class, pos, keyPath, where)
	f.Rule = "privacy/file-name"
	switch {
	case class == privacy.PrivateWord:
		f.Hint = "change the name; no waiver accepts a private word"
	case pos.IsValid():
		f.Hint = "change the name, or accept this place in waivers with its position, a reason and a code"
	default:
		f.Hint = "change the name, or accept it in waivers: the value is the file this finding stands at, with a reason and a code"
	}
	return f
}

// fileKeys are the keys of case.yaml that name a file.
func fileKeys(f *annotate.File) []annotate.Text {
	k := f.Files
	out := append(slices.Clone(k.Recording), k.Chapters, k.Cuts, k.Notes, k.Ranges, k.Lexicon, f.Video.File, f.Narration.File)
	for _, r := range f.Recording.Files { // a finding never names the video of a part
		out = append(out, r.Times)
	}
	return out
}

// privacyTags looks at what the video's container says of itself. A container that
// cannot be read may say anything, so it holds everything back too.
func privacyTags() rule.Rule {
	return rule.Rule{
		Name:     "privacy/tags",
		Severity: source.Stop,
		Doc: "The video's container carries a tag that could identify the patient, such as the moment of recording or a place, " +
			"or it could not be read at all.",
		Run: func(p *rule.Pass) {
			c := p.Case
			if c.VideoFile == "" {
				return
			}
			at := source.New(path.Join(c.Shown, c.VideoFile), nil).Whole()
			if c.TagsUnread {
				p.Report(source.Finding{
					Pos: at, Severity: source.Stop, Rule: "privacy/tags",
					Message: "not all of the container's tags could be examined; every output of the case is withheld",
					Hint:    "a copy in MP4, MOV, WebM or Matroska can be examined",
				})
			}
			if c.Media == nil {
				return
			}
			tags := append([]media.Tag{}, c.Media.Tags...)
			if c.Media.Created != "" {
				tags = append(tags, media.Tag{Name: "creation_time", Value: c.Media.Created})
			}
			for _, t := range c.Media.Tracks {
				tags = append(tags, media.Tag{Name: "handler_name", Value: t.Name})
			}
			for _, ch := range c.Media.Chapters {
				tags = append(tags, media.Tag{Name: "chapter", Value: ch.Title})
			}
			opt := privacy.Options{PrivateWords: c.PrivateWords(), AllowYear: true}
			for _, h := range privacy.ScanTags(tags, opt) {
				f := identifier(h.Class, at, "", "the container tag "+h.Name)
				f.Rule = "privacy/tags"
				f.Hint = "a copy of the video without its tags can be made with the tool it was edited with"
				p.Report(f)
			}
		},
	}
}

// privacySound keeps theatre sound out of the public.
func privacySound() rule.Rule {
	return rule.Rule{
		Name:     "privacy/sound",
		Severity: source.Stop,
		Doc:      "Theatre sound goes with consent for the public; voices of the room are identifiers of class P.",
		Run: func(p *rule.Pass) {
			k := p.Case.File.Consent
			if p.Case.Consent.Scope != "public" || p.Case.Consent.Sound != "theatre" {
				return
			}
			p.Report(source.Finding{
				Pos: k.Sound.Pos, Path: k.Sound.Path, Severity: source.Stop, Rule: "privacy/sound",
				Message:  "the sound of the theatre is in the video and the consent scope is public; voices are identifiers; every output of the case is withheld",
				Evidence: "confirmed", Source: "45 CFR 164.514(b)(2)(i)(P), voice prints", SourceID: "45CFR164.514",
			})
		},
	}
}

// privacyConsent says when a case is meant for others and no consent is on record.
func privacyConsent() rule.Rule {
	return rule.Rule{
		Name:     "privacy/consent",
		Severity: source.Caution,
		Doc:      "The consent scope is course or public, and consent.recorded is not true. Common practice, no source.",
		Run: func(p *rule.Pass) {
			c, k := p.Case.Consent, p.Case.File.Consent
			if c.Recorded || c.Scope != "course" && c.Scope != "public" {
				return
			}
			p.Report(source.Finding{
				Pos: k.Scope.Pos, Path: k.Scope.Path, Severity: source.Caution, Rule: "privacy/consent",
				Message:  "the consent scope is " + c.Scope + " and no recorded consent is stated",
				Hint:     "consent.recorded in case.yaml states it",
				Evidence: "common-practice", Source: "common practice, no source",
			})
		},
	}
}

// privacyAuthors says that names of authors stay inside unless the case is public.
func privacyAuthors() rule.Rule {
	return rule.Rule{
		Name:     "privacy/authors",
		Severity: source.Note,
		Doc:      "Authors are named and the consent scope is not public: the names are left out of every output.",
		Run: func(p *rule.Pass) {
			authors, scope := p.Case.File.Authors, cmp.Or(p.Case.Consent.Scope, "none") // empty in a case that is not resolved
			if len(authors) == 0 || scope == "public" {
				return
			}
			p.Report(source.Finding{
				Pos: authors[0].Pos, Path: "authors", Severity: source.Note, Rule: "privacy/authors",
				Message: "authors are named and the consent scope is " + scope + "; the names are left out of every output",
			})
		},
	}
}
