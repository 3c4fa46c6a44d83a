// Package cmd is the command line: one file a command, each a thin layer over
// annotate and export.
//
// [Main] is the whole program; main.go in cmd/sideport only calls it. Standard
// output carries what was asked for, standard error the rest. The package holds
// no knowledge of surgery or of formats; it decides which files are written where
// and with which exit code the program ends.
//
//	exit  meaning
//	0     done
//	1     an output was withheld, material could not be read, or check found
//	      something at or above --fail-on
//	2     usage
//	3     could not run
//
// Read [Main] and build.go first.
package cmd
