package page_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"sideport/export/words"
)

// Every key of interface text that the package's source names has a text. The keys
// are read off the source, so that none can be forgotten.
func TestEveryKeyHasAText(t *testing.T) {
	key := regexp.MustCompile(`"((?:page|time|figure|table|how|track|chapter)\.[a-z0-9-]+)"`)
	english := words.Get(words.English)
	var files []string
	for _, pattern := range []string{"*.go", "*.tmpl"} {
		found, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	seen := 0
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range key.FindAllSubmatch(text, -1) {
			seen++
			if !english.Has(string(m[1])) {
				t.Errorf("%s names %s, which has no text", name, m[1])
			}
		}
	}
	if seen < 60 {
		t.Errorf("only %d keys were seen; the test looks in the wrong place", seen)
	}
}
