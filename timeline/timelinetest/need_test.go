package timelinetest_test

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"sideport/timeline/timelinetest"
)

// recorder is a test that notes how it ended instead of ending the real one.
type recorder struct {
	testing.TB
	end, message string
}

func (r *recorder) Helper() {}
func (r *recorder) Skipf(format string, args ...any) {
	r.stop("skipped", fmt.Sprintf(format, args...))
}
func (r *recorder) Fatalf(format string, args ...any) {
	r.stop("failed", fmt.Sprintf(format, args...))
}
func (r *recorder) stop(end, message string) {
	r.end, r.message = end, message
	runtime.Goexit()
}

// run runs check as a test of its own and returns how it ended.
func run(check func(t testing.TB)) *recorder {
	r := &recorder{end: "passed"}
	done := make(chan struct{})
	go func() {
		defer close(done)
		check(r)
	}()
	<-done
	return r
}

func TestWhatIsMissingIsSkippedAndFailsUnderCI(t *testing.T) {
	empty := t.TempDir()
	tests := []struct {
		name  string
		check func(t testing.TB)
		names string // what the message has to say
	}{
		{"tool", func(t testing.TB) { timelinetest.NeedTool(t, "no-such-program", "nosuch-utils") }, "nosuch-utils"},
		{"file", func(t testing.TB) { timelinetest.NeedFile(t, filepath.Join(empty, "words"), "wnosuch") }, "wnosuch"},
		{"python", func(t testing.TB) { timelinetest.NeedPython(t, "no_such_module", "python3-nosuch") }, "python3-nosuch"},
		{"npm", func(t testing.TB) { timelinetest.NeedNPM(t, "no-such-package") }, "no"},
		{"data", func(t testing.TB) { timelinetest.OpenData(t, "no-such.csv") }, "no-such.csv"},
	}
	for _, ci := range []struct{ value, want string }{{"", "skipped"}, {"true", "failed"}} {
		for _, tt := range tests {
			t.Run(tt.name+"/CI="+ci.value, func(t *testing.T) {
				t.Setenv("CI", ci.value)
				t.Setenv("SIDEPORT_NPM", empty)
				t.Setenv("SIDEPORT_OPEN_DATA", empty)
				got := run(tt.check)
				if got.end != ci.want || !strings.Contains(got.message, tt.names) {
					t.Errorf("check %s (%q), want %s naming %q", got.end, got.message, ci.want, tt.names)
				}
			})
		}
	}
}

func TestOpenDataNeedsItsVariable(t *testing.T) {
	t.Setenv("SIDEPORT_OPEN_DATA", "")
	for _, ci := range []string{"", "true"} {
		t.Setenv("CI", ci)
		if got := run(func(t testing.TB) { timelinetest.OpenData(t, "x.csv") }); got.end != "skipped" {
			t.Errorf("OpenData without the variable, CI=%s: %s, want skipped", ci, got.end)
		}
	}
}

func TestWhatIsThereIsFound(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"data/a.csv", "pkg/package.json"} {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	t.Setenv("SIDEPORT_OPEN_DATA", dir)
	t.Setenv("SIDEPORT_NPM", dir)
	if got, want := timelinetest.OpenData(t, "data/a.csv"), filepath.Join(dir, "data", "a.csv"); got != want {
		t.Errorf("OpenData(data/a.csv) = %s, want %s", got, want)
	}
	file := filepath.Join(dir, "data", "a.csv")
	if got := timelinetest.NeedFile(t, file, "nosuch"); got != file {
		t.Errorf("NeedFile = %s, want %s", got, file)
	}
	if got, want := timelinetest.NeedTool(t, "go", "golang-go"), "go"; !strings.Contains(got, want) {
		t.Errorf("NeedTool(go) = %s, want a path to %s", got, want)
	}
	if got := timelinetest.NeedNPM(t, "pkg"); got != filepath.Join(dir, "pkg") {
		t.Errorf("NeedNPM(pkg) = %s, want %s", got, filepath.Join(dir, "pkg"))
	}
}

func ExampleRoot() {
	root := timelinetest.Root(&testing.T{})
	_, err := os.Stat(filepath.Join(root, "timeline", "timelinetest", "doc.go"))
	fmt.Println(err)
	// Output: <nil>
}
