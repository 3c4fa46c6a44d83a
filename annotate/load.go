package annotate

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"sideport/timeline"
	"sideport/timeline/format"
	"sideport/timeline/media"
	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"
)

// ErrNoCase means the folder holds no case.yaml.
var ErrNoCase = errors.New("there is no case.yaml in the folder")

// loader reads one case folder. Access is confined to the folder: a name that
// leads out of it, also through a link, cannot be opened.
type loader struct {
	root  *os.Root
	names []string // files of the folder, sorted
	m     *Material
}

// Load reads the case folder dir: case.yaml, the files it names, and those that
// have the default name of a role.
// shown is the folder as findings name it. Bad content is in Material.Findings;
// the error is ErrNoCase or an I/O error.
func Load(dir, shown string) (*Material, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("opening case folder: %w", err)
	}
	defer func() { _ = root.Close() }()
	abs, err := filepath.Abs(dir)
	if err != nil {
		return nil, fmt.Errorf("naming case folder: %w", err)
	}
	l := &loader{root: root, m: &Material{Name: filepath.Base(abs), Shown: filepath.ToSlash(shown), File: &File{}}}
	if err := l.list(); err != nil {
		return nil, err
	}
	if !slices.Contains(l.names, "case.yaml") {
		return nil, ErrNoCase
	}
	if l.m.CaseFile, err = l.text("case.yaml"); err != nil {
		return nil, err
	}
	if yamldoc.Decode(l.m.CaseFile, l.m.File, l.report) && !l.m.CaseFile.Unreadable() {
		validate(l.m.File, l.m.CaseFile, l.report) // of what cannot be read at all nothing is missing
	}
	for _, read := range []func() error{l.recording, l.chapters, l.narration, l.notes, l.local, l.video, l.cuts} {
		if err := read(); err != nil {
			return nil, err
		}
	}
	l.m.clean()
	return l.m, nil
}

// clean leaves out of the texts read what source.Printable does: nothing that goes
// on from here moves a cursor or turns the writing round.
func (m *Material) clean() {
	for i := range m.Stamps {
		m.Stamps[i].Text = source.Printable(m.Stamps[i].Text)
	}
	for i := range m.Chapters {
		m.Chapters[i].Title = source.Printable(m.Chapters[i].Title)
	}
	for i := range m.Cues {
		m.Cues[i].ID, m.Cues[i].Text = source.Printable(m.Cues[i].ID), source.Printable(m.Cues[i].Text)
	}
}

func (l *loader) report(f source.Finding) { l.m.Findings = append(l.m.Findings, f) }

func (l *loader) list() error {
	entries, err := fs.ReadDir(l.root.FS(), ".")
	if err != nil {
		return fmt.Errorf("listing case folder: %w", err)
	}
	for _, e := range entries {
		if e.IsDir() || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		if e.Type()&fs.ModeSymlink != 0 {
			if !l.reaches(e.Name()) {
				continue
			}
		} else if !e.Type().IsRegular() {
			continue // opening a pipe or a device could wait for ever
		}
		l.names = append(l.names, e.Name())
	}
	return nil
}

// reaches reports whether a link leads to a file inside the folder, and says so
// when it does not.
func (l *loader) reaches(name string) bool {
	info, err := l.root.Stat(name)
	if err == nil {
		return info.Mode().IsRegular()
	}
	l.report(source.Finding{
		Pos: source.New(path.Join(l.m.Shown, name), nil).Whole(), Severity: source.Error, Rule: "read/outside-folder",
		Message: "this is a link to no file inside the case folder; it is not read",
		Hint:    "a copy of the file itself is read",
	})
	return false
}

// text reads and decodes one text file of the folder.
func (l *loader) text(name string) (*source.Source, error) {
	f, err := l.root.Open(filepath.FromSlash(name))
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", name, err)
	}
	defer func() { _ = f.Close() }()
	src, err := source.Read(f, path.Join(l.m.Shown, name), l.report)
	if err != nil {
		return nil, err
	}
	l.m.Sources = append(l.m.Sources, src)
	l.hidden(src)
	return src, nil
}

// hidden notes characters that no reader sees: they are left out of what is read.
func (l *loader) hidden(src *source.Source) {
	text := string(src.Text())
	i := source.Hidden(text)
	if i < 0 {
		return
	}
	l.report(source.Finding{
		Pos: src.Pos(i), Severity: source.Note, Rule: "read/hidden-character",
		Message: "a control character, or one that turns the direction of writing, stands here; such characters are left out of every output",
	})
}

func (l *loader) recording() error {
	ownTimes, err := l.parts()
	if err != nil {
		return err
	}
	var names []string
	if keys := l.m.File.Files.Recording; len(keys) > 0 {
		for _, key := range keys {
			if name := l.named(key); name != "" {
				names = append(names, name)
			}
		}
	} else if !ownTimes {
		if name := l.pick("list of times", Text{}, stemWith("recording", ListExtensions()...)); name != "" {
			names = append(names, name)
		}
	}
	for _, name := range names {
		if err := l.stamps(name, noPart); err != nil {
			return err
		}
	}
	return nil
}

func (l *loader) chapters() error {
	name := l.pick("chapter file", l.m.File.Files.Chapters, stemWith("chapters"))
	if name == "" {
		return nil
	}
	src, err := l.text(name)
	if err != nil {
		return err
	}
	if r, ok := format.Find(format.Chapters, src, "chapter file", l.report); ok {
		l.m.Chapters = r.Chapters(src, l.report)
	}
	return nil
}

func (l *loader) narration() error {
	name := l.pick("narration", l.m.File.Narration.File, func(stem, ext string) bool {
		return stem == "narration" && !slices.Contains(soundFiles(), ext)
	})
	if name == "" {
		return nil
	}
	src, err := l.text(name)
	if err != nil {
		return err
	}
	if r, ok := format.Find(format.Narration, src, "narration", l.report); ok {
		l.m.Cues, l.m.plain = r.Cues(src, l.report), r.Plain
	}
	return nil
}

func (l *loader) notes() (err error) {
	if name := l.pick("notes", l.m.File.Files.Notes, stemWith("notes", "md")); name != "" {
		l.m.Notes, err = l.text(name)
	}
	return err
}

// local reads the case's own ranges and lexicon, which have no default names.
func (l *loader) local() (err error) {
	read := func(key Text) *source.Source {
		name := ""
		if key.Value != "" {
			name = l.named(key)
		}
		if name == "" || err != nil {
			return nil
		}
		var src *source.Source
		if src, err = l.text(name); err != nil || src.Unreadable() {
			return nil
		}
		return src
	}
	l.m.Ranges, l.m.Lexicon = read(l.m.File.Files.Ranges), read(l.m.File.Files.Lexicon)
	return err
}

// video notes the video's name and reads its container's facts, without ffprobe:
// the same folder gives the same output on every machine.
func (l *loader) video() error {
	name := l.pick("video", l.m.File.Video.File, func(stem, ext string) bool {
		return stem == "video" && ext != "" && !slices.Contains(besideVideo(), ext)
	})
	if name == "" {
		return nil
	}
	l.m.VideoFile = name
	facts, err := l.facts(name)
	l.m.TagsUnread = err != nil
	if errors.Is(err, media.ErrDamaged) {
		l.report(source.Finding{
			Pos: l.videoPos().Whole(), Severity: source.Caution, Rule: "media/damaged",
			Message: "the video's container is damaged; what could be read of it counts: " + err.Error(),
		})
		err = nil
	}
	if errors.Is(err, media.ErrUnknown) {
		l.report(source.Finding{
			Pos: l.videoPos().Whole(), Severity: source.Caution, Rule: "media/unknown-container",
			Message: "neither length nor tags can be read from this video: " + err.Error(),
			Hint:    "video.duration in case.yaml states the length",
		})
		return nil
	}
	if err != nil {
		return fmt.Errorf("reading %s: %w", name, err)
	}
	l.m.Media = &facts
	return nil
}

func (l *loader) videoPos() *source.Source {
	return source.New(path.Join(l.m.Shown, l.m.VideoFile), nil)
}

// PlainCue is the text of a cue without its format's markup.
func (m *Material) PlainCue(c timeline.Cue) string {
	if m.plain == nil {
		return format.PlainText(c.Text)
	}
	return m.plain(c.Text)
}

// looseName stands for the folder of files that belong to no case.
const looseName = "-"

// loose reports whether the material belongs to no case folder, so that there is no
// case.yaml to point at.
func (m *Material) loose() bool { return m.Name == looseName }

// LoadFiles reads a list of times, a chapter file and an edit list that belong to no
// case folder; any name may be empty. rate is that of timecode in them, or empty.
// Findings name the files as given.
func LoadFiles(procedure, recording, chapters, cuts, rate string) (*Material, error) {
	src := source.New("", []byte("sideport: 1\ntitle: files\nprocedure: "+procedure+"\n"))
	m := &Material{Name: looseName, File: &File{}, CaseFile: src}
	report := func(f source.Finding) { m.Findings = append(m.Findings, f) }
	yamldoc.Decode(src, m.File, report)
	m.File.Recording.Rate = Text{Value: rate, Set: rate != "", Pos: src.Whole()}
	read := func(name string, role format.Role, use func(format.Reader, *source.Source)) error {
		if name == "" {
			return nil
		}
		f, err := os.Open(name)
		if err != nil {
			return fmt.Errorf("reading %s: %w", role, err)
		}
		defer func() { _ = f.Close() }()
		text, err := source.Read(f, filepath.ToSlash(name), report)
		if err != nil {
			return err
		}
		if r, ok := format.Find(role, text, role.String()+" file", report); ok {
			use(r, text)
		}
		return nil
	}
	err := read(recording, format.Recording, func(r format.Reader, s *source.Source) {
		m.Stamps = readList(r, s, m.File.Recording.Rate, report)
		m.lists = []stampList{{part: noPart, to: len(m.Stamps)}}
	})
	if err != nil {
		return nil, err
	}
	err = read(chapters, format.Chapters, func(r format.Reader, s *source.Source) { m.Chapters = r.Chapters(s, report) })
	if err != nil {
		return nil, err
	}
	m.EditList = cuts != ""
	err = read(cuts, format.Cuts, func(r format.Reader, s *source.Source) { m.readEdit(r, s, report) })
	m.clean()
	return m, err
}
