package cmd

import (
	"encoding/csv"
	"encoding/json"
	"io"
)

func printCSV(w io.Writer, table [][]string) error {
	out := csv.NewWriter(w)
	if err := out.WriteAll(table); err != nil {
		return err
	}
	return out.Error()
}

func printJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(v)
}
