package format

import (
	"bytes"

	"sideport/timeline/source"
)

// csvCell is one cell: its text with quoting undone and the byte its text starts
// at, behind the opening quote of a quoted cell.
type csvCell struct {
	text string
	at   int
}

// csvScanner reads comma-separated values record by record. Quoting is that of
// RFC 4180: a cell that starts with a double quote runs, over line ends, to the
// next lone one, and a doubled quote is a quote. A quote inside another cell is
// text. Between records, blank lines and lines that start with #, with or without
// blanks in front, are passed over.
type csvScanner struct {
	src    *source.Source
	text   []byte
	comma  byte
	i      int
	report source.Report
}

func newCSVScanner(src *source.Source, comma byte, report source.Report) *csvScanner {
	return &csvScanner{src: src, text: src.Text(), comma: comma, report: report}
}

// next returns the cells of the next record, or false at the end.
func (s *csvScanner) next() ([]csvCell, bool) {
	s.skipRemarks()
	if s.i >= len(s.text) {
		return nil, false
	}
	var cells []csvCell
	for {
		cells = append(cells, s.cell())
		if s.i >= len(s.text) || s.text[s.i] != s.comma {
			break
		}
		s.i++
	}
	return cells, true
}

// skipRemarks moves to the start of the next record.
func (s *csvScanner) skipRemarks() {
	for s.i < len(s.text) {
		i := s.i
		for i < len(s.text) && (s.text[i] == ' ' || s.text[i] == '\t' && s.comma != '\t') {
			i++
		}
		switch {
		case isLineEnd(s.text[s.i]):
			s.i++
		case i < len(s.text) && s.text[i] == '#':
			s.skipLine()
		default:
			return
		}
	}
}

// skipLine moves to the end of the line.
func (s *csvScanner) skipLine() {
	for s.i < len(s.text) && !isLineEnd(s.text[s.i]) {
		s.i++
	}
}

func isLineEnd(c byte) bool { return c == '\n' || c == '\r' }

// cell reads one cell and stops at the separator, the line end or the end.
func (s *csvScanner) cell() csvCell {
	from := s.i
	for s.i < len(s.text) && (s.text[s.i] == ' ' || s.text[s.i] == '\t' && s.comma != '\t') {
		s.i++
	}
	if s.i < len(s.text) && s.text[s.i] == '"' {
		if c, ok := s.quotedCell(); ok {
			return c
		}
	}
	if s.i == from || s.text[s.i-1] != '"' {
		s.i = from // not behind a quote that is never closed
	}
	from = s.i
	to := s.bareEnd()
	cell := s.text[from:to]
	body := bytes.TrimSpace(cell)
	at := from
	if len(body) > 0 {
		at += bytes.Index(cell, body)
	}
	s.i = to
	return csvCell{text: string(body), at: at}
}

// bareEnd is the offset of the next separator or line end.
func (s *csvScanner) bareEnd() int {
	i := s.i
	for i < len(s.text) && s.text[i] != s.comma && !isLineEnd(s.text[i]) {
		i++
	}
	return i
}

// quotedCell reads a cell from its opening quote on. A quote that is never
// closed is reported and the cell read to the end of its line instead, so that
// one slip does not take the rest of the file. A quote on a later line counts as
// the closing one only when a separator or the line end follows it.
func (s *csvScanner) quotedCell() (csvCell, bool) {
	open := s.i
	c := csvCell{at: open + 1}
	var text []byte
	for i := open + 1; i < len(s.text); i++ {
		if s.text[i] != '"' {
			text = append(text, s.text[i])
			continue
		}
		if i+1 < len(s.text) && s.text[i+1] == '"' {
			text, i = append(text, '"'), i+1
			continue
		}
		s.i = i + 1
		to := s.bareEnd()
		if len(bytes.TrimSpace(s.text[s.i:to])) > 0 {
			if bytes.ContainsAny(text, "\r\n") {
				break
			}
			s.report(source.Finding{
				Pos: s.src.Pos(s.i), Severity: source.Error, Rule: "read/bad-quote", Source: csvSource,
				Message: "text stands behind the closing quote of a cell and is not read; a quote inside a quoted cell is written twice",
			})
		}
		s.i = to
		c.text = string(text)
		return c, true
	}
	s.report(source.Finding{
		Pos: s.src.Pos(open), Severity: source.Error, Rule: "read/bad-quote", Source: csvSource,
		Message: "the quote that opens the cell is never closed; the cell is read to the end of its line",
	})
	s.i = open + 1
	return csvCell{}, false
}

const csvSource = "RFC 4180, Common Format and MIME Type for Comma-Separated Values (2005)"
