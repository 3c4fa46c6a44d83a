package cmd

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/annotate/taxonomy"
	"sideport/timeline/format"
	"sideport/timeline/source"

	"github.com/spf13/cobra"
)

const aboutNew = `Start a case. Put what you have into a folder: the edited video, the list of times
you jotted down, the chapters. This command looks at them and writes case.yaml, the
short file of facts that the other commands read, filled in as far as it can be.
Then it says in plain words what is missing. A case.yaml that exists is left alone.

Consent starts as "none": the page is for this computer and marked as not for
release until you say otherwise.`

func (a *app) newCmd() *cobra.Command {
	procedure := procedureFlag()
	c := &cobra.Command{
		Use:   "new DIR",
		Short: "Start a case from what is in a folder",
		Long:  aboutNew,
		Args:  one("folder"),
		RunE: a.run(func(args []string) error {
			return a.newCase(args[0], procedure.value)
		}),
	}
	procedure.flag(c, "procedure", "what was operated; without it the names in the list of times decide")
	return c
}

// start is what new finds in a folder.
type start struct {
	dir                                 string
	video, recording, chapters, caption string // file names, empty when none
	cuts                                string // the edit list
	notes                               bool
	unsure                              []string // in words
	parts                               []partFile
	listsOfParts                        []string // the lists of times of single parts, also those of which none is taken
}

func (a *app) newCase(dir, procedure string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("making case folder: %w", err)
	}
	path := filepath.Join(dir, "case.yaml")
	if _, err := os.Lstat(path); err == nil {
		return usagef("%s exists and is left alone", filepath.ToSlash(path))
	} else if !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("looking at case folder: %w", err)
	}
	s, err := look(dir)
	if err != nil {
		return err
	}
	id, steps, err := s.read(procedure)
	if err != nil {
		return err
	}
	if err := replaceFile(path, []byte(s.caseFile(id, steps))); err != nil {
		return err
	}
	fmt.Fprintf(a.out, "%s is written.\n", filepath.ToSlash(path))
	for _, line := range s.tell(len(steps)) {
		fmt.Fprintln(a.out, line)
	}
	return nil
}

var videoExtensions = map[string]bool{".mp4": true, ".mov": true, ".m4v": true, ".webm": true, ".mkv": true, ".avi": true, ".mpg": true, ".mpeg": true, ".wmv": true}

// look sorts the folder's files into roles: by default name first, else the only
// file that reads as what is looked for.
func look(dir string) (start, error) {
	s := start{dir: dir}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return s, fmt.Errorf("looking at case folder: %w", err)
	}
	var videos, stamps, chapters, cues, cuts, all []string
	for _, e := range entries {
		name, ext := e.Name(), strings.ToLower(filepath.Ext(e.Name()))
		if e.IsDir() || strings.HasPrefix(name, ".") {
			continue
		}
		all = append(all, name)
		switch {
		case videoExtensions[ext]:
			videos = append(videos, name)
		case strings.EqualFold(name, "notes.md"):
			s.notes = true
		case ext == ".srt":
			cues = append(cues, name)
		case ext == ".edl" || ext == ".otio":
			cuts = append(cuts, name)
		case slices.Contains([]string{".txt", ".csv", ".tsv", ".vtt", ".ffmeta", ".ffmetadata", ".xml", ".json"}, ext):
			role := s.roleOf(name, ext)
			switch role {
			case format.Recording:
				stamps = append(stamps, name)
			case format.Chapters:
				chapters = append(chapters, name)
			case format.Narration:
				cues = append(cues, name)
			}
		}
	}
	s.video = s.choose("video", s.inParts(videos, all))
	stamps = slices.DeleteFunc(stamps, func(name string) bool { // a list of one part is not that of the recording
		return slices.Contains(s.listsOfParts, name)
	})
	s.recording = s.choose("recording", stamps)
	s.chapters = s.choose("chapters", chapters)
	s.caption = s.choose("narration", cues)
	s.cuts = s.choose("cuts", cuts)
	return s, nil
}

// roleOf guesses from a name what a text file is for.
func (s *start) roleOf(name, ext string) format.Role {
	stem := strings.ToLower(strings.TrimSuffix(name, filepath.Ext(name)))
	switch {
	case strings.Contains(stem, "chapter") || strings.HasPrefix(ext, ".ffmeta") || strings.Contains(stem, "description"):
		return format.Chapters
	case strings.Contains(stem, "narration") || strings.Contains(stem, "caption") || strings.Contains(stem, "speech"):
		return format.Narration
	case ext == ".vtt":
		return format.Chapters
	case strings.Contains(stem, "recording") || strings.Contains(stem, "time") || strings.Contains(stem, "stamp"):
		return format.Recording
	}
	return format.Cuts // nothing that new fills in
}

// choose takes the only file with the default name, else the only candidate, as the
// other commands will. Of several none is taken, and it is said.
func (s *start) choose(stem string, found []string) string {
	isDefault := func(f string) bool { return isDefault(f, stem) }
	if named := slices.DeleteFunc(slices.Clone(found), func(f string) bool { return !isDefault(f) }); len(named) > 0 {
		found = named
	}
	switch len(found) {
	case 0:
		return ""
	case 1:
		return found[0]
	}
	s.unsure = append(s.unsure, fmt.Sprintf("Several files could be the %s: %s. None is read until one of them is named in case.yaml or the others are moved away.",
		stem, strings.Join(found, ", ")))
	return ""
}

// read finds the steps that the list of times, else the chapters, name, and the
// procedure whose vocabulary names most of them.
func (s *start) read(procedure string) (id string, steps []annotate.Step, err error) {
	best, unread := -1, false
	for _, p := range taxonomy.All() {
		if procedure != "" && p.ID != procedure {
			continue
		}
		m, err := annotate.LoadFiles(p.ID, s.join(s.recording), s.join(s.chapters), "", "")
		if err != nil {
			return "", nil, err
		}
		c, _ := annotate.Resolve(m, ranges.Builtin())
		named := 0
		for _, mark := range c.Marks {
			if mark.Match.ID != "" {
				named++
			}
		}
		for _, t := range c.Titles {
			if t.Match.ID != "" {
				named++
			}
		}
		if named > best {
			best, id, steps = named, p.ID, c.Steps
		}
		if worst, any := source.Worst(c.Findings); any && worst == source.Error && procedure == "" && p.ID == id {
			unread = true
		}
	}
	if unread {
		s.unsure = append(s.unsure, "Something in these files could not be read; \"sideport check\" says what and where.")
	}
	return id, steps, nil
}

func (s *start) join(name string) string {
	if name == "" {
		return ""
	}
	return filepath.Join(s.dir, name)
}

// caseFile is the text of the new case.yaml.
func (s *start) caseFile(procedure string, steps []annotate.Step) string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("# The facts of one case. Lines that begin with # are remarks; take the # away to use one.")
	line("sideport: 1")
	line("title: Untitled case")
	line("procedure: %s", procedure)
	line("languages: [en]")
	line("purpose: curriculum            # or channel, conference, review")
	s.files(line)
	line("consent: {scope: none, recorded: false}   # none, local, course or public")
	line("# patient: {age-band: 60-69, sex: not-stated, eye: right, cataract: {type: [ns], grade: [{scheme: locs3-no, value: 3.0}]}}")
	line("# before: {acuity: {corrected: 6/36}, pressure: 15 mmHg, pupil: 7 mm}")
	line("# lens: {material: pmma, optic-diameter: 6 mm, lens-power: 21 D, site-planned: in-bag, site: in-bag}")
	line("# machine: {infusion: gravity, pump: none, height-from: eye}")
	line("")
	if len(steps) == 0 {
		line("steps: []   # one entry a step; \"sideport steps\" prints the names")
		return b.String()
	}
	line("steps:   # a value is written as values: {rhexis-diameter: 6 mm}")
	table := ranges.Builtin()
	for _, st := range steps {
		line("  - step: %s", st.ID)
		if st.Nth > 1 {
			line("    nth: %d", st.Nth)
		}
		var names []string
		for _, p := range table.Parameters() {
			if slices.Contains(p.Steps, st.ID) {
				names = append(names, p.ID)
			}
		}
		if len(names) > 0 {
			line("    # values that can be filled in: %s", strings.Join(names, ", "))
		}
	}
	return b.String()
}

// files names the material that does not carry its default name.
func (s *start) files(line func(string, ...any)) {
	var keys []string
	if s.recording != "" && !isDefault(s.recording, "recording") {
		keys = append(keys, fmt.Sprintf("recording: [%q]", s.recording))
	}
	if s.chapters != "" && !isDefault(s.chapters, "chapters") {
		keys = append(keys, fmt.Sprintf("chapters: %q", s.chapters))
	}
	if s.cuts != "" && !isDefault(s.cuts, "cuts") {
		keys = append(keys, fmt.Sprintf("cuts: %q", s.cuts))
	}
	if len(keys) > 0 {
		line("files: {%s}", strings.Join(keys, ", "))
	}
	switch {
	case s.video != "" && !isDefault(s.video, "video"):
		line("video: {file: %q}   # add shows: recording when it was not edited", s.video)
	default:
		line("# video: {shows: recording}   # when the video was not edited; duration: \"4:05\" when its length is not found")
	}
	s.recordingFiles(line)
	if s.caption != "" && !isDefault(s.caption, "narration") {
		line("narration: {file: %q, language: en, clock: video}", s.caption)
	}
}

// isDefault reports whether a file is found by its name alone, under which a list of
// times has to have one of few extensions.
func isDefault(name, stem string) bool {
	return strings.EqualFold(strings.TrimSuffix(name, filepath.Ext(name)), stem) && (stem != "recording" || isList(name))
}

// tell says in plain words what was found and what is missing.
func (s *start) tell(steps int) []string {
	var out []string
	found := func(what, file, missing string) {
		if file != "" {
			out = append(out, fmt.Sprintf("Found %s: %s.", what, file))
		} else {
			out = append(out, missing)
		}
	}
	found("the video", s.video, "No video: the page will have figures and text only.")
	noList := "No list of times: write what the recording's clock says at each step into recording.txt, one a line, such as \"0:41 rhexis\"."
	if len(s.listsOfParts) > 0 {
		noList = "The lists of times of single parts are read when case.yaml names them."
	}
	found("the list of times", s.recording, noList)
	if s.cuts == "" {
		found("the chapters", s.chapters, "No chapters: without them, and unless the video was not edited, video times are unknown and no tracks can be made.")
	} else {
		found("the chapters", s.chapters, "No chapters: the edit list says what the video shows.")
		found("the edit list", s.cuts, "")
	}
	if strings.EqualFold(filepath.Ext(s.cuts), ".edl") {
		out = append(out, "An EDL does not hold its frame rate: \"recording: {rate: 25}\" in case.yaml states it where the video file does not.")
	}
	found("the spoken commentary", s.caption, "No spoken commentary: there will be no captions of it.")
	if !s.notes {
		out = append(out, "No notes.md: teaching text of your own can go there.")
	}
	out = append(out, s.tellParts()...)
	out = append(out, s.unsure...)
	if steps > 0 {
		out = append(out, fmt.Sprintf("Recognised steps, which stand in case.yaml: %d.", steps))
	}
	return append(out, "Consent is \"none\" until you change it: the page will be marked as not for release.",
		"Next: fill in case.yaml, then run \"sideport check "+filepath.ToSlash(s.dir)+"\".")
}
