package format_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline"
	"sideport/timeline/source"
)

// The corpus of a cue format is a folder of files. Beside a file may stand
// file.want with the findings it gives, one "line:column: pattern" a line;
// always stands file.cues with the cues, rewritten by UPDATE_GOLDEN=1. A file without
// .want gives no finding.

const corpusRoot = "../../testdata/formats"

// corpus returns the input files of a format's folder, at least one.
func corpus(tb testing.TB, folder, extension string) []string {
	tb.Helper()
	files, err := filepath.Glob(filepath.Join(corpusRoot, folder, "*"+extension))
	if err != nil {
		tb.Fatal(err)
	}
	if len(files) == 0 {
		tb.Fatalf("no *%s in %s/%s", extension, corpusRoot, folder)
	}
	return files
}

func TestCueCorpus(t *testing.T) {
	for _, format := range []struct{ name, extension string }{{"webvtt", ".vtt"}, {"subrip", ".srt"}} {
		files := corpus(t, format.name, format.extension)
		checkNoOrphans(t, files)
		for _, file := range files {
			t.Run(format.name+"/"+filepath.Base(file), func(t *testing.T) {
				raw, err := os.ReadFile(file)
				if err != nil {
					t.Fatal(err)
				}
				cues, findings := readCues(t, format.name, filepath.Base(file), raw)
				checkGolden(t, file+".cues", strings.Join(mapped(cues, goldenCue), ""))
				checkWant(t, file+".want", findings)
			})
		}
	}
}

// goldenCue is a cue as it stands in a .cues file.
func goldenCue(c timeline.Cue) string {
	p := c.Pos.Position()
	return fmt.Sprintf("%d: %s > %s id %q settings %q\n\t%q\n", p.Line, seconds(c.From), seconds(c.To), c.ID, c.Settings, c.Text)
}

// checkNoOrphans fails on a .cues or .want file whose input is gone.
func checkNoOrphans(t *testing.T, inputs []string) {
	t.Helper()
	beside, err := filepath.Glob(filepath.Join(filepath.Dir(inputs[0]), "*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range beside {
		if extension := filepath.Ext(file); extension != ".cues" && extension != ".want" {
			continue
		}
		if !slices.Contains(inputs, strings.TrimSuffix(file, filepath.Ext(file))) {
			t.Errorf("%s belongs to no input", file)
		}
	}
}

// checkGolden compares got with a file, or rewrites the file.
func checkGolden(t *testing.T, file, got string) {
	t.Helper()
	if os.Getenv("UPDATE_GOLDEN") == "1" {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v; UPDATE_GOLDEN=1 writes it", err)
	}
	// A checkout may turn the line ends of a text file; the corpus it may not.
	if diff := cmp.Diff(strings.ReplaceAll(string(want), "\r\n", "\n"), got); diff != "" {
		t.Errorf("%s (-want +got):\n%s", file, diff)
	}
}

// checkWant compares findings with the lines of a .want file. Each line takes one
// finding at its place whose "severity: message [rule]" its pattern matches; a
// finding that no line takes fails, and so does a line that takes none.
func checkWant(t *testing.T, file string, findings []source.Finding) {
	t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	form := regexp.MustCompile(`^(\d+:\d+): (.+)$`)
	left := slices.Clone(findings)
	for n, line := range strings.Split(strings.TrimSuffix(string(raw), "\n"), "\n") {
		if line == "" && len(raw) == 0 {
			break
		}
		parts := form.FindStringSubmatch(line)
		if parts == nil {
			t.Fatalf("%s:%d: %q is not line:column: pattern", file, n+1, line)
		}
		pattern, err := regexp.Compile(parts[2])
		if err != nil {
			t.Fatalf("%s:%d: %v", file, n+1, err)
		}
		i := slices.IndexFunc(left, func(f source.Finding) bool {
			place, text, _ := strings.Cut(strings.TrimPrefix(f.String(), f.Pos.Position().File+":"), ": ")
			return place == parts[1] && pattern.MatchString(text)
		})
		if i < 0 {
			t.Errorf("%s:%d: no finding for %s", file, n+1, line)
			continue
		}
		left = slices.Delete(left, i, i+1)
	}
	for _, f := range left {
		t.Errorf("finding that %s does not name: %s", file, f)
	}
}
