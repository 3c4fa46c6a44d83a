package cmd

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"sideport/export/chapter"
	"sideport/timeline"
	"sideport/timeline/format"
	"sideport/timeline/source"
	"sideport/timeline/timecode"

	"github.com/spf13/cobra"
	"golang.org/x/text/language"
)

const aboutChapters = `Read the chapters of a video in any form that is known and write them in another:

  .vtt       for web pages            keeps levels, ids and ends
  .txt       to paste under a video   whole seconds, entries at least 10 s apart
  .ogm.txt   for making Matroska      starts and titles
  .xml       for making Matroska      keeps levels and ends
  .json      for podcast players      keeps ends, and what other JSON said besides
  .ffmeta    for ffmpeg               keeps ends
  .csv       for a spreadsheet        keeps levels, ids and ends

The form of OUT follows the end of its name unless --format says another. All times
are written in whole milliseconds, and a form without levels lists the chapters one
after the other. FILE can be - for standard input.

Where FILE does not say when its last chapter ends, --duration does: the length of
the video, such as 4:05.2.`

type chaptersOptions struct {
	out, form, language, duration string
}

func (a *app) chaptersCmd() *cobra.Command {
	var opt chaptersOptions
	form := &oneOf{words: formWords()}
	c := &cobra.Command{
		Use:   "chapters FILE [-o OUT]",
		Short: "Convert a chapter file",
		Long:  aboutChapters,
		Args:  one("chapter file"),
		RunE: a.run(func(args []string) error {
			opt.form = form.value
			return a.chapters(args[0], opt)
		}),
	}
	c.Flags().StringVarP(&opt.out, "output", "o", "", "file to write; without it the chapters go to standard output, as WebVTT unless --format says another")
	c.Flags().StringVar(&opt.duration, "duration", "", "length of the video")
	c.Flags().StringVar(&opt.language, "language", "", "BCP 47 tag of the titles, for forms that state it")
	form.flag(c, "format", "form to write: "+strings.Join(formWords(), ", "))
	return c
}

// formWord is the word for a form on the command line, or empty for one that chapters
// alone do not make.
func formWord(w chapter.Writer) string {
	word, _, _ := strings.Cut(strings.TrimPrefix(w.Suffix, "."), ".")
	return word
}

func formWords() []string {
	var words []string
	for _, w := range chapter.All() {
		if word := formWord(w); word != "" {
			words = append(words, word)
		}
	}
	return words
}

// chapterForm is the form asked for.
func chapterForm(opt chaptersOptions) (chapter.Writer, error) {
	word := opt.form
	if word == "" && opt.out == "" {
		word = "vtt"
	}
	for _, w := range chapter.All() {
		if word != "" && formWord(w) == word {
			return w, nil
		}
	}
	if w, ok := chapter.For(opt.out); ok {
		return w, nil
	}
	var suffixes []string
	for _, w := range chapter.All() {
		if w.Suffix != "" {
			suffixes = append(suffixes, w.Suffix)
		}
	}
	return chapter.Writer{}, usagef("the name %q ends as no chapter form; known are %s", opt.out, strings.Join(suffixes, ", "))
}

func (a *app) chapters(name string, opt chaptersOptions) error {
	w, err := chapterForm(opt)
	if err != nil {
		return err
	}
	if opt.out != "" && sameFile(name, opt.out) {
		return usagef("%s would be written over the file it is read from", opt.out)
	}
	if _, err := language.Parse(opt.language); opt.language != "" && err != nil {
		return usagef("--language %q is no BCP 47 tag such as en or pt-BR", opt.language)
	}
	var total time.Duration
	if opt.duration != "" {
		if total, err = timecode.ParseClockDuration(opt.duration); err != nil || total <= 0 {
			return usagef("--duration %q is no length of time such as 4:05.2 or 245.2 s", opt.duration)
		}
	}
	var findings []source.Finding
	add := func(f source.Finding) { findings = append(findings, f) }
	src, err := a.readText(name, "chapter file", add)
	if err != nil {
		return err
	}
	read, members := readChapters(src, add)
	list := chapter.List{Language: opt.language, Total: total, GivenIDs: true, Members: members, Title: titleOf(members)}
	if len(read) == 0 { // what stands at OUT is not replaced by nothing
		if worst, any := source.Worst(findings); !any || worst != source.Error {
			add(source.Finding{Pos: src.Whole(), Severity: source.Error, Rule: "read/no-chapters", Message: "the file holds no chapter; nothing is written"})
		}
		a.sayAll(findings)
		return nil
	}
	if list.Chapters, list.Total, err = lengths(read, total, w, add); err != nil {
		a.sayAll(findings)
		return err
	}
	a.sayAll(findings)
	if lost := losses(list, w); lost != "" {
		a.say("the form %s has no %s; the chapters are written without", formWord(w), lost)
	}
	return a.output(opt.out, func(out io.Writer) error { return w.Write(out, list) })
}

func readChapters(src *source.Source, report source.Report) ([]timeline.Chapter, []timeline.Member) {
	r, ok := format.Find(format.Chapters, src, "chapter file", report)
	switch {
	case !ok:
		return nil, nil
	case r.Members == nil:
		return r.Chapters(src, report), nil
	}
	return r.Chapters(src, report), r.Members(src)
}

// titleOf is the title among the members of a file, or empty.
func titleOf(members []timeline.Member) string {
	var title string
	for _, m := range members {
		if m.Name == "title" && json.Unmarshal([]byte(m.JSON), &title) == nil {
			return title
		}
	}
	return ""
}

// lengths turns what was read into what is written and finds how long the video
// lasts: as stated, else until the last end. A form without ends is written without
// either, as if the last chapter lasted ten seconds.
func lengths(read []timeline.Chapter, stated time.Duration, w chapter.Writer, report source.Report) (list []chapter.Chapter, total time.Duration, err error) {
	var start, end time.Duration
	for _, c := range read {
		to := time.Duration(0)
		if c.HasTo {
			to = c.To
		}
		start, end = max(start, c.From), max(end, to)
		list = append(list, chapter.Chapter{ID: c.ID, From: c.From, To: to, Title: c.Title, Level: c.Level, Members: c.Members})
		if stated > 0 {
			reportPastEnd(c, stated, report)
		}
	}
	switch {
	case stated > 0:
		return list, stated, nil
	case end > start || len(read) == 0:
		return list, end, nil
	case !w.Keeps.Ends:
		return list, start + 10*time.Second, nil
	}
	return nil, 0, usageError{errors.New("the end of the last chapter is not known; --duration states the length of the video")}
}

// reportPastEnd reports a chapter that reaches past the end of the video.
func reportPastEnd(c timeline.Chapter, total time.Duration, report source.Report) {
	var what string
	switch {
	case c.From >= total:
		what = fmt.Sprintf("the chapter starts at %s, where the video lasts %s; it is left out", timecode.FormatMS(c.From), timecode.FormatMS(total))
	case c.HasTo && c.To > total:
		what = fmt.Sprintf("the chapter ends at %s, where the video lasts %s; it is written to the end of the video", timecode.FormatMS(c.To), timecode.FormatMS(total))
	default:
		return
	}
	report(source.Finding{Pos: c.Pos, Severity: source.Caution, Rule: "time/past-end", Message: what})
}

// losses names in words what the chapters have and the form does not keep.
func losses(l chapter.List, w chapter.Writer) string {
	levels, ids, members := false, false, len(l.Members) > 0 && (len(l.Members) > 1 || l.Title == "")
	for _, c := range l.Chapters {
		levels, ids, members = levels || c.Level > 0, ids || c.ID != "", members || len(c.Members) > 0
	}
	var lost []string
	for _, k := range []struct {
		has, kept bool
		what      string
	}{{levels, w.Keeps.Levels, "levels"}, {ids, w.Keeps.IDs, "ids"}, {members, w.Keeps.Members, "further members of JSON"}} {
		if k.has && !k.kept {
			lost = append(lost, k.what)
		}
	}
	return strings.Join(lost, " and no ")
}
