package export

import (
	"fmt"
	"html"
	"io"
	"path"
	"regexp"
	"slices"
	"strings"

	"sideport/annotate"
	"sideport/annotate/privacy"
	"sideport/export/report"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

func findingsFile(b *Bundle) ([]File, error) {
	f, err := file("findings.json", func(w io.Writer) error { return report.JSON(w, []report.Case{FindingsOf(b)}) })
	return []File{f}, err
}

// FindingsOf is what leaves the case folder of a case's findings: every one, with
// any text that could identify a patient, and any reading of a wall clock, replaced
// by its class and place, under the case folder's name and not its path.
func FindingsOf(b *Bundle) report.Case {
	c := b.Case
	m := newMask(c)
	m.opt.WallClock = c.Clock.Kind == timecode.Wall
	return report.Case{Path: m.name(c.Name), Shown: c.Shown, Procedure: c.File.Procedure.Value, Findings: m.findings(b.Findings, true)}
}

// Masked are findings for the person at this computer: what could identify a patient
// is replaced in their words; the names of files stay unless they are to be handed
// on.
func Masked(c *annotate.Case, list []source.Finding, handedOn bool) []source.Finding {
	return newMask(c).findings(list, handedOn)
}

// MaskedText is a text of the case with what could identify a patient replaced.
func MaskedText(c *annotate.Case, text string, at source.Pos) string {
	return newMask(c).text(text, at)
}

// mask replaces identifiers by their class and place.
type mask struct {
	opt     privacy.Options
	shown   string                            // the folder that the names of files begin with
	sources map[*source.Source]*source.Source // the same text under a name that tells nothing
}

func newMask(c *annotate.Case) mask {
	return mask{shown: c.Shown, opt: privacy.Options{PrivateWords: c.PrivateWords(), AllowYear: true}, sources: map[*source.Source]*source.Source{}}
}

func (m mask) findings(list []source.Finding, files bool) []source.Finding {
	out := slices.Clone(list)
	for i, f := range out {
		out[i].Message = m.text(f.Message, f.Pos)
		out[i].Hint = m.private(f.Hint, f.Pos)
		out[i].WaivedBy = m.text(f.WaivedBy, f.Pos)
		out[i].Path = m.text(f.Path, f.Pos)
		out[i].Source, out[i].SourceID = m.private(f.Source, f.Pos), m.private(f.SourceID, f.Pos) // a case's own ranges name theirs
		out[i].Related = slices.Clone(f.Related)
		for k, r := range f.Related {
			out[i].Related[k].Message = m.text(r.Message, r.Pos)
		}
		if !files {
			continue
		}
		out[i].Pos = m.pos(f.Pos)
		for k, r := range f.Related {
			out[i].Related[k].Pos = m.pos(r.Pos)
		}
	}
	return out
}

func (m mask) text(text string, at source.Pos) string {
	return privacy.Redact(text, privacy.Scan(text, m.opt), func(int) string {
		return fmt.Sprintf("line %d", at.Position().Line)
	})
}

// private is text of our own with nothing but the case's private words replaced: a
// hint gives examples of times and dates.
func (m mask) private(text string, at source.Pos) string {
	if len(m.opt.PrivateWords) == 0 {
		return text
	}
	hits := slices.DeleteFunc(privacy.Scan(text, m.opt), func(h privacy.Hit) bool { return h.Class != privacy.PrivateWord })
	return privacy.Redact(text, hits, func(int) string { return fmt.Sprintf("line %d", at.Position().Line) })
}

// name is the name of a file or folder with what it tells replaced.
func (m mask) name(name string) string {
	return privacy.Redact(name, privacy.ScanFileName(name, m.opt), func(int) string { return "name" })
}

func (m mask) pos(at source.Pos) source.Pos {
	if at.Source == nil {
		return at
	}
	safe, done := m.sources[at.Source]
	if !done {
		safe = at.Source
		rest, inside := strings.CutPrefix(at.Source.Name(), strings.TrimSuffix(m.shown, "/")+"/")
		if !inside {
			rest = path.Base(at.Source.Name())
		}
		parts := strings.Split(rest, "/")
		for i, p := range parts {
			parts[i] = m.name(p)
		}
		if name := strings.Join(parts, "/"); name != rest {
			safe = source.New(strings.TrimSuffix(at.Source.Name(), rest)+name, at.Source.Text())
		}
		m.sources[at.Source] = safe
	}
	return source.Pos{Source: safe, Offset: at.Offset}
}

// Leaks names the first output that holds one of the private words, in its name or
// its content: as it stands, with the escapes of HTML read, and without its tags, as
// a reader has it. It is the last net below the rules, which look at what is read and
// not at what is written.
func Leaks(files []File, words []string) (name string, found bool) {
	if len(words) == 0 {
		return "", false
	}
	for _, f := range files {
		text := string(f.Data)
		texts := []string{f.Name, text}
		if strings.ContainsAny(text, "<&") {
			texts = append(texts, html.UnescapeString(text), html.UnescapeString(untagged.ReplaceAllString(text, "")))
		}
		if slices.ContainsFunc(texts, func(t string) bool { return privacy.HoldsWord(t, words) }) {
			return f.Name, true
		}
	}
	return "", false
}

// untagged is the markup within a line of text, which a reader does not see.
var untagged = regexp.MustCompile(`</?[A-Za-z][^<>]*>`)
