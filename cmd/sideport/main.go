// Command sideport turns a filmed cataract operation into teaching material.
package main

import (
	"os"

	"sideport/cmd"
)

func main() { os.Exit(cmd.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
