package annotate

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"
	_ "time/tzdata" // the same zones on every machine

	"sideport/annotate/taxonomy"
	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"

	"golang.org/x/text/language"
)

// validate reports what is wrong with the case file's keys as such: what is
// missing, what is none of a closed list, what is no number where one stands.
func validate(f *File, src *source.Source, report source.Report) {
	for _, need := range []struct {
		name string
		text Text
	}{{"sideport", f.Sideport}, {"title", f.Title}, {"procedure", f.Procedure}} {
		if need.text.Set && strings.TrimSpace(need.text.Value) == "" {
			fault(need.text, report, "read/missing-key", "the key %q has no value", need.name)
		} else if !need.text.Set {
			report(source.Finding{
				Pos: src.Whole(), Path: need.name, Severity: source.Error, Rule: "read/missing-key",
				Message: fmt.Sprintf("the key %q is missing", need.name),
			})
		}
	}
	if f.Sideport.Set && f.Sideport.Value != "1" {
		fault(f.Sideport, report, "read/version", "the file says version %q; this program reads version 1", f.Sideport.Value)
	}
	if f.Procedure.Set {
		checkProcedure(f, report)
	}
	checkWords(reflect.ValueOf(f).Elem(), nil, report)
	for _, l := range append(slices.Clone(f.Languages), f.Narration.Language) {
		if _, err := language.Parse(l.Value); l.Set && err != nil {
			fault(l, report, "read/language", "%q is no BCP 47 language tag", l.Value)
		}
	}
	if z := f.Recording.Zone; z.Set && !knownZone(z.Value) {
		fault(z, report, "read/unknown-word", "recording.zone is %q, which is no time zone of the IANA database such as Asia/Kolkata", z.Value)
	}
	for _, q := range f.Questions {
		checkQuestion(q, report)
	}
	checkEntries(f, report)
	if _, ok := stepsTrackLength(f.StepsTrack.Value); f.StepsTrack.Set && !ok {
		fault(f.StepsTrack, report, "read/unknown-word", "steps-track is %q; known are whole and a stretch such as first 8s", f.StepsTrack.Value)
	}
}

// checkEntries reports the entries of lists that lack a key they have to have. One
// without a place has no keys at all, which has been said.
func checkEntries(f *File, report source.Report) {
	need := func(pos source.Pos, name string, text Text) {
		if !text.Set && pos.Source != nil {
			report(source.Finding{
				Pos: pos, Severity: source.Error, Rule: "read/missing-key",
				Message: fmt.Sprintf("the key %q is missing in this entry", name),
			})
		}
	}
	for _, s := range f.Steps {
		checkCount(s.Nth, "nth", report)
		need(s.pos, "step", s.Step)
	}
	for _, e := range f.Events {
		need(e.pos, "event", e.Event)
	}
	for _, r := range f.Recording.Files {
		if !r.Times.Set { // a list of times says that there is a file, which may not be at hand
			need(r.pos, "video", r.Video)
		}
	}
	for _, p := range f.Pins {
		need(p.pos, "recording", p.Recording)
		need(p.pos, "video", p.Video)
	}
	for _, g := range f.Patient.Cataract.Grade {
		need(g.pos, "scheme", g.Scheme)
		need(g.pos, "value", g.Value)
		if _, err := strconv.ParseFloat(g.Value.Value, 64); g.Value.Set && err != nil {
			fault(g.Value, report, "read/wrong-type", "the grade is %q; a number is read here, such as 3 or 3.4", g.Value.Value)
		}
	}
	for _, w := range f.Waivers {
		checkCount(w.Nth, "nth", report)
		need(w.pos, "rule", w.Rule)
		need(w.pos, "reason", w.Reason)
		need(w.pos, "by", w.By)
	}
}

func fault(at Text, report source.Report, rule, format string, args ...any) {
	report(source.Finding{
		Pos: at.Pos, Path: at.Path, Severity: source.Error, Rule: rule,
		Message: fmt.Sprintf(format, args...),
	})
}

func checkProcedure(f *File, report source.Report) {
	id := f.Procedure
	var known []string
	for _, p := range taxonomy.All() {
		known = append(known, p.ID)
	}
	if id.Value = canonical(id.Value, known); slices.Contains(known, id.Value) {
		f.Procedure = id
		return
	}
	fault(id, report, "read/unknown-procedure", "unknown procedure %q%s; known are %s",
		id.Value, nearest(id.Value, known), strings.Join(known, ", "))
}

func nearest(word string, known []string) string {
	if near, ok := yamldoc.Nearest(word, known); ok {
		return fmt.Sprintf("; the nearest known is %q", near)
	}
	return ""
}

// checkWords walks the file's types and holds every scalar whose field names a
// closed list against it. The lists are those of the JSON schema.
func checkWords(v reflect.Value, words []string, report source.Report) {
	switch v.Kind() {
	case reflect.Struct:
		if text, ok := v.Interface().(Text); ok {
			if text.Value = canonical(text.Value, words); len(words) > 0 {
				v.Set(reflect.ValueOf(text))
			}
			checkWord(text, words, report)
			return
		}
		for i := range v.NumField() {
			if field := v.Type().Field(i); field.IsExported() {
				checkWords(v.Field(i), enum(field.Tag), report)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			checkWords(v.Index(i), words, report)
		}
	}
}

// canonical is the word of a closed list that the user's word is: in any case, and
// the long names of what the trade abbreviates.
func canonical(word string, words []string) string {
	lower := strings.ToLower(strings.TrimSpace(word))
	long := map[string]string{
		"f": "female", "m": "male", "od": "right", "os": "left", "r": "right", "l": "left", "re": "right", "le": "left",
		"nuclear": "ns", "nuclear-sclerosis": "ns", "posterior-subcapsular": "psc", "white": "mature-white", "mature": "mature-white",
		"pseudoexfoliation": "pxf", "open-angle-glaucoma": "poag", "ischaemic-heart-disease": "ihd", "vitrectomized": "vitrectomised",
	}[lower]
	switch {
	case slices.Contains(words, lower):
		return lower
	case slices.Contains(words, long):
		return long
	}
	return word
}

// known is a word of a closed list, and otherwise for one that is none of it, which
// has been reported: an unknown word never widens what is shown to whom.
func known(t Text, otherwise string, words ...string) string {
	if slices.Contains(words, t.Value) {
		return t.Value
	}
	return otherwise
}

func enum(tag reflect.StructTag) []string {
	var words []string
	for part := range strings.SplitSeq(tag.Get("jsonschema"), ",") {
		if word, ok := strings.CutPrefix(part, "enum="); ok {
			words = append(words, word)
		}
	}
	return words
}

func checkWord(t Text, words []string, report source.Report) {
	if !t.Set || len(words) == 0 || slices.Contains(words, t.Value) {
		return
	}
	if _, ok := truth(t); ok && slices.Contains(words, "true") {
		return // yes and no are as good as true and false
	}
	fault(t, report, "read/unknown-word", "%q is none of the words known here%s; known are %s",
		t.Value, nearest(t.Value, words), strings.Join(words, ", "))
}

func checkCount(t Text, name string, report source.Report) {
	if n, err := strconv.Atoi(t.Value); t.Set && (err != nil || n < 1) {
		fault(t, report, "read/wrong-type", "%s is %q; a whole number from 1 is read here", name, t.Value)
	}
}

// checkQuestion checks which answer is right. A question without answers is an open
// one.
func checkQuestion(q Question, report source.Report) {
	if len(q.Answers) == 0 {
		return
	}
	n, err := strconv.Atoi(q.Right.Value)
	if err != nil || n < 1 || n > len(q.Answers) {
		at := q.Right
		if !at.Set {
			at = q.Ask
		}
		fault(at, report, "read/question", "right is %q; it is the number of the right answer, from 1 to %d", q.Right.Value, len(q.Answers))
	}
}

func knownZone(name string) bool {
	_, err := time.LoadLocation(name)
	return err == nil && name != "" && name != "Local"
}

// count is a text that checkCount has passed, or 0.
func count(t Text) int {
	n, err := strconv.Atoi(t.Value)
	if err != nil || n < 1 {
		return 0
	}
	return n
}

// truth is the value of a yes/no key; ok is false when it was not said.
func truth(t Text) (value, ok bool) {
	switch strings.ToLower(t.Value) {
	case "true", "yes":
		return true, true
	case "false", "no":
		return false, true
	}
	return false, false
}
