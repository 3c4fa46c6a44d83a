package quantity

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxText bounds the text of one value.
const maxText = 200

// Parse reads one value: "6.2 mm", "6,5mm", "6.2–6.8 mm", "about 6 mm", "≥ 6 mm",
// "< 300 mmHg", "1:100,000", "43.00 D @ 180", "10-0", "23 G", "500 µg in 0.1 mL",
// "12 o'clock", "1/3", "yes" or a word. The error is lower case and says what is
// wrong with the text.
func Parse(text string) (Quantity, error) { return ParseIn(text, "") }

// ParseIn is Parse for a value whose unit, when none is written, is assumed: it
// decides how 2,400 (cells/mm2), 10.0 (USP) and 23 g (G) are read, and fills the
// unit in.
func ParseIn(text string, assumed Unit) (Quantity, error) {
	trimmed := strings.TrimSpace(text)
	if trimmed == "" {
		return Quantity{}, errors.New("no value is written")
	}
	if len(trimmed) > maxText {
		return Quantity{}, fmt.Errorf("the value is longer than %d bytes", maxText)
	}
	if word, ok := yesNo(trimmed); ok {
		return Quantity{Text: trimmed, Kind: YesNo, Word: word}, nil
	}
	p := parser{s: trimmed, assumed: assumed}
	q, err := p.quantity()
	if err == nil && p.i < len(p.s) {
		err = fmt.Errorf("cannot read %s after %q", quoteStart(p.s[p.i:]), strings.TrimSpace(p.s[:p.i]))
	}
	if err != nil {
		if q, ok := asWord(trimmed); ok {
			return q, nil
		}
		return Quantity{}, err
	}
	q.Text = trimmed
	return q, nil
}

func yesNo(text string) (string, bool) {
	switch strings.ToLower(text) {
	case "yes", "true":
		return "yes", true
	case "no", "false":
		return "no", true
	}
	return "", false
}

// asWord reads text that starts with a letter and holds nothing but words.
func asWord(text string) (Quantity, bool) {
	first, _ := utf8.DecodeRuneInString(text)
	if !unicode.IsLetter(first) || len(text) > 60 {
		return Quantity{}, false
	}
	p := parser{s: text}
	if p.prefix() != (prefix{}) && strings.ContainsAny(text, "0123456789") {
		return Quantity{}, false // "about 7-6 mm" is a faulty number, not a word
	}
	for _, r := range text {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune(" -_+/.,'’()%", r) {
			return Quantity{}, false
		}
	}
	word := hyphenated(text)
	if answer, ok := yesNo(word); ok {
		return Quantity{Text: text, Kind: YesNo, Word: answer}, true
	}
	return Quantity{Text: text, Kind: Word, Word: word}, true
}

// parser walks one text. loose is set when the text is running text around a value.
type parser struct {
	s       string
	i       int
	assumed Unit
	loose   bool
}

func (p *parser) spaces() {
	for p.i < len(p.s) && isSpace(p.s[p.i:]) {
		_, n := utf8.DecodeRuneInString(p.s[p.i:])
		p.i += n
	}
}

// accept consumes the first of words that stands next, whole, and returns it.
func (p *parser) accept(words ...string) string {
	for _, w := range words {
		if len(p.s)-p.i < len(w) || !strings.EqualFold(p.s[p.i:p.i+len(w)], w) {
			continue
		}
		last, _ := utf8.DecodeLastRuneInString(w)
		next, _ := utf8.DecodeRuneInString(p.s[p.i+len(w):])
		if unicode.IsLetter(last) && (unicode.IsLetter(next) || len(w) > 1 && unicode.IsDigit(next)) {
			continue // part of another word; x80 alone runs into its number
		}
		p.i += len(w)
		p.spaces()
		return w
	}
	return ""
}

// prefix is what may stand before a number.
type prefix struct {
	about, between bool
	bound          byte // 0, '<', 'l' (≤), '>', 'g' (≥)
}

var (
	aboutWords = []string{"approximately", "approx.", "approx", "about", "around", "roughly", "circa", "ca.", "ca", "c.", "~", "≈"}
	// alone holds the words that bound a value only where it stands alone: in running
	// text "under 2 % OVD" and "over 10 s" say something else.
	boundTokens = []struct {
		bound        byte
		words, alone []string
	}{
		{'g', []string{">=", "≥", "=>", "at least", "not less than"}, []string{"minimum", "min."}},
		{'l', []string{"<=", "≤", "=<", "at most", "not more than", "up to"}, []string{"maximum", "max."}},
		{'>', []string{">", "more than", "greater than"}, []string{"above", "over"}},
		{'<', []string{"<", "less than"}, []string{"below", "under"}},
	}
)

func (p *parser) prefix() (out prefix) {
	for {
		switch {
		case p.accept(aboutWords...) != "":
			out.about = true
			continue
		case out.bound == 0 && !out.between && (p.accept("between") != "" || !p.loose && p.accept("from") != ""):
			out.between = true
			continue
		}
		if out.bound == 0 && !out.between {
			if b := p.bound(); b != 0 {
				out.bound = b
				continue
			}
		}
		if back := p.i; !p.loose && p.accept("at") != "" && digits(p.s[p.i:]) == "" {
			p.i = back // "at" belongs to a number only when one follows
		}
		return out
	}
}

func (p *parser) bound() byte {
	for _, t := range boundTokens {
		if p.accept(t.words...) != "" || !p.loose && p.accept(t.alone...) != "" {
			return t.bound
		}
	}
	return 0
}

// value is one number, fraction, ratio or size token.
type value struct {
	number
	kind     Kind
	negative bool
	top, low *big.Rat // of a fraction
}

func (v value) rat() *big.Rat {
	r := new(big.Rat).Set(v.number.value)
	if v.negative {
		r.Neg(r)
	}
	return r
}

func (v value) shown() string {
	if v.negative {
		return "-" + v.text
	}
	return v.text
}

func (p *parser) value() (value, error) {
	start := p.i
	negative := false
	switch sign := p.accept("-", "−", "+"); sign {
	case "-", "−":
		negative = true
	}
	n, err := scanNumber(p.s[p.i:], !p.loose)
	if err != nil {
		if half, ok := p.vulgar(number{value: new(big.Rat)}); ok && !negative {
			return half, nil
		}
		p.i = start
		return value{}, err
	}
	p.i += n.size
	v := value{number: n, negative: negative}
	if half, ok := p.vulgar(n); ok && !negative {
		return half, nil
	}
	return p.special(v)
}

// special looks at what follows a number: /2 makes a fraction, :10 000 a ratio, -0
// a suture size.
func (p *parser) special(v value) (value, error) {
	rest := p.s[p.i:]
	whole := v.number.value.IsInt() && !strings.ContainsAny(v.written, ".,")
	if !whole || v.negative || rest == "" {
		return v, nil
	}
	if p.sutureAhead(v.number) {
		p.i += 2
		v.kind = Size
		return v, nil
	}
	if rest[0] != '/' && rest[0] != ':' || digits(rest[1:]) == "" {
		return v, nil
	}
	after, err := scanNumber(rest[1:], true)
	if err != nil {
		return v, err
	}
	after, err = after.settle(RatioUnit)
	if err != nil {
		return v, err
	}
	switch {
	case after.value.Sign() == 0:
		return v, fmt.Errorf("%q divides by nothing", v.written+rest[:1+after.size])
	case rest[0] == ':' && v.text != "1":
		return v, fmt.Errorf("a ratio is written 1:n, found %q", v.written+rest[:1+after.size])
	case rest[0] == '/' && !after.value.IsInt():
		return v, fmt.Errorf("a fraction has whole numbers, found %q", v.written+rest[:1+after.size])
	}
	v.top, v.low = v.number.value, after.value
	v.number.value = new(big.Rat).Quo(v.top, v.low)
	v.text = v.text + rest[:1] + after.text
	v.kind = Fraction
	if rest[0] == ':' {
		v.kind = Ratio
	}
	p.i += 1 + after.size
	return v, nil
}

// sutureAhead reports whether "-0" or "/0" follows a number from 1 to 12 and is not
// the start of another number or of a range in some unit.
func (p *parser) sutureAhead(n number) bool {
	rest := p.s[p.i:]
	if len(rest) < 2 || (rest[0] != '-' && rest[0] != '/') || rest[1] != '0' || len(n.text) > 2 {
		return false
	}
	if f := n.value; f.Sign() == 0 || f.Cmp(big.NewRat(12, 1)) > 0 {
		return false
	}
	rest = rest[2:]
	if rest != "" && (rest[0] >= '0' && rest[0] <= '9' || (rest[0] == '.' || rest[0] == ',') && digits(rest[1:]) != "") {
		return false
	}
	next := parser{s: rest}
	next.spaces()
	if p.loose && len(next.s) > next.i && unicode.IsLetter(rune(rest[0])) {
		return false
	}
	u, _ := leadingUnit(next.s[next.i:])
	return u == nil || u.name == CountUnit
}

// vulgar reads ½ and the like: the number before it is a whole part.
func (p *parser) vulgar(n number) (value, bool) {
	r, size := utf8.DecodeRuneInString(p.s[p.i:])
	part, ok := map[rune]string{'½': "1/2", '⅓': "1/3", '⅔': "2/3", '¼': "1/4", '¾': "3/4"}[r]
	if !ok || n.grouped != nil || !n.value.IsInt() {
		return value{}, false
	}
	p.i += size
	total := new(big.Rat).Add(n.value, ratio(part))
	text := total.RatString()
	return value{number: number{value: total, text: text, written: text}, kind: Fraction, top: new(big.Rat).SetInt(total.Num()), low: new(big.Rat).SetInt(total.Denom())}, true
}

var materials = []string{"silk", "nylon", "polyglactin", "polypropylene", "polyester", "polyamide"}

// material reads the thread after a suture size.
func (p *parser) material() string {
	word := p.accept(materials...)
	if word == "" || !slices.Contains(materials, word) {
		return ""
	}
	return word
}
