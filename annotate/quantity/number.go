package quantity

import (
	"fmt"
	"math/big"
	"strings"
	"unicode/utf8"
)

// maxDigits bounds the length of one number; more is a typing error.
const maxDigits = 15

// number is one unsigned number as written.
type number struct {
	value *big.Rat
	text  string // canonical: digits with a decimal point
	// grouped is the other reading of text such as 2,400 or 2.400, in which the mark
	// separates thousands; nil when there is one reading only.
	grouped *big.Rat
	comma   bool // the mark of an ambiguous number is a comma
	written string
	size    int // bytes consumed
}

// part is a run of digits and the mark that stands before it.
type part struct {
	mark   byte // 0, '.', ',' or ' '
	digits string
}

// scanNumber reads the number at the start of s. spaced allows an ordinary space
// between groups of three digits; no-break and thin spaces always are.
func scanNumber(s string, spaced bool) (number, error) {
	parts, size := numberParts(s, spaced)
	if size == 0 {
		return number{}, fmt.Errorf("expected a number, found %s", quoteStart(s))
	}
	n, err := assemble(parts)
	n.written, n.size = s[:size], size
	if err != nil {
		return n, fmt.Errorf("cannot read the number %q: %w", s[:size], err)
	}
	if total := strings.Count(n.text, "") - 1; total > maxDigits+1 {
		return n, fmt.Errorf("the number %q has more than %d digits", s[:size], maxDigits)
	}
	return n, nil
}

func numberParts(s string, spaced bool) ([]part, int) {
	first := digits(s)
	i := len(first)
	parts := []part{{0, first}}
	for i < len(s) {
		switch {
		case (s[i] == '.' || s[i] == ',') && digits(s[i+1:]) != "":
			d := digits(s[i+1:])
			parts = append(parts, part{s[i], d})
			i += 1 + len(d)
		case first != "" && isSpace(s[i:]) && (spaced || s[i] != ' '):
			_, n := utf8.DecodeRuneInString(s[i:])
			d := digits(s[i+n:])
			last := parts[len(parts)-1]
			if len(d) != 3 || last.mark != ' ' && last.mark != 0 || len(last.digits) > 3 || first == "0" {
				return parts, i
			}
			parts = append(parts, part{' ', d})
			i += n + 3
		default:
			return finish(parts, i)
		}
	}
	return finish(parts, i)
}

func finish(parts []part, size int) ([]part, int) {
	if len(parts) == 1 && parts[0].digits == "" {
		return nil, 0
	}
	return parts, size
}

func digits(s string) string {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return s[:n]
}

// assemble decides which marks separate thousands and which the decimals.
func assemble(parts []part) (number, error) {
	whole, rest := parts[0].digits, parts[1:]
	if len(rest) == 0 {
		return decimal(whole, "")
	}
	last := rest[len(rest)-1]
	for _, p := range rest[:len(rest)-1] {
		if p.mark != rest[0].mark || len(p.digits) != 3 {
			return number{}, fmt.Errorf("its marks do not separate thousands and one decimal part")
		}
		whole += p.digits
	}
	groupable := len(last.digits) == 3 && len(parts[0].digits) >= 1 && len(parts[0].digits) <= 3 && parts[0].digits[0] != '0'
	switch {
	case last.mark == ' ':
		return decimal(whole+last.digits, "")
	case len(rest) > 1 && last.mark == rest[0].mark:
		if !groupable {
			return number{}, fmt.Errorf("its marks do not separate thousands")
		}
		return decimal(whole+last.digits, "")
	case len(rest) > 1:
		return decimal(whole, last.digits)
	}
	n, err := decimal(whole, last.digits)
	if err == nil && groupable {
		n.grouped = ratio(whole + last.digits)
		n.comma = last.mark == ','
	}
	return n, err
}

func decimal(whole, frac string) (number, error) {
	if len(whole)+len(frac) > maxDigits {
		return number{}, fmt.Errorf("it has more than %d digits", maxDigits)
	}
	if whole == "" {
		whole = "0"
	}
	text := whole
	if frac != "" {
		text += "." + frac
	}
	return number{value: ratio(text), text: text}, nil
}

// settle picks the reading of an ambiguous number for a unit: thousands where the
// unit counts, a decimal point as it stands elsewhere, and an error for the rest.
func (n number) settle(u Unit) (number, error) {
	if n.grouped == nil {
		return n, nil
	}
	counts := u == Cells || u == CountUnit || u == RatioUnit
	if counts == n.comma {
		if counts {
			n.value, n.text = n.grouped, n.grouped.Num().String()
		}
		return n, nil
	}
	whole := n.grouped.Num().String()
	return n, fmt.Errorf("%q can be read as %s or as %s; write the one that is meant", n.written, whole, trimZeros(n.text))
}

func trimZeros(text string) string {
	if !strings.Contains(text, ".") {
		return text
	}
	return strings.TrimRight(strings.TrimRight(text, "0"), ".")
}

func quoteStart(s string) string {
	if s == "" {
		return "nothing"
	}
	runes := []rune(s)
	if len(runes) > 20 {
		return fmt.Sprintf("%q", string(runes[:20])+"…")
	}
	return fmt.Sprintf("%q", s)
}
