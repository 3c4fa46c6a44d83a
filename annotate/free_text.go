package annotate

import (
	"reflect"
	"slices"
)

// FreeTexts are the texts of the case file that an export could carry, with their
// places: everything but the words of closed lists, the times, the names of files
// and what is never exported. Authors are left out: they are public names. Private
// words are looked for in the whole file besides.
func (f *File) FreeTexts() []Text {
	out := []Text{f.Title, f.Summary, f.Outcome, f.Disclosure}
	out = append(out, f.Languages...)
	out = append(out, f.Narration.Language)
	out = append(out, f.Objectives...)
	out = append(out, f.References...)
	for _, q := range f.Questions {
		out = append(out, q.Ask, q.Because)
		out = append(out, q.Answers...)
	}
	for _, s := range f.Steps {
		out = append(out, s.Variant, s.Reason, s.Note)
		out = append(out, s.Tips...)
		out = append(out, s.Values.texts()...)
		for _, r := range s.Readings {
			out = append(out, r.texts()...)
		}
	}
	for _, e := range f.Events {
		out = append(out, e.Note)
	}
	for _, w := range f.Waivers {
		out = append(out, w.Reason, w.By)
	}
	for _, m := range []Measures{f.Before, f.Day1, f.Week6, f.Lens} {
		out = append(out, ValueKeys{List: m.List}.texts()...)
	}
	out = append(out, f.Values.texts()...)
	for _, block := range []any{f.Patient, f.Machine, f.Team} {
		out = append(out, words(reflect.ValueOf(block))...)
	}
	return slices.DeleteFunc(out, func(t Text) bool { return t.Value == "" })
}

func (v ValueKeys) texts() []Text {
	var out []Text
	for _, k := range v.List {
		out = append(out, k.Value)
	}
	return out
}

// words are all scalars below a value: a word that is none of its closed list can
// be anything.
func words(v reflect.Value) []Text {
	var out []Text
	switch v.Kind() {
	case reflect.Struct:
		if t, ok := v.Interface().(Text); ok {
			return []Text{t}
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				out = append(out, words(v.Field(i))...)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			out = append(out, words(v.Index(i))...)
		}
	}
	return out
}

// PrivateWords are the words that are never exported.
func (c *Case) PrivateWords() []string {
	var out []string
	for _, w := range c.File.PrivateWords {
		out = append(out, w.Value)
	}
	return out
}
