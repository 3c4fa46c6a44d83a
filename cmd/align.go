package cmd

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/annotate/taxonomy"
	"sideport/export"
	"sideport/export/report"
	"sideport/timeline/source"
	"sideport/timeline/timecode"

	"github.com/spf13/cobra"
)

const aboutAlign = `Show how the times on the recording's clock and the chapters of the edited video
lie beside each other: which stamp is which chapter, what the edit removed and put
in, and how sure each match is.

Give a case folder, or the files by themselves with --recording, --chapters and
--cuts, the edit list. Timecode in a list of times or an edit list is counted at --rate.
A table with a column of frame numbers says itself how many make a second.

With --against a second list of times of the same recording, such as the scrub
nurse's, is compared with the first: which steps both name, how far apart their times
lie, and how far the two lists agree, each figure with what it means. The second list
may have been read from another clock.`

type alignOptions struct {
	recording, chapters string
	cuts, rate          string
	procedure           *oneOf
	format, out         string
	against             against
}

func (a *app) alignCmd() *cobra.Command {
	opt := alignOptions{procedure: &oneOf{value: "msics"}}
	for _, p := range taxonomy.All() {
		opt.procedure.words = append(opt.procedure.words, p.ID)
	}
	format := &oneOf{value: "text", words: []string{"text", "json"}}
	c := &cobra.Command{
		Use:   "align CASE | --recording FILE --chapters FILE [--cuts FILE] [--against FILE]",
		Short: "Show how recording times and video chapters lie beside each other",
		Long:  aboutAlign,
		Args:  cobra.MaximumNArgs(1),
		RunE: a.run(func(args []string) error {
			opt.format = format.value
			return a.align(args, opt)
		}),
	}
	c.Flags().StringVar(&opt.recording, "recording", "", "list of times on the recording's clock")
	c.Flags().StringVar(&opt.chapters, "chapters", "", "chapter file of the edited video")
	c.Flags().StringVar(&opt.cuts, "cuts", "", "edit list of the edited video: EDL or OpenTimelineIO")
	opt.against.flags(c)
	c.Flags().StringVar(&opt.rate, "rate", "", "frames a second of timecode in these files, such as 25 or \"29.97 drop\"")
	opt.procedure.flag(c, "procedure", "vocabulary for --recording, --chapters and --cuts")
	c.Flags().StringVarP(&opt.out, "output", "o", "", "file to write instead of standard output; none inside a case folder")
	format.flag(c, "format", "how to print: text or json")
	return c
}

func (a *app) align(args []string, opt alignOptions) error {
	var m *annotate.Material
	var err error
	var shown string
	if err := outside(opt.out, args); err != nil {
		return err
	}
	files := []string{opt.recording, opt.chapters, opt.cuts}
	given := slices.ContainsFunc(files, func(name string) bool { return name != "" })
	if opt.out != "" && slices.ContainsFunc(append(files, opt.against.file), func(name string) bool { return sameFile(name, opt.out) }) {
		return usagef("%s would be written over a file it is read from", opt.out)
	}
	if opt.rate != "" {
		if _, err := timecode.ParseRate(opt.rate); err != nil {
			return usagef("--rate: %v", err)
		}
	}
	switch {
	case len(args) == 1 && !given && opt.rate == "":
		shown = filepath.ToSlash(filepath.Clean(args[0]))
		m, err = annotate.Load(args[0], shown)
	case len(args) == 0 && given:
		m, err = annotate.LoadFiles(opt.procedure.value, opt.recording, opt.chapters, opt.cuts, opt.rate)
	default:
		return usagef("align takes a case folder, or --recording, --chapters and --cuts")
	}
	if err != nil {
		return err
	}
	c, ok := annotate.Resolve(m, ranges.Builtin())
	var second *annotate.Against
	if ok {
		if second, err = opt.against.hold(c); err != nil {
			return err
		}
	}
	findings := report.Case{Path: shown, Shown: shown, Findings: export.Masked(c, source.Sort(timing(c.Findings)), opt.format == "json")}
	if worst, any := source.Worst(findings.Findings); any && worst == source.Error {
		a.found()
	}
	return a.output(opt.out, func(w io.Writer) error {
		if !ok {
			return report.Text(w, []report.Case{findings})
		}
		if opt.format == "json" {
			return export.WriteAlignment(w, c, second, findings)
		}
		alignText(w, c)
		if second != nil {
			againstText(w, c, second)
		}
		if len(findings.Findings) > 0 && second != nil {
			fmt.Fprintln(w)
		}
		for _, f := range findings.Findings {
			fmt.Fprint(w, f.Text())
		}
		return nil
	})
}

// timing keeps the findings that belong to reading and placing: align judges no
// values.
func timing(list []source.Finding) []source.Finding {
	var out []source.Finding
	for _, f := range list {
		if g := f.Group(); g == "read" || g == "time" || g == "step" || g == "media" {
			out = append(out, f)
		}
	}
	return out
}

// alignText prints a case's alignment as a table.
func alignText(w io.Writer, c *annotate.Case) {
	fmt.Fprintf(w, "clock: %s; %s\n", c.Clock.Kind, c.Clock.Why)
	fmt.Fprintf(w, "rate: %.6f video seconds a recording second\n\n", c.Rate)
	fmt.Fprintf(w, "%-12s %-12s %-24s %-12s %s\n", "recording", "video", "step", "placed", "as noted")
	for _, m := range c.Marks {
		video := "-"
		if m.Video != nil {
			video = timecode.Format(*m.Video)
		}
		fmt.Fprintf(w, "%-12s %-12s %-24s %-12s %s\n", timecode.Format(m.Recording), video, dash(m.Match.ID), dash(m.Placed), shown(export.MaskedText(c, m.Text, m.TextPos)))
	}
	if len(c.Titles) > 0 {
		fmt.Fprintf(w, "\n%-12s %-12s %-24s %-12s %s\n", "video", "recording", "step", "placed", "chapter")
	}
	for _, t := range c.Titles {
		recording := "-"
		if t.Recording != nil {
			recording = timecode.Format(*t.Recording)
		}
		fmt.Fprintf(w, "%-12s %-12s %-24s %-12s %s\n", timecode.Format(t.From), recording, dash(t.Match.ID), dash(t.Placed), shown(export.MaskedText(c, t.Title, t.TitleP)))
	}
	if len(c.Cuts)+len(c.Inserts) > 0 {
		fmt.Fprintln(w)
	}
	for _, cut := range c.Cuts {
		fmt.Fprintf(w, "removed: %.1f s between %s and %s of the recording (%s)\n", cut.Removed.Seconds(), timecode.Format(cut.RecordingFrom), timecode.Format(cut.RecordingTo), cut.Source)
	}
	for _, i := range c.Inserts {
		fmt.Fprintf(w, "put in: %s to %s of the video (%s)\n", timecode.Format(i.From), timecode.Format(i.To), i.Kind)
	}
}

// shown is a text of the user's as a terminal may have it: without the characters
// that move the cursor or turn the writing round.
func shown(s string) string { return source.Printable(s) }

func dash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}
