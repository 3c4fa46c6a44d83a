package cmd

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"sideport/annotate"
	"sideport/timeline/media"
)

// partFile is a file that looks like one part of a recording, and the list of times
// of the same name.
type partFile struct{ video, times, made string }

var digits = regexp.MustCompile(`[0-9]+`)

// inParts takes the files that look like one recording kept in parts out of the
// videos: two or more whose names differ in their numbers alone, as recorders count
// them. Of several such groups none is taken, as nothing tells them apart.
func (s *start) inParts(videos, others []string) (rest []string) {
	groups := map[string][]string{}
	for _, name := range videos {
		if shape := digits.ReplaceAllString(strings.ToLower(name), "0"); digits.MatchString(name) && !isDefault(name, "video") {
			groups[shape] = append(groups[shape], name)
		}
	}
	var parts []string
	for _, group := range groups {
		if len(group) < 2 {
			continue
		}
		if parts != nil {
			return videos
		}
		parts = group
	}
	s.parts = s.inOrder(parts)
	for i, p := range s.parts {
		s.parts[i].times = s.timesOf(p.video, others)
	}
	return slices.DeleteFunc(slices.Clone(videos), func(name string) bool { return slices.Contains(parts, name) })
}

// timesOf is the only list of times that has the name of a part. Of several none is
// taken, and it is said.
func (s *start) timesOf(video string, others []string) string {
	stem := strings.TrimSuffix(video, filepath.Ext(video))
	var lists []string
	for _, name := range others {
		if isDefault(name, stem) && isList(name) {
			lists = append(lists, name)
		}
	}
	s.listsOfParts = append(s.listsOfParts, lists...)
	switch len(lists) {
	case 0:
		return ""
	case 1:
		return lists[0]
	}
	s.unsure = append(s.unsure, fmt.Sprintf("Several files could be the list of times of %s: %s. None is read until times beside that part names one of them in case.yaml.",
		video, strings.Join(lists, ", ")))
	return ""
}

// isList reports whether a name ends as a list of times does.
func isList(name string) bool {
	return slices.Contains(annotate.ListExtensions(), strings.ToLower(strings.TrimPrefix(filepath.Ext(name), ".")))
}

// inOrder puts the files in the order of the recording. One that cannot be read is
// placed by its name.
func (s *start) inOrder(names []string) []partFile {
	if len(names) == 0 {
		return nil
	}
	root, err := os.OpenRoot(s.dir)
	if err != nil {
		return nil
	}
	defer func() { _ = root.Close() }()
	slices.Sort(names)
	var list []media.Part
	for _, name := range names {
		p := media.Part{Name: name}
		if f, err := root.Open(name); err == nil {
			if info, err := f.Stat(); err == nil && info.Mode().IsRegular() {
				p.Facts, _ = media.Read(f, info.Size()) // what could be read of a damaged file counts
			}
			_ = f.Close()
		}
		list = append(list, p)
	}
	var out []partFile
	for _, p := range media.Join(list).Parts {
		out = append(out, partFile{video: names[p.Part], made: clockOf(list[p.Part].Facts.Created)})
	}
	return out
}

// clockOf is the time of day of a creation time, as case.yaml would state it. The
// date is left out: case.yaml asks for none.
func clockOf(created string) string {
	t, err := time.Parse(time.RFC3339Nano, created)
	if err != nil {
		return ""
	}
	return t.Format(time.TimeOnly)
}

// recordingFiles proposes recording.files, as remarks: only a person knows that the
// files are one recording, and what a creation time stands for.
func (s *start) recordingFiles(line func(string, ...any)) {
	if len(s.parts) == 0 {
		return
	}
	line("# recording:   # when these files are one recording that was kept in parts")
	line("#   files:")
	for _, p := range s.parts {
		entry := fmt.Sprintf("video: %q", p.video)
		if p.times != "" {
			entry += fmt.Sprintf(", times: %q", p.times)
		}
		remark := ""
		if p.made != "" {
			remark = fmt.Sprintf("   # says it was made at %s (UTC, or what its own clock showed); starts: %q inside the braces takes that for its start", p.made, p.made)
		}
		line("#     - {%s}%s", entry, remark)
	}
}

// tellParts says in words what was found.
func (s *start) tellParts() []string {
	if len(s.parts) == 0 {
		return nil
	}
	var names []string
	for _, p := range s.parts {
		names = append(names, p.video)
	}
	return []string{fmt.Sprintf("Found files that look like one recording kept in parts: %s. case.yaml lists them in remarks; take the # away when that is what they are.", strings.Join(names, ", "))}
}
