package yamldoc_test

import (
	"fmt"
	"strings"
	"testing"

	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"

	"github.com/google/go-cmp/cmp"
)

type doc struct {
	Title  yamldoc.Text   `yaml:"title"`
	Tags   []yamldoc.Text `yaml:"tags"`
	Inner  inner          `yaml:"inner"`
	Counts map[string]int `yaml:"counts"`
	Steps  []inner        `yaml:"steps"`
}

type inner struct {
	At    yamldoc.Text `yaml:"at"`
	Shown bool         `yaml:"shown"`
}

func decode(text string) (doc, []string) {
	var d doc
	var found []string
	yamldoc.Decode(source.New("c.yaml", []byte(text)), &d, func(f source.Finding) { found = append(found, f.String()) })
	return d, found
}

func TestDecodeKeepsTextAsWritten(t *testing.T) {
	d, found := decode("title: 2026-03-01\ntags: 010\ninner:\n  at: 00:02:10\n  shown: no\n")
	if len(found) > 0 {
		t.Fatalf("findings: %v", found)
	}
	got := []string{d.Title.Value, d.Tags[0].Value, d.Inner.At.Value, d.Inner.At.Pos.String(), d.Inner.At.Path}
	want := []string{"2026-03-01", "010", "00:02:10", "c.yaml:4:7", "inner.at"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("decoded (-want +got):\n%s", diff)
	}
}

func TestEveryFaultHasItsPlace(t *testing.T) {
	for _, tt := range []struct {
		name, text string
		want       []string
	}{
		{"unknown key names the nearest", "titel: x\nµ: 1\n", []string{
			`c.yaml:1:1: error: unknown key "titel"; the nearest known key is "title" [read/unknown-key]`,
			`c.yaml:2:1: error: unknown key "µ" [read/unknown-key]`,
		}},
		{"all wrong types in one run, columns in code points", "title: [a]\ninner: {at: µµ, shown: maybe}\ncounts: {a: x}\n", []string{
			`c.yaml:1:8: error: expected a single value, found a list [read/wrong-type]`,
			`c.yaml:2:24: error: expected true or false, found "maybe" [read/wrong-type]`,
			`c.yaml:3:13: error: expected a whole number, found "x" [read/wrong-type]`,
		}},
		{"a key twice", "title: a\ntitle: b\n", []string{
			`c.yaml:2:1: error: the key "title" stands twice; the first one is read [read/duplicate-key]`,
		}},
		{"anchors", "title: &a x\ntags: [*a, *a]\n", []string{
			`c.yaml:1:8: error: anchors (&name) and aliases (*name) are not read [read/alias]`,
			`c.yaml:2:8: error: anchors (&name) and aliases (*name) are not read [read/alias]`,
			`c.yaml:2:12: error: anchors (&name) and aliases (*name) are not read [read/alias]`,
		}},
		{"a mapping where a list of mappings stands", "steps:\n  - at: 1\n  - 5\n", []string{
			`c.yaml:3:5: error: expected keys with values, found a single value [read/wrong-type]`,
		}},
	} {
		if _, got := decode(tt.text); cmp.Diff(tt.want, got) != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, cmp.Diff(tt.want, got))
		}
	}
}

func TestSyntaxErrorIsPositioned(t *testing.T) {
	for _, tt := range []struct{ name, text, place string }{
		{"a colon too many", "title: a: b\n", "c.yaml:1:9"},
		{"tab indent", "inner:\n\tat: 1\n", "c.yaml:2:1"},
		{"open bracket", "tags: [a, b\n", "c.yaml:2:1"},
	} {
		var found []source.Finding
		var d doc
		if yamldoc.Decode(source.New("c.yaml", []byte(tt.text)), &d, func(f source.Finding) { found = append(found, f) }) {
			t.Errorf("%s: Decode = true, want false", tt.name)
		}
		if len(found) != 1 || found[0].Rule != "read/syntax" || found[0].Pos.String() != tt.place {
			t.Errorf("%s: findings = %v, want one read/syntax at %s", tt.name, found, tt.place)
		}
	}
}

func FuzzDecode(f *testing.F) {
	for _, seed := range []string{"title: a", "a: [b, {c: d}]", "- - -", "&a [*a]", "title: |\n  x\n  y", "? [a]\n: b", "\xff", "a: !!int x", "<<: {a: b}"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		src := source.New("c.yaml", []byte(text))
		var d doc
		yamldoc.Decode(src, &d, func(f source.Finding) {
			if f.Pos.Offset > len(text) {
				t.Errorf("position %d lies past the text", f.Pos.Offset)
			}
			if f.Severity != source.Error {
				t.Errorf("%v is not an error", f)
			}
		})
	})
}

func ExampleNearest() {
	word, ok := yamldoc.Nearest("capsulotmy", []string{"capsulotomy", "peritomy", "cautery"})
	fmt.Println(word, ok)
	// Output: capsulotomy true
}

// Every key of a mapping on one line has its place; the columns are counted here
// while the line is written.
func TestOneLineMappingOfManyKeys(t *testing.T) {
	const keys = 10_000
	var text strings.Builder
	var want []int
	text.WriteString("{")
	for i := range keys {
		want = append(want, text.Len()+1)
		fmt.Fprintf(&text, "k%d: %d, ", i, i)
	}
	text.WriteString("}")
	fail := func(f source.Finding) { t.Error(f) }
	root, ok := yamldoc.Parse(source.New("c.yaml", []byte(text.String())), fail)
	if !ok {
		t.Fatal("the text was not read")
	}
	pairs := root.Pairs(fail)
	if len(pairs) != keys {
		t.Fatalf("%d pairs, want %d", len(pairs), keys)
	}
	for i, p := range pairs {
		if got := p.Key.Pos.Position(); got.Line != 1 || got.Column != want[i] {
			t.Fatalf("key %d stands at %v, want column %d", i, got, want[i])
		}
	}
}
