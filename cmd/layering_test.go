package cmd_test

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"strings"
	"testing"
)

// The layers, lowest first: a package imports its own layer and those below it.
var rank = map[string]int{"timeline": 0, "annotate": 1, "export": 2, "cmd": 3}

// Libraries that belong to one place, so that a change of library touches one
// package. An import path counts with everything below it.
var confined = []struct{ library, home, why string }{
	{"go.yaml.in/yaml/v4", "sideport/timeline/source/yamldoc", "positions come from one reader"},
	{"github.com/yuin/goldmark", "sideport/export/page", "only the page turns Markdown into HTML"},
	{"github.com/spf13/cobra", "sideport/cmd", "the layers below know no command line"},
	{"github.com/asticode/go-astisub", "sideport/export/caption", "it loses text silently outside its guards"},
}

type listed struct {
	ImportPath                         string
	Imports, TestImports, XTestImports []string
}

func packages(t *testing.T) []listed {
	t.Helper()
	cmd := exec.Command("go", "list", "-json=ImportPath,Imports,TestImports,XTestImports", "./...")
	cmd.Dir = ".."
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var all []listed
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p listed
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
}

func layer(path string) (string, bool) {
	rest, ours := strings.CutPrefix(path, "sideport/")
	top, _, _ := strings.Cut(rest, "/")
	return top, ours
}

func TestImportsPointOneWay(t *testing.T) {
	seen := 0
	for _, p := range packages(t) {
		from, ours := layer(p.ImportPath)
		at, known := rank[from]
		if !ours || !known {
			t.Errorf("%s lies in no known layer", p.ImportPath)
			continue
		}
		for _, list := range [][]string{p.Imports, p.TestImports, p.XTestImports} {
			for _, imp := range list {
				to, ours := layer(imp)
				if !ours {
					continue
				}
				seen++
				if to, known := rank[to]; !known || to > at {
					t.Errorf("%s imports %s: %s may import only what lies below it", p.ImportPath, imp, from)
				}
			}
		}
	}
	if seen == 0 {
		t.Error("no import inside the module was seen; the test looks in the wrong place")
	}
}

func TestLibrariesStayAtHome(t *testing.T) {
	for _, c := range confined {
		users := 0
		for _, p := range packages(t) {
			for _, imp := range p.Imports {
				if imp != c.library && !strings.HasPrefix(imp, c.library+"/") {
					continue
				}
				users++
				if p.ImportPath != c.home && !strings.HasPrefix(p.ImportPath, c.home+"/") {
					t.Errorf("%s imports %s, which belongs to %s: %s", p.ImportPath, imp, c.home, c.why)
				}
			}
		}
		if users == 0 {
			t.Errorf("no package imports %s; the table is out of date", c.library)
		}
	}
}

func TestSourceImportsNothingOfOurs(t *testing.T) {
	for _, p := range packages(t) {
		if p.ImportPath != "sideport/timeline/source" {
			continue
		}
		for _, imp := range p.Imports {
			if strings.HasPrefix(imp, "sideport/") {
				t.Errorf("timeline/source imports %s", imp)
			}
		}
	}
}
