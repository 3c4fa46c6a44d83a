package timecode

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
)

// scanner reads one time from the front of s; i is how far it has come.
type scanner struct {
	s string
	i int
	r Reading
}

// digits is the length of the run of ASCII digits at offset i.
func (p *scanner) digits(i int) int {
	n := 0
	for i+n < len(p.s) && p.s[i+n] >= '0' && p.s[i+n] <= '9' {
		n++
	}
	return n
}

func (p *scanner) at(i int) byte {
	if i < len(p.s) {
		return p.s[i]
	}
	return 0
}

// date reads "2026-03-01" and the T or space behind it, when a digit follows.
func (p *scanner) date() error {
	if dayFirst(p.s) {
		return ErrDayFirst
	}
	if p.digits(0) != 4 || p.at(4) != '-' || p.digits(5) != 2 || p.at(7) != '-' || p.digits(8) != 2 {
		return nil
	}
	next := 10
	switch p.at(next) {
	case 'T', 't':
		next++
	case ' ', '\t':
		for p.at(next) == ' ' || p.at(next) == '\t' {
			next++
		}
	default:
		return nil
	}
	if p.digits(next) == 0 {
		return nil
	}
	if _, err := time.Parse("2006-01-02", p.s[:10]); err != nil {
		return errors.New("the date does not exist")
	}
	p.r.Date, p.i = p.s[:10], next
	return nil
}

// dayFirst reports a leading date of the form 01/03/2026 or 1.3.2026, whose
// order of day and month cannot be known.
func dayFirst(s string) bool {
	p := scanner{s: s}
	a := p.digits(0)
	sep := p.at(a)
	if a < 1 || a > 2 || strings.IndexByte("./-", sep) < 0 {
		return false
	}
	b := p.digits(a + 1)
	return b >= 1 && b <= 2 && p.at(a+1+b) == sep && p.digits(a+b+2) == 4
}

// fields reads two to four numbers. All but the first have two digits; the last
// of four may have three.
func (p *scanner) fields() error {
	n := p.digits(p.i)
	if n == 0 || n > 4 {
		return fmt.Errorf("%w: %q does not start with one", ErrNoTime, start(p.s[p.i:]))
	}
	if n <= 2 && p.at(p.i+n) == '.' && p.digits(p.i+n+1) == 2 && p.at(p.i+n+3) == '.' &&
		p.digits(p.i+n+4) == 2 && (p.at(p.i+n+6) != '.' || p.digits(p.i+n+7) == 0) {
		p.number(p.i, n)
		p.number(p.i+1, 2)
		p.number(p.i+1, 2)
		return nil
	}
	if p.at(p.i+n) != ':' || p.digits(p.i+n+1) != 2 {
		return fmt.Errorf("%w: %q is not one", ErrNoTime, start(p.s[p.i:]))
	}
	p.number(p.i, n)
	for {
		mark, n := p.at(p.i), p.digits(p.i+1)
		frames := len(p.r.Fields) == 3
		switch {
		case mark == ';' && frames && (n == 2 || n == 3):
			p.r.Drop = true
		case mark != ':' || n == 0:
			return nil
		case len(p.r.Fields) == 4:
			return fmt.Errorf("a time has at most four fields, %q has more", start(p.s))
		case n == 2 || frames && n == 3:
		default:
			return fmt.Errorf("field %q behind a colon has %d digits where a time has two", p.s[p.i+1:p.i+1+n], n)
		}
		p.number(p.i+1, n)
	}
}

// number adds the n digits at offset i as a field and moves behind them.
func (p *scanner) number(i, n int) {
	v, _ := strconv.Atoi(p.s[i : i+n]) // at most four digits
	p.r.Fields = append(p.r.Fields, v)
	p.i = i + n
}

// fraction reads ".5" or ",5".
func (p *scanner) fraction() error {
	if c := p.at(p.i); c != '.' && c != ',' {
		return nil
	}
	n := p.digits(p.i + 1)
	switch {
	case n == 0:
		return nil
	case len(p.r.Fields) == 4:
		return fmt.Errorf("frames carry no decimals, %q has some", start(p.s))
	case n > 9:
		return fmt.Errorf("%d decimals of a second are more than the nine of a nanosecond", n)
	}
	p.r.Frac = decimals(p.s[p.i+1 : p.i+1+n])
	p.i += 1 + n
	return nil
}

// decimals turns up to nine digits behind a point into a part of a second.
func decimals(digits string) time.Duration {
	v, _ := strconv.Atoi(digits + strings.Repeat("0", 9-len(digits)))
	return time.Duration(v)
}

// meridiem reads am, pm, a.m. or p.m. in any case, after at most one space.
func (p *scanner) meridiem() {
	i := p.i
	if len(p.r.Fields) == 4 {
		return
	}
	if c := p.at(i); c == ' ' || c == '\t' {
		i++
	}
	rest := strings.ToLower(p.s[i:min(i+5, len(p.s))])
	for _, word := range []string{"a.m.", "p.m.", "a.m", "p.m", "am", "pm"} {
		tail, ok := strings.CutPrefix(rest, word)
		if !ok || tail != "" && (tail[0] >= 'a' && tail[0] <= 'z' || tail[0] >= '0' && tail[0] <= '9' || tail[0] >= 0x80) {
			continue
		}
		p.r.Meridiem = 1
		if word[0] == 'p' {
			p.r.Meridiem = 2
		}
		p.i = i + len(word)
		return
	}
}

// zone reads Z or an offset from UTC directly behind a time with a date.
func (p *scanner) zone() {
	if p.r.Date == "" {
		return
	}
	n := 0
	switch p.at(p.i) {
	case 'Z', 'z':
		n = 1
	case '+', '-':
		switch p.digits(p.i + 1) {
		case 2:
			if p.at(p.i+3) == ':' && p.digits(p.i+4) == 2 {
				n = 6
			}
		case 4:
			n = 5
		}
		// "-09:15:10" is the end of a span, not an offset
		if p.at(p.i+n) == ':' && p.digits(p.i+n+1) > 0 {
			n = 0
		}
	}
	p.r.Zone = p.s[p.i : p.i+n]
	p.i += n
}

// start is the first word of s for use in a message, cut to a readable length.
func start(s string) string {
	word := s
	if i := strings.IndexAny(s, " \t"); i > 0 {
		word = s[:i]
	}
	for i := range word {
		if i >= 24 {
			return word[:i] + "…"
		}
	}
	return word
}
