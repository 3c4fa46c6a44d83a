package words_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"sideport/export/words"
	"sideport/timeline/source"
)

// The wording is fixed by the project; each text is repeated here so that a
// change has to be made twice.
func TestFixedWording(t *testing.T) {
	w := words.Get("en")
	tests := []struct{ name, got, want string }{
		{"caution", words.Caution, "Teaching aid, not clinical advice. Device and drug instructions, local protocols and the judgement of the licensed operating surgeon prevail. Ranges are quoted from the sources shown; a value outside one means: look again. Picture and sound were not examined for identifying marks."},
		{"within", w.Result("within"), "within"},
		{"outside", w.Result("outside"), "outside the quoted range"},
		{"far-outside", w.Result("far-outside"), "far outside: check the entry first"},
		{"unknown", w.Result("unknown"), "range unknown for this technique"},
		{"confirmed", w.Evidence("confirmed"), "read in the source (abstract)"},
		{"common-practice", w.Evidence("common-practice"), "common practice, no source"},
		{"from-memory", w.Evidence("from-memory"), "from memory, unconfirmed"},
		{"assumption", w.Evidence("assumption"), "our sanity limit"},
		{"stop", w.Severity(source.Stop), "look again first"},
		{"caution severity", w.Severity(source.Caution), "look again"},
		{"note", w.Severity(source.Note), "for information"},
		{"error", w.Severity(source.Error), "could not be read"},
		{"recorded", w.T("table.recorded"), "recorded"},
		{"range", w.T("table.range"), "range quoted"},
		{"by whom", w.T("table.by-whom"), "by whom"},
		{"how sure", w.T("table.how-sure"), "how sure"},
	}
	for _, tt := range tests {
		if tt.got != tt.want {
			t.Errorf("%s = %q, want %q", tt.name, tt.got, tt.want)
		}
	}
}

func TestEveryWordOfTheContractHasAText(t *testing.T) {
	w := words.Get("en")
	for group, names := range map[string]string{
		"result":   "within partly outside far-outside unknown not-judged",
		"evidence": "confirmed derived common-practice from-memory assumption",
		"severity": "error stop caution note",
		"how":      "set measured estimated planned on-image as-noted as-spoken",
		"time":     "matched interpolated edit-list pinned",
	} {
		for _, name := range strings.Fields(names) {
			if key := group + "." + name; !w.Has(key) || w.T(key) == "" {
				t.Errorf("no text for %s", key)
			}
		}
	}
}

// No text may tell the surgeon what to do: the list of words is the project's.
func TestNoTextTellsTheSurgeonWhatToDo(t *testing.T) {
	for _, lang := range words.Languages() {
		w := words.Get(lang)
		for _, key := range w.Keys() {
			text := " " + strings.ToLower(w.T(key)) + " "
			for _, banned := range []string{"should", "must", "consider", "why not", "prefer", "avoid", "need"} {
				if strings.Contains(text, " "+banned+" ") {
					t.Errorf("%s %s = %q holds %q", lang, key, w.T(key), banned)
				}
			}
		}
	}
}

func TestEveryFileLoadsAndHoldsNoUnknownKey(t *testing.T) {
	for _, lang := range words.Languages() {
		w := words.Get(lang)
		if w.Language() != lang {
			t.Errorf("Get(%q).Language() = %q", lang, w.Language())
		}
		if extra := words.Extra(w); len(extra) > 0 {
			t.Errorf("%s.yaml has keys English lacks: %v", lang, extra)
		}
	}
	if w := words.Get("en"); len(w.Missing()) > 0 || !w.Reviewed() {
		t.Errorf("English is missing %v, reviewed %v", w.Missing(), w.Reviewed())
	}
}

func TestLanguageFallsBack(t *testing.T) {
	fsys := fstest.MapFS{
		"en.yaml":      {Data: []byte("language: en\nreviewed: true\nwords: {g: {a: one, b: two}}\n")},
		"xx.yaml":      {Data: []byte("language: xx\nreviewed: false\nwords: {g: {a: un}}\n")},
		"xx-latn.yaml": {Data: []byte("language: xx-latn\nreviewed: true\nwords: {g: {b: deux}}\n")},
	}
	tests := []struct {
		lang, language, a, b string
		reviewed             bool
		missing              string
	}{
		{"en", "en", "one", "two", true, "[]"},
		{"en-GB", "en", "one", "two", true, "[]"},
		{"xx", "xx", "un", "two", false, "[g.b]"},
		{"XX-Latn-ZZ", "xx-latn", "one", "deux", true, "[g.a]"},
		{"xx-Cyrl", "xx", "un", "two", false, "[g.b]"},
		{"yy", "en", "one", "two", true, "[]"},
		{"", "en", "one", "two", true, "[]"},
		{"../en", "en", "one", "two", true, "[]"},
	}
	for _, tt := range tests {
		w := words.GetFrom(fsys, tt.lang)
		const form = "%s %s %s %v %v"
		got := fmt.Sprintf(form, w.Language(), w.T("g.a"), w.T("g.b"), w.Reviewed(), w.Missing())
		want := fmt.Sprintf(form, tt.language, tt.a, tt.b, tt.reviewed, tt.missing)
		if got != want {
			t.Errorf("Get(%q) = %s, want %s", tt.lang, got, want)
		}
	}
}

func TestUnknownKeyPanics(t *testing.T) {
	for _, key := range []string{"result.no-such", "nothing", ""} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("T(%q) returned, want a panic", key)
				}
			}()
			words.Get("en").T(key)
		}()
	}
}

func ExampleGet() {
	w := words.Get("en-IN")
	fmt.Println("rhexis diameter 5.2 mm:", w.Result("outside"))
	fmt.Println("5.5 to 7.5 mm:", w.Evidence("confirmed"))
	// Output:
	// rhexis diameter 5.2 mm: outside the quoted range
	// 5.5 to 7.5 mm: read in the source (abstract)
}
