package cmd

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"sideport/export/caption"
	"sideport/export/report"
	"sideport/timeline"
	"sideport/timeline/format"
	"sideport/timeline/source"

	"github.com/spf13/cobra"
)

const aboutCaptions = `Turn a speech track into captions that can be read: lines of at most 42 letters,
two at a time, long cues divided, short ones held while nobody speaks. No word is
lost. The format of OUT follows its extension: .vtt, .srt, .ttml or .stl.

--as-is converts without shaping; --as-is --format json prints the cues exactly as
they were read.`

type captionsOptions struct {
	out, language string
	asIs          bool
	format        string
}

func (a *app) captionsCmd() *cobra.Command {
	var opt captionsOptions
	form := &oneOf{value: "text", words: []string{"text", "json"}}
	c := &cobra.Command{
		Use:   "captions FILE [-o OUT]",
		Short: "Shape a speech track into captions, or convert it",
		Long:  aboutCaptions,
		Args:  one("speech track"),
		RunE: a.run(func(args []string) error {
			opt.format = form.value
			return a.captions(args[0], opt)
		}),
	}
	c.Flags().StringVarP(&opt.out, "output", "o", "", "file to write; without it WebVTT goes to standard output")
	c.Flags().StringVar(&opt.language, "language", "en", "BCP 47 tag of the words")
	c.Flags().BoolVar(&opt.asIs, "as-is", false, "convert without shaping")
	form.flag(c, "format", "with --as-is: text, or json for the cues as read")
	return c
}

func (a *app) captions(name string, opt captionsOptions) error {
	if opt.format == "json" && !opt.asIs {
		return usagef("--format json goes with --as-is")
	}
	if opt.out != "" && sameFile(name, opt.out) {
		return usagef("%s would be written over the file it is read from", opt.out)
	}
	var findings []source.Finding
	add := func(f source.Finding) { findings = append(findings, f) }
	src, err := a.readText(name, "speech track", add)
	if err != nil {
		return err
	}
	cues, plain := readCues(src, add)
	if opt.format == "json" {
		a.fail(findings)
		return writeCues(a.out, cues, name, source.Sort(findings))
	}
	if worst, _ := source.Worst(findings); len(cues) == 0 && worst == source.Error {
		a.sayAll(findings) // what stands at OUT is not replaced by nothing
		return nil
	}
	track := caption.Track{Language: opt.language, Kind: caption.Speech}
	var spoken []caption.Spoken
	for _, c := range cues {
		spoken = append(spoken, caption.Spoken{ID: c.ID, From: c.From, To: c.To, Text: plain(c.Text), Pos: c.TextPos})
	}
	if opt.asIs {
		for _, s := range spoken {
			track.Cues = append(track.Cues, caption.Cue{ID: s.ID, From: s.From, To: s.To, Text: s.Text})
		}
	} else {
		shaped, more := caption.Shape(spoken, caption.DefaultProfile())
		track.Cues, findings = shaped, append(findings, more...)
	}
	a.sayAll(findings)
	return a.writeTrack(track, opt.out)
}

// readText reads a file, or standard input for -; what is the file in words.
func (a *app) readText(name, what string, report source.Report) (*source.Source, error) {
	if name == "-" {
		return source.Read(a.in, "-", report)
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", what, err)
	}
	defer func() { _ = f.Close() }()
	return source.Read(f, filepath.ToSlash(name), report)
}

func readCues(src *source.Source, report source.Report) ([]timeline.Cue, func(string) string) {
	r, ok := format.Find(format.Narration, src, "speech track", report)
	if !ok {
		return nil, format.PlainText
	}
	return r.Cues(src, report), r.Plain
}

// sameFile reports whether two names are of one file.
func sameFile(a, b string) bool {
	one, err := os.Stat(a)
	if err != nil {
		return false
	}
	two, err := os.Stat(b)
	return err == nil && os.SameFile(one, two)
}

// sayAll prints what was found, in the order of the file.
func (a *app) sayAll(findings []source.Finding) {
	a.fail(findings)
	for _, f := range source.Sort(findings) {
		a.say("%s", strings.TrimSuffix(f.Text(), "\n"))
	}
}

// fail sets the exit code when something could not be read.
func (a *app) fail(findings []source.Finding) {
	if worst, any := source.Worst(findings); any && worst == source.Error {
		a.found()
	}
}

type cueJSON struct {
	ID       string  `json:"id"`
	From     float64 `json:"from_s"`
	To       float64 `json:"to_s"`
	Text     string  `json:"text"`
	Line     int     `json:"line"`
	Settings string  `json:"settings"`
}

func writeCues(w io.Writer, cues []timeline.Cue, name string, findings []source.Finding) error {
	out := struct {
		Cues     []cueJSON `json:"cues"`
		Findings any       `json:"findings"`
	}{Cues: []cueJSON{}, Findings: report.Findings(report.Case{Shown: filepath.ToSlash(filepath.Dir(name)), Findings: findings})}
	for _, c := range cues {
		out.Cues = append(out.Cues, cueJSON{
			ID: c.ID, From: report.Seconds(c.From), To: report.Seconds(c.To),
			Text: c.Text, Line: c.Pos.Position().Line, Settings: c.Settings,
		})
	}
	return report.Encode(w, out)
}

// writeTrack writes whole or not at all.
func (a *app) writeTrack(t caption.Track, out string) error {
	ext := ".vtt"
	if out != "" {
		ext = filepath.Ext(out)
	}
	w, ok := caption.For(ext)
	if !ok {
		return usagef("no caption format has the extension %q; known are .vtt, .srt, .ttml and .stl", ext)
	}
	var b bytes.Buffer
	if err := w.Write(&b, t); err != nil {
		var refused *caption.Refusal
		if errors.As(err, &refused) {
			a.found()
			fmt.Fprintf(a.err, "sideport: %v\n", err)
			return nil
		}
		return fmt.Errorf("writing captions: %w", err)
	}
	if out == "" {
		_, err := a.out.Write(b.Bytes())
		return err
	}
	return replaceFile(out, b.Bytes())
}
