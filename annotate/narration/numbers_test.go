package narration_test

import (
	"fmt"
	"strings"
	"testing"

	"sideport/annotate/narration"
)

func TestDigits(t *testing.T) {
	tests := []struct{ in, want string }{
		// The forms that reference tables of spoken settings name as clear.
		{"six and a half", "6.5"},
		{"five point five", "5.5"},
		{"three hundred and fifty", "350"},
		{"three hundred fifty", "350"},
		{"two and a quarter", "2.25"},
		{"two and three quarters", "2.75"},
		{"twenty-five", "25"},
		{"twenty five", "25"},
		{"6 and a half", "6.5"},
		{"six and half", "6.5"},
		{"6 point 5", "6.5"},
		{"three hundred", "300"},
		{"a hundred", "100"},
		{"one thousand two hundred", "1200"},
		{"fifteen hundred", "1500"},
		{"twelve thousand three hundred and four", "12304"},
		{"point one", "0.1"},
		{"zero point zero six", "0.06"},
		{"point oh six", "0.06"},
		{"zero point oh one two five", "0.0125"},
		{"point twenty-five", "0.25"},
		{"two point seventy five", "2.75"},
		{"half a", "0.5"},
		{"half", "0.5"},
		{"three quarters", "0.75"},
		{"minus two", "-2"},
		{"minus two point five", "-2.5"},
		{"zero", "0"},
		{"Twenty", "20"},
		// Heard in two ways: left as they are.
		{"five five", "?"},
		{"two eight", "?"},
		{"two fifty", "?"},
		{"three fifty", "?"},
		{"six two five", "?"},
		{"oh six", "?"},
		{"twenty twenty", "?"},
		{"point fifteen", "?"},
		{"point fifty", "?"},
		{"one half", "?"},
		{"hundred", "?"},
		{"twenty hundred five six", "?"},
		{"five 5", "?"},
		{"one thousand thousand", "?"},
		{"five point", "?"},
		{"two and a half and a half", "?"},
	}
	for _, tt := range tests {
		if got := narration.Digits(tt.in); got != tt.want {
			t.Errorf("Digits(%q) = %q, want %q", tt.in, got, tt.want)
		}
	}
}

func TestDigitsInsideATextLeaveTheRest(t *testing.T) {
	tests := []struct{ in, want string }{
		{"the rhexis is six and a half millimetres", "the rhexis is 6.5 millimetres"},
		{"between six and seven millimetres", "between 6 and 7 millimetres"},
		{"six to seven, twenty-three gauge", "6 to 7, 23 gauge"},
		{"10-0 nylon, 5.5-6.0 mm", "10-0 nylon, 5.5-6.0 mm"},
		{"a stone, tenor, someone, one's", "a stone, tenor, someone, one's"},
		{"and at that point a wave passes", "and at that point a wave passes"},
		{"half of it, a quarter turn", "0.5 of it, 0.25 turn"},
	}
	for _, tt := range tests {
		if got := narration.DigitsIn(tt.in); got != tt.want {
			t.Errorf("digits in %q = %q, want %q", tt.in, got, tt.want)
		}
	}
}

// spellOut writes a number by the rules spellout-cardinal and
// spellout-cardinal-verbose of the Unicode CLDR for English (from memory).
func spellOut(n int, verbose bool) string {
	small := strings.Fields("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen")
	tens := strings.Fields("twenty thirty forty fifty sixty seventy eighty ninety")
	and := " "
	if verbose {
		and = " and "
	}
	switch {
	case n < 20:
		return small[n]
	case n < 100 && n%10 == 0:
		return tens[n/10-2]
	case n < 100:
		return tens[n/10-2] + "-" + small[n%10]
	case n < 1000 && n%100 == 0:
		return small[n/100] + " hundred"
	case n < 1000:
		return small[n/100] + " hundred" + and + spellOut(n%100, verbose)
	case n%1000 == 0:
		return spellOut(n/1000, verbose) + " thousand"
	case n%1000 < 100 && verbose:
		return spellOut(n/1000, verbose) + " thousand and " + spellOut(n%1000, verbose)
	}
	return spellOut(n/1000, verbose) + " thousand " + spellOut(n%1000, verbose)
}

func TestDigitsReadEveryCardinalOfTheUnicodeRules(t *testing.T) {
	for n := range 20000 {
		for _, verbose := range []bool{false, true} {
			in := spellOut(n, verbose)
			if got, want := narration.Digits(in), fmt.Sprint(n); got != want {
				t.Fatalf("Digits(%q) = %q, want %q", in, got, want)
			}
		}
	}
}
