package timelinetest

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// NeedTool returns the path of a program, by name or absolute path. Without it
// the test is skipped, or fails under CI=true; both name debianPackage.
func NeedTool(t testing.TB, tool, debianPackage string) (path string) {
	t.Helper()
	path, err := exec.LookPath(tool)
	if err != nil {
		missing(t, "the program %s is not here: install the Debian package %s", tool, debianPackage)
	}
	return path
}

// NeedFile returns the path given when a file or folder is there, such as a word
// list or a schema that a Debian package brings. Without it the test is skipped, or
// fails under CI=true; both name debianPackage.
func NeedFile(t testing.TB, path, debianPackage string) string {
	t.Helper()
	if _, err := os.Stat(path); err != nil {
		missing(t, "%s is not here: install the Debian package %s", path, debianPackage)
	}
	return path
}

// NeedPython returns a Python 3 interpreter that can import module, the system's
// own first because that is the one Debian packages install for. Without one the
// test is skipped, or fails under CI=true; both name debianPackage.
func NeedPython(t testing.TB, module, debianPackage string) (python string) {
	t.Helper()
	for _, python := range []string{"/usr/bin/python3", "python3"} {
		path, err := exec.LookPath(python)
		if err == nil && exec.Command(path, "-c", "import "+module).Run() == nil {
			return path
		}
	}
	missing(t, "no python3 that imports %s: install the Debian package %s", module, debianPackage)
	return ""
}

// NeedNPM returns the folder of an installed npm package, to be given to require
// as it is. The packages are looked for in the node_modules folder that
// SIDEPORT_NPM names, else in .ci/node_modules at the root of the repository.
// Node itself is needed too. Without either the test is skipped, or fails under
// CI=true.
func NeedNPM(t testing.TB, pkg string) (dir string) {
	t.Helper()
	NeedTool(t, "node", "nodejs")
	modules := os.Getenv("SIDEPORT_NPM")
	if modules == "" {
		modules = filepath.Join(Root(t), ".ci", "node_modules")
	}
	dir, err := filepath.Abs(filepath.Join(modules, filepath.FromSlash(pkg)))
	if err != nil {
		t.Fatalf("finding npm package %s: %v", pkg, err)
	}
	if _, err := os.Stat(filepath.Join(dir, "package.json")); err != nil {
		missing(t, "the npm package %s is not in the folder SIDEPORT_NPM names: npm install %s", pkg, pkg)
	}
	return dir
}

// OpenData returns the path of a file or folder of the open data, named with
// forward slashes from its root, which SIDEPORT_OPEN_DATA gives. When the
// variable is unset the test is skipped, under CI=true too; when it is set and the
// file is not there the test fails under CI=true and is skipped elsewhere.
func OpenData(t testing.TB, file string) (path string) {
	t.Helper()
	root := os.Getenv("SIDEPORT_OPEN_DATA")
	if root == "" {
		t.Skipf("open data %s: set SIDEPORT_OPEN_DATA to the folder that holds it", file)
	}
	path, err := filepath.Abs(filepath.Join(root, filepath.FromSlash(file)))
	if err != nil {
		t.Fatalf("finding open data %s: %v", file, err)
	}
	if _, err := os.Stat(path); err != nil {
		missing(t, "open data %s is not in the folder SIDEPORT_OPEN_DATA names", file)
	}
	return path
}

// Root returns the folder of go.mod, found upwards from the test's own folder.
func Root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatalf("finding the repository: %v", err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		up := filepath.Dir(dir)
		if up == dir {
			t.Fatalf("finding the repository: no go.mod above the test")
		}
		dir = up
	}
}

func missing(t testing.TB, format string, args ...any) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf(format, args...)
	}
	t.Skipf(format, args...)
}
