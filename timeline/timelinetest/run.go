package timelinetest

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// Run runs a program to its end and returns its standard output. Where it fails, so
// does the test, with what it printed.
func Run(t testing.TB, name string, args ...string) []byte {
	t.Helper()
	var stderr bytes.Buffer
	cmd := exec.Command(name, args...)
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s: %v\n%s%s", name, err, out, stderr.Bytes())
	}
	return out
}

// Save writes data to a file of that name in a folder of the test's own and returns
// its path.
func Save[Data string | []byte](t testing.TB, name string, data Data) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(data), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}
