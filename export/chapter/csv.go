package chapter

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// WriteCSV writes l as comma-separated values: the row start_s,end_s,level,id,title
// and then one row a chapter, times in decimal seconds, levels from 0, ids as in
// WebVTT. Numbers stand first, so that no row begins as a comment. A text that a
// spreadsheet would take for a formula has an apostrophe in front.
//
// Source: RFC 4180 for quoting; the apostrophe is common practice, no source.
func WriteCSV(w io.Writer, l List) error {
	roots, err := arrange(l)
	if err != nil {
		return err
	}
	rows := [][]string{{"start_s", "end_s", "level", "id", "title"}}
	for n, level := range walk(roots) {
		rows = append(rows, []string{seconds(n.From), seconds(n.To), strconv.Itoa(level), guarded(n.key), guarded(n.Title)})
	}
	if err := csv.NewWriter(w).WriteAll(rows); err != nil {
		return fmt.Errorf("writing chapters as CSV: %w", err)
	}
	return nil
}

// guarded puts an apostrophe in front of a sign that begins a formula, and in front
// of one so guarded before, so that it can be taken off again.
func guarded(text string) string {
	if sign := strings.TrimLeft(text, "'"); sign != "" && strings.IndexByte("=+-@", sign[0]) >= 0 {
		return "'" + text
	}
	return text
}
