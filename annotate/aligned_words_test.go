package annotate_test

import (
	"bufio"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sideport/annotate/taxonomy"
)

// wordList are the texts that a step goes by, by procedure/step/kind; the entry
// any/-/note holds remarks.
type wordList map[string][]string

// readWords reads the word list.
func readWords(t testing.TB) wordList {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", "aligned_words.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	out := wordList{}
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		if cells := strings.Split(lines.Text(), "\t"); len(cells) == 4 {
			key := strings.Join(cells[:3], "/")
			out[key] = append(out[key], cells[3])
		}
	}
	if len(out) < 90 {
		t.Fatalf("%d groups of words, want 90 or more", len(out))
	}
	return out
}

// ownNames are the vocabulary's own names of every step.
func ownNames() wordList {
	out := wordList{}
	for _, p := range taxonomy.All() {
		for i := range p.Steps {
			s := &p.Steps[i]
			names := slices.DeleteFunc(append([]string{s.Label}, s.Synonyms...), func(n string) bool {
				m := p.Match(n, taxonomy.Context{})
				return m.ID != s.ID // shared with another step
			})
			for _, kind := range []string{"note", "title"} {
				out[p.ID+"/"+s.ID+"/"+kind] = names
			}
		}
	}
	return out
}
