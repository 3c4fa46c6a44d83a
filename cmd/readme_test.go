package cmd_test

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"sideport/cmd"
	"sideport/timeline/timelinetest"

	"github.com/google/go-cmp/cmp"
)

// fence is one fenced block of the README.
type fence struct {
	kind, text string
	start, end int // of the text
}

func fences(readme string) []fence {
	var out []fence
	for _, m := range regexp.MustCompile("(?ms)^```(\\w+)\n(.*?)^```$").FindAllStringSubmatchIndex(readme, -1) {
		out = append(out, fence{readme[m[2]:m[3]], readme[m[4]:m[5]], m[4], m[5]})
	}
	return out
}

// Every command of the README runs, and the output shown below it is its own.
// UPDATE_GOLDEN=1 writes the outputs anew.
func TestReadmeIsTrue(t *testing.T) {
	root := timelinetest.Root(t)
	raw, err := os.ReadFile(filepath.Join(root, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	readme := string(raw)
	work := t.TempDir()
	if err := os.CopyFS(filepath.Join(work, "testdata", "cases"), os.DirFS(filepath.Join(root, "testdata", "cases"))); err != nil {
		t.Fatal(err)
	}
	t.Chdir(work)
	blocks := fences(readme)
	ran := 0
	for i := len(blocks) - 1; i >= 0; i-- { // from the end, so that offsets hold
		b := blocks[i]
		args, ours := strings.CutPrefix(strings.TrimSpace(b.text), "go run ./cmd/sideport ")
		if !strings.HasPrefix(b.kind, "sh") || !ours {
			continue
		}
		ran++
		var out bytes.Buffer
		if code := cmd.Main(strings.Fields(args), nil, &out, &out); code != 0 {
			t.Errorf("%s = %d:\n%s", args, code, out.String())
		}
		if i+1 == len(blocks) || blocks[i+1].kind != "text" {
			continue
		}
		shown := blocks[i+1]
		if os.Getenv("UPDATE_GOLDEN") == "1" {
			readme = readme[:shown.start] + out.String() + readme[shown.end:]
		} else if diff := cmp.Diff(shown.text, out.String()); diff != "" {
			t.Errorf("%s (-README +now):\n%s", args, diff)
		}
	}
	if ran < 2 {
		t.Errorf("%d commands of the README were run, want at least 2", ran)
	}
	if os.Getenv("UPDATE_GOLDEN") == "1" && readme != string(raw) {
		if err := os.WriteFile(filepath.Join(root, "README.md"), []byte(readme), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// The first thing after the title is the job in one paragraph, before any command,
// and the first two commands are the main job and the tests.
func TestReadmeOpensWithTheJob(t *testing.T) {
	raw, err := os.ReadFile(filepath.Join(timelinetest.Root(t), "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	parts := strings.SplitN(string(raw), "\n\n", 4)
	if !strings.HasPrefix(parts[0], "# ") || len(strings.Fields(parts[1])) < 40 || strings.ContainsAny(parts[1][:1], "#`-|") {
		t.Errorf("after the title stands %.60q, want the job in a paragraph", parts[1])
	}
	if !strings.HasPrefix(parts[2], "```sh\ngo run ./cmd/sideport build ") {
		t.Errorf("after the paragraph stands %.60q, want the main job's command", parts[2])
	}
	for _, b := range fences(string(raw)) {
		if b.kind == "sh" && strings.TrimSpace(b.text) == "go test ./..." {
			return
		}
	}
	t.Error("no command runs the tests")
}
