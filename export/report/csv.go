package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"sideport/export/words"
	"sideport/timeline/source"
)

var csvHead = []string{
	"case", "file", "line", "column", "severity", "rule", "step", "nth", "recording_s", "video_s",
	"message", "hint", "value_low", "value_high", "unit", "accepted_low", "accepted_high", "accepted_unit",
	"evidence", "source", "source_id", "waived", "waived_by",
}

// CSV writes one row a finding in file order, UTF-8, RFC 4180. The caution is the
// last row, alone in its first cell. Text cells that a spreadsheet would take for
// a formula begin with an apostrophe.
func CSV(w io.Writer, cases []Case) error {
	rows := [][]string{csvHead}
	for _, c := range cases {
		for _, f := range c.Findings {
			rows = append(rows, c.row(f))
		}
	}
	last := make([]string, len(csvHead))
	last[0] = words.Caution
	if err := csv.NewWriter(w).WriteAll(append(rows, last)); err != nil {
		return fmt.Errorf("writing findings as CSV: %w", err)
	}
	return nil
}

func (c Case) row(f source.Finding) []string {
	j := c.json(f)
	value, accepted := orEmpty(j.Value), orEmpty(j.Accepted)
	return []string{
		plainCell(c.Path), plainCell(text(j.File)), whole(j.Line), whole(j.Column), j.Severity, j.Rule,
		plainCell(f.Step), whole(j.Nth), number(j.Recording), number(j.Video), plainCell(f.Message), plainCell(f.Hint),
		number(value.Low), number(value.High), plainCell(value.Unit),
		number(accepted.Low), number(accepted.High), plainCell(accepted.Unit),
		plainCell(f.Evidence), plainCell(f.Source), plainCell(f.SourceID), strconv.FormatBool(f.Waived), plainCell(f.WaivedBy),
	}
}

func text(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

func orEmpty(b *source.Bounds) source.Bounds {
	if b == nil {
		return source.Bounds{}
	}
	return *b
}

func whole(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}

func number(f *float64) string {
	if f == nil {
		return ""
	}
	return strconv.FormatFloat(*f, 'f', -1, 64)
}

func plainCell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}
