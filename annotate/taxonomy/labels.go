package taxonomy

import (
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"
)

// reference is the language of the vocabulary itself.
const reference = "en"

type labelFile struct {
	Reviewed   bool                         `yaml:"reviewed"`
	Labels     map[string]string            `yaml:"labels"`
	Procedures map[string]map[string]string `yaml:"procedures"`
}

// labelFiles are the label files by tag, each read when it is first asked for.
var labelFiles = sync.OnceValue(func() map[string]func() labelFile {
	out := map[string]func() labelFile{}
	for _, tag := range Languages() {
		out[tag] = sync.OnceValue(func() (f labelFile) {
			read("labels/"+tag+".yaml", &f)
			return f
		})
	}
	return out
})

// Languages are the language tags that have a label file, in alphabetical order.
func Languages() []string {
	entries, err := fs.ReadDir(files, "data/labels")
	if err != nil {
		panic("taxonomy: " + err.Error())
	}
	var out []string
	for _, e := range entries {
		out = append(out, strings.TrimSuffix(e.Name(), path.Ext(e.Name())))
	}
	slices.Sort(out)
	return out
}

// Label returns the name of a procedure, step, event or complication in a
// language, as the procedure calls it where it has a name of its own for a shared
// id. A nil procedure gives the shared name. lang is a BCP 47 tag; "es-MX" uses
// the file of es. A label missing there is the English one with ok false; an id
// without any label comes back as it is, with ok false.
func Label(procedure *Procedure, id, lang string) (label string, ok bool) {
	if f, found := labelFiles()[fileFor(lang)]; found {
		if label, ok := f().label(procedure, id); ok {
			return label, true
		}
	}
	if f, found := labelFiles()[reference]; found {
		if label, ok := f().label(procedure, id); ok {
			return label, false
		}
	}
	return id, false
}

func (f labelFile) label(procedure *Procedure, id string) (string, bool) {
	if procedure != nil {
		if label, ok := f.Procedures[procedure.ID][id]; ok {
			return label, true
		}
	}
	label, ok := f.Labels[id]
	return label, ok
}

// Reviewed reports whether a speaker of the trade has read the labels of a
// language. English is the vocabulary's own language and counts as read; a
// language without a file does not.
func Reviewed(lang string) bool {
	f, ok := labelFiles()[fileFor(lang)]
	return ok && f().Reviewed
}

// fileFor is the longest leading part of a tag that has a file.
func fileFor(lang string) string {
	tag := strings.ToLower(strings.ReplaceAll(lang, "_", "-"))
	for tag != "" {
		if _, ok := labelFiles()[tag]; ok {
			return tag
		}
		tag = tag[:max(0, strings.LastIndexByte(tag, '-'))]
	}
	return ""
}
