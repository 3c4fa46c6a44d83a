package cmd_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sideport/cmd"

	"github.com/google/go-cmp/cmp"
)

// demo is a copy of the MSICS demo that a test may change.
func demo(t testing.TB) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "msics-chevron")
	if err := os.CopyFS(dir, os.DirFS(filepath.Join("..", "testdata", "cases", "msics-chevron"))); err != nil {
		t.Fatal(err)
	}
	return dir
}

// sums are the SHA-256 of every file below dir, by name.
func sums(t testing.TB, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := os.ReadFile(path)
		rel, _ := filepath.Rel(dir, path)
		out[filepath.ToSlash(rel)] = fmt.Sprintf("%x", sha256.Sum256(raw))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func build(t testing.TB, args ...string) {
	t.Helper()
	var errw bytes.Buffer
	if code := cmd.Main(append([]string{"build"}, args...), nil, io.Discard, &errw); code != 0 {
		t.Fatalf("build %v = %d:\n%s", args, code, errw.String())
	}
}

// Two builds give the same bytes: from another folder, with and without ffmpeg and
// everything else on the path. The case folder stays as it was.
func TestBuildIsTheSameEverywhere(t *testing.T) {
	one, two := demo(t), demo(t)
	before := sums(t, one)
	outA, outB := t.TempDir(), t.TempDir()
	build(t, one, "-o", outA)
	t.Setenv("PATH", t.TempDir())
	t.Setenv("HOME", t.TempDir())
	build(t, two, "-o", outB)
	if diff := cmp.Diff(sums(t, outA), sums(t, outB)); diff != "" {
		t.Errorf("two builds differ (-first +second):\n%s", diff)
	}
	if diff := cmp.Diff(before, sums(t, one)); diff != "" {
		t.Errorf("the case folder changed (-before +after):\n%s", diff)
	}
}

// No output names the folder it was built from or the moment of the operation: the
// demo's date and time of day stand in its case folder only.
func TestOutputsTellNoPathAndNoClock(t *testing.T) {
	dir, out := demo(t), t.TempDir()
	build(t, dir, "-o", out)
	for name := range sums(t, out) {
		if strings.HasSuffix(name, ".webm") {
			continue
		}
		raw, err := os.ReadFile(filepath.Join(out, filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		for _, word := range []string{filepath.Dir(dir), "2026-02-11", "14:06:40", "14:11:52", "Nairobi"} {
			if bytes.Contains(raw, []byte(word)) {
				t.Errorf("%s holds %q", name, word)
			}
		}
	}
}

// A hundred builds killed at random moments leave every file whole, either as the
// build before or as this one makes it, and the next build completes the folder.
func TestKilledBuildLeavesWholeFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("a hundred processes")
	}
	rng := rand.New(rand.NewPCG(7, 11))
	dir, out := demo(t), t.TempDir()
	target := filepath.Join(out, "msics-chevron")
	build(t, dir, "-o", out)
	old := sums(t, target)
	notes := filepath.Join(dir, "notes.md")
	if err := os.WriteFile(notes, []byte("Other notes.\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	reference := t.TempDir()
	start := time.Now()
	runBuild(t, dir, reference, -1)
	whole := time.Since(start)
	want := sums(t, filepath.Join(reference, "msics-chevron"))
	halves := 0
	for range 100 {
		runBuild(t, dir, out, time.Duration(rng.Int64N(int64(whole))))
		for name, sum := range sums(t, target) {
			switch {
			case strings.HasPrefix(name, ".sideport-"):
				halves++ // a file in the making, under a name of its own
			case sum != old[name] && sum != want[name]:
				t.Fatalf("%s is neither the old file nor the new one", name)
			}
		}
		for name := range old {
			if _, err := os.Stat(filepath.Join(target, name)); err != nil {
				t.Fatalf("%s is gone: %v", name, err)
			}
		}
	}
	t.Logf("%d files in the making were left behind by 100 kills within %v", halves, whole)
	runBuild(t, dir, out, -1)
	if diff := cmp.Diff(want, sums(t, target)); diff != "" {
		t.Errorf("the build after the kills differs (-want +got):\n%s", diff)
	}
}

// runBuild runs build as a process of its own and kills it after a while; -1 lets
// it end.
func runBuild(t *testing.T, dir, out string, after time.Duration) {
	t.Helper()
	c := exec.Command("sideport", "build", dir, "-o", out, "--quiet")
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	if after >= 0 {
		time.Sleep(after)
		_ = c.Process.Kill()
	}
	if err := c.Wait(); err != nil && after < 0 {
		t.Fatal(err)
	}
}

// made.json names every file with its sum.
func TestMadeNamesWhatWasWritten(t *testing.T) {
	dir, out := demo(t), t.TempDir()
	build(t, dir, "-o", out)
	got := sums(t, filepath.Join(out, "msics-chevron"))
	var made struct {
		Files []struct{ Name, SHA256 string }
	}
	raw, err := os.ReadFile(filepath.Join(out, "msics-chevron", "made.json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, &made); err != nil {
		t.Fatal(err)
	}
	want := map[string]string{"made.json": got["made.json"]}
	for _, f := range made.Files {
		want[f.Name] = f.SHA256
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("made.json and the folder differ (-made +folder):\n%s", diff)
	}
}

// BenchmarkBuildDemo is the whole main job on the demo in one process, the video
// left out.
func BenchmarkBuildDemo(b *testing.B) {
	dir := demo(b)
	if err := os.Remove(filepath.Join(dir, "video.webm")); err != nil {
		b.Fatal(err)
	}
	out := b.TempDir()
	b.ReportAllocs()
	for b.Loop() {
		build(b, dir, "-o", out, "--quiet")
	}
}

// BenchmarkCheck shows how cost grows with the number of cases, each a copy of the
// demo.
func BenchmarkCheck(b *testing.B) {
	for _, n := range []int{1, 4, 16, 64} {
		b.Run(fmt.Sprintf("cases=%d", n), func(b *testing.B) {
			root := b.TempDir()
			for i := range n {
				if err := os.CopyFS(filepath.Join(root, fmt.Sprintf("case-%03d", i)), os.DirFS(filepath.Join("..", "testdata", "cases", "msics-chevron"))); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportAllocs()
			for b.Loop() {
				if code := cmd.Main([]string{"check", root, "--fail-on", "never"}, nil, io.Discard, io.Discard); code != 0 {
					b.Fatalf("check = %d", code)
				}
			}
		})
	}
}
