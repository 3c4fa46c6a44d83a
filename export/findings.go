package export

import (
	"bytes"
	"fmt"
	"html"
	"io"
	"path"
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
// its content. It is the last net below the rules, which look at what is read and
// not at what is written; it knows the escapes of HTML and nothing else.
func Leaks(files []File, words []string) (name string, found bool) {
	for _, f := range files {
		texts := []string{strings.ToLower(f.Name), strings.ToLower(string(f.Data))}
		if bytes.ContainsRune(f.Data, '&') {
			texts = append(texts, strings.ToLower(html.UnescapeString(string(f.Data))))
		}
		for _, w := range words {
			if w = strings.ToLower(strings.TrimSpace(w)); w == "" {
				continue
			}
			if slices.ContainsFunc(texts, func(t string) bool { return holdsWord(t, w) }) {
				return f.Name, true
			}
		}
	}
	return "", false
}

// holdsWord reports whether text holds word with no letter or digit on either side.
func holdsWord(text, word string) bool {
	for from := 0; ; {
		i := strings.Index(text[from:], word)
		if i < 0 {
			return false
		}
		start, end := from+i, from+i+len(word)
		if !wordByte(text, start-1) && !wordByte(text, end) {
			return true
		}
		from = start + 1
	}
}

func wordByte(text string, i int) bool {
	if i < 0 || i >= len(text) {
		return false
	}
	b := text[i]
	return b >= 0x80 || b >= 'a' && b <= 'z' || b >= '0' && b <= '9'
}
