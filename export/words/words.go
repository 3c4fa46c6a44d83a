package words

import (
	"embed"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"sync"

	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"
)

//go:embed *.yaml
var files embed.FS

// English is the tag of the complete language.
const English = "en"

// file is one <tag>.yaml.
type file struct {
	Language string                       `yaml:"language"`
	Reviewed bool                         `yaml:"reviewed"`
	Words    map[string]map[string]string `yaml:"words"`
}

// Words is the interface text in one language. The zero Words has no text; Get
// makes one.
type Words struct {
	language string
	reviewed bool
	words    map[string]map[string]string
	english  map[string]map[string]string
}

// embedded reads the files once: they cannot change while the program runs, and a
// shelf of ten thousand cases asks for them again and again.
var embedded = sync.OnceValue(func() map[string]file { return load(files) })

// Get returns the words of a language by its BCP 47 tag: the file of the whole
// tag, else of the tag without its last part and so on, else English. Case does
// not matter. The first call reads the embedded files, later ones cost a look-up.
func Get(lang string) Words { return choose(embedded(), lang) }

// Languages lists the tags that have a file, in alphabetical order.
func Languages() []string { return slices.Sorted(maps.Keys(embedded())) }

func choose(all map[string]file, lang string) Words {
	english := all[English]
	chosen := english
	for tag := strings.ToLower(lang); tag != ""; {
		if f, ok := all[tag]; ok {
			chosen = f
			break
		}
		tag = tag[:max(strings.LastIndexByte(tag, '-'), 0)]
	}
	return Words{language: chosen.Language, reviewed: chosen.Reviewed, words: chosen.Words, english: english.Words}
}

// load reads every language file. A fault in one is ours and panics.
func load(fsys fs.FS) map[string]file {
	names, err := fs.Glob(fsys, "*.yaml")
	if err != nil {
		panic("words: " + err.Error())
	}
	all := map[string]file{}
	for _, name := range names {
		raw, err := fs.ReadFile(fsys, name)
		if err != nil {
			panic("words: " + err.Error())
		}
		var f file
		fault := func(found source.Finding) { panic("words: " + found.String()) }
		yamldoc.Decode(source.Decode(name, raw, fault), &f, fault)
		if name != f.Language+".yaml" || f.Language != strings.ToLower(f.Language) {
			panic(fmt.Sprintf("words: %s says language %q", name, f.Language))
		}
		all[f.Language] = f
	}
	return all
}

// Language is the tag of the language the words are in, which is en when the
// language asked for has no file.
func (w Words) Language() string { return w.language }

// Reviewed reports whether a speaker of the trade has read the file.
func (w Words) Reviewed() bool { return w.reviewed }

// T returns the text of a key such as result.within, in English when the
// language lacks it. A key that English lacks panics.
func (w Words) T(key string) string {
	group, name, _ := strings.Cut(key, ".")
	if text, ok := w.words[group][name]; ok {
		return text
	}
	text, ok := w.english[group][name]
	if !ok {
		panic(fmt.Sprintf("words: no text for the key %q", key))
	}
	return text
}

// Has reports whether English has a text for the key.
func (w Words) Has(key string) bool {
	group, name, _ := strings.Cut(key, ".")
	_, ok := w.english[group][name]
	return ok
}

// Keys lists all keys in alphabetical order.
func (w Words) Keys() []string {
	var keys []string
	for group, words := range w.english {
		for name := range maps.Keys(words) {
			keys = append(keys, group+"."+name)
		}
	}
	slices.Sort(keys)
	return keys
}

// Missing lists the keys that fall back to English, in alphabetical order.
func (w Words) Missing() []string {
	var keys []string
	for _, key := range w.Keys() {
		group, name, _ := strings.Cut(key, ".")
		if _, ok := w.words[group][name]; !ok {
			keys = append(keys, key)
		}
	}
	return keys
}

// Result is the text of the outcome of judging a value: within, partly, outside,
// far-outside, unknown or not-judged.
func (w Words) Result(result string) string { return w.T("result." + result) }

// Evidence is the text of an evidence tag: confirmed, derived, common-practice,
// from-memory or assumption.
func (w Words) Evidence(tag string) string { return w.T("evidence." + tag) }

// Severity is how a page or text report says a severity.
func (w Words) Severity(s source.Severity) string { return w.T("severity." + s.String()) }
