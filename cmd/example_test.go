package cmd_test

import (
	"fmt"
	"os"

	"sideport/cmd"
)

func Example() {
	code := cmd.Main([]string{"align", "--recording", "../testdata/formats/stamps/none.txt"}, nil, os.Stdout, os.Stdout)
	fmt.Println(code)
	// Output:
	// sideport: reading recording: open ../testdata/formats/stamps/none.txt: no such file or directory
	// 3
}
