package cmd

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/export"
	"sideport/export/report"
	"sideport/timeline/source"

	"github.com/spf13/cobra"
)

const aboutBuild = `Write everything of a case into a folder of its own below OUT: the teaching page,
subtitle tracks, chapter files, a text to paste under the video, and the findings.
Open index.html with a double click; it needs no network.

The case folder is only read. In OUT, files that sideport did not write are never
touched. When something could tell who the patient is, nothing but findings.json
is written, and what an earlier build wrote is removed.

Ends with 1 when an output was withheld or material could not be read, and, with
--fail-on, when a finding reaches that weight.`

type buildOptions struct {
	out, failOn string
	noCopy      bool
}

func (a *app) buildCmd() *cobra.Command {
	var opt buildOptions
	level := failOn()
	c := &cobra.Command{
		Use:   "build CASE... -o OUT",
		Short: "Write the teaching page, tracks, chapters and reports of a case",
		Long:  aboutBuild,
		Args:  folders,
		RunE: a.run(func(args []string) error {
			opt.failOn = level.value
			return a.build(args, opt)
		}),
	}
	c.Flags().StringVarP(&opt.out, "output", "o", "", "folder to write into (required)")
	c.Flags().BoolVar(&opt.noCopy, "no-video-copy", false, "link the video instead of copying it, where the disk can")
	level.flag(c, "fail-on", "end with 1 from this weight on: note, caution, stop or never")
	_ = c.MarkFlagRequired("output")
	_ = c.MarkFlagDirname("output")
	return c
}

func (a *app) build(args []string, opt buildOptions) error {
	if err := checkTargets(args, opt.out); err != nil {
		return err
	}
	table := ranges.Builtin()
	var list []report.Case
	for _, dir := range args {
		j, err := judge(dir, table)
		if err != nil {
			a.broke(dir, err)
			continue
		}
		if j.unread() || opt.failOn != "" && reaches(opt.failOn, j.findings) {
			a.found()
		}
		if j.bundle != nil {
			if err := a.buildCase(dir, &j, opt); err != nil {
				a.broke(dir, err)
			}
		}
		a.sayErrors(j)
		list = append(list, j.report) // with what writing it found
	}
	t := report.Count(list)
	a.say("look again first: %d, look again: %d, for information: %d, could not be read: %d, listed exceptions: %d",
		t.Stop, t.Caution, t.Note, t.Error, t.Waived)
	return nil
}

// errorsShown is how many of a case's errors build prints; check prints them all.
const errorsShown = 10

// sayErrors says what could not be read: a page stands there all the same, and its
// reader has to know that something is missing.
func (a *app) sayErrors(j judged) {
	shown := 0
	for _, f := range j.report.Findings {
		if f.Severity != source.Error {
			continue
		}
		if shown++; shown <= errorsShown {
			a.say("%s", strings.TrimSuffix(f.Text(), "\n"))
		}
	}
	if more := shown - errorsShown; more > 0 {
		a.say("%d more could not be read; sideport check %s lists them", more, j.report.Path)
	}
}

// checkTargets finds the mistakes that would let cases overwrite each other or
// their own folder.
func checkTargets(dirs []string, out string) error {
	target, err := resolved(out)
	if err != nil {
		return err
	}
	byName := map[string]string{}
	for _, dir := range dirs {
		from, err := resolved(dir)
		if err != nil {
			return err
		}
		if within(target, from) || within(from, target) {
			return usagef("the output folder %s lies in, at or above the case folder %s", out, dir)
		}
		name := filepath.Base(from)
		if other, twice := byName[name]; twice {
			return usagef("%s and %s would both be written to %s", other, dir, filepath.Join(out, name))
		}
		byName[name] = dir
	}
	return nil
}

// resolved is a path made absolute, links followed as far as it exists.
func resolved(path string) (string, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return "", fmt.Errorf("naming folder: %w", err)
	}
	rest := ""
	for dir := abs; ; {
		real, err := filepath.EvalSymlinks(dir)
		if err == nil {
			return filepath.Join(real, rest), nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return abs, nil
		}
		rest, dir = filepath.Join(filepath.Base(dir), rest), up
	}
}

func within(path, dir string) bool {
	rel, err := filepath.Rel(dir, path)
	return err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator))
}

// buildCase writes one case. What the writing itself finds is added to j.
func (a *app) buildCase(dir string, j *judged, opt buildOptions) error {
	c := j.bundle.Case
	target := filepath.Join(opt.out, c.Name)
	o, err := openOut(target)
	if err != nil {
		return err
	}
	switch {
	case j.withheld():
		return a.withhold(o, target, *j)
	case !j.ok:
		return a.refuse(o, target, *j)
	}
	video := ""
	if c.VideoFile != "" {
		video = "video" + strings.ToLower(filepath.Ext(c.VideoFile))
		j.bundle.Video = video
	}
	files, err := export.Files(j.bundle)
	if err != nil {
		return err
	}
	if name, leaks := export.Leaks(files, c.PrivateWords()); leaks {
		j.add(leak(c, name))
		return a.withhold(o, target, *j)
	}
	videoSHA := ""
	claim := []madeFile{{Name: madeName}}
	for _, f := range files {
		claim = append(claim, madeFile{Name: f.Name, SHA256: sumOf(f.Data)})
	}
	if video != "" {
		if videoSHA, err = videoSum(dir, c.VideoFile); err != nil {
			return err
		}
		claim = append(claim, madeFile{Name: video, SHA256: videoSHA})
	}
	if err := o.claim(claim); err != nil {
		return err
	}
	if video != "" {
		if err := a.putVideo(o, dir, c.VideoFile, madeFile{Name: video, SHA256: videoSHA}, opt.noCopy); err != nil {
			return err
		}
	}
	if err := o.writeAll(files); err != nil {
		return err
	}
	removed, err := o.finish()
	if err != nil {
		return err
	}
	a.wrote(target, o, removed)
	return nil
}

// leak is the finding of the last net: a private word got into an output.
func leak(c *annotate.Case, name string) source.Finding {
	return source.Finding{
		Pos: c.CaseFile.Whole(), Severity: source.Stop, Rule: "privacy/output", Final: true,
		Message: fmt.Sprintf("what would be written holds one of the case's private words (%s); every output of the case is withheld", filepath.Ext(name)),
		Hint:    "the word stands in what is read of the case, perhaps in pieces; no waiver accepts a private word",
	}
}

// refuse writes findings.json of a case whose procedure is not known. Files of an
// earlier build stay, and it is said.
func (a *app) refuse(o *outDir, target string, j judged) error {
	var kept []string
	for n := range o.ours {
		if n != "findings.json" && n != madeName {
			kept = append(kept, n)
		}
	}
	if err := o.claim([]madeFile{{Name: madeName}, {Name: "findings.json"}}); err != nil {
		return err
	}
	f, err := findingsJSON(j)
	if err != nil {
		return err
	}
	if err := o.writeAll([]export.File{f}); err != nil {
		return err
	}
	o.keep(kept)
	if _, err := o.finish(); err != nil {
		return err
	}
	fmt.Fprintf(a.out, "%s: the case could not be read; only findings.json is written\n", filepath.ToSlash(target))
	if len(kept) > 0 {
		a.say("%d files of an earlier build stand there unchanged", len(kept))
	}
	return nil
}

func findingsJSON(j judged) (export.File, error) {
	var b bytes.Buffer
	if err := report.JSON(&b, []report.Case{export.FindingsOf(j.bundle)}); err != nil {
		return export.File{}, fmt.Errorf("making findings.json: %w", err)
	}
	return export.File{Name: "findings.json", Data: b.Bytes()}, nil
}

func (a *app) wrote(target string, o *outDir, removed []string) {
	fmt.Fprintf(a.out, "%s: %d files\n", filepath.ToSlash(target), len(o.now.Files)+1)
	if !a.quiet {
		for _, f := range o.now.Files {
			fmt.Fprintf(a.out, "  %s\n", f.Name)
		}
		fmt.Fprintf(a.out, "  %s\n", madeName)
	}
	for _, n := range removed {
		a.say("removed %s, which is no longer made", filepath.ToSlash(filepath.Join(target, n)))
	}
	if o.now.sum("index.html") != "" {
		a.say("open %s", filepath.ToSlash(filepath.Join(target, "index.html")))
	}
}

// withhold writes findings.json alone, its matched text already replaced, and
// removes what earlier builds wrote.
func (a *app) withhold(o *outDir, target string, j judged) error {
	a.found()
	if err := o.claim([]madeFile{{Name: madeName}, {Name: "findings.json"}}); err != nil {
		return err
	}
	removed, err := o.drop("findings.json")
	if err != nil {
		return err
	}
	f, err := findingsJSON(j)
	if err != nil {
		return err
	}
	if err := o.writeAll([]export.File{f}); err != nil {
		return err
	}
	if _, err := o.finish(); err != nil {
		return err
	}
	fmt.Fprintf(a.out, "%s: withheld; only findings.json is written\n", filepath.ToSlash(target))
	for _, f := range j.report.Findings {
		if f.Group() == "privacy" && f.Severity == source.Stop && !f.Waived {
			a.say("%s", strings.TrimSuffix(f.Text(), "\n"))
		}
	}
	for _, n := range removed {
		a.say("removed %s", filepath.ToSlash(filepath.Join(target, n)))
	}
	return nil
}

// putVideo copies or links the video. A file that already holds the same bytes is
// left as it is.
func (a *app) putVideo(o *outDir, dir, from string, video madeFile, link bool) error {
	if sum, err := fileSum(filepath.Join(o.dir, video.Name)); err == nil && sum == video.SHA256 {
		o.now.Files = append(o.now.Files, video)
		return nil
	}
	if link {
		if err := o.link(filepath.Join(dir, filepath.FromSlash(from)), video.Name, video.SHA256); err == nil {
			return nil
		}
		a.say("the disk cannot link the video; it is copied")
	}
	src, err := os.OpenInRoot(dir, filepath.FromSlash(from))
	if err != nil {
		return fmt.Errorf("reading video: %w", err)
	}
	defer func() { _ = src.Close() }()
	sum, err := o.stream(video.Name, func(w io.Writer) error {
		_, err := io.Copy(w, src)
		return err
	})
	if err != nil {
		return err
	}
	o.now.Files = append(o.now.Files, madeFile{Name: video.Name, SHA256: sum})
	return nil
}

// videoSum is the SHA-256 of the case's video.
func videoSum(dir, name string) (string, error) {
	f, err := os.OpenInRoot(dir, filepath.FromSlash(name))
	if err != nil {
		return "", fmt.Errorf("reading video: %w", err)
	}
	defer func() { _ = f.Close() }()
	sum, _, err := hashOf(f)
	if err != nil {
		return "", fmt.Errorf("reading video: %w", err)
	}
	return sum, nil
}

func hashOf(r io.Reader) (sum string, size int64, err error) {
	h := sha256.New()
	size, err = io.Copy(h, r)
	return hex.EncodeToString(h.Sum(nil)), size, err
}

// same reports whether path is a file with these bytes.
func same(path, sum string, size int64) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer func() { _ = f.Close() }()
	if info, err := f.Stat(); err != nil || info.Size() != size {
		return false
	}
	got, _, err := hashOf(f)
	return err == nil && got == sum
}
