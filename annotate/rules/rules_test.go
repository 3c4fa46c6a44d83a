package rules_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"sideport/annotate/rule"
	"sideport/annotate/rules"
	"sideport/timeline/timelinetest"
)

func TestRulesAreValid(t *testing.T) {
	for _, problem := range rule.Validate(rules.All()) {
		t.Error(problem)
	}
}

const listFile = "RULES.md"

// list is RULES.md: every finding there can be, in words.
func list() []byte {
	var b bytes.Buffer
	b.WriteString("# Findings\n\nWritten by a test from the rules and from what the readers report; UPDATE_GOLDEN=1 go test rewrites it.\n\n")
	b.WriteString("## Rules\n\n| rule | weight at most | what it says |\n|---|---|---|\n")
	for _, r := range rules.All() {
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", r.Name, r.Severity, r.Doc)
	}
	b.WriteString("\n## Reported while reading, placing, judging and shaping\n\n| finding | what it says |\n|---|---|\n")
	for _, d := range rules.Reported() {
		fmt.Fprintf(&b, "| `%s` | %s |\n", d.Name, d.Doc)
	}
	return b.Bytes()
}

func TestListIsCurrent(t *testing.T) {
	if os.Getenv("UPDATE_GOLDEN") == "1" {
		if err := os.WriteFile(listFile, list(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(listFile)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, list()) {
		t.Errorf("%s is out of date; UPDATE_GOLDEN=1 go test writes it", listFile)
	}
}

var ruleName = regexp.MustCompile(`"((?:read|time|step|order|range|cross|speech|privacy|reporting|media)/[a-z0-9-]+)"`)

// TestEveryFindingIsListed reads the program's own source for the names of
// findings. Names of ranges are made of parameters and stand as one rule.
func TestEveryFindingIsListed(t *testing.T) {
	known := map[string]bool{"time/tzdata": true} // a package, imported
	for _, r := range rules.All() {
		known[r.Name] = true
	}
	for _, d := range rules.Reported() {
		known[d.Name] = true
	}
	used := map[string]bool{}
	root := timelinetest.Root(t)
	for _, layer := range []string{"timeline", "annotate", "export", "cmd"} {
		err := filepath.WalkDir(filepath.Join(root, layer), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || strings.HasSuffix(path, "reported.go") {
				return err
			}
			text, err := os.ReadFile(path)
			for _, m := range ruleName.FindAllSubmatch(text, -1) {
				used[string(m[1])] = true
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(used) < 50 {
		t.Fatalf("only %d names of findings were seen; the test looks in the wrong place", len(used))
	}
	for name := range used {
		if !known[name] && !strings.HasPrefix(name, "cross/") {
			t.Errorf("%s is reported and not described", name)
		}
	}
	for _, d := range rules.Reported() {
		if !used[d.Name] {
			t.Errorf("%s is described and never reported", d.Name)
		}
	}
	if !slices.IsSortedFunc(rules.Reported(), func(a, b rules.Described) int { return strings.Compare(a.Name, b.Name) }) {
		t.Error("the descriptions are not in order of name")
	}
}
