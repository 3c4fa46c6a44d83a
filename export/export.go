package export

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"sideport/annotate"
	"sideport/export/caption"
	"sideport/export/words"
	"sideport/timeline/source"
)

// Bundle is a case with what several exporters share: its tracks and the final
// list of findings.
type Bundle struct {
	Case     *annotate.Case
	Steps    []caption.Track // one a language; empty without a video clock
	Speech   *caption.Track  // nil without a narration that can be placed
	Findings []source.Finding
	Video    string // name of the video beside the page, or empty
}

// New builds the tracks of a case. What shaping could not meet is returned as
// findings, to be added to those of the rules.
func New(c *annotate.Case) (*Bundle, []source.Finding) {
	b := &Bundle{Case: c}
	var findings []source.Finding
	report := func(f source.Finding) { findings = append(findings, f) }
	if lang := c.Languages[0]; words.Get(lang).Language() == words.English && !strings.HasPrefix(strings.ToLower(lang), words.English) {
		report(source.Finding{
			Pos: c.CaseFile.Whole(), Severity: source.Note, Rule: "step/no-interface-text",
			Message: fmt.Sprintf("the page's own words are English; there are none in the language %s", lang),
		})
	}
	if c.HasVideoClock {
		for _, lang := range c.Languages {
			b.Steps = append(b.Steps, stepsTrack(c, lang, report))
		}
	}
	b.Speech = speechTrack(c, report)
	return b, findings
}

// Exporter makes some of a case's files. Doc is one line for the list of
// exporters.
type Exporter struct {
	Name, Doc string
	Files     func(*Bundle) ([]File, error)
}

// File is one output file of a case.
type File struct {
	Name string
	Data []byte
}

// All lists the exporters in the order their files are written. The page comes
// last: where it stands, everything it speaks of does too.
func All() []Exporter {
	return []Exporter{
		{"tracks", "the steps track and the captions, each as WebVTT, SubRip and TTML", trackFiles},
		{"chapters", "chapter files and a description to paste under the video", chapterFiles},
		{"findings", "findings.json, the list of points to look at again", findingsFile},
		{"case", "case.json, the case for programs", caseFile},
		{"page", "index.html, the teaching page", pageFile},
	}
}

// Files runs every exporter.
func Files(b *Bundle) ([]File, error) {
	var out []File
	for _, e := range All() {
		files, err := e.Files(b)
		if err != nil {
			return nil, fmt.Errorf("making %s: %w", e.Name, err)
		}
		out = append(out, files...)
	}
	return out, nil
}

// file runs a writer into memory.
func file(name string, write func(io.Writer) error) (File, error) {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return File{}, fmt.Errorf("%s: %w", name, err)
	}
	return File{Name: name, Data: b.Bytes()}, nil
}
