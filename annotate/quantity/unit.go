package quantity

import (
	"math/big"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Unit is the canonical name of a unit, such as "mm"; "" is none written.
type Unit = string

// The units that other packages name.
const (
	MM         Unit = "mm"
	ML         Unit = "mL"
	MLPerMin   Unit = "mL/min"
	MMHg       Unit = "mmHg"
	KPa        Unit = "kPa"
	CM         Unit = "cm"
	Dioptre    Unit = "D"
	Degree     Unit = "°"
	Percent    Unit = "%"
	Proportion Unit = "fraction"
	RatioUnit  Unit = "ratio"
	Second     Unit = "s"
	MG         Unit = "mg"
	MGPerML    Unit = "mg/mL"
	Gauge      Unit = "G"
	USP        Unit = "USP"
	Cells      Unit = "cells/mm2"
	CountUnit  Unit = "count"
	Clock      Unit = "o'clock"
)

// unit is one row of the closed table: its size in the base unit of its dimension.
type unit struct {
	name      Unit
	dimension string
	factor    *big.Rat
	synonyms  []string // a space matches any run of spaces or hyphens, or none
	exact     []string // synonyms in which the case of letters counts
}

func ratio(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic("quantity: bad factor " + s)
	}
	return r
}

// psiPascal is the exact pound-force per square inch: the pound 0.45359237 kg, the
// standard gravity 9.80665 m/s² and the inch 0.0254 m are exact by definition.
func psiPascal() *big.Rat {
	r := ratio("0.45359237")
	r.Mul(r, ratio("9.80665"))
	return r.Quo(r, ratio("0.00064516"))
}

// inHgPascal is 25.4 mm of conventional mercury.
func inHgPascal() *big.Rat { return new(big.Rat).Mul(ratio("133.322387415"), ratio("25.4")) }

// units is the closed table. Factors are exact.
//
// Source: NIST SP 811 (2008) appendix B.8 for the definitions (printed digits from
// memory); mmHg is 13.5951 · 9.80665 Pa and cmH2O 98.0665 Pa by convention.
var units = []unit{
	{"mm", "length", ratio("1"), []string{"mm", "mms", "millimetre", "millimetres", "millimeter", "millimeters"}, nil},
	{"µm", "length", ratio("1/1000"), []string{"um", "micron", "microns", "micrometre", "micrometres", "micrometer", "micrometers"}, nil},
	{"cm", "length", ratio("10"), []string{"cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters"}, nil},
	{"inch", "length", ratio("25.4"), []string{"inch", "inches"}, nil},
	{"mL", "volume", ratio("1"), []string{"ml", "mls", "cc", "ccs", "millilitre", "millilitres", "milliliter", "milliliters"}, nil},
	{"µL", "volume", ratio("1/1000"), []string{"ul", "microlitre", "microlitres", "microliter", "microliters"}, nil},
	{"L", "volume", ratio("1000"), []string{"litre", "litres", "liter", "liters"}, []string{"L"}},
	{"mL/min", "flow", ratio("1"), []string{"ml / min", "mls / min", "cc / min", "ccs / min", "ml / minute", "cc / minute", "ml per min", "ml per minute",
		"cc per min", "cc per minute", "ccs per minute", "mls per minute", "millilitres per minute", "milliliters per minute"}, nil},
	{"mmHg", "pressure", ratio("133.322387415"), []string{"mm hg", "mm of hg", "mm of mercury", "millimetres of mercury", "millimeters of mercury"}, nil},
	{"Pa", "pressure", ratio("1"), []string{"pascal", "pascals"}, []string{"Pa"}},
	{"kPa", "pressure", ratio("1000"), []string{"kpa", "kilopascal", "kilopascals"}, nil},
	{"cmH2O", "pressure", ratio("98.0665"), []string{"cm h2o", "cm of h2o", "cm of water", "centimetres of water", "centimeters of water", "cm water"}, nil},
	{"inHg", "pressure", inHgPascal(), []string{"in hg", "inches of mercury", "inch of mercury"}, nil},
	{"psi", "pressure", psiPascal(), []string{"psi"}, nil},
	{"bar", "pressure", ratio("100000"), []string{"bar", "bars"}, nil},
	{"mg", "mass", ratio("1"), []string{"mg", "mgs", "milligram", "milligrams"}, nil},
	{"µg", "mass", ratio("1/1000"), []string{"ug", "mcg", "microgram", "micrograms"}, nil},
	{"g", "mass", ratio("1000"), []string{"gm", "gram", "grams"}, []string{"g"}},
	{"mg/mL", "concentration", ratio("1/1000"), []string{"mg / ml", "mg / cc", "mg per ml", "milligrams per millilitre", "milligrams per milliliter"}, nil},
	{"µg/mL", "concentration", ratio("1/1000000"), []string{"ug / ml", "mcg / ml", "ug per ml", "mcg per ml"}, nil},
	{"mg/dL", "concentration", ratio("1/100000"), []string{"mg / dl", "mg per dl"}, nil},
	{"%", "proportion", ratio("1/100"), []string{"%", "percent", "per cent", "pct"}, nil},
	{"fraction", "proportion", ratio("1"), []string{"thickness", "of thickness", "scleral thickness", "of scleral thickness", "of the scleral thickness", "of the thickness", "fraction"}, nil},
	{"ratio", "proportion", ratio("1"), nil, nil},
	{"%-s", "energy share", ratio("1"), []string{"% s", "%·s", "% sec", "% second", "% seconds", "percent s", "percent second", "percent seconds"}, nil},
	{"D", "refraction", ratio("1"), []string{"d", "ds", "dpt", "dioptre", "dioptres", "diopter", "diopters"}, nil},
	{"°", "angle", ratio("1"), []string{"°", "deg", "degs", "degree", "degrees"}, nil},
	{"clock hours", "angle", ratio("30"), []string{"clock hour", "clock hours"}, nil},
	{"s", "time", ratio("1"), []string{"s", "sec", "secs", "second", "seconds"}, nil},
	{"min", "time", ratio("60"), []string{"min", "mins", "minute", "minutes"}, nil},
	{"h", "time", ratio("3600"), []string{"h", "hr", "hrs", "hour", "hours"}, nil},
	{"cells/mm2", "cell density", ratio("1"), []string{"cells / mm2", "cells / mm^2", "cells / sq mm", "cells per mm2", "cells per sq mm", "cells per square millimetre",
		"cells per square millimeter", "cells", "/ mm2"}, nil},
	{"mmol/L", "substance", ratio("1"), []string{"mmol / l", "mmol per l", "mmol"}, nil},
	{"°C", "temperature", ratio("1"), []string{"°c", "deg c", "degrees c", "degrees celsius", "celsius"}, nil},
	{"G", "gauge", ratio("1"), []string{"gauge", "ga"}, []string{"G"}},
	{"USP", "suture size", ratio("1"), nil, nil},
	{"count", "count", ratio("1"), []string{"count", "nicks", "nick", "punctures", "sutures", "suture", "stitches", "stitch", "ports", "port", "times"}, nil},
	{"o'clock", "clock face", ratio("1"), []string{"o'clock", "o’clock", "oclock", "o clock"}, nil},
}

// spelling is one way to write a unit.
type spelling struct {
	text  string
	unit  *unit
	exact bool
}

// spellings holds every synonym by its first letter, longest first, so that mm Hg is
// tried before mm.
var spellings = func() map[rune][]spelling {
	var out []spelling
	for i := range units {
		u := &units[i]
		for _, s := range u.synonyms {
			out = append(out, spelling{s, u, false})
		}
		for _, s := range u.exact {
			out = append(out, spelling{s, u, true})
		}
	}
	slices.SortStableFunc(out, func(a, b spelling) int { return len(b.text) - len(a.text) })
	by := map[rune][]spelling{}
	for _, s := range out {
		first, _ := utf8.DecodeRuneInString(s.text)
		first = fold(first)
		by[first] = append(by[first], s)
	}
	return by
}()

func unitNamed(name Unit) (*unit, bool) {
	for i := range units {
		if units[i].name == name {
			return &units[i], true
		}
	}
	return nil, false
}

// Units are the canonical names, in table order.
func Units() []Unit {
	names := make([]Unit, len(units))
	for i, u := range units {
		names[i] = u.name
	}
	return names
}

// ParseUnit is the canonical name of a unit written in any of its spellings.
func ParseUnit(text string) (Unit, bool) {
	text = strings.TrimSpace(text)
	if u, ok := unitNamed(text); ok {
		return u.name, true
	}
	if u, n := leadingUnit(text); n == len(text) && u != nil {
		return u.name, true
	}
	return "", false
}

// Dimension names what a unit measures, such as "length"; "" for an unknown unit.
func Dimension(name Unit) string {
	if u, ok := unitNamed(name); ok {
		return u.dimension
	}
	return ""
}

// leadingUnit is the longest unit at the start of text and its length in bytes; nil
// when text does not start with one, or when a letter or digit follows it.
func leadingUnit(text string) (*unit, int) {
	first, _ := utf8.DecodeRuneInString(text)
	for _, s := range spellings[fold(first)] {
		n, ok := matchSpelling(text, s)
		if !ok {
			continue
		}
		next, _ := utf8.DecodeRuneInString(text[n:])
		last := s.text[len(s.text)-1]
		if n < len(text) && last != '%' && !strings.HasSuffix(s.text, "°") && (unicode.IsLetter(next) || unicode.IsDigit(next)) {
			continue
		}
		return s.unit, n
	}
	return nil, 0
}

func matchSpelling(text string, s spelling) (int, bool) {
	i := 0
	for _, want := range s.text {
		if want == ' ' {
			for i < len(text) && (isSpace(text[i:]) || text[i] == '-') {
				_, n := utf8.DecodeRuneInString(text[i:])
				i += n
			}
			continue
		}
		got, n := utf8.DecodeRuneInString(text[i:])
		if n == 0 {
			return 0, false
		}
		if s.exact && got != want || !s.exact && fold(got) != want {
			return 0, false
		}
		i += n
	}
	return i, true
}

// fold maps a letter to the form the table is written in: lower case, micro sign
// and Greek mu to u, raised and lowered 2 to 2, ordinal and ring marks to °.
func fold(r rune) rune {
	switch r {
	case 'µ', 'μ':
		return 'u'
	case '²', '₂':
		return '2'
	case 'º', '˚':
		return '°'
	case '％':
		return '%'
	}
	return unicode.ToLower(r)
}

func isSpace(text string) bool {
	r, _ := utf8.DecodeRuneInString(text)
	return r == ' ' || r == '\t' || r == '\u00a0' || r == '\u2009' || r == '\u202f'
}
