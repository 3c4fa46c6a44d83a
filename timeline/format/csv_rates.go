package format

import (
	"fmt"
	"strings"

	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// readRate reads a rate, with a decimal comma too.
func readRate(text string) (timecode.Rate, error) {
	return timecode.ParseRate(strings.Replace(text, ",", ".", 1))
}

// remarkedRate is the first rate that can be read of those that lines starting with #
// state ahead of the record at an offset, such as "# rate: 29.97 drop"; else zero. One
// behind a colon or equals sign that cannot be read is reported.
func remarkedRate(src *source.Source, until int, report source.Report) timecode.Rate {
	var stated timecode.Rate
	for n := range src.Lines() {
		line, offset := src.Line(n)
		if offset >= until {
			break
		}
		body, ok := strings.CutPrefix(strings.TrimSpace(string(line)), "#")
		if !ok {
			continue
		}
		rate, err := remark(strings.ToLower(strings.TrimSpace(body)))
		if err != nil {
			report(source.Finding{Pos: src.Pos(offset), Severity: source.Error, Rule: "read/rate", Message: "no rate is taken from the remark: " + err.Error()})
		}
		if stated.IsZero() {
			stated = rate
		}
	}
	return stated
}

// remark is the rate that a remark states, zero where it speaks of something else.
func remark(text string) (timecode.Rate, error) {
	for _, word := range rateWords {
		rest, ok := strings.CutPrefix(text, word)
		if !ok {
			continue
		}
		value := strings.TrimLeft(rest, " \t")
		rate, err := readRate(strings.Trim(value, " \t:="))
		if err == nil || value != "" && strings.IndexByte(":=", value[0]) >= 0 {
			return rate, err
		}
	}
	return timecode.Rate{}, nil
}

// csvRates is the rate that rows count frames at.
type csvRates struct {
	src    *source.Source
	report source.Report
	column int           // -1 for none
	rate   timecode.Rate // what the rows above, the header or a remark say
	mixed  bool          // the caution on a second rate is given
}

// of is the rate of a row: what its own cell says, else what stands above it.
func (r *csvRates) of(cells []csvCell) timecode.Rate {
	c := cellOf(cells, r.column)
	if r.column < 0 || c.text == "" {
		return r.rate
	}
	rate, err := readRate(c.text)
	switch {
	case err != nil:
		taken := ""
		if !r.rate.IsZero() {
			taken = fmt.Sprintf("; %s is taken, which stands above it", r.rate)
		}
		r.report(source.Finding{Pos: r.src.Pos(c.at), Severity: source.Error, Rule: "read/rate", Message: err.Error() + taken})
		return r.rate
	case r.rate.IsZero():
		r.rate = rate
	case rate != r.rate && !r.mixed:
		r.mixed = true
		r.report(source.Finding{
			Pos: r.src.Pos(c.at), Severity: source.Caution, Rule: "read/rate",
			Message: fmt.Sprintf("this row counts frames at %s a second and what stands above it at %s; each row is read at its own rate", rate, r.rate),
		})
	}
	return rate
}
