package rules_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/annotate/rules"
	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
)

// head and phacoHead are what every case file has to have: three lines.
const (
	head      = "sideport: 1\ntitle: A case\nprocedure: msics\n"
	phacoHead = "sideport: 1\ntitle: A case\nprocedure: phaco\n"
)

// folder writes a case folder of the given name from file names and texts.
func folder(t testing.TB, name string, files map[string]string) (dir string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), name)
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// resolve reads and resolves a case folder, which findings name case.
func resolve(t testing.TB, dir string) *annotate.Case {
	t.Helper()
	m, err := annotate.Load(dir, "case")
	if err != nil {
		t.Fatal(err)
	}
	c, ok := annotate.Resolve(m, ranges.Builtin())
	if !ok {
		t.Fatalf("the case cannot be resolved: %v", m.Findings)
	}
	return c
}

// found is everything said of a case: by the readers, the resolver and the rules,
// waivers applied.
func found(t testing.TB, files map[string]string) []source.Finding {
	t.Helper()
	c := resolve(t, folder(t, "case", files))
	return source.Sort(rules.Waive(slices.Concat(c.Findings, rules.Check(c)), c))
}

// only are the findings of a rule, or of a group ending in a slash, as they print.
func only(list []source.Finding, rule string) []string {
	var out []string
	for _, f := range list {
		if f.Rule == rule || strings.HasSuffix(rule, "/") && strings.HasPrefix(f.Rule, rule) {
			out = append(out, f.String())
		}
	}
	return out
}

// sample is a case and what a rule is expected to say of it.
type sample struct {
	name  string
	files map[string]string
	want  []string
}

// expect runs every sample through reading, resolving and all rules, and holds what
// one rule or group says against what is wanted.
func expect(t *testing.T, rule string, samples []sample) {
	t.Helper()
	for _, s := range samples {
		t.Run(s.name, func(t *testing.T) {
			if diff := cmp.Diff(s.want, only(found(t, s.files), rule)); diff != "" {
				t.Errorf("findings of %s (-want +got):\n%s", rule, diff)
			}
		})
	}
}

// with is a case file of the given lines behind head, beside a list of times.
func with(lines, list string) map[string]string {
	files := map[string]string{"case.yaml": head + lines}
	if list != "" {
		files["recording.txt"] = list
	}
	return files
}

// ticks turns step names into a list of times, a minute apart.
func ticks(names ...string) string {
	var b strings.Builder
	for i, name := range names {
		b.WriteString(string(rune('0'+i/10)) + string(rune('0'+i%10)) + ":00 " + name + "\n")
	}
	return b.String()
}

// titles turns chapter titles into a chapter file, a minute each.
func titles(names ...string) string {
	var b strings.Builder
	b.WriteString("WEBVTT\n")
	for i, name := range names {
		at := func(n int) string { return string(rune('0'+n/10)) + string(rune('0'+n%10)) + ":00.000" }
		b.WriteString("\n" + at(i) + " --> " + at(i+1) + "\n" + name + "\n")
	}
	return b.String()
}
