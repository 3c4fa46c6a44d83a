package cmd_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
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

// A hundred builds killed at random moments leave every file whole, as one of the
// builds makes it, and the next build completes the folder. The case changes from
// round to round: two versions of the notes and the video, and one with a private
// word in it, which withholds everything; every seventh round begins in an empty
// folder. Every other kill is aimed: it comes a random while after writing begins.
func TestKilledBuildLeavesWholeFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("a hundred processes")
	}
	rng := rand.New(rand.NewPCG(7, 11))
	versions := []string{demo(t), demo(t), demo(t)}
	change(t, versions[1], "notes.md", "Other notes.\n")
	change(t, versions[1], "video.webm", "")
	change(t, versions[2], "case.yaml", "private-words: [peritomy]\n")
	var want []map[string]string
	var longest time.Duration
	for _, dir := range versions {
		reference := t.TempDir()
		start := time.Now()
		runBuild(t, dir, reference, -1)
		longest = max(longest, time.Since(start))
		want = append(want, sums(t, filepath.Join(reference, "msics-chevron")))
	}
	out := t.TempDir()
	target := filepath.Join(out, "msics-chevron")
	begun := 0
	for round := range 100 {
		if round%7 == 0 {
			if err := os.RemoveAll(target); err != nil {
				t.Fatal(err)
			}
			if err := os.Mkdir(target, 0o755); err != nil {
				t.Fatal(err)
			}
		}
		if round%2 == 0 {
			runBuild(t, versions[round%3], out, time.Duration(rng.Int64N(int64(longest))))
		} else {
			killWriting(t, versions[round%3], out, time.Duration(rng.Int64N(int64(20*time.Millisecond))))
		}
		if _, err := os.Stat(filepath.Join(target, ".sideport-begun.json")); err == nil {
			begun++
		}
		for name, sum := range sums(t, target) {
			if strings.HasPrefix(name, ".sideport-") {
				continue // in the making, under a name of its own
			}
			if !slices.ContainsFunc(want, func(w map[string]string) bool { return w[name] == sum }) {
				if name != "made.json" { // may still name files that a version before had
					t.Fatalf("round %d: %s is no file that any of the builds makes", round, name)
				}
			}
		}
	}
	if begun < 10 {
		t.Errorf("only %d of 100 kills came while files were written", begun)
	}
	t.Logf("%d of 100 kills came while files were written", begun)
	for i, dir := range versions {
		runBuild(t, dir, out, -1)
		if diff := cmp.Diff(want[i], sums(t, target)); diff != "" {
			t.Errorf("the build of version %d after the kills differs (-want +got):\n%s", i, diff)
		}
	}
}

// killWriting starts a build and kills it a while after it has begun to write.
func killWriting(t *testing.T, dir, out string, after time.Duration) {
	t.Helper()
	c := exec.Command("sideport", "build", dir, "-o", out, "--quiet")
	begun := filepath.Join(out, "msics-chevron", ".sideport-begun.json")
	var stale time.Time // of a build killed before
	if info, err := os.Stat(begun); err == nil {
		stale = info.ModTime()
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan struct{})
	go func() { _ = c.Wait(); close(ended) }()
	for {
		select {
		case <-ended:
			return
		case <-time.After(100 * time.Microsecond):
		}
		if info, err := os.Stat(begun); err == nil && info.ModTime() != stale {
			break
		}
	}
	time.Sleep(after)
	_ = c.Process.Kill()
	<-ended
}

// change adds text to a file of a case; an empty text changes the last byte of a
// video, which no container reader looks at.
func change(t *testing.T, dir, name, text string) {
	t.Helper()
	path := filepath.Join(dir, name)
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if text == "" {
		raw[len(raw)-1] ^= 1
	}
	if err := os.WriteFile(path, append(raw, text...), 0o644); err != nil {
		t.Fatal(err)
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
	err := c.Wait()
	var exit *exec.ExitError
	if after < 0 && err != nil && (!errors.As(err, &exit) || exit.ExitCode() != 1) { // 1 is a withheld output
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
