package cmd

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"
)

// The exit codes.
const (
	exitDone  = 0
	exitFound = 1
	exitUsage = 2
	exitBroke = 3
)

// Version is what sideport version prints.
const Version = "0.1.0"

// app is one run of the program.
type app struct {
	in       io.Reader
	out, err io.Writer
	quiet    bool
	started  bool // a command's own code has begun: errors are no longer usage
	code     int  // exit code of a run without error
}

// usageError is a mistake in how a command was called that only its own code
// could find.
type usageError struct{ error }

// Main runs the program with the arguments after its name and returns the exit
// code. It keeps no state between calls.
func Main(args []string, in io.Reader, out, errw io.Writer) int {
	a := &app{in: in, out: out, err: errw}
	root := a.root()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errw)
	err := root.Execute()
	var usage usageError
	switch {
	case err == nil:
		return a.code
	case !a.started || errors.As(err, &usage):
		fmt.Fprintf(errw, "sideport: %v\n", err)
		fmt.Fprintln(errw, "Run \"sideport --help\" to see what it can do.")
		return exitUsage
	}
	fmt.Fprintf(errw, "sideport: %v\n", err)
	return exitBroke
}

// run wraps a command's own code so that Main can tell a usage error from one
// that came later.
func (a *app) run(do func(args []string) error) func(*cobra.Command, []string) error {
	return func(_ *cobra.Command, args []string) error {
		a.started = true
		return do(args)
	}
}

// found notes that something was found, unless the run is already broken.
func (a *app) found() { a.code = max(a.code, exitFound) }

// broke says that one case could not be worked on; the others go on.
func (a *app) broke(dir string, err error) {
	fmt.Fprintf(a.err, "sideport: %s: %v\n", dir, err)
	a.code = exitBroke
}

// usagef makes a usage error inside a command's own code.
func usagef(format string, args ...any) error {
	return usageError{fmt.Errorf(format, args...)}
}

// say writes one line to standard error unless --quiet was given.
func (a *app) say(format string, args ...any) {
	if !a.quiet {
		fmt.Fprintf(a.err, format+"\n", args...)
	}
}
