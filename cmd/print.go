package cmd

import (
	"encoding/csv"
	"io"
)

func printCSV(w io.Writer, table [][]string) error {
	out := csv.NewWriter(w)
	if err := out.WriteAll(table); err != nil {
		return err
	}
	return out.Error()
}
