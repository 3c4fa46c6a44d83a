package annotate

import (
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"sideport/timeline/source"
)

// pick finds the file of a role: the one that case.yaml names, else the only one
// in the folder with a default name. Two candidates and no key naming one is
// read/several-files, and none is taken.
func (l *loader) pick(role string, named Text, match func(stem, ext string) bool) string {
	if named.Set && named.Value != "" {
		return l.named(named)
	}
	var found []string
	for _, name := range l.names {
		lower := strings.ToLower(name)
		ext := path.Ext(lower)
		if match(strings.TrimSuffix(lower, ext), strings.TrimPrefix(ext, ".")) {
			found = append(found, name)
		}
	}
	if len(found) > 1 {
		l.report(source.Finding{
			Pos: l.m.CaseFile.Whole(), Severity: source.Error, Rule: "read/several-files",
			Message: fmt.Sprintf("several files could be the %s: %s; none is read", role, strings.Join(found, ", ")),
			Hint:    "name the one that counts in case.yaml",
		})
		return ""
	}
	if len(found) == 0 {
		return ""
	}
	return found[0]
}

// named checks a file name that case.yaml gives.
func (l *loader) named(name Text) string {
	shown := fmt.Sprintf("%q", name.Value)
	return l.find(name, shown, shown)
}

// find is named with what findings call a file outside the folder and one that is
// not there: what a recorder called a file is kept out of them.
func (l *loader) find(name Text, outside, missing string) string {
	clean := path.Clean(strings.ReplaceAll(name.Value, `\`, "/"))
	if !fs.ValidPath(clean) {
		l.report(source.Finding{
			Pos: name.Pos, Path: name.Path, Severity: source.Error, Rule: "read/outside-folder",
			Message: fmt.Sprintf("%s is not a file inside the case folder; it is not read", outside),
		})
		return ""
	}
	info, err := l.root.Stat(filepath.FromSlash(clean))
	if err != nil || !info.Mode().IsRegular() {
		l.report(source.Finding{
			Pos: name.Pos, Path: name.Path, Severity: source.Error, Rule: "read/no-file",
			Message: fmt.Sprintf("there is no file %s in the case folder", missing),
		})
		return ""
	}
	return clean
}

func stemWith(stem string, exts ...string) func(string, string) bool {
	return func(s, ext string) bool {
		return s == stem && (len(exts) == 0 || slices.Contains(exts, ext))
	}
}

// ListExtensions are the extensions that a list of times has, without the dot. A list
// under its default name, recording, is found by them.
func ListExtensions() []string { return []string{"txt", "csv", "tsv"} }

// soundFiles are the extensions of the narration's own sound, which may lie beside
// its words.
func soundFiles() []string {
	return []string{"wav", "mp3", "m4a", "aac", "flac", "ogg", "opus", "wma", "aif", "aiff"}
}

// besideVideo are the extensions of what editors and cameras leave beside a video
// under its name: captions, notes and pictures.
func besideVideo() []string {
	return append(soundFiles(), "srt", "vtt", "ttml", "sbv", "ass", "stl", "txt", "md", "json", "xml", "csv", "tsv", "yaml", "pdf",
		"jpg", "jpeg", "png", "webp", "edl", "otio", "thm", "lrv")
}
