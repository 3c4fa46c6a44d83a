package cmd_test

import (
	"os"
	"path/filepath"
	"testing"

	"sideport/cmd"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"sideport": func() { os.Exit(cmd.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// Every command, with whole outputs compared. UPDATE_GOLDEN=1 rewrites what the
// scripts expect.
func TestScripts(t *testing.T) {
	cases, err := filepath.Abs(filepath.Join("..", "testdata", "cases"))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("..", "testdata", "script"),
		RequireUniqueNames:  true,
		RequireExplicitExec: true,
		UpdateScripts:       os.Getenv("UPDATE_GOLDEN") == "1",
		Setup: func(env *testscript.Env) error {
			env.Setenv("CASES", cases)
			return os.CopyFS(filepath.Join(env.WorkDir, "cases"), os.DirFS(cases))
		},
	})
}
